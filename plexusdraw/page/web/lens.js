// Levels of detail: where a picture is small, fewer names stand on it, each large enough to read and to tap.
import { MM_PER_PT } from "./canvas.js";
import { number, svgElement } from "./svg.js";

const TEXT_PX = 11;
/** Texts beside names, and names where there is a mouse, are left as they are down to this. */
const SMALL_PX = 8;
const TARGET_PX = 24;
const LINE_PX = 15;

export class Lens {
  /** @param {import("./canvas.js").Canvas} canvas @param {(text: string) => number} widthOf width of a bold text at 1 pt, mm */
  constructor(canvas, widthOf) {
    this.canvas = canvas;
    this.widthOf = widthOf;
    this.element = svgElement("g", { class: "lens", "aria-hidden": "true" });
    /** @type {{id: string, x: number, y: number, w: number, h: number}[]} */
    this.placed = [];
    /** @type {Set<string>} names that are too small to be told apart */
    this.tiny = new Set();
  }

  /**
   * @param {number} scale px of the screen per mm @param {boolean} touch
   * @param {{id: string, box: Record<string, number>, blank: Record<string, number>}[]} items in reading order
   * @param {{wide: number, high: number, asked: string, pressed: Set<string>, ranks: Map<string, number>}} about
   */
  show(scale, touch, items, about) {
    const names = this.thin(scale, touch);
    const { view } = this.canvas;
    const size = TEXT_PX / scale, room = (touch ? TARGET_PX : LINE_PX) / scale;
    const wishes = items.filter(({ id }) => this.tiny.has(id) && names.has(id) && view.entities.get(id) !== "hidden")
      .map((item, i) => ({ item, text: names.get(item.id), rank: this.rank(item.id, about) + i / 1000 }));
    this.placed = [];
    const made = [];
    for (const { item, text } of wishes.sort((a, b) => a.rank - b.rank)) {
      const found = this.place(item, text, size, room, about);
      if (!found) continue;
      this.placed.push(found);
      const label = svgElement("text", { x: number(found.x), y: number(found.y + found.h / 2 + size * 0.35), "font-size": size.toFixed(3), "stroke-width": (size / 4).toFixed(3), "data-state": view.entities.get(item.id) || "plain" });
      label.textContent = text;
      made.push(label);
    }
    this.element.replaceChildren(...made);
  }

  /** Hide what is too small; the names of parts, by their entity. @returns {Map<string, string>} */
  thin(scale, touch) {
    const names = new Map(), { scene, drawn } = this.canvas;
    this.tiny.clear();
    for (const [part, { g, leaves }] of drawn) {
      const texts = leaves.filter(({ tag }) => tag === "text");
      const least = Math.min(...texts.map(({ attributes }) => Number(attributes["font-size"]))) * scale;
      const name = part[3] >= 0 && ["part", "row"].includes(part[0]) && scene.labels[part[3]][1] === "name";
      const small = least < (touch ? TEXT_PX : SMALL_PX) - 0.01;
      g.classList.toggle("tiny", small);
      if (!name || !texts.length) continue;
      if (small) this.tiny.add(part[1]);
      names.set(part[1], part[0] === "row" ? texts[0].text : texts.map(({ text }) => text).join(" "));
    }
    return names;
  }

  /** What is asked or chosen comes first, then what is lit, then what stands for most. */
  rank(id, { asked, pressed, ranks }) {
    if (id === asked) return 0;
    if (pressed.has(id)) return 1;
    const state = this.canvas.view.entities.get(id) || "plain";
    return ({ dimmed: 40, plain: 20 }[state] || 10) + (ranks.get(id) ?? 9);
  }

  /** Room for a name at its place, moved a little if need be. */
  place({ id, box, blank }, text, size, room, { wide, high }) {
    const w = (this.widthOf(text) * size) / MM_PER_PT, own = this.canvas.view.numbers.has(id) ? blank : box;
    const middle = own.y + own.h / 2 - room / 2;
    for (const x of [own.x, own.x + own.w / 2 - w / 2, own.x + own.w - w]) {
      const found = { id, x: Math.max(0, Math.min(wide - w, x)), y: Math.max(0, Math.min(high - room, middle)), w, h: room };
      if (!this.placed.some((other) => meet(found, other, size / 3))) return found;
    }
    return null;
  }

  /** Id of the name that stands at a place. */
  at(x, y) {
    const found = this.placed.find((one) => x >= one.x - 0.5 && x <= one.x + one.w + 0.5 && y >= one.y && y <= one.y + one.h);
    return found ? found.id : "";
  }

  /** Whether a name had no room. */
  isHidden(id) {
    return this.tiny.has(id) && !this.placed.some((one) => one.id === id);
  }

  off() {
    this.element.replaceChildren();
    this.placed = [];
    for (const { g } of this.canvas.drawn.values()) g.classList.remove("tiny");
  }
}

function meet(a, b, gap) {
  return a.x < b.x + b.w + gap && b.x < a.x + a.w + gap && a.y < b.y + b.h && b.y < a.y + a.h;
}
