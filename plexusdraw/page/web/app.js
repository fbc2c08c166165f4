// The page: what is shown, in which mode; keeps address, picture and panel in step.
import { fromAddress, toAddress } from "./address.js";
import { Beside } from "./beside.js";
import { Explore } from "./explore.js";
import { keepFocus } from "./focus.js";
import { InjurePanel } from "./injure-panel.js";
import { Places } from "./places.js";
import { Picture } from "./picture.js";
import { detailOf, onPaper, toPrint } from "./printed.js";
import { Plexus } from "./plexus.js";
import { Quiz, TEST_RUNS } from "./quiz.js";
import { MOST_FORMS } from "./forms.js";
import { inflate } from "./inflate.js";
import { TEXT_PX } from "./lens.js";
import { latinWords } from "./latin.js";
import { widthOf } from "./ruler.js";
import { sceneOf } from "./scene.js";
import { SiteSearch } from "./search.js";
import { fillShare } from "./share.js";
import { makeMenus, makeSheet } from "./sheet.js";
import { Speller } from "./spelling.js";
import { States } from "./states.js";
import { Steps } from "./steps.js";
import { Teach } from "./teach.js";
import { Tools } from "./tools.js";
import { makeView } from "./view.js";
import { capital, h, put } from "./widgets.js";

const ALLOWED = {
  mode: ["explore", "injure", "find", "test", "teach"],
  detail: ["framework", "nerves", "muscles"],
  names: ["short", "english", "latin"],
  side: ["left", "right"],
  look: ["auto", "light", "dark", "grayscale"],
  labels: ["names", "numbers"],
  by: ["choosing", "typing"],
  figures: ["shown", "hidden"],
};
/** What makes a step for the button "back"; the rest only changes the address. */
const STEPS = ["step", "mode", "show", "cuts", "partial", "findings"];
/** Kinds of things that no column tells, as the Latin nomenclature calls them. */
const LATIN_KINDS = { nerve: "nervus", place: "locus", muscle: "musculus", group: "musculi", skin: "cutis", reflex: "reflexus", sign: "signum" };
const MOST_SAID = 200;
/** In a lecture, which is seen from afar, so many lines of names fill the height of the screen, so many letters its width. */
const LECTURE_LINES = 48, LECTURE_LETTERS = 50, LARGEST_PX = 26;

export class App {
  /**
   * @param {Record<string, any>} data what was packed @param {Record<string, any>} first @param {Record<string, string>} packed drawings
   * @param {[string, string][]} models id and title of each plexus of the page, the first that of the file
   * @param {{many: number, shape: number} | null} figures what is known of the limb before it is unpacked
   */
  constructor(data, first, packed, models, figures) {
    this.models = models;
    this.model = data.id;
    this.plexus = new Plexus(data);
    this.rule = new States(this.plexus);
    this.allowed = { ...ALLOWED, model: models.map(([id]) => id), upto: ["", ...this.plexus.data.stages.map((stage) => stage.id)], step: ["", ...numerals(data.lecture.length)], forms: numerals(MOST_FORMS) };
    /** @type {import("./address.js").Shown} */
    this.start = /** @type {any} */ ({ model: models[0][0], mode: "explore", upto: "", labels: "names", figures: "shown", show: "", cuts: [], partial: false, findings: [], kind: "mixed", about: "labels", by: "choosing", count: "10", seed: "", time: "", step: "", form: "", forms: "1", ...first });
    this.shown = { ...this.start };
    this.details = new Map(Object.entries(data.details).map(([name, detail]) => [name, { ...detail, lit: new Map(Object.entries(detail.lit)) }]));
    this.scenes = new Map();
    this.scenesPacked = packed;
    this.steps = new Steps();
    this.picture = new Picture(byId("view"), {
      point: (id) => this.point(id),
      pick: (id, at) => this.mode.pick(id, at),
      name: (id, roots) => this.spoken(id, roots),
      ranks: this.ranks(),
      parts: new Map(this.plexus.data.wholes.map(({ id, parts }) => [id, parts])),
      closer: () => this.say("Closer now. Tap again what you mean."),
      widthOf,
      steps: this.steps,
    });
    this.beside = new Beside(this, figures);
    /** @type {Map<string, string> | null} */
    this.limbStates = null;
    /** @type {Map<string, number>} size of the names at a step of the lecture on a screen, px */
    this.lectureText = new Map();
  }

  /** Which names stay longest when the picture is small: those of the first stage, the last, then those between. */
  ranks() {
    const { stages, segments, wholes } = this.plexus.data, order = stages.map(({ id }) => id), last = order.length - 1;
    const found = new Map(segments.map(({ id, stage }) => [id, !stage ? 8 : stage === order[last] ? 0.5 : order.indexOf(stage)]));
    for (const { id, parts } of wholes) found.set(id, found.get(parts[0]));
    return found;
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

  /** @param {() => string} pristine the page as it was loaded */
  async begin(pristine) {
    await document.fonts.load(RULER);
    this.beside.place();
    this.modes = whenAsked({ explore: () => new Explore(this), injure: () => new InjurePanel(this), find: () => new SiteSearch(this), test: () => new Quiz(this), teach: () => new Teach(this) });
    this.tools = new Tools(this);
    this.pristine = pristine;
    fillShare(this);
    makeMenus();
    keepFocus(byId("panel"));
    makeSheet(byId("grip"), () => this.beside.share());
    this.listen();
    await this.fromAddress();
    document.documentElement.classList.add("ready");
    this.ready = true;
    performance.mark("ready");
  }

  get mode() {
    return this.modes[this.shown.mode];
  }

  name(/** @type {string} */ id) {
    const entity = this.plexus.named(id);
    if (!entity) return this.told(this.plexus.siteById.get(id)?.name || id);
    if (this.plexus.roots.includes(id)) return entity.name;
    return (this.latin && entity.latin) || (entity.table === "place" ? this.told(entity.name) : entity.name);
  }

  /** A text with names, as those that the reader chose: "nervus ulnaris at elbow". */
  told(/** @type {string} */ text) {
    if (!this.latin) return text;
    this.madeLatin = this.madeLatin || latinWords(this.plexus);
    return this.madeLatin(text);
  }

  get latin() {
    return this.shown.names === "latin";
  }

  /** The plexus by the name that the reader chose. */
  get title() {
    const { name, latin } = this.plexus.data;
    return capital((this.latin && latin) || name);
  }

  /** A column by the name that the reader chose. @param {{name: string, latin?: string}} stage */
  stageName({ name, latin }) {
    return (this.latin && latin) || name;
  }

  /** What something is: "nerve", "trunk". */
  kind(/** @type {string} */ id) {
    const entity = this.plexus.named(id);
    if (!entity || !this.latin) return entity ? entity.kind : "";
    if (["segment", "whole"].includes(entity.table) && entity.latin) return entity.latin.split(" ")[0]; // "truncus superior" is a truncus
    return LATIN_KINDS[entity.kind] || entity.kind;
  }

  /** What a name on the picture is called for a screen reader, with its state. */
  spoken(id, roots) {
    const state = { lost: "lost", weak: "partly lost", highlit: "lit" }[this.view.entities.get(id)] || "";
    const word = this.view.words.get(id) || (this.view.beyond.has(id) ? "cut beyond what is drawn" : state);
    return [this.name(id), this.kind(id), roots, word].filter(Boolean).join(", ");
  }

  /** Change what is shown; the address follows. @param {Partial<import("./address.js").Shown>} changes */
  set(changes) {
    if (changes.mode && changes.mode !== this.shown.mode) this.say("");
    Object.assign(this.shown, changes);
    this.step = this.step || STEPS.some((name) => name in changes);
    this.keep();
    return this.refresh();
  }

  /** The address follows what is shown. */
  keep() {
    const { shown } = this;
    if (shown.form || shown.mode === "teach") Object.assign(shown, this.modes.teach.forms.told());
    clearTimeout(this.addressing);
    this.steps.later("address", () => { this.addressing = setTimeout(() => this.writeAddress(), 0); });
  }

  /** The browser takes its time for this, so that it comes after the picture. */
  writeAddress() {
    const text = toAddress(this.shown, this.start);
    if (text !== location.hash.slice(1)) history[this.step ? "pushState" : "replaceState"](null, "", `#${text}`);
    this.step = false;
  }

  async fromAddress() {
    this.steps.finish();
    clearTimeout(this.addressing);
    const { plexus, rule } = this;
    const known = {
      site: (id) => plexus.siteById.has(id),
      entity: (id) => plexus.entities.has(id) || rule.movers.has(id),
      finding: (kind, about) => this.modes.find.accepts(kind, about),
      test: (name, value) => this.modes.test.accepts(name, value),
      form: (code) => this.modes.teach.forms.accepts(code),
    };
    const { shown, unknown } = fromAddress(location.hash, this.start, this.allowed, known);
    if (shown.model !== this.model) return void location.reload();
    this.say("");
    const asked = shown.mode;
    this.shown = shown;
    this.step = false;
    if (shown.mode === "test" || shown.seed || this.modes.made.test) this.modes.test.fromAddress();
    if (shown.form || shown.mode === "teach") this.modes.teach.forms.fromAddress();
    const stays = shown.mode !== asked;
    if (stays) this.keep();
    await this.refresh();
    if (stays) this.say(TEST_RUNS);
    const odd = unknown.join(", ");
    if (odd) this.say(`The address asks for what is not here: ${odd.length > MOST_SAID ? `${odd.slice(0, MOST_SAID)}…` : odd}.`);
  }

  /** Bring theme, picture and panel up to date; at once where the drawing is already unpacked. */
  refresh() {
    const key = `${detailOf(this)} ${this.shown.names}`;
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
      const [detail, names] = Object.keys(this.scenesPacked)[0].split(" ");
      this.say("This plexus fits no page in this way; it is shown otherwise.");
      Object.assign(this.shown, { detail, names });
    }
  }

  redraw(key) {
    const { shown } = this;
    const root = document.documentElement, lecture = shown.mode === "teach" && Boolean(shown.step), frame = `${shown.mode} ${lecture}`;
    if (root.dataset.theme !== this.look()) root.dataset.theme = this.look();
    if (this.framed !== frame) {
      this.framed = frame;
      root.dataset.mode = shown.mode;
      root.classList.toggle("lecture", lecture);
      this.picture.resized();
    }
    const wanted = `${key} ${shown.side}`, step = `${wanted} ${shown.step} ${innerWidth} ${innerHeight}`;
    this.picture.setText(lecture ? this.lectureText.get(step) || Math.max(TEXT_PX, Math.min(LARGEST_PX, innerHeight / LECTURE_LINES, innerWidth / LECTURE_LETTERS)) : TEXT_PX);
    if (this.drawn !== wanted) {
      this.drawn = wanted;
      this.scene = sceneOf(this.scenes.get(key), shown.side, this.details.get(detailOf(this)));
      this.picture.setScene(this.scene);
      this.beside.shared = false;
      toPrint(this);
    }
    put(/** @type {HTMLElement} */ (document.querySelector("h1")), this.title);
    this.picture.fitting = lecture && !this.lectureText.has(step) ? (px) => this.lectureText.set(step, px) : null;
    this.draw();
    this.tools.sync();
    this.mode.update();
    const panel = byId("content");
    if (panel.firstChild !== this.mode.panel) {
      panel.replaceChildren(this.mode.panel);
      if (this.ready) byId("panel").scrollTop = 0;
    }
  }

  /** What a request shows of the picture. */
  viewOf(request) {
    return makeView(this.plexus, this.scene, { upto: this.shown.upto, ...request });
  }

  /** The picture alone. */
  draw() {
    const { mode, shown } = this;
    const request = mode.request();
    if (shown.labels === "numbers" && !request.hide) request.hide = "labels";
    this.view = this.viewOf(request);
    this.beside.hide();
    this.picture.show(this.view, this.look(), mode.pressed(), shown.mode === "test" ? mode.marked() : "", mode.foremost?.());
    this.picture.frame(this.view.beyond);
    this.heading = request.title || this.title;
    this.steps.later("words", () => this.caption(capital(this.picture.words("orientation")), shown.mode === "test" ? "" : ` · ${this.picture.words("legend")}`));
    this.steps.later("limb", () => this.beside.draw(request));
  }

  caption(/** @type {string} */ where, /** @type {string} */ legend) {
    const [place, told] = byId("caption").childNodes;
    if (told) [put(place, where), put(told, legend)];
    else byId("caption").replaceChildren(where, h("span", {}, legend));
  }

  look() {
    if (this.printing && this.shown.look !== "grayscale") return "light";
    if (this.shown.look !== "auto") return this.shown.look;
    return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }

  point(id) {
    const secret = this.view && (this.view.blanks.size > 0);
    byId("pointed").textContent = id && !secret ? capital([this.name(id), this.view.words.get(id) || this.beside.wordOf(id)].filter(Boolean).join(", ")) : "";
    this.mode.point(id);
  }

  /** A short name of each of these tables, to show what may be typed. @param {string[]} tables @returns {string[]} */
  examples(...tables) {
    return tables.flatMap((table) => {
      const all = [...this.plexus.entities.values()].filter((one) => one.table === table && !one.untestable);
      const found = all.find(({ name }) => name.length < 16) || all[0];
      return found ? [found.name] : [];
    });
  }

  /** Tell a screen reader, and show it. */
  say(text) {
    byId("said").textContent = text;
  }

  /** What was chosen is told, seen in the picture and, on a small screen, at the top of its sheet. */
  shownNow(id) {
    this.say(`${capital(this.name(id))} is shown.`);
    if (this.picture.small()) this.picture.reveal(id);
    this.toResult();
  }

  /** Scroll the panel so that its result is seen; where all scrolls together, on a low screen, its beginning under the picture. */
  toResult() {
    const panel = byId("panel"), result = /** @type {HTMLElement | null} */ (panel.querySelector(".result")), page = document.documentElement;
    const first = result?.querySelector(".verdict, .sum") || result?.querySelector("h2") || result;
    if (result && panel.scrollHeight > panel.clientHeight) panel.scrollTop += result.getBoundingClientRect().top - panel.getBoundingClientRect().top - byId("grip").offsetHeight - 8;
    else if (first && page.scrollHeight > innerHeight) page.scrollTop += first.getBoundingClientRect().bottom + 8 - innerHeight;
  }

  listen() {
    const tabs = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[role=tab]")]);
    const choose = (tab) => {
      if (!this.modes.test.running) this.set({ mode: tab.getAttribute("data-mode") });
      else this.say(TEST_RUNS);
      tab.focus();
    };
    tabs.forEach((tab, i) => {
      tab.addEventListener("click", () => choose(tab));
      tab.addEventListener("keydown", (event) => {
        const goal = { ArrowRight: i + 1, ArrowLeft: i - 1 + tabs.length, Home: 0, End: tabs.length - 1 }[event.key];
        if (goal !== undefined) choose(tabs[goal % tabs.length]);
      });
    });
    byId("skip").addEventListener("click", () => byId("panel").focus());
    addEventListener("hashchange", () => { this.settled = this.fromAddress(); });
    addEventListener("resize", () => this.beside.share());
    addEventListener("beforeprint", () => onPaper(this, true));
    addEventListener("afterprint", () => onPaper(this, false));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.refresh());
    addEventListener("keydown", (event) => {
      const typing = event.target instanceof HTMLInputElement && event.target.type === "text";
      if ((event.ctrlKey || event.metaKey) && event.key === "z" && this.shown.mode === "injure" && !typing) {
        event.preventDefault();
        this.modes.injure.undo();
      }
    });
  }
}

/** Things that are made when they are first asked for; *made* holds those that are. @param {Record<string, () => any>} makers @returns {any} */
function whenAsked(makers) {
  const made = {}, found = { made };
  for (const [name, make] of Object.entries(makers)) Object.defineProperty(found, name, { enumerable: true, get: () => (made[name] = made[name] || make()) });
  return found;
}

function numerals(/** @type {number} */ most) {
  return Array.from({ length: most }, (_, i) => String(i + 1));
}

/** @returns {HTMLElement} */
function byId(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}
