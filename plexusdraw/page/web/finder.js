// Search as one types: what a text may mean, best first, and the field that offers it.
import { distance, Speller, tokens } from "./spelling.js";
import { h } from "./widgets.js";

const MOST_OFFERS = 8;
/** Grade of what is called otherwise, but for slips of the pen. */
const SLIP = 5;

/** @typedef {{text: string, note: string, use: () => void, sure?: boolean, guess?: boolean}} Offer guess: the text is called otherwise, so that it is not taken unasked */

/** What can be named, and by which words. */
export class Index {
  /** @param {Speller} speller @param {Iterable<{key: string, name: string, forms: string[], beside?: string[]}>} rows name: what comes before other words for it; beside: names of what it lies on */
  constructor(speller, rows) {
    this.speller = speller;
    this.rows = [...rows].map(({ key, name, forms, beside = [] }) => ({ key, own: tokens(name).join(" "), forms: forms.map((form) => ({ form, words: form.split(" ") })), beside }));
  }

  /** Keys that a text may mean, best first: the whole name, its beginning, beginnings of its words, a part, a slip of the pen. */
  find(/** @type {string} */ text) {
    const wish = tokens(text).slice(0, 12), whole = wish.join(" ");
    if (!whole) return [];
    const graded = (grade) => this.rows.map(({ key, own, forms, beside }) => {
      const best = forms.map(({ form, words }) => ({ form, grade: grade(form, words, beside) })).reduce((a, b) => (b.grade < a.grade ? b : a), { form: "", grade: 9 });
      return { key, other: Number(best.form !== own), guess: best.grade === SLIP, ...best };
    }).filter(({ grade: found }) => found < 9);
    const core = this.speller.canonical(text).split(" ").sort().join(" ");
    const asked = wish.map((word) => [word, this.speller.mapped.get(word)]);
    const found = graded((form, words) => gradeOf(form, words, whole, asked, () => this.speller.canonical(form).split(" ").sort().join(" ") === core));
    const all = found.length ? found : this.among(wish, graded) || graded((_, words) => (wish.every((word) => words.some((other) => slip(word, other))) ? SLIP : 9));
    return all.sort((a, b) => a.grade - b.grade || a.other - b.other || a.form.length - b.form.length);
  }

  /** What has all these words in its names and in those of its nerve: "peroneal nerve at fibular head"; null if nothing has. */
  among(/** @type {string[]} */ wish, graded) {
    const cores = (/** @type {string} */ text) => this.speller.canonical(text).split(" "), asked = cores(wish.join(" "));
    const found = graded((form, _, beside) => {
      const own = new Set(cores(form)), nerve = new Set(beside.flatMap(cores));
      return beside.length && asked.some((word) => own.has(word) && !nerve.has(word)) && asked.every((word) => own.has(word) || nerve.has(word)) ? 4.5 : 9;
    });
    return found.length ? found : null;
  }
}

/** A thing by its names, a skin area by its words too: "thumb"; a movement by its own. @param {import("./plexus.js").Plexus} plexus @param {Speller} speller */
export function rowOf(plexus, speller, /** @type {string} */ key) {
  const { name = key, area = "" } = plexus.entities.get(key) || {};
  const place = plexus.places.get(key), beside = place && speller.exact.get(place.segment);
  return { key, name, beside, forms: [...(speller.exact.get(key) || [tokens(key).join(" ")]), ...(area ? [tokens(area).join(" ")] : [])] };
}

/** Key of the one that a text surely means: the only one of that name, the only one that is called so, or so in other words; else "". */
export function surest(/** @type {{key: string, grade: number, other: number}[]} */ matches) {
  const called = matches.filter(({ grade }) => grade < 1), named = called.filter((match) => !match.other), [near, other] = matches.filter(({ grade }) => grade < 2);
  const [only, second] = named.length ? named : called;
  if (only) return second ? "" : only.key;
  return near && !other ? near.key : "";
}

/** @param {[string, string | undefined][]} asked each word as typed, and what it stands for: "big", great */
function gradeOf(form, words, whole, asked, same) {
  if (form === whole) return 0;
  if (form.startsWith(whole)) return words.includes(whole) ? 1.5 : 2;
  if (asked.every(([word, meant]) => words.some((other) => other.startsWith(word) || other === meant))) return same() ? 1 : 3;
  if (same()) return 1;
  return whole.length > 2 && (form.includes(whole) || [form, ...words].some((text) => asOne(text).startsWith(asOne(whole)))) ? 4 : 9;
}

/** "plantar flexion" as "plantarflexion". */
function asOne(/** @type {string} */ text) {
  return text.replaceAll(" ", "");
}

/** Whether a word begins another but for a letter, or two of a long one. */
function slip(word, other) {
  const most = word.length < 4 ? 0 : word.length < 8 ? 1 : 2;
  return most > 0 && [other.slice(0, word.length), other.slice(0, word.length + 1), other].some((part) => distance(word, part) <= most);
}

let fields = 0;

/**
 * A text field that offers what a text may mean, to choose by arrow keys, by tap or by Enter; what goes wrong it says beside itself.
 * @param {{text: string, hint: string, go: string, find: (text: string) => Offer[], none: (text: string) => string}} wish
 */
export function finder({ text, hint, go, find, none }) {
  const id = `find-${(fields += 1)}`;
  const input = h("input", { id, type: "text", role: "combobox", autocomplete: "off", spellcheck: false, placeholder: hint, "aria-expanded": "false", "aria-autocomplete": "list", "aria-controls": `${id}-list`, "aria-describedby": `${id}-said` });
  const box = h("ul", { id: `${id}-list`, role: "listbox", className: "offers", "aria-label": text, hidden: true });
  const said = h("p", { id: `${id}-said`, role: "status", className: "message" });
  let offers = [], active = -1;

  const tell = (message) => { said.textContent = message; };
  const close = () => {
    box.hidden = true;
    active = -1;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  };
  const mark = (i) => {
    active = i;
    [...box.children].forEach((option, j) => option.setAttribute("aria-selected", String(i === j)));
    if (i < 0) input.removeAttribute("aria-activedescendant");
    else {
      input.setAttribute("aria-activedescendant", box.children[i].id);
      box.children[i].scrollIntoView({ block: "nearest" });
    }
  };
  const open = () => {
    offers = input.value.trim() ? find(input.value).slice(0, MOST_OFFERS) : [];
    box.replaceChildren(...offers.map((offer, i) => h("li", { id: `${id}-${i}`, role: "option", "aria-selected": "false", onclick: () => use(offer) },
      h("span", {}, offer.text), h("span", { className: "soft" }, offer.note))));
    if (!offers.length) return close();
    box.hidden = false;
    input.setAttribute("aria-expanded", "true");
    return mark(-1);
  };
  const use = (offer) => {
    close();
    input.value = "";
    tell("");
    if (matchMedia("(pointer: coarse)").matches) input.blur();
    offer.use();
  };
  const submit = (event) => {
    event.preventDefault();
    const value = input.value.trim();
    if (!value) return;
    if (active >= 0) return void use(offers[active]);
    open();
    const sure = offers.filter((offer) => offer.sure);
    if (sure.length === 1 || (offers.length === 1 && !offers[0].guess)) return void use(sure[0] || offers[0]);
    if (offers.length === 1) tell(`${none(value.slice(0, 60))} Do you mean what is offered? Choose it with the arrow keys or a tap.`);
    else if (offers.length) tell(`${offers.length} may be meant: choose one with the arrow keys or a tap.`);
    else tell(none(value.slice(0, 60)));
  };
  input.addEventListener("input", () => {
    open();
    tell(offers.length || !input.value.trim() ? "" : none(input.value.trim().slice(0, 60)));
    if (offers.length) tell(`${offers.length} found`);
  });
  input.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !box.hidden) close();
    else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      if (box.hidden) open();
      const many = offers.length, step = event.key === "ArrowDown" ? 1 : -1;
      if (many) mark((active + step + (active < 0 && step < 0 ? 1 : 0) + many) % many);
    } else return;
    event.preventDefault();
  });
  input.addEventListener("blur", () => setTimeout(close, 200));
  box.addEventListener("pointerdown", (event) => event.preventDefault());
  return h("form", { className: "field finder", onsubmit: submit }, h("label", { for: id }, text),
    h("span", { className: "with-button" }, input, h("button", { type: "submit" }, go)), box, said);
}
