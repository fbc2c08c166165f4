// Worksheets without a terminal: numbered blanks chosen by ticking, as many forms as asked, and their keys after them.
// A form is that of "plexusdraw worksheet" with the same code: the same blanks, numbers and names.
import { codeOf, readCode, stampOf } from "./codes.js";
import { choiceOf, Random } from "./random.js";
import { asked } from "./view.js";
import { button, checkbox, choice, h } from "./widgets.js";

/** Most that an address may ask for. */
export const MOST_FORMS = 100;
const MOST_DIGITS = 12;
/** A form of a set asks so much of what can be asked: the same as worksheet/spec.py. */
const SHARE = [2, 3];
/** @type {[string, string][]} */
const CHOOSING = [["anew", "others on each"], ["same", "the same on each"], ["all", "all of these"]];

export class Forms {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.known = app.plexus.data.forms;
    this.clear();
  }

  clear() {
    this.ask = [...this.known.usual];
    this.choosing = "anew";
    this.seed = 1n;
    this.count = 0;
    this.first = 1;
    this.many = 1;
    this.several = false;
    this.on = false;
    /** A code that was typed: what this page would write for it, and how it began. @type {{made: string, stamp: string} | null} */
    this.typed = null;
  }

  // The code.

  /** @returns {import("./codes.js").Wish} */
  wish({ detail, names, side } = this.app.shown) {
    const { known, ask, seed, several, choosing, count } = this;
    const usual = ask.length === known.usual.length && known.usual.every((word) => ask.includes(word));
    return { seed, several, choosing, side, style: names, count, ask: usual ? [] : ask, detail: detail === this.detailFor(ask) ? "" : detail };
  }

  /** How much is drawn for what is asked, if nobody says otherwise: as worksheet/askable.py. */
  detailFor(/** @type {number[]} */ ask) {
    const { nerves, muscles, details } = this.known;
    return details[ask.includes(muscles) ? 2 : ask.includes(nerves) ? 1 : 0];
  }

  stamp() {
    const made = stampOf(this.known, this.wish());
    return this.typed && this.typed.made === made ? this.typed.stamp : made;
  }

  code(number = this.first) {
    return codeOf(this.known, this.stamp(), number);
  }

  /** What the address keeps of the forms. */
  told() {
    return this.on && this.ask.length ? { form: this.code(), forms: String(this.many) } : { form: "", forms: "1" };
  }

  accepts(/** @type {string} */ code) {
    try {
      return Boolean(readCode(this.known, code));
    } catch {
      return false;
    }
  }

  /** Make the forms that the address tells, if they are not there. */
  fromAddress() {
    const { shown } = this.app, { form, forms } = shown;
    if (!form) return void (this.on = false);
    if (this.on && form === this.code() && forms === String(this.many)) return;
    Object.assign(shown, this.read(form));
    this.many = Number(forms);
  }

  /** Take everything from a code. @returns {{detail: string, names: string, side: string}} what is to be shown for it @throws {Error} */
  read(/** @type {string} */ code) {
    const { wish, number, stamp } = readCode(this.known, code), ask = wish.ask.length ? wish.ask : [...this.known.usual];
    const shown = { detail: wish.detail || this.detailFor(ask), names: wish.style, side: wish.side };
    Object.assign(this, { ask, seed: wish.seed, count: wish.count, choosing: wish.choosing, several: wish.several, first: number, many: 1, on: true });
    this.typed = { made: stampOf(this.known, this.wish(shown)), stamp };
    return shown;
  }

  // What is blank.

  /** Labels of the picture that a word asks for. @returns {number[]} */
  labels(/** @type {number} */ word) {
    const { app: { scene, plexus, shown }, known } = this, kinds = known.ask[word][2].filter((kind) => Object.hasOwn(scene.numbers, kind));
    const idOf = (label) => scene.labels[label][0], silent = known.unasked[`${shown.detail} ${shown.names}`] || [];
    return kinds.flatMap((kind) => asked(scene, kind, true)).filter((label) => !silent.includes(idOf(label)) && (word !== known.muscles || plexus.muscles.has(idOf(label))));
  }

  /** All labels that may be blank, as a worksheet reads them. */
  every() {
    const { app: { scene, plexus, shown }, known } = this, wanted = new Set(this.ask.flatMap((word) => this.labels(word)));
    const idOf = (label) => scene.labels[label][0], late = (label) => known.links.indexOf(idOf(label));
    const all = asked(scene, "labels", true).filter((label) => wanted.has(label)).sort((a, b) => late(a) - late(b)), rows = known.rows[shown.names];
    if (!rows || shown.detail !== "muscles") return all;
    const order = new Map(rows.map((at, i) => [plexus.data.muscles[at].id, i])), place = (label) => order.get(idOf(label));
    const muscles = all.filter((label) => place(label) !== undefined).sort((a, b) => place(a) - place(b));
    const others = all.filter((label) => place(label) === undefined);
    return [...others.filter((label) => late(label) < 0), ...muscles, ...others.filter((label) => late(label) >= 0)];
  }

  /** Labels that are blank on a form, in the order of their numbers. @returns {number[]} */
  blanks(/** @type {number} */ number) {
    const all = this.every();
    if (!all.length) return [];
    const { choosing, count } = this;
    const size = count ? Math.min(count, all.length) : this.several && choosing !== "all" ? Math.max(1, Math.floor((all.length * SHARE[0]) / SHARE[1])) : all.length;
    const chosen = choiceOf(all.length, size, choosing === "same" ? 1 : number, new Random(`${this.seed}/0/blanks`)).map((i) => all[i]);
    const listed = this.ask.every((word) => word === this.known.muscles) && this.known.listed.includes(this.app.shown.names);
    return this.several && !listed ? new Random(`${this.seed}/${number}/numbers`).shuffle(chosen) : chosen;
  }

  /** The first form, in the picture. */
  request(number = this.first) {
    if (!this.on) return {};
    return { hide: "labels", quiet: true, only: this.blanks(number), title: `${this.app.title}: name the parts` };
  }

  // The panel.

  settings() {
    const { known } = this, offered = known.ask.map((_, i) => i).filter((word) => this.labels(word).length);
    const ticks = offered.map((word) => checkbox(this.called(word), this.ask.includes(word), (on) => {
      this.ask = offered.filter((other) => (other === word ? on : this.ask.includes(other)));
      this.changed();
    }));
    this.share = h("div", {});
    this.codeLine = h("p", { className: "soft" });
    this.printing = button("Print the worksheet", () => this.print(), { className: "main" });
    this.tell();
    return [
      h("h2", { className: "sub" }, "Worksheet"), h("p", {}, "Names to fill in, a page each, then the keys. Of several forms each asks two thirds, if not all."),
      h("fieldset", {}, h("legend", {}, "Blank"), ...ticks),
      h("div", { className: "settings" }, this.howMany(), this.share, this.field("form-count", "At most so many", this.count ? String(this.count) : "", (text) => { this.count = Number(text); }), this.field("form-seed", "Seed", String(this.seed), (text) => { this.seed = BigInt(text || "1"); })),
      h("div", { className: "row" }, this.printing), this.codeLine, this.byCode(),
    ];
  }

  /** A column by the name that the reader chose; "nerves", "muscles". */
  called(/** @type {number} */ word) {
    const name = this.known.ask[word][1], stage = this.app.plexus.data.stages.find(({ id }) => id === name);
    return stage ? this.app.stageName(stage) : name;
  }

  howMany() {
    const numbers = [...new Set(["1", "2", "4", "10", "30", String(this.many)])];
    return choice("Forms", numbers.map((n) => [n, n]), String(this.many), (value) => {
      this.many = Number(value);
      [this.first, this.several] = [1, this.many > 1];
      if (!this.several) this.choosing = "anew";
      this.changed();
    });
  }

  /** What follows from the settings. */
  tell() {
    const chosen = (value) => { this.choosing = value; this.changed(); };
    this.share.replaceChildren(...(this.several ? [choice("Blank on the forms", CHOOSING.slice(0, this.count ? 2 : 3), this.choosing, chosen)] : []));
    this.printing.disabled = !this.ask.length;
    const code = [`The ${this.many > 1 ? "first form" : "form"} has the code `, h("b", {}, this.code()), ". The command \"plexusdraw worksheet --form\" makes the same form from it."];
    this.codeLine.replaceChildren(...(this.on && this.ask.length ? code : []));
  }

  /** A field for a number. */
  field(id, text, value, use) {
    const input = h("input", { type: "text", inputMode: "numeric", id, value, maxLength: MOST_DIGITS, onchange: () => {
      use(input.value.replace(/\D/g, ""));
      this.changed();
    } });
    return h("div", { className: "field" }, h("label", { for: id }, text), input);
  }

  /** A form again, from the code that is printed on it. */
  byCode() {
    const message = h("p", { className: "message", role: "status" }), input = h("input", { type: "text", id: "form-code", autocomplete: "off", maxLength: 80 });
    return h("form", { onsubmit: (event) => {
      event.preventDefault();
      try {
        this.app.set(this.read(input.value));
        this.app.say(`Form ${this.code()} is shown.`);
      } catch (error) {
        message.textContent = error.message;
      }
    } }, h("div", { className: "field" }, h("label", { for: "form-code" }, "Code of a form, to make it again"), input), h("button", { type: "submit" }, "Make it"), message);
  }

  /** The picture and the address follow; the fields stay, and with them what has focus. */
  changed() {
    this.on = true;
    this.app.keep();
    this.app.draw();
    this.tell();
  }

  print() {
    if (!this.on) this.changed();
    print();
  }

  /** The name that a key gives: of a root in full where names are Latin. */
  answer(/** @type {string} */ id) {
    const { app } = this, { name, latin } = app.plexus.named(id);
    return (app.latin && latin) || name;
  }

  /** All forms, then all keys. */
  paper() {
    if (!this.on || !this.ask.length) return [];
    const { app } = this, forms = [], keys = [];
    for (let number = this.first; number < this.first + this.many; number += 1) {
      const view = app.viewOf(this.request(number)), title = `Form ${this.code(number)}`;
      const lines = [...view.blanks].map(([label, i]) => [i, app.scene.labels[label][0]]);
      forms.push(h("section", { className: "form" }, h("p", { className: "row" }, h("b", {}, title), "Name: ____________________"), app.picture.drawn(view, app.look()), h("p", {}, h("b", {}, view.title), ` · ${app.picture.words("orientation")}`),
        h("ol", { className: "lines" }, ...lines.map(() => h("li", {})))));
      keys.push(h("section", { className: "key" }, h("h2", {}, `${title}: key`), h("ol", { className: "columns" }, ...lines.map(([, id]) => h("li", {}, this.answer(id))))));
    }
    app.draw();
    return [...forms, ...keys];
  }
}
