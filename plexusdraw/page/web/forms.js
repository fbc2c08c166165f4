// Worksheets without a terminal: numbered blanks chosen by ticking, as many forms as asked, and their keys after them.
import { chance, shuffled } from "./chance.js";
import { asked } from "./view.js";
import { button, checkbox, choice, h } from "./widgets.js";

const MOST_FORMS = 40;

export class Forms {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.kinds = new Set(["labels"]);
    this.share = "all";
    this.many = 1;
    this.seed = "1";
    this.on = false;
  }

  settings() {
    const { app } = this, { stages } = app.plexus.data;
    const kinds = [["labels", "all names"], ...stages.map((stage) => [stage.singular, app.stageName(stage)]), ["nerve", "side branches"], ...(app.shown.detail === "muscles" ? [["muscle", "muscles"]] : [])];
    const ticks = kinds.map(([kind, text]) => checkbox(text, this.kinds.has(kind), (on) => {
      if (on) this.kinds.add(kind);
      else this.kinds.delete(kind);
      if (kind !== "labels") this.kinds.delete("labels");
      this.changed();
    }));
    const many = choice("Forms", ["1", "2", "4", "10", "30"].map((n) => [n, n]), String(this.many), (value) => { this.many = Math.min(MOST_FORMS, Number(value)); });
    const share = choice("Blank on each", [["all", "all of these"], ["half", "half of these, by chance"]], this.share, (value) => { this.share = value; this.changed(); });
    const seed = h("input", { type: "text", id: "form-seed", value: this.seed, maxLength: 20, oninput: () => { this.seed = seed.value || "1"; this.changed(); } });
    return [
      h("h2", { className: "sub" }, "Worksheet"), h("p", {}, "Names to fill in, a page each, then the keys. The same seed gives the same forms on this page; those that the command worksheet makes with it are others."),
      h("fieldset", {}, h("legend", {}, "Blank"), ...ticks),
      h("div", { className: "settings" }, share, many, h("div", { className: "field" }, h("label", { for: "form-seed" }, "Seed"), seed)),
      h("div", { className: "row" }, button("Print the worksheet", () => this.print(), { className: "main" })),
    ];
  }

  changed() {
    this.on = true;
    this.app.draw();
  }

  /** Labels that are blank on a form. */
  blanks(number) {
    const { scene } = this.app, known = (kind) => Object.hasOwn(scene.numbers, kind);
    const all = [...this.kinds].filter(known).flatMap((kind) => asked(scene, kind, true));
    const kept = shuffled([...new Set(all)], chance(`${this.seed} ${number}`));
    return new Set(this.share === "half" ? kept.slice(0, Math.ceil(kept.length / 2)) : kept);
  }

  /** The first form, in the picture. */
  request(number = 1) {
    if (!this.on) return {};
    return { hide: "labels", quiet: true, only: this.blanks(number), title: `${this.app.title}: fill in the names` };
  }

  print() {
    this.on = true;
    print();
  }

  /** All forms, then all keys. */
  paper() {
    if (!this.on) return [];
    const { app } = this, forms = [], keys = [];
    for (let number = 1; number <= this.many; number += 1) {
      const view = app.viewOf(this.request(number)), title = `Form ${this.seed}-${number}`;
      const lines = [...view.blanks].map(([label, i]) => [i, app.scene.labels[label][0]]);
      forms.push(h("section", { className: "form" }, h("p", { className: "row" }, h("b", {}, title), "Name: ____________________"), app.picture.drawn(view),
        h("ol", { className: "lines" }, ...lines.map(() => h("li", {})))));
      keys.push(h("section", { className: "form" }, h("h2", {}, `${title}: key`), h("ol", { className: "columns" }, ...lines.map(([, id]) => h("li", {}, app.name(id))))));
    }
    app.draw();
    return [...forms, ...keys];
  }
}
