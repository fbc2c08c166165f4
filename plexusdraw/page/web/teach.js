// Mode "teach": the steps of the lecture, with anything lit or cut live at each; and worksheets to print.
import { Forms } from "./forms.js";
import { Injury } from "./injury.js";
import { button, checkbox, h } from "./widgets.js";

const NEXT = ["ArrowRight", "ArrowDown", "PageDown", " ", "Enter"];
const BACK = ["ArrowLeft", "ArrowUp", "PageUp", "Backspace"];

export class Teach {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.stops = app.plexus.data.lecture;
    this.drawn = new Set(this.stops.flatMap((stop) => stop.show || []));
    this.forms = new Forms(app);
    this.tap = "lit";
    this.saying = false;
    this.clear();
    this.panel = h("div", {});
    addEventListener("keydown", (event) => this.key(event));
    document.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement && this.running) this.end(); });
  }

  clear() {
    this.lit = "";
    /** @type {string[]} */
    this.cuts = [];
  }

  get running() {
    return this.app.shown.mode === "teach" && Boolean(this.stop);
  }

  get stop() {
    return this.stops[Number(this.app.shown.step) - 1];
  }

  begin(step = 1) {
    if (navigator.userActivation?.isActive) document.documentElement.requestFullscreen?.().catch(() => {});
    this.go(step);
  }

  go(step) {
    this.clear();
    this.app.set({ step: String(Math.max(1, Math.min(this.stops.length, step))) });
    this.app.picture.setZoom(0);
    this.app.say(this.app.told(this.stop.title));
    this.panel.querySelector("h1")?.focus({ preventScroll: true });
  }

  end() {
    this.clear();
    this.app.set({ step: "" });
    this.app.say("The lecture has ended.");
    if (document.fullscreenElement) document.exitFullscreen();
  }

  request() {
    const { stop, app } = this;
    if (!stop) return this.forms.request();
    const shown = new Set(this.stops.slice(0, Number(app.shown.step)).flatMap((one) => one.show || []));
    const later = new Set([...this.drawn].filter((id) => !shown.has(id)));
    const cuts = [...(stop.cuts || []), ...this.cuts].map((id) => app.plexus.siteById.get(id)).filter(Boolean);
    const lit = this.lit || (stop.lit || [])[0] || "";
    const hide = stop.hide ? { hide: Object.hasOwn(app.scene.numbers, stop.hide) ? stop.hide : "labels", quiet: true } : {};
    return {
      ...hide, marks: (stop.marks || []).map((id) => app.plexus.siteById.get(id)), later: shown.size ? later : new Set(), title: app.told(stop.title),
      ...(cuts.length ? { injury: new Injury(app.rule, cuts, Boolean(stop.partial)) } : { highlight: app.scene.lit.has(lit) ? lit : "" }),
    };
  }

  pressed() {
    return new Set([this.lit, ...this.cuts.map((id) => this.app.modes.injure.nerveOf(id))]);
  }

  /** What this step brings, lights or cuts, and what was added to it: its names come first. */
  foremost() {
    const { stop, app } = this;
    if (!stop) return new Set();
    const cuts = [...(stop.cuts || []), ...(stop.marks || []), ...this.cuts].map((id) => app.plexus.siteById.get(id)).filter(Boolean).map((site) => app.plexus.nerveAt(site));
    return new Set([...(stop.show || []), ...(stop.lit || []), this.lit, ...cuts]);
  }

  point() {}

  /** Light or cut what was chosen, or take it back. */
  pick(id, at) {
    const { app } = this, { plexus } = app;
    if (!this.stop) return;
    if (this.tap === "lit") {
      this.lit = this.lit === id ? "" : id;
      app.say(this.lit ? `${app.name(id)} is lit.` : "Nothing is lit.");
    } else if (!plexus.isNerve(id) && !plexus.places.has(id)) app.say(`${app.name(id)} is no nerve.`);
    else {
      const site = app.modes.injure.siteAt(plexus.places.get(id)?.segment || id, at);
      const on = this.cuts.includes(site);
      this.cuts = on ? this.cuts.filter((other) => other !== site) : [...this.cuts, site];
      app.say(on ? `${app.name(site)} is whole again.` : `Cut: ${app.name(site)}.`);
    }
    app.refresh();
    // What was chosen by pointer keeps no focus, so that the arrow keys go on with the steps.
    const here = /** @type {HTMLElement | null} */ (document.activeElement);
    if (here && !here.matches(":focus-visible")) here.blur();
  }

  key(event) {
    const { target } = event;
    if (!this.running || event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || (target instanceof Element && target.closest("select, summary"))) return;
    const pressing = target instanceof Element && target.matches("button, input") && (event.key === " " || event.key === "Enter");
    const step = pressing ? 0 : NEXT.includes(event.key) ? 1 : BACK.includes(event.key) ? -1 : 0;
    if (event.key === "Escape") this.end();
    else if (!step) return;
    else this.go(Number(this.app.shown.step) + step);
    event.preventDefault();
  }

  update() {
    this.panel.replaceChildren(...(this.stop ? this.step() : this.start()));
  }

  start() {
    const items = this.stops.map((stop, i) => h("li", {}, button(this.app.told(stop.title), () => this.begin(i + 1), { className: "link" })));
    return [
      h("h2", {}, "Lecture"), h("p", {}, `${this.stops.length} steps on the whole screen. Arrow keys or a remote go on and back; at each step a tap lights or cuts anything.`),
      button("Begin the lecture", () => this.begin(), { className: "main" }),
      h("details", { className: "tick-list" }, h("summary", {}, "Begin at a step"), h("ol", {}, ...items)),
      ...this.forms.settings(),
    ];
  }

  step() {
    const { stop, app } = this, at = Number(app.shown.step);
    const taps = [["lit", "lights"], ["cut", "cuts"]].map(([tap, word]) => button(word, () => { this.tap = tap; app.refresh(); }, { className: "chip", "aria-pressed": this.tap === tap }));
    const saying = checkbox("Show what to say", this.saying, (on) => { this.saying = on; app.refresh(); });
    const added = this.lit || this.cuts.length;
    return [
      h("p", { className: "soft" }, `${at} of ${this.stops.length}${stop.section ? ` · ${stop.section}` : ""}`), h("h1", { tabIndex: -1 }, app.told(stop.title)),
      h("div", { className: "row" }, button("← Back", () => this.go(at - 1), { disabled: at === 1 }), button("Next →", () => this.go(at + 1), { className: "main", disabled: at === this.stops.length })),
      h("fieldset", {}, h("legend", {}, "A tap in the picture"), h("div", { className: "chips" }, ...taps)),
      h("div", { className: "row" }, button("Take back what was added", () => { this.clear(); app.refresh(); }, { disabled: !added }), button("End the lecture", () => this.end())),
      saying,
      ...(this.saying && stop.say ? stop.say.split("\n").map((line) => h("p", {}, line)) : []),
    ];
  }

  paper() {
    return this.stop ? [] : this.forms.paper();
  }
}
