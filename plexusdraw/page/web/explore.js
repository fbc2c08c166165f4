// Mode "explore": what is pointed at lights from end to end, and the panel says what is known of it.
import { card } from "./card.js";
import { field, h } from "./widgets.js";

export class Explore {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.pointed = "";
    this.result = h("div", { className: "result" });
    const { plexus } = app;
    const ids = [...plexus.entities.values()].filter((entity) => entity.table !== "sign").map((entity) => entity.id);
    this.panel = h("div", {},
      field({
        text: "Find a structure", list: "structures", go: "Show",
        use: (text) => {
          const found = app.speller.find(text, ids);
          if (found.length === 1) app.set({ show: found[0] });
          else app.say(found.length ? `Several are called so: ${found.map((id) => app.name(id)).join(", ")}.` : `Nothing here is called “${text}”.`);
          return found.length === 1;
        },
      }), this.result);
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
    if (this.app.shown.show) this.app.say(`${this.app.name(id)} shown.`);
  }

  update() {
    const { app } = this;
    const id = app.shown.show || this.pointed;
    if (!id) {
      this.result.replaceChildren(h("p", {}, "Point at, tap or Tab to a root, segment, nerve or muscle: its fibres light from end to end. Click to keep it."),
        h("p", { className: "soft" }, "In the picture, the arrow keys go from name to name; Enter keeps one."));
      return;
    }
    const close = app.shown.show && h("button", { type: "button", onclick: () => app.set({ show: "" }) }, "Let go");
    this.result.replaceChildren(card(app.plexus, id, { name: (other) => app.name(other), go: (other) => app.set({ show: other }) }), ...(close ? [close] : []));
  }
}
