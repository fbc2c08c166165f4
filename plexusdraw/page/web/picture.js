// The picture: draws, zooms, and tells what is pointed at or picked, by mouse, touch and keyboard.
import { Canvas, MM_PER_PT } from "./canvas.js";
import { bounds, framed, halfStrand } from "./frame.js";
import { Lens } from "./lens.js";
import { points, stretch } from "./scene.js";
import { number, svgElement } from "./svg.js";

const NEAR_PX = 9;
const TOUCH_PX = 18;
const NARROW_PX = 560;
/** At this scale every name can be read and tapped. */
const CLEAR_PX_PER_MM = 8;
const READABLE_PX_PER_MM = 4.2;
/** Two targets that differ by less are not told apart by a finger. */
const UNSURE_PX = 6;
const STEP = 1.4;
/** Room for the drawing on a printed page with lists. */
const PAPER_PX = [718, 460];
/** What turns off by less is straight. */
const STRAIGHT_MM = 0.01;

export class Picture {
  /**
   * @param {HTMLElement} box a box that scrolls
   * @param {{point: (id: string) => void, pick: (id: string, at: number | null) => void, name: (id: string, roots: string) => string,
   *   ranks: Map<string, number>, closer: () => void, widthOf: (text: string) => number}} wish
   */
  constructor(box, wish) {
    this.box = box;
    this.wish = wish;
    this.zoom = 0;
    this.isSmall = false;
    /** On paper: "page", as it is drawn; "drawing", without the words of the page; "names", its names as on a screen besides. */
    this.printing = "";
    this.pointed = "";
    this.svg = /** @type {SVGSVGElement} */ (svgElement("svg", { role: "group", "aria-roledescription": "picture" }));
    this.paper = svgElement("rect", { x: 0, y: 0 });
    this.canvas = new Canvas(wish.widthOf);
    this.drawing = this.canvas.element;
    this.over = svgElement("g");
    this.lens = new Lens(this.canvas, wish.widthOf);
    this.svg.append(this.paper, this.drawing, this.lens.element, this.over);
    box.replaceChildren(this.svg);
    this.listen();
  }

  setScene(/** @type {import("./scene.js").Scene} */ scene) {
    this.scene = scene;
    this.wide = scene.width / 100;
    this.high = scene.height / 100;
    this.canvas.setScene(scene);
    this.items = scene.items.map(([id, roots, box, blank, more]) => ({ id, roots, box: toBox(box), blank: toBox(blank), more: more.map(toBox) }));
    this.strands = scene.runs.flatMap(([, parts]) => parts.filter(([type]) => type === "strand").flatMap(pieces));
    this.pieces = this.strands.flatMap(({ entity, way }) => straightened(way).map(([ax, ay, bx, by]) => ({ entity, ax, ay, bx, by })));
    this.drawingBox = bounds(scene);
    this.frameBox = this.drawingBox;
    this.half = halfStrand(scene);
    this.sides = this.sideNames();
    this.paper.setAttribute("width", number(this.wide));
    this.paper.setAttribute("height", number(this.high));
    this.over.replaceChildren(...this.items.map((item, i) => this.overlay(item, i)));
    this.items.forEach((item) => item.element.setAttribute("tabindex", "-1"));
    this.current = 0;
    this.rove(0);
    this.setZoom(this.zoom);
  }

  overlay(item, i) {
    item.element = svgElement("g", { role: "button", class: "hit", "data-id": item.id });
    item.frame = svgElement("rect", { rx: 1 });
    item.element.append(item.frame);
    item.element.addEventListener("focus", () => { this.rove(i); this.tell(item.id); });
    item.element.addEventListener("blur", () => this.tell(""));
    return item.element;
  }

  /** @param {import("./view.js").View} view @param {string} theme @param {Set<string>} pressed ids that are chosen or cut @param {string} asked */
  show(view, theme, pressed = new Set(), asked = "") {
    this.view = view;
    this.paper.setAttribute("fill", this.scene.pages[theme]);
    this.canvas.show(view, theme);
    for (const item of this.items) {
      const number = view.numbers.get(item.id);
      const label = number ? `blank ${number}` : this.wish.name(item.id, item.roots);
      const now = [view.entities.get(item.id) === "hidden", label, pressed.has(item.id), item.id === asked, Boolean(number)];
      if (item.now && item.now.every((value, i) => value === now[i])) continue;
      item.now = now;
      update(item, now);
    }
    this.svg.setAttribute("aria-label", this.scene.title);
    this.about = { asked, pressed };
    this.look();
  }

  /** A picture of its own of a view, to print. @param {import("./view.js").View} view */
  drawn(view) {
    this.canvas.show(view, "light");
    this.lens.off();
    const svg = /** @type {SVGSVGElement} */ (svgElement("svg", { viewBox: this.page(), role: "img", "aria-label": view.title }));
    svg.append(this.drawing.cloneNode(true));
    return svg;
  }

  /** Frame names whose cut lies beyond what is drawn. @param {Set<string>} ids */
  frame(ids) {
    for (const item of this.items) item.element.classList.toggle("beyond", ids.has(item.id));
  }

  /** Names as the scale allows. */
  look() {
    if (!this.view || this.view !== this.canvas.view) return;
    if (this.printing && this.printing !== "names") return void this.lens.off();
    this.lens.show(this.scale, this.small(), this.items, { frame: this.frameBox, pieces: this.pieces, half: this.half, ranks: this.wish.ranks, ...this.about });
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

  // Zoom. 0: the whole picture.

  setZoom(/** @type {number} */ zoom) {
    this.zoom = zoom;
    if (!this.scene) return;
    const [wide, high] = this.printing ? PAPER_PX : [this.box.clientWidth || 800, this.box.clientHeight || 600];
    this.isSmall = !this.printing && (wide < NARROW_PX || matchMedia("(pointer: coarse)").matches);
    this.fit(wide, high);
    this.factor = zoom || this.whole();
    const px = Math.floor(wide * this.factor), { x, y, w, h } = this.frameBox;
    this.svg.style.width = `${px}px`;
    this.svg.setAttribute("viewBox", this.printing === "page" ? this.page() : [x, y, w, h].map(number).join(" "));
    this.scale = px / w;
    this.look();
  }

  /** Beside lists on paper. */
  fitPaper(/** @type {boolean} */ names) {
    this.printing = names ? "names" : "drawing";
    this.setZoom(0);
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
    const { clientWidth, clientHeight } = this.box, { w, h } = this.frameBox;
    const high = (clientHeight * w) / h / (clientWidth || 800);
    return high ? Math.min(1, high) : 1;
  }

  zoomBy(/** @type {number} */ step) {
    const { box } = this;
    const x = (box.scrollLeft + box.clientWidth / 2) / box.scrollWidth, y = (box.scrollTop + box.clientHeight / 2) / box.scrollHeight;
    const { frameBox } = this;
    this.zoomTo(this.scale * (step > 0 ? STEP : 1 / STEP), frameBox.x + x * frameBox.w, frameBox.y + y * frameBox.h);
  }

  /** Show a place, mm, in the middle, at a scale in px per mm; never smaller than whole. */
  zoomTo(/** @type {number} */ scale, /** @type {number} */ x, /** @type {number} */ y) {
    const { box, frameBox } = this, least = this.whole();
    const factor = Math.max(least, Math.min(Math.max(CLEAR_PX_PER_MM, this.scale), scale) * frameBox.w / (box.clientWidth || 800));
    this.setZoom(factor > least + 0.01 ? factor : 0);
    box.scrollTo((x - frameBox.x) * this.scale - box.clientWidth / 2, (y - frameBox.y) * this.scale - box.clientHeight / 2);
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

  /** Bring a name into view, so large that it can be read. */
  reveal(/** @type {string} */ id) {
    const item = this.items.find((one) => one.id === id);
    if (!item) return;
    const { x, y, w, h } = this.view.numbers.has(id) ? item.blank : item.box;
    if (this.small() || this.lens.tiny.has(id)) this.zoomTo(Math.max(this.scale, Math.min(READABLE_PX_PER_MM, (0.8 * this.box.clientWidth) / w)), x + w / 2, y + h / 2);
    else if (this.zoom) this.zoomTo(this.scale, x + w / 2, y + h / 2);
  }

  // Pointing and picking.

  listen() {
    const { svg, box } = this;
    let from = null;
    svg.addEventListener("pointermove", (event) => {
      if (from && event.buttons && event.pointerType === "mouse") {
        const dx = event.clientX - from.x, dy = event.clientY - from.y;
        if (Math.hypot(dx, dy) > 5) from.moved = true;
        if (from.moved) box.scrollTo(from.left - dx, from.top - dy);
      } else if (event.pointerType === "mouse") this.tell(this.hit(event).id);
    });
    svg.addEventListener("pointerleave", () => this.tell(""));
    svg.addEventListener("pointerdown", (event) => {
      from = { x: event.clientX, y: event.clientY, left: box.scrollLeft, top: box.scrollTop, moved: false };
    });
    svg.addEventListener("click", (event) => {
      const moved = from && from.moved;
      from = null;
      if (moved) return;
      const { id, at, unsure } = this.hit(event);
      if (unsure) this.closer(event);
      else if (id) this.wish.pick(id, at);
    });
    svg.addEventListener("keydown", (event) => this.key(event));
    box.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      this.zoomBy(event.deltaY < 0 ? 1 : -1);
    }, { passive: false });
  }

  tell(/** @type {string} */ id) {
    if (id === this.pointed) return;
    this.pointed = id;
    this.svg.classList.toggle("pointing", Boolean(id));
    this.wish.point(id);
  }

  /** What lies at a place on the screen; *at*: the position on its course, where it is a strand; *unsure*: too close to others. */
  hit(event) {
    const nothing = { id: "", at: null, unsure: false };
    const matrix = this.svg.getScreenCTM();
    if (!matrix || !this.view) return nothing;
    const x = (event.clientX - matrix.e) / matrix.a, y = (event.clientY - matrix.f) / matrix.d;
    const touch = event.pointerType === "touch", doubt = touch && this.scale < CLEAR_PX_PER_MM - 0.1 ? UNSURE_PX / this.scale : 0;
    const far = (touch ? TOUCH_PX : NEAR_PX) / this.scale, pad = touch ? far / 2 : 0.6;
    const names = this.items.filter((item) => this.isShown(item.id)).map((item) => [Math.min(...this.boxesOf(item).map((b) => away(b, x, y))), item.id]);
    const label = this.lens.at(x, y), own = (names.find(([, id]) => id === label) || [0])[0];
    if (label) return { ...nothing, id: label, unsure: doubt > 0 && names.some(([d, id]) => d < own + doubt && this.lens.isHidden(id)) };
    const [name, other] = names.filter(([d]) => d <= pad + doubt).sort(([a], [b]) => a - b);
    if (name && name[0] <= pad) {
      if (doubt && (this.lens.tiny.has(name[1]) || (other && other[0] - name[0] < doubt))) return { ...nothing, unsure: true };
      return { ...nothing, id: name[1] };
    }
    const [found, next] = this.nearest(x, y, Math.max(far, 0.8) + doubt);
    if (!found || found.d > Math.max(far, 0.8)) return nothing;
    if (next && next.d - found.d < doubt) return { ...nothing, unsure: true };
    return { ...nothing, id: found.entity, at: this.spotNear(found.entity, x, y) };
  }

  /** A tap between things that stand too close: come nearer, so that the next tap can tell them apart. */
  closer({ clientX, clientY }) {
    const matrix = /** @type {DOMMatrix} */ (this.svg.getScreenCTM());
    this.zoomTo(this.scale < READABLE_PX_PER_MM ? 1.2 * READABLE_PX_PER_MM : CLEAR_PX_PER_MM, (clientX - matrix.e) / matrix.a, (clientY - matrix.f) / matrix.d);
    this.wish.closer();
  }

  boxesOf({ id, box, blank, more }) {
    return this.view.numbers.has(id) ? [blank] : [box, ...more];
  }

  isShown(id) {
    return this.view.entities.get(id) !== "hidden";
  }

  /** The nearest strands of different entities, with their distance, mm. @returns {{entity: string, d: number}[]} */
  nearest(x, y, far) {
    const best = new Map();
    for (const { entity, way } of this.strands) {
      if (!this.isShown(entity)) continue;
      for (let i = 0; i + 1 < way.length; i += 1) {
        const d = distanceTo(way[i], way[i + 1], x, y);
        if (d <= Math.min(far, best.get(entity) ?? far)) best.set(entity, d);
      }
    }
    return [...best].map(([entity, d]) => ({ entity, d })).sort((a, b) => a.d - b.d);
  }

  spotNear(entity, x, y) {
    const spots = this.scene.spots.filter(([id]) => id === entity);
    const far = ([, , sx, sy]) => Math.hypot(sx / 100 - x, sy / 100 - y);
    return spots.length ? spots.reduce((a, b) => (far(b) < far(a) ? b : a))[1] : null;
  }

  // Keyboard: the picture is one stop of the Tab key; arrows go from name to name.

  rove(/** @type {number} */ i) {
    const before = this.items[this.current], now = this.items[i];
    if (before) before.element.setAttribute("tabindex", "-1");
    if (now) now.element.setAttribute("tabindex", "0");
    this.current = i;
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const shown = this.items.map((item, i) => [item, i]).filter(([item]) => this.isShown(item.id));
    const here = shown.findIndex(([, i]) => i === this.current);
    const goal = {
      ArrowDown: () => shown[here + 1], ArrowUp: () => shown[here - 1],
      ArrowRight: () => this.beside(shown, 1), ArrowLeft: () => this.beside(shown, -1),
      Home: () => shown[0], End: () => shown[shown.length - 1],
    }[event.key];
    if (goal) {
      const next = goal();
      if (next) next[0].element.focus();
    } else if (event.key === "Enter" || event.key === " ") {
      const item = this.items[this.current];
      if (item) this.wish.pick(item.id, null);
    } else return;
    event.preventDefault();
  }

  /** The nearest name to the right (1) or left (-1). */
  beside(shown, way) {
    const { box } = this.items[this.current];
    const middle = (b) => [b.x + b.w / 2, b.y + b.h / 2];
    const [x, y] = middle(box);
    const cost = ([item]) => {
      const [ox, oy] = middle(item.box);
      return Math.abs(ox - x) + 1.5 * Math.abs(oy - y);
    };
    const there = shown.filter(([item]) => way * (middle(item.box)[0] - x) > 4);
    return there.length ? there.reduce((a, b) => (cost(b) < cost(a) ? b : a)) : null;
  }
}

/** Bring the element of a name up to date. */
function update(item, /** @type {any[]} */ [hidden, label, pressed, asked]) {
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

/** Distance of a place from a box, mm. */
function away(box, x, y) {
  return Math.hypot(Math.max(0, box.x - x, x - box.x - box.w), Math.max(0, box.y - y, y - box.y - box.h));
}

/** The ways of a strand's pieces. */
function pieces([, entity, , keys, slots]) {
  return keys.map((_, i) => ({ entity, way: sampled(points(slots[stretch(keys.length, i, i)][1][0])) }));
}

/** Points along a chain of cubics. */
function sampled(curve) {
  const found = [curve[0]];
  for (let i = 0; i + 3 < curve.length; i += 3) {
    for (const t of [0.25, 0.5, 0.75, 1]) found.push(pointAt(curve.slice(i, i + 4), t));
  }
  return found;
}

/** A way as its straight pieces: what goes on in the same direction is one. @returns {[number, number, number, number][]} */
function straightened(way) {
  const found = [];
  let from = way[0];
  way.slice(1).forEach((to, i) => {
    const next = way[i + 2];
    if (next && distanceTo(from, next, to[0], to[1]) < STRAIGHT_MM) return;
    found.push([...from, ...to]);
    from = to;
  });
  return found;
}

function pointAt([a, b, c, d], t) {
  const s = 1 - t, p = s * s * s, q = 3 * s * s * t, r = 3 * s * t * t, u = t * t * t;
  return [p * a[0] + q * b[0] + r * c[0] + u * d[0], p * a[1] + q * b[1] + r * c[1] + u * d[1]];
}

function distanceTo([ax, ay], [bx, by], x, y) {
  const dx = bx - ax, dy = by - ay, size = dx * dx + dy * dy;
  const t = size ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / size)) : 0;
  return Math.hypot(ax + t * dx - x, ay + t * dy - y);
}
