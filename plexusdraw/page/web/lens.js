// Levels of detail: where a picture is small, fewer names stand on it, each large enough to read and to tap.
import { MM_PER_PT } from "./canvas.js";
import { PAGE_WORDS } from "./frame.js";
import { LINE, overlap, placesFor } from "./room.js";
import { number, svgElement } from "./svg.js";

export const TEXT_PX = 11;
/** What stands beside names, in smaller type, is left out below this. */
const BESIDE_PX = 9.5;
/** Heads, tables, and where there is a mouse names that have no room for larger type, are left as they are down to this. */
const SMALL_PX = 8;
const CLEAR_PX = 2;
const TARGET_PX = 24;
const LINE_PX = 15;
/** So many scales and states are kept in mind. */
const MOST_LEARNT = 12;

/** @typedef {{id: string, groups: Element[], legible: boolean, row: boolean, blank: boolean, text: string, own: import("./room.js").Box, anchor: string, plate: Record<string, any> | null}} Name plate: how its plate is painted; legible: can be read as it is drawn */

export class Lens {
  /** @param {import("./canvas.js").Canvas} canvas @param {(text: string) => number} widthOf width of a bold text at 1 pt, mm */
  constructor(canvas, widthOf) {
    this.canvas = canvas;
    this.widthOf = widthOf;
    this.element = svgElement("g", { class: "lens", "aria-hidden": "true" });
    /** @type {import("./room.js").Place[]} */
    this.placed = [];
    /** @type {Set<string>} names that are too small to be told apart */
    this.tiny = new Set();
    /** @type {Set<string>} names that are to be larger than drawn */
    this.enlarged = new Set();
    /** @type {Map<string, {key: string, nodes: Element[]}>} */
    this.nodes = new Map();
    /** @type {Map<string, {pieces: import("./room.js").Piece[], found: Map<string, {known: import("./room.js").Place[], more: Generator<import("./room.js").Place>}>}>} */
    this.learnt = new Map();
    /** Size of the names that it shows, px. */
    this.text = TEXT_PX;
  }

  /**
   * @param {number} scale px of the screen per mm @param {boolean} touch
   * @param {{id: string, box: Record<string, number>, blank: Record<string, number>}[]} items in reading order
   * @param {{frame: import("./room.js").Box, half: number, pieces: import("./room.js").Piece[], asked: string, pressed: Set<string>, first: Set<string>, ranks: Map<string, number>, parts: Map<string, string[]>}} about
   */
  show(scale, touch, items, about) {
    const { names, texts, heads, said } = this.thin(scale, touch), { view } = this.canvas, { frame } = about;
    const shown = items.filter(({ id }) => names.has(id) && view.entities.get(id) !== "hidden").map((item) => this.nameOf(item, names.get(item.id)));
    this.enlarged = new Set(shown.map(({ id }) => id));
    const size = this.text / scale;
    const room = { size, tap: (touch ? TARGET_PX : LINE_PX) / scale, widthOf: (text) => (this.widthOf(text) * size) / MM_PER_PT, frame, clear: about.half + CLEAR_PX / scale, texts, pieces: [], parts: about.parts };
    const over = this.heads(heads, room);
    texts.push(...over.map(({ box }) => box));
    this.learn(scale, touch, about, texts);
    room.pieces = this.pieces;
    const ranked = shown.map((name, i) => ({ name, rank: this.rank(name.id, about) + i / 1000 })).sort((a, b) => a.rank - b.rank).map(({ name }) => name);
    this.place(ranked, room, said);
    const byId = new Map(shown.map((name) => [name.id, name]));
    this.draw([...over, ...this.placed.map((place) => this.label(place, size, byId.get(place.id)))]);
  }

  /** Give each name the best place that is left; one that can be read as it is keeps its own, which no other takes. *said*: words of states, which come and go. */
  place(/** @type {Name[]} */ names, room, /** @type {import("./room.js").Box[]} */ said) {
    this.placed = [];
    const kept = new Map(names.filter(({ legible }) => legible).map(({ id, own }) => [id, own]));
    for (const name of names) {
      const others = [...this.placed, ...said, ...[...kept].filter(([id]) => id !== name.id).map(([, own]) => own)];
      const found = this.first(name, room, (one) => !others.some((other) => overlap(one, other, room.size / 3)));
      if (found) this.placed.push(found);
      if (found || !name.legible) kept.delete(name.id);
      this.small(name, Boolean(found) || !name.legible);
    }
  }

  /** A name that is shown by the lens, or not at all, hides where it was drawn. */
  small({ id, groups }, on) {
    if (on) this.tiny.add(id);
    for (const g of groups) if (g.classList.contains("tiny") !== on) g.classList.toggle("tiny", on);
  }

  /** What places rest on; while it stays, or comes again, they are known. */
  learn(scale, touch, { frame, pieces }, texts) {
    const { scene, view } = this.canvas, hidden = [...view.entities].filter(([, state]) => state === "hidden").map(([id]) => id);
    const known = [scene.side, scale, this.text, touch, frame.w, hidden, texts.length].join("|");
    if (scene !== this.scene || this.learnt.size > MOST_LEARNT) this.learnt.clear();
    this.scene = scene;
    if (!this.learnt.has(known)) {
      const gone = new Set(hidden);
      this.learnt.set(known, { pieces: pieces.filter(({ entity }) => !gone.has(entity)), found: new Map() });
    }
    ({ pieces: this.pieces, found: this.found } = this.learnt.get(known));
  }

  /** The first place of a name that will do; those that were worked out are kept. */
  first(/** @type {Name} */ name, room, does) {
    const key = `${name.id}|${name.text}|${name.blank}`;
    if (!this.found.has(key)) this.found.set(key, { known: [], more: placesFor({ ...name, plate: Boolean(name.plate) }, room) });
    const { known, more } = this.found.get(key), found = known.find(does);
    if (found) return found;
    for (let next = more.next(); !next.done; next = more.next()) {
      known.push(next.value);
      if (does(next.value)) return next.value;
    }
    return null;
  }

  /** Hide what is too small: the parts of names that are to be larger by their entity, and the texts that stay as they are. */
  thin(scale, touch) {
    const names = new Map(), texts = [], heads = [], said = [], { scene, drawn, view } = this.canvas;
    this.tiny.clear();
    for (const [part, { g, leaves }] of drawn) {
      const words = leaves.filter(({ tag }) => tag === "text");
      if (!words.length || (part[0] === "note" && PAGE_WORDS.includes(part[1]))) continue;
      const px = Math.min(...words.map(({ attributes }) => Number(attributes["font-size"]))) * scale;
      const name = part[3] >= 0 && ["part", "row"].includes(part[0]) && scene.labels[part[3]][1] === "name";
      const beside = part[0] === "part" && part[3] >= 0 && !name;
      const large = px >= this.text - 0.01 || (!touch && (beside ? px >= BESIDE_PX : px >= SMALL_PX && part[0] !== "part"));
      if (name && !large) {
        if (part[0] === "row") texts.push(...dotsOf(part));
        const known = names.get(part[1]) || { row: part[0] === "row", groups: [], leaves: part[0] === "row" ? words.slice(0, 1) : leaves, legible: px >= SMALL_PX && !touch };
        known.groups.push(g);
        names.set(part[1], known);
      }
      else if (g.classList.contains("tiny") === large) g.classList.toggle("tiny", !large);
      if (part[0] === "part" && part[3] < 0 && !large) heads.push({ id: part[1], leaf: words[0] });
      if (!large || view.entities.get(part[1]) === "hidden") continue;
      const boxes = words.map((leaf) => this.boxOf(leaf));
      if (part[0] === "row") said.push(...boxes.splice(1));
      texts.push(...boxes);
    }
    return { names, texts, heads, said };
  }

  /** Room of a text that stays as it is. */
  boxOf({ attributes, text }) {
    const size = Number(attributes["font-size"]), w = (this.widthOf(text) * size) / MM_PER_PT, anchor = attributes["text-anchor"];
    return { x: Number(attributes.x) - (anchor === "end" ? w : anchor === "middle" ? w / 2 : 0), y: Number(attributes.y) - 0.8 * size, w, h: 1.05 * size };
  }

  /** @returns {Name} */
  nameOf({ id, box, blank }, { groups, leaves, legible, row }) {
    const hidden = this.canvas.view.numbers.has(id), words = leaves.filter(({ tag }) => tag === "text");
    const plate = hidden ? null : leaves.find(({ tag }) => tag === "rect");
    return { id, groups, legible, row, blank: hidden, text: words.map(({ text }) => text).join(" "), own: hidden ? blank : box, anchor: words[0].attributes["text-anchor"] || "start", plate: plate && plate.attributes };
  }

  /** What is asked or chosen comes first, then what this is about, then what is lit, then what stands for most. */
  rank(id, { asked, pressed, first, ranks }) {
    if (id === asked) return 0;
    if (pressed.has(id) || first.has(id)) return pressed.has(id) ? 1 : 2;
    const state = this.canvas.view.entities.get(id) || "plain";
    return ({ dimmed: 40, plain: 20 }[state] || 10) + (ranks.get(id) ?? 9);
  }

  /** Texts of a name, on a plate of its own, or on as much of one as has room, or with a halo. */
  label({ id, lines, plate, x, w, middle }, size, name) {
    const state = this.canvas.view.entities.get(id) || "plain", high = (lines.length - 1) * LINE * size;
    const at = name.plate || name.blank ? { x: x + w / 2, "text-anchor": "middle" } : name.anchor === "end" ? { x: x + w, "text-anchor": "end" } : name.anchor === "middle" ? { x: x + w / 2, "text-anchor": "middle" } : { x };
    const made = lines.map((text, i) => ({
      tag: "text", text, attributes: { ...at, x: number(at.x), y: number(middle - high / 2 + i * LINE * size + 0.35 * size), "font-size": size.toFixed(3), "data-state": state, ...(plate ? { class: "on" } : { "stroke-width": (size / 4).toFixed(3) }) },
    }));
    if (!name.plate) return { id, parts: made };
    const { fill, stroke, "stroke-width": width } = plate ? name.plate : { ...name.plate, stroke: "none" }, tall = high + (plate ? 1.45 : 1) * size;
    return { id, parts: [{ tag: "rect", text: "", attributes: { x: number(x), y: number(middle - tall / 2), width: number(w), height: number(tall), rx: number(0.4 * size), fill, stroke, "stroke-width": width } }, ...made] };
  }

  /** Heads of the columns, where they have room: all in capitals, or all without. */
  heads(/** @type {{id: string, leaf: Record<string, any>}[]} */ found, { size, widthOf, frame }) {
    const set = (change) => found.map(({ id, leaf }) => {
      const text = change(leaf.text), w = widthOf(text), y = Math.max(Number(leaf.attributes.y), frame.y + 0.9 * size);
      const x = Math.max(frame.x, Math.min(frame.x + frame.w - w, this.boxOf(leaf).x + this.boxOf(leaf).w / 2 - w / 2));
      const parts = [{ tag: "text", text, attributes: { class: "head", x: number(x), y: number(y), "font-size": size.toFixed(3) } }];
      return { id: `head ${id}`, parts, box: { x, y: y - 0.8 * size, w, h: 1.05 * size } };
    });
    const apart = (all) => all.filter(({ box }, i) => !all.slice(0, i).some((other) => overlap(box, other.box, size / 2)));
    const loud = set((text) => text);
    return apart(loud).length === loud.length ? loud : apart(set((text) => text.toLowerCase()));
  }

  /** Put what is wanted in place; what stays as it was is not touched. @param {{id: string, parts: {tag: string, text: string, attributes: Record<string, any>}[]}[]} wanted */
  draw(wanted) {
    const gone = new Set(this.nodes.keys());
    for (const { id, parts } of wanted) {
      gone.delete(id);
      const key = JSON.stringify(parts), before = this.nodes.get(id);
      if (before && before.key === key) continue;
      const nodes = parts.map(({ tag, text, attributes }) => {
        const made = svgElement(tag, attributes);
        if (text) made.textContent = text;
        return made;
      });
      before?.nodes.forEach((node) => node.remove());
      this.element.append(...nodes);
      this.nodes.set(id, { key, nodes });
    }
    for (const id of gone) {
      this.nodes.get(id).nodes.forEach((node) => node.remove());
      this.nodes.delete(id);
    }
  }

  /** Id of the name that stands at a place. */
  at(x, y) {
    const found = this.placed.find((one) => x >= one.x - 0.5 && x <= one.x + one.w + 0.5 && y >= one.y && y <= one.y + one.h);
    return found ? found.id : "";
  }

  /** Where a name is shown, if not where it was drawn. */
  boxOn(id) {
    return this.placed.find((one) => one.id === id);
  }

  /** Whether a name had no room. */
  isHidden(id) {
    return this.tiny.has(id) && !this.placed.some((one) => one.id === id);
  }

  /** Whether a name that is to be larger had no room, be it seen small where it was drawn. */
  lacks(id) {
    return this.enlarged.has(id) && !this.boxOn(id);
  }

  off() {
    this.draw([]);
    this.placed = [];
    for (const { g } of this.canvas.drawn.values()) g.classList.remove("tiny");
  }
}

/** Room of the dots of a row, in whatever state they are: what they look like moves no name. @returns {import("./room.js").Box[]} */
function dotsOf([, , , , , slots]) {
  const circles = slots.flatMap(([, places]) => places.filter(([letter]) => letter === "c"));
  return circles.map(([, x, y, r]) => ({ x: (x - r) / 100, y: (y - r) / 100, w: r / 50, h: r / 50 }));
}
