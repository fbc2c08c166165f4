// The page: what is shown, in which mode; keeps address, picture and panel in step.
import { fromAddress, toAddress } from "./address.js";
import { Explore } from "./explore.js";
import { InjurePanel } from "./injure-panel.js";
import { Injury } from "./injury.js";
import { Limb, limbStates } from "./limb.js";
import { localise, localiseReport } from "./localise.js";
import { Places } from "./places.js";
import { Picture } from "./picture.js";
import { Plexus } from "./plexus.js";
import { Quiz } from "./quiz.js";
import { savePng, saveSvg } from "./save.js";
import { sceneOf } from "./scene.js";
import { SiteSearch } from "./search.js";
import { Speller } from "./spelling.js";
import { States } from "./states.js";
import { makeView } from "./view.js";
import { button, choice, suggestions } from "./widgets.js";

const OPEN_PX = 720;
const RULER = "700 100px 'Atkinson Hyperlegible'";
const ALLOWED = {
  mode: ["explore", "injure", "find", "test"],
  detail: ["framework", "nerves", "muscles"],
  names: ["short", "english", "latin"],
  side: ["left", "right"],
  look: ["auto", "light", "dark", "grayscale"],
  labels: ["names", "numbers"],
  figures: ["shown", "hidden"],
};

export class App {
  /** @param {Record<string, any>} data what was packed @param {Record<string, any>} first @param {Record<string, string>} packed drawings @param {Record<string, any> | null} figures of the limb */
  constructor(data, first, packed, figures) {
    this.plexus = new Plexus(data);
    this.rule = new States(this.plexus);
    this.title = capital(this.plexus.data.name);
    this.allowed = { ...ALLOWED, upto: ["", ...this.plexus.data.stages.map((stage) => stage.id)] };
    /** @type {import("./address.js").Shown} */
    this.start = /** @type {any} */ ({ mode: "explore", upto: "", labels: "names", figures: "shown", show: "", cuts: [], partial: false, findings: [], ...first });
    this.shown = { ...this.start };
    this.details = new Map(Object.entries(data.details).map(([name, detail]) => [name, { ...detail, lit: new Map(Object.entries(detail.lit)) }]));
    this.scenes = new Map();
    this.scenesPacked = packed;
    this.picture = new Picture(byId("view"), {
      point: (id) => this.point(id),
      pick: (id, at) => this.mode.pick(id, at),
      name: (id, roots) => this.spoken(id, roots),
      widthOf,
    });
    this.limb = figures && new Limb(byId("limb"), figures, {
      point: (id) => this.point(id),
      pick: (id) => this.mode.pick(id, null),
      name: (id) => this.name(id),
    });
  }

  /** All places, worked out when they are first needed. */
  get places() {
    this.madePlaces = this.madePlaces || new Places(this.rule);
    return this.madePlaces;
  }

  /** All names in one spelling, worked out when they are first needed. */
  get speller() {
    this.madeSpeller = this.madeSpeller || new Speller(this.plexus);
    return this.madeSpeller;
  }

  async begin() {
    await document.fonts.load(RULER);
    this.modes = { explore: new Explore(this), injure: new InjurePanel(this), find: new SiteSearch(this), test: new Quiz(this) };
    this.fillLists();
    this.fillTools();
    byId("tools").toggleAttribute("open", innerWidth >= OPEN_PX);
    this.listen();
    await this.fromAddress();
    document.documentElement.classList.add("ready");
    performance.mark("ready");
  }

  get mode() {
    return this.modes[this.shown.mode];
  }

  name(/** @type {string} */ id) {
    const entity = this.plexus.entities.get(id) || this.plexus.unseen.get(id);
    if (!entity || this.plexus.roots.includes(id)) return entity ? entity.name : id;
    return (this.shown.names === "latin" && entity.latin) || entity.name;
  }

  /** What a name on the picture is called for a screen reader, with its state. */
  spoken(id, roots) {
    const state = { lost: "lost", weak: "partly lost", highlit: "lit" }[this.view.entities.get(id)] || "";
    const word = this.view.words.get(id) || state;
    return [this.name(id), this.plexus.entities.get(id)?.kind, roots, word].filter(Boolean).join(", ");
  }

  /** Change what is shown; the address follows. @param {Partial<import("./address.js").Shown>} changes */
  set(changes) {
    Object.assign(this.shown, changes);
    clearTimeout(this.addressing);
    this.addressing = setTimeout(() => this.writeAddress(), 0);
    return this.refresh();
  }

  /** The browser takes its time for this, so that it comes after the picture. */
  writeAddress() {
    const text = toAddress(this.shown, this.start);
    if (text !== location.hash.slice(1)) history.replaceState(null, "", `#${text}`);
  }

  async fromAddress() {
    clearTimeout(this.addressing);
    const { plexus, rule } = this;
    const known = {
      site: (id) => plexus.siteById.has(id),
      entity: (id) => plexus.entities.has(id) && plexus.entities.get(id).table !== "sign",
      finding: (kind, about) => Object.hasOwn(rule.rules.gains, kind) && (plexus.entities.has(about) || rule.movers.has(about)),
    };
    const { shown, unknown } = fromAddress(location.hash, this.start, this.allowed, known);
    this.shown = shown;
    await this.refresh();
    if (unknown.length) this.say(`The address asks for what is not here: ${unknown.join(", ")}.`);
  }

  /** Bring theme, picture and panel up to date; at once where the drawing is already unpacked. */
  refresh() {
    const key = `${this.shown.detail} ${this.shown.names}`;
    if (this.scenes.has(key)) {
      this.redraw(key);
      return Promise.resolve();
    }
    return this.unpack(key).then(() => this.refresh());
  }

  async unpack(key) {
    const packed = this.scenesPacked[key];
    if (packed) this.scenes.set(key, JSON.parse(await inflate(packed)));
    else {
      this.say("This plexus does not fit a page with these names.");
      Object.assign(this.shown, { detail: this.start.detail, names: this.start.names });
    }
  }

  redraw(key) {
    const { shown } = this;
    document.documentElement.dataset.theme = this.look();
    document.documentElement.dataset.mode = shown.mode;
    const wanted = `${key} ${shown.side}`;
    if (this.drawn !== wanted) {
      this.drawn = wanted;
      this.scene = sceneOf(this.scenes.get(key), shown.side, this.details.get(shown.detail));
      this.picture.setScene(this.scene);
    }
    this.draw();
    this.syncTools();
    this.mode.update();
    const panel = byId("content");
    if (panel.firstChild !== this.mode.panel) panel.replaceChildren(this.mode.panel);
  }

  /** The picture alone. */
  draw() {
    const { mode, shown } = this;
    const request = { upto: shown.upto, ...mode.request() };
    if (shown.labels === "numbers" && shown.mode !== "test") request.hide = "labels";
    this.view = makeView(this.plexus, this.scene, request);
    this.picture.show(this.view, this.look(), mode.pressed(), shown.mode === "test" ? mode.marked() : "");
    this.heading = request.title || this.title;
    this.drawLimb(request);
  }

  /** The limb in the states of the plexus; not beside blanks, which it would fill in. */
  drawLimb(request) {
    const { limb, shown } = this;
    const off = !limb || shown.figures === "hidden" || shown.mode === "test" || this.view.blanks.size > 0;
    if (byId("limb").hidden !== off) {
      byId("limb").hidden = off;
      this.picture.setZoom(this.picture.zoom);
    }
    if (off) return;
    this.limbStates = limbStates(this.plexus, limb.ids, request);
    this.injury = request.injury;
    limb.show(this.limbStates, this.look(), shown.side, (id) => this.wordOf(id));
  }

  /** The state of a muscle or area of the limb in words. */
  wordOf(id) {
    const state = this.limbStates?.get(id) || "plain";
    if (state === "highlit") return "lit";
    return state === "plain" || state === "dimmed" ? "" : this.plexus.data.rules.rowWords[this.injury.outcome(id).state];
  }

  look() {
    if (this.printing && this.shown.look !== "grayscale") return "light";
    if (this.shown.look !== "auto") return this.shown.look;
    return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }

  point(id) {
    const secret = this.view && (this.view.blanks.size > 0);
    byId("pointed").textContent = id && !secret ? capital([this.name(id), this.view.words.get(id) || (this.injury && this.wordOf(id))].filter(Boolean).join(", ")) : "";
    this.mode.point(id);
  }

  /** Tell a screen reader, and show it. */
  say(text) {
    byId("said").textContent = text;
  }

  fillLists() {
    const { plexus, rule } = this;
    const names = (tables) => [...plexus.entities.values()].filter((e) => tables.includes(e.table)).map((e) => e.name);
    document.body.append(
      suggestions("structures", names(["segment", "place", "muscle", "skin", "group", "outside", "reflex"])),
      suggestions("sites", plexus.sites.map((site) => site.name)),
      suggestions("findable", [...names(["muscle", "group", "skin", "outside", "sign", "reflex"]), ...rule.movers.keys()]),
    );
  }

  fillTools() {
    const stages = this.plexus.data.stages.map((stage) => [stage.id, `up to ${stage.name}`]);
    /** @type {Record<string, [string, [string, string][]]>} */
    const made = {
      detail: ["Detail", [["framework", "framework"], ["nerves", "nerves"], ["muscles", "muscle rows"]]],
      upto: ["Stages", [["", "all"], ...stages.slice(0, -1)]],
      names: ["Names", [["short", "English, short"], ["english", "English"], ["latin", "Latin"]]],
      labels: ["Labels", [["names", "names"], ["numbers", "numbered blanks"]]],
      side: ["Side", [["left", "left"], ["right", "right"]]],
      figures: ["Limb beside it", [["shown", "shown"], ["hidden", "hidden"]]],
      look: ["Theme", [["auto", "as the system"], ["light", "light"], ["dark", "dark"], ["grayscale", "grayscale"]]],
    };
    if (!this.limb) delete made.figures;
    this.tools = Object.entries(made).map(([name, [text, options]]) => {
      const there = name === "detail" ? options.filter(([key]) => Object.keys(this.scenesPacked).some((scene) => scene.startsWith(key))) : options;
      const element = choice(text, there, this.shown[name], (value) => this.set({ [name]: value }));
      element.dataset.name = name;
      return element;
    });
    byId("choices").replaceChildren(...this.tools);
    byId("zoom").replaceChildren(
      button("−", () => this.picture.zoomBy(-1), { "aria-label": "Smaller" }),
      button("+", () => this.picture.zoomBy(1), { "aria-label": "Larger" }),
      button("Whole", () => this.picture.setZoom(this.picture.whole())),
    );
    byId("files").replaceChildren(
      button("Print", () => print()),
      button("Save SVG", () => saveSvg(this.picture, this.heading)),
      button("Save PNG", () => savePng(this.picture, this.heading).catch(() => this.say("This browser cannot make a PNG."))),
    );
  }

  syncTools() {
    for (const element of this.tools) element.querySelector("select").value = this.shown[element.dataset.name];
    for (const tab of document.querySelectorAll("[role=tab]")) {
      const on = tab.getAttribute("data-mode") === this.shown.mode;
      tab.setAttribute("aria-selected", String(on));
      tab.setAttribute("tabindex", on ? "0" : "-1");
      if (on) byId("panel").setAttribute("aria-labelledby", tab.id);
    }
  }

  listen() {
    const tabs = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[role=tab]")]);
    const choose = (tab) => { this.set({ mode: tab.getAttribute("data-mode") }); tab.focus(); };
    tabs.forEach((tab, i) => {
      tab.addEventListener("click", () => choose(tab));
      tab.addEventListener("keydown", (event) => {
        const goal = { ArrowRight: i + 1, ArrowLeft: i - 1 + tabs.length, Home: 0, End: tabs.length - 1 }[event.key];
        if (goal !== undefined) choose(tabs[goal % tabs.length]);
      });
    });
    byId("skip").addEventListener("click", () => byId("panel").focus());
    addEventListener("hashchange", () => { this.settled = this.fromAddress(); });
    addEventListener("resize", () => this.picture.setZoom(this.picture.zoom));
    addEventListener("beforeprint", () => this.print(true));
    addEventListener("afterprint", () => this.print(false));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.refresh());
    addEventListener("keydown", (event) => {
      const typing = event.target instanceof HTMLInputElement && event.target.type === "text";
      if ((event.ctrlKey || event.metaKey) && event.key === "z" && this.shown.mode === "injure" && !typing) {
        event.preventDefault();
        this.modes.injure.undo();
      }
    });
  }

  print(on) {
    this.printing = on;
    this.refresh();
  }
}

const DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

/** The unpacked text of base 85 of raw deflate. */
async function inflate(/** @type {string} */ packed) {
  const values = new Map([...DIGITS].map((digit, i) => [digit, i]));
  const whole = packed.padEnd(5 * Math.ceil(packed.length / 5), "~");
  const bytes = new DataView(new ArrayBuffer((whole.length / 5) * 4));
  for (let i = 0; i < whole.length; i += 5) {
    let value = 0;
    for (let j = i; j < i + 5; j += 1) value = value * 85 + values.get(whole[j]);
    bytes.setUint32((i / 5) * 4, value);
  }
  const stream = new Blob([bytes.buffer.slice(0, bytes.byteLength - whole.length + packed.length)]).stream();
  return new Response(stream.pipeThrough(new DecompressionStream("deflate-raw"))).text();
}

/** A pen that measures, in the font of the picture. */
const ruler = /** @type {CanvasRenderingContext2D} */ (document.createElement("canvas").getContext("2d"));

/** Width of a bold text at 1 pt, mm. */
function widthOf(text) {
  ruler.font = RULER;
  return ((ruler.measureText(text).width / 100) * 25.4) / 72;
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @returns {HTMLElement} */
function byId(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/** Begin, and give the results to scripts as `plexusdraw injure --json` and `localise --json` do. */
async function begin() {
  const page = JSON.parse(byId("data").textContent || "{}");
  const app = new App(JSON.parse(await inflate(page.model)), page.first, page.scenes, page.limb && JSON.parse(await inflate(page.limb)));
  const { plexus, rule } = app;
  const sites = (ids) => ids.map((id) => plexus.siteById.get(id));
  await app.begin();
  return Object.freeze({
    app,
    injure: (ids, partial = false) => new Injury(rule, sites(ids), partial).report(),
    localise: (findings, top = 10) => localiseReport(localise(app.places, findings, top), rule.rules, plexus.data.caution),
  });
}

export function start() {
  globalThis.plexusdraw = begin();
}
