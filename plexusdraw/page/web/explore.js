// Mode "explore": what is pointed at lights from end to end, and the panel says what is known of it.
import { card, movementCard } from "./card.js";
import { finder, Index, rowOf, surest } from "./finder.js";
import { tokens } from "./spelling.js";
import { button, h } from "./widgets.js";

export class Explore {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.pointed = "";
    this.result = h("div", { className: "result" });
    this.panel = h("div", {},
      finder({
        text: "Find a structure, movement, sign or injury", hint: app.examples("muscle", "sign", "scenario").join(", "), go: "Show",
        find: (text) => this.offers(text),
        none: (text) => `Nothing here is called “${text}”.`,
      }), this.result);
  }

  /** All that has a name, worked out when it is first needed. */
  get index() {
    const { plexus, speller, rule } = this.app;
    this.made = this.made || new Index(speller, [...plexus.entities.keys(), ...rule.movers.keys()].map((key) => rowOf(plexus, speller, key)));
    return this.made;
  }

  /** What has such a name; else the finding that the text may mean. @returns {import("./finder.js").Offer[]} */
  offers(text) {
    const { app } = this, matches = this.index.find(text), sure = surest(matches);
    if (!matches.length) {
      return app.modes.find.offers(text).map((offer) => ({ ...offer, note: "finding: find the site", use: () => { app.set({ mode: "find" }); offer.use(); } }));
    }
    return matches.map((match) => ({ ...this.offer(match), sure: match.key === sure }));
  }

  offer({ key, form, grade, guess }) {
    const { app } = this, entity = app.plexus.entities.get(key);
    const name = app.name(key), kind = entity ? { scenario: "injury" }[entity.table] || app.kind(key) : "movement";
    const other = tokens(name).join(" ") === form || grade > 4 ? "" : ` · ${form}`;
    return { text: name, note: kind + other, guess, use: () => this.choose(key) };
  }

  choose(key) {
    const named = this.app.plexus.scenarios.get(key);
    if (named) {
      this.app.set({ mode: "injure", cuts: [], partial: false });
      this.app.modes.injure.cutScenario(named);
    } else {
      this.app.set({ show: key });
      this.app.shownNow(key);
    }
  }

  request() {
    const id = this.pointed || this.app.shown.show;
    return { highlight: id && this.app.scene.lit.has(id) ? id : "", title: this.app.shown.show ? `${this.app.title}: ${this.app.name(this.app.shown.show)}` : "" };
  }

  pressed() {
    return new Set([this.app.shown.show]);
  }

  point(id) {
    this.pointed = id;
    this.app.draw();
    if (!this.app.shown.show) this.update();
  }

  pick(id) {
    this.pointed = "";
    this.app.set({ show: this.app.shown.show === id ? "" : id });
    if (this.app.shown.show) this.app.shownNow(id);
    else this.app.say("Nothing is chosen.");
  }

  update() {
    const { app } = this;
    const id = app.shown.show || this.pointed;
    if (!id) {
      this.result.replaceChildren(h("p", {}, "Choose a root, nerve or muscle in the picture: its fibres light from end to end, and all that is known of it stands here."),
        h("p", { className: "soft keys" }, "By keyboard: Tab to the picture, arrow keys from name to name, Enter to choose."));
      return;
    }
    const close = app.shown.show && button("Clear", () => { app.set({ show: "" }); app.say("Nothing is chosen."); });
    const wish = { name: (other) => app.name(other), kind: (other) => app.kind(other), go: (other) => this.choose(other), cut: (cuts) => { app.set({ mode: "injure" }); app.modes.injure.change({ cuts }); } };
    const made = app.plexus.entities.has(id) ? card(app.plexus, id, wish) : movementCard(app.rule, id, wish);
    this.result.replaceChildren(made, ...(close ? [h("div", { className: "row" }, close)] : []));
  }

  /** What is printed beside the picture. */
  paper() {
    return this.app.shown.show ? [this.result.firstChild.cloneNode(true)] : [];
  }
}
