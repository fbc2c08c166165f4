// The menu "View", the buttons for zoom, and the tabs: brought in step with what is shown.
import { ofModel } from "./address.js";
import { button, choice, put } from "./widgets.js";

const DETAILS = [["framework", "plexus alone"], ["nerves", "with branches"], ["muscles", "with every muscle"]];

export class Tools {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    const stages = app.plexus.data.stages.map((stage) => [stage.id, stage.name]);
    const there = DETAILS.filter(([key]) => Object.keys(app.scenesPacked).some((scene) => scene.startsWith(key)));
    /** @type {Record<string, [string, string[][]]>} */
    const made = {
      detail: ["How much is drawn", there],
      upto: ["Columns", [["", "all"], ...stages.slice(0, -1)]],
      names: ["Names", [["short", "English, short"], ["english", "English"], ["latin", "Latin"]]],
      labels: ["Labels", [["names", "names"], ["numbers", "numbered blanks"]]],
      side: ["Side", [["left", "left"], ["right", "right"]]],
      figures: ["Limb beside it", [["shown", "shown"], ["hidden", "hidden"]]],
      look: ["Colours", [["auto", "as the system"], ["light", "light"], ["dark", "dark"], ["grayscale", "grayscale"]]],
    };
    if (!app.beside.figures) delete made.figures;
    this.choices = Object.entries(made).map(([name, [text, options]]) => {
      const element = choice(text, /** @type {[string, string][]} */ (options), app.shown[name], (value) => app.set({ [name]: value }));
      element.dataset.name = name;
      return element;
    });
    const plexus = choice("Plexus", app.models, app.model, (id) => { location.hash = ofModel(id, app.shown, app.start); });
    document.getElementById("choices")?.replaceChildren(...(app.models.length > 1 ? [plexus] : []), ...this.choices);
    const { picture } = app;
    document.getElementById("zoom")?.replaceChildren(
      button("−", () => picture.zoomBy(-1), { "aria-label": "Smaller" }),
      button("+", () => picture.zoomBy(1), { "aria-label": "Larger" }),
      button("Fit", () => picture.setZoom(0), { "aria-label": "Fit the whole picture" }),
    );
  }

  sync() {
    const { shown } = this.app;
    for (const element of this.choices) {
      const select = element.querySelector("select"), value = shown[element.dataset.name];
      if (select.value !== value) select.value = value;
    }
    const stages = new Map(this.app.plexus.data.stages.map((stage) => [stage.id, `up to ${this.app.stageName(stage)}`]));
    for (const option of this.choices.find(({ dataset }) => dataset.name === "upto").querySelectorAll("option")) put(option, stages.get(option.value) || option.textContent);
    if (this.mode === shown.mode) return;
    this.mode = shown.mode;
    for (const tab of document.querySelectorAll("[role=tab]")) {
      const on = tab.getAttribute("data-mode") === shown.mode;
      tab.setAttribute("aria-selected", String(on));
      tab.setAttribute("tabindex", on ? "0" : "-1");
      if (on) document.getElementById("panel")?.setAttribute("aria-labelledby", tab.id);
    }
  }
}
