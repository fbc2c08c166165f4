// The picture: draws and zooms.
import { Canvas, MM_PER_PT } from "./canvas.js";
import { bounds, CLEAR_PX_PER_MM, framed, halfStrand, READABLE_PX_PER_MM } from "./frame.js";
import { Lens, TEXT_PX } from "./lens.js";
import { Pointing } from "./pointing.js";
import { number, svgElement } from "./svg.js";
import { piecesOf, waysOf } from "./ways.js";

const NARROW_PX = 560;
const STEP = 1.4;
/** So many times as large numbers of a printed form may be: 6 pt on A4. */
const LARGER = 1.5;
/** Room for the drawing on a printed page with lists. */
const PAPER_PX = [718, 460];

export class Picture {
  /**
   * @param {HTMLElement} box a box that scrolls
   * @param {{point: (id: string) => void, pick: (id: string, at: number | null) => void, name: (id: string, roots: string) => string,
   *   ranks: Map<string, number>, parts: Map<string, string[]>, closer: () => void, widthOf: (text: string) => number, steps: import("./steps.js").Steps}} wish
   */
  constructor(box, wish) {
    this.box = box;
    this.wish = wish;
    this.zoom = 0;
    this.isSmall = false;
    /** Is told the size that fits the first names, when they are placed next. @type {((px: number) => void) | null} */
    this.fitting = null;
    /** On paper: "page", as it is drawn; "drawing", without the words of the page; "names", its names as on a screen besides. */
    this.printing = "";
    this.svg = /** @type {SVGSVGElement} */ (svgElement("svg", { role: "group", "aria-roledescription": "picture" }));
    this.paper = svgElement("rect", { x: 0, y: 0 });
    this.canvas = new Canvas(wish.widthOf);
    this.drawing = this.canvas.element;
    this.over = svgElement("g");
    this.lens = new Lens(this.canvas, wish.widthOf);
    this.svg.append(this.paper, this.drawing, this.lens.element, this.over);
    box.replaceChildren(this.svg);
    this.pointing = new Pointing(this);
    this.measure();
    new ResizeObserver(() => (box.clientWidth !== this.room.wide || box.clientHeight !== this.room.high) && this.resized()).observe(box);
  }

  setScene(/** @type {import("./scene.js").Scene} */ scene) {
    this.scene = scene;
    this.wide = scene.width / 100;
    this.high = scene.height / 100;
    this.canvas.setScene(scene);
    this.items = scene.items.map(([id, roots, box, blank, more]) => ({ id, roots, box: toBox(box), blank: toBox(blank), more: more.map(toBox) }));
    /** What the picture names. @type {Set<string>} */
    this.named = new Set(this.items.map(({ id }) => id));
    this.strands = waysOf(scene);
    this.pieces = piecesOf(this.strands);
    this.drawingBox = bounds(scene);
    this.frameBox = this.drawingBox;
    this.half = halfStrand(scene);
    this.sides = this.sideNames();
    this.paper.setAttribute("width", number(this.wide));
    this.paper.setAttribute("height", number(this.high));
    this.over.replaceChildren(...this.items.map((item, i) => this.overlay(item, i)));
    this.pointing.start();
    this.setZoom(this.zoom);
  }

  overlay(item, i) {
    item.element = svgElement("g", { role: "button", class: "hit", "data-id": item.id });
    item.frame = svgElement("rect", { rx: 1 });
    item.element.append(item.frame);
    item.element.addEventListener("focus", () => {
      this.pointing.rove(i);
      if (item.element.matches(":focus-visible")) this.pointing.tell(item.id); // a tap tells for itself
    });
    item.element.addEventListener("blur", () => this.pointing.tell(""));
    return item.element;
  }

  /** @param {import("./view.js").View} view @param {string} theme @param {Set<string>} pressed ids that are chosen or cut @param {string} asked @param {Set<string>} first ids whose names come before others */
  show(view, theme, pressed = new Set(), asked = "", first = new Set()) {
    this.view = view;
    this.paper.setAttribute("fill", this.scene.pages[theme]);
    this.about = { asked, pressed, first };
    if (this.wish.steps.tapping && this.items.every(({ now }) => now)) {
      this.canvas.show(view, theme, false);
      for (const item of this.items) inform(item, [...item.now.slice(0, 2), pressed.has(item.id), item.id === asked, item.now[4]]);
      this.wish.steps.later("picture", () => this.showAll(theme));
    } else this.showAll(theme);
    this.look();
  }

  /** All parts, and what the names are called. */
  showAll(/** @type {string} */ theme) {
    const { view, about: { pressed, asked } } = this;
    this.canvas.show(view, theme);
    for (const item of this.items) {
      const number = view.numbers.get(item.id);
      const label = number ? `blank ${number}` : this.wish.name(item.id, item.roots);
      inform(item, [view.entities.get(item.id) === "hidden", label, pressed.has(item.id), item.id === asked, Boolean(number)]);
    }
    this.svg.setAttribute("aria-label", this.scene.title);
  }

  /** A picture of its own of a view, to print; its numbers as large as leaves them apart. @param {import("./view.js").View} view */
  drawn(view, /** @type {string} */ theme) {
    this.canvas.show(view, theme);
    this.lens.off();
    const { x, y, w, h } = this.drawingBox;
    const svg = /** @type {SVGSVGElement} */ (svgElement("svg", { viewBox: [x, y, w, h].map(number).join(" "), role: "img", "aria-label": view.title }));
    svg.append(this.drawing.cloneNode(true));
    const discs = [...svg.querySelectorAll('[data-state="blank"] circle')].map((disc) => ["cx", "cy", "r"].map((name) => Number(disc.getAttribute(name))));
    const apart = discs.flatMap(([a, b, r], i) => discs.slice(0, i).map(([c, d, s]) => Math.hypot(a - c, b - d) / (r + s)).filter(Boolean));
    svg.style.setProperty("--enlarged", String(Math.max(1, Math.min(LARGER, ...apart))));
    return svg;
  }

  /** Frame names whose cut lies beyond what is drawn. @param {Set<string>} ids */
  frame(ids) {
    for (const item of this.items) item.element.classList.toggle("beyond", ids.has(item.id));
  }

  /** Names as the scale allows. */
  look() {
    this.wish.steps.later("names", () => this.placeNames());
  }

  placeNames() {
    if (!this.view || this.view !== this.canvas.view) return;
    this.lens.element.removeAttribute("opacity");
    if (this.printing && this.printing !== "names") return void this.lens.off();
    this.lens.show(this.scale, this.small(), this.items, { frame: this.frameBox, pieces: this.pieces, half: this.half, ranks: this.wish.ranks, parts: this.wish.parts, ...this.about });
    const { fitting } = this;
    this.fitting = null;
    if (fitting) fitting(this.fitText());
    for (const item of this.items) if (item.now) frame(item, around(this.lens.boxOn(item.id), item.now[4] ? item.blank : item.box, item.now[4]));
  }

  /** What a text of the page says now. */
  words(/** @type {string} */ role) {
    for (const [[type, own], { leaves }] of this.canvas.drawn) if (type === "note" && own === role) return leaves.map(({ text }) => text).join(" ");
    return "";
  }

  /** The whole page of the picture, with its margins. */
  page() {
    return `0 0 ${number(this.wide)} ${number(this.high)}`;
  }

  /** Whether fingers are to meet what is shown. */
  small() {
    return this.isSmall;
  }

  /** Learn the room for the picture on the screen, px. Not at each tap: the browser lays the page out to answer. */
  measure() {
    this.room = { wide: this.box.clientWidth || 800, high: this.box.clientHeight || 600 };
  }

  /** The room for the picture is another: what is near stays as large, its middle in the middle. */
  resized() {
    const { zoom, scale } = this, before = zoom && !this.printing && this.view ? this.seenBox() : null;
    const change = () => {
      this.measure();
      if (!before) return this.setZoom(zoom);
      this.fit(this.room.wide, this.room.high);
      return this.zoomTo(scale, ...middleOf(before));
    };
    if (before) this.keeping(before, change);
    else change();
  }

  /** What is asked, chosen or told of stays in view if it was. */
  keeping(before, /** @type {() => void} */ change) {
    const ids = this.about ? [this.about.asked, ...this.about.pressed, ...this.about.first] : [];
    const kept = ids.map((id) => this.boxOf(id)).find((box) => box && isIn(before, ...middleOf(box)));
    change();
    const now = this.zoom && kept && this.seenBox();
    if (now && !(isIn(now, kept.x, kept.y) && isIn(now, kept.x + kept.w, kept.y + kept.h))) this.zoomTo(this.scale, ...middleOf(kept));
  }

  /** What of the picture is seen, mm. */
  seenBox() {
    const { box, room: { wide, high }, frameBox: { x, y, h }, scale } = this, above = Math.max(0, high - h * scale) / 2;
    return { x: x + box.scrollLeft / scale, y: y + (box.scrollTop - above) / scale, w: wide / scale, h: high / scale };
  }

  /** Where a name or its blank is, mm. */
  boxOf(/** @type {string} */ id) {
    const item = this.items.find((one) => one.id === id);
    return item && (this.view.numbers.has(id) ? item.blank : item.box);
  }

  // Zoom. 0: the whole picture.

  setZoom(/** @type {number} */ zoom) {
    this.zoom = zoom;
    if (!this.scene) return;
    const [wide, high] = this.printing ? PAPER_PX : [this.room.wide, this.room.high];
    this.isSmall = !this.printing && (wide < NARROW_PX || matchMedia("(pointer: coarse)").matches);
    this.fit(wide, high);
    this.factor = zoom || this.whole();
    const px = Math.floor(wide * this.factor), { x, y, w, h } = this.frameBox;
    this.svg.style.width = `${px}px`;
    this.svg.setAttribute("viewBox", this.printing === "page" ? this.page() : [x, y, w, h].map(number).join(" "));
    if (this.wish.steps.tapping && px / w > 1.5 * this.scale) this.lens.element.setAttribute("opacity", "0"); // until they stand anew
    this.scale = px / w;
    this.look();
  }

  /** Beside lists on paper. */
  fitPaper(/** @type {boolean} */ names) {
    this.printing = names ? "names" : "drawing";
    this.setZoom(0);
    this.box.style.setProperty("--tall", (this.frameBox.h / this.frameBox.w).toFixed(3));
  }

  /** The frame of the drawing in a box of the screen, px. */
  fit(wide, high) {
    const key = `${wide} ${high}`;
    if (this.fitted === key && this.fittedScene === this.scene) return;
    [this.fitted, this.fittedScene] = [key, this.scene];
    this.frameBox = framed(this.drawingBox, this.sides, wide, high);
  }

  /** Scale at which the whole picture is seen in a box of the screen, px per mm. */
  scaleIn(wide, high) {
    const { w, h } = framed(this.drawingBox, this.sides, wide, high);
    return Math.min(wide / w, high / h);
  }

  /** Names that may reach beyond the drawing where they are larger than on paper. */
  sideNames() {
    const parts = this.scene.runs.flatMap(([, all]) => all).filter(([type, , , label]) => type === "part" && label >= 0 && this.scene.labels[label][1] === "name");
    return parts.flatMap(([, id, , , [[, places]]]) => {
      const words = places.filter(([letter, , , , text]) => letter === "t" && typeof text === "string"), item = this.items.find((one) => one.id === id);
      if (!words.length || !item) return [];
      const width = (this.wish.widthOf(words.map(([, , , , text]) => text).join(" ")) * this.lens.text) / MM_PER_PT;
      return [{ x: item.box.x, right: item.box.x + item.box.w, anchor: words[0][3], width }];
    });
  }

  /** Zoom at which the whole picture is seen. */
  whole() {
    const { room: { wide, high }, frameBox: { w, h } } = this;
    return Math.min(1, (high * w) / h / wide);
  }

  /** Larger or smaller, about a place, mm, that stays where it is, else about the middle. @param {[number, number]} [place] */
  zoomBy(/** @type {number} */ step, place) {
    const before = this.seenBox(), [x, y] = middleOf(before), by = this.allowed(this.scale * (step > 0 ? STEP : 1 / STEP)) / this.scale;
    if (place) this.zoomTo(this.scale * by, place[0] + (x - place[0]) / by, place[1] + (y - place[1]) / by);
    else this.keeping(before, () => this.zoomTo(this.scale * by, x, y));
  }

  /** The scale that is nearest to a wish: not smaller than whole, nor larger than all can be read. */
  allowed(/** @type {number} */ scale) {
    const { frameBox, room } = this;
    return Math.max((this.whole() * room.wide) / frameBox.w, Math.min(Math.max(CLEAR_PX_PER_MM, this.scale), scale));
  }

  /** Show a place, mm, in the middle, at a scale in px per mm; never smaller than whole. */
  zoomTo(/** @type {number} */ scale, /** @type {number} */ x, /** @type {number} */ y) {
    const { box, frameBox, room } = this, least = this.whole(), factor = (this.allowed(scale) * frameBox.w) / room.wide;
    this.setZoom(factor > least + 0.01 ? factor : 0);
    box.scrollTo((x - frameBox.x) * this.scale - room.wide / 2, (y - frameBox.y) * this.scale - room.high / 2);
  }

  /** Names are shown in this size, px, where they are larger than drawn. */
  setText(/** @type {number} */ px) {
    if (px === this.lens.text) return;
    this.lens.text = px;
    if (!this.scene) return;
    this.sides = this.sideNames();
    this.fitted = "";
    this.setZoom(this.zoom);
  }

  /** Choose the largest size, px, at which most of the first names have room. */
  fitText() {
    const missing = () => [...this.about.first].filter((id) => this.lens.lacks(id)).length;
    const set = (px) => {
      this.setText(px);
      if (this.wish.steps.running.length) this.placeNames();
    };
    let best = this.lens.text, least = missing();
    for (let px = best; least && px > TEXT_PX;) {
      px = Math.max(TEXT_PX, 0.9 * px);
      set(px);
      const many = missing();
      if (many < least) [best, least] = [px, many];
    }
    set(best);
    return best;
  }

  /** Bring a name into view, so large that it can be read. */
  reveal(/** @type {string} */ id) {
    this.wish.steps.later("zoom", () => this.bring(id));
  }

  /** Show the whole picture; nearer, if this name has no room then. */
  overview(/** @type {string} */ id) {
    this.wish.steps.later("zoom", () => {
      this.setZoom(0);
      this.placeNames();
      if (this.lens.isHidden(id)) this.bring(id);
    });
  }

  bring(/** @type {string} */ id) {
    const box = this.boxOf(id);
    if (!box) return;
    const { x, y, w, h } = box;
    if (this.small() || this.lens.tiny.has(id)) this.zoomTo(Math.max(this.scale, Math.min(READABLE_PX_PER_MM, (0.8 * this.room.wide) / w)), x + w / 2, y + h / 2);
    else if (this.zoom) this.zoomTo(this.scale, x + w / 2, y + h / 2);
  }
}

/** @returns {[number, number]} */
function middleOf({ x, y, w, h }) {
  return [x + w / 2, y + h / 2];
}

function isIn({ x, y, w, h }, /** @type {number} */ left, /** @type {number} */ top) {
  return left >= x && left <= x + w && top >= y && top <= y + h;
}

/** Bring the element of a name up to date, if it is not. */
function inform(item, /** @type {any[]} */ now) {
  if (item.now && item.now.every((value, i) => value === now[i])) return;
  item.now = now;
  const [hidden, label, pressed, asked] = now;
  item.element.toggleAttribute("hidden", hidden);
  item.element.setAttribute("aria-label", label);
  item.element.setAttribute("aria-pressed", String(pressed));
  item.element.classList.toggle("asked", asked);
}

/** Where a name is seen: where the lens shows it, else where it is drawn; a number stands in its blank, and both are framed. */
function around(shown, drawn, /** @type {boolean} */ blank) {
  if (!shown) return drawn;
  const apart = shown.x > drawn.x + drawn.w || drawn.x > shown.x + shown.w || shown.y > drawn.y + drawn.h || drawn.y > shown.y + shown.h;
  if (!blank || apart) return shown;
  const x = Math.min(shown.x, drawn.x), y = Math.min(shown.y, drawn.y);
  return { x, y, w: Math.max(shown.x + shown.w, drawn.x + drawn.w) - x, h: Math.max(shown.y + shown.h, drawn.y + drawn.h) - y };
}

/** Put the frame that shows focus about a name or its blank. */
function frame(item, { x, y, w, h }) {
  const pad = 0.8, place = [x - pad, y - pad, w + 2 * pad, h + 2 * pad].map(number), key = place.join(" ");
  if (item.framed === key) return;
  item.framed = key;
  ["x", "y", "width", "height"].forEach((name, i) => item.frame.setAttribute(name, place[i]));
}

function toBox([x, y, w, h]) {
  return { x: x / 100, y: y / 100, w: w / 100, h: h / 100 };
}
