// Shows a picture: of every part the marks of its state, as Python painted them.
import { points, stretch } from "./scene.js";
import { number, svgElement } from "./svg.js";

const SMALLEST_PT = 6;
const QUIET = ["plain", "dimmed"];
export const MM_PER_PT = 25.4 / 72;

/** @typedef {{slot: import("./scene.js").Slot, way: string, to?: number, root?: string, state?: string, texts?: any[]}} Pick */

/** A group of elements; when states change, only parts that look otherwise are drawn anew. */
export class Canvas {
  /** @param {(text: string) => number} widthOf width of a title at 1 pt, mm */
  constructor(widthOf) {
    this.widthOf = widthOf;
    this.element = svgElement("g", { "aria-hidden": "true" });
  }

  setScene(/** @type {import("./scene.js").Scene} */ scene) {
    this.scene = scene;
    this.drawn = new Map();
    this.element.replaceChildren();
  }

  /** @param {import("./view.js").View} view @param {string} theme @param {boolean} all or at first of the drawing only what is lit, lost or marked, or was */
  show(view, theme, all = true) {
    this.view = view;
    this.theme = Object.keys(this.scene.pages).indexOf(theme);
    this.digits = String(Math.max(1, ...view.blanks.values())).length;
    const asked = new Set([...view.numbers.keys()]);
    this.secretRoots = this.scene.roots.some((root) => asked.has(root));
    const nodes = this.stacked().map((part) => (all || this.tells(part) ? this.patch(part) : this.kept(part))).filter((node) => node !== null);
    if (all || nodes.some((node) => !node.parentNode)) this.order(nodes);
  }

  /** Bundles that hold a highlit strand after those that hold none. */
  stacked() {
    const { runs } = this.scene;
    const lit = runs.map(([, parts]) => parts.some((part) => part[0] === "strand" && part[3].some((key) => this.view.strands[key] === "highlit")));
    const moving = [...runs.keys()].filter((i) => runs[i][0]);
    const order = [...moving.filter((i) => !lit[i]), ...moving.filter((i) => lit[i])];
    const placed = new Map(moving.map((place, i) => [place, order[i]]));
    return runs.flatMap((_, i) => runs[placed.get(i) ?? i][1]);
  }

  /** Whether a part of the drawing looks otherwise than what is around it, or did; rows of the table come later. */
  tells(part) {
    const [type, entity, , keys] = part, before = this.drawn.get(part);
    if (type === "cut") return before.leaves.length > 0 || this.cut(part).length > 0;
    const was = before.attributes["data-state"], loud = (/** @type {string} */ state) => !QUIET.includes(state);
    if (type === "strand") return loud(was) || keys.some((key) => loud(this.view.strands[key]));
    const now = this.view.blanks.has(keys) ? "blank" : this.state(entity);
    return type === "part" && now !== was && (loud(now) || loud(was));
  }

  /** The group of a part as it is; null if it shows nothing. */
  kept(part) {
    const { g, leaves } = this.drawn.get(part);
    return leaves.length ? g : null;
  }

  /** The group of a part, brought up to date; null if it shows nothing. */
  patch(part) {
    const picks = this.state(part[1]) === "hidden" ? [] : /** @type {Pick[]} */ (this[part[0]](part));
    const key = [this.theme, Boolean(this.view.blanks.size), this.secretRoots, this.state(part[1]), ...picks.flatMap(({ way, to, texts }) => [way, to, ...(texts || [])])].join("|");
    let drawn = this.drawn.get(part);
    if (!drawn) {
      drawn = { key: "", g: svgElement("g"), attributes: {}, leaves: [] };
      this.drawn.set(part, drawn);
    }
    if (drawn.key === key) return drawn.leaves.length ? drawn.g : null;
    drawn.key = key;
    change(drawn.g, drawn, this.attributes(part));
    const marks = picks.flatMap((pick) => this.marks(pick));
    marks.forEach((mark, i) => patchLeaf(drawn, i, mark));
    for (const leaf of drawn.leaves.splice(marks.length)) leaf.element.remove();
    return marks.length ? drawn.g : null;
  }

  /** Ids as they may be written: on a picture that asks something, numbers that tell nothing. */
  attributes([type, entity, kind, label]) {
    if (type === "note") return { "data-kind": entity, "data-state": "plain" };
    const id = this.view.blanks.size ? `part-${this.scene.entities.indexOf(entity) + 1}` : entity;
    return { "data-entity": id, "data-kind": kind, "data-state": this.view.blanks.has(label) ? "blank" : this.state(entity) };
  }

  state(entity) {
    return this.view.entities.get(entity) || "plain";
  }

  /** State of an entity, with the digits of numbers where its name is blank. */
  way(entity, label) {
    return this.state(entity) + (this.view.blanks.has(label) ? `#${this.digits}` : "");
  }

  // What is shown of a part of each type.

  part([, entity, , label, [slot]]) {
    const { blanks, quiet } = this.view;
    if (quiet && label >= 0 && this.scene.labels[label][1] === "supply") return [];
    return [{ slot, way: this.way(entity, label), texts: [blanks.get(label)] }];
  }

  strand([, , , keys, slots]) {
    const picks = [], states = keys.map((key) => this.view.strands[key]);
    for (let first = 0, last = 0; first < keys.length; first = last += 1) {
      while (states[last + 1] === states[first]) last += 1;
      const slot = slots[stretch(keys.length, first, last)], root = this.scene.strands[keys[first]][1];
      picks.push({ slot, way: states[first], to: last, state: states[first], root: this.secretRoots ? `root-${this.scene.roots.indexOf(root) + 1}` : root });
    }
    return picks;
  }

  row([, entity, , label, keys, [head, name, word, ...dots]]) {
    const way = this.way(entity, label), said = this.view.words.get(entity);
    return [
      { slot: head, way },
      ...keys.map((key, i) => ({ slot: dots[i], way: this.view.strands[key] })),
      { slot: name, way, texts: [this.view.blanks.get(label)] },
      ...(said ? [{ slot: word, way, texts: [null, said] }] : []),
    ];
  }

  panel([, , , labels, [slot]]) {
    const way = (label) => (this.state(this.scene.labels[label][0]) === "hidden" ? "-" : this.view.asked.has(label) ? "#" : "+");
    const found = labels.map(way).join(""), known = Object.hasOwn(this.scene.looks[slot[0]], found);
    return [{ slot, way: known ? found : labels.map(() => "+").join("") }];
  }

  note([, role, , label, size, room, [slot]]) {
    const { view } = this;
    if (role === "caution" && !view.caution) return [];
    if (role === "title") return [{ slot, way: "plain", texts: [null, null, ...this.within(view.title, size, room / 100)] }];
    const number = view.blanks.get(label), digits = number ? `#${String(number).length}` : "";
    return [{ slot, way: role === "legend" ? view.legend : `plain${digits}`, texts: [number] }];
  }

  cut([, entity, , at, [slot]]) {
    return this.view.cuts.has(`${entity} ${at}`) ? [{ slot, way: "cut" }] : [];
  }

  /** A title set smaller, then cut short, so that it keeps to its room, and its size in pt. @returns {[string, number]} */
  within(text, size, room) {
    const wide = this.widthOf(text);
    if (wide * size <= room + 0.01) return [text, size];
    const least = Math.max(Math.min(SMALLEST_PT, size), room / wide);
    const words = text.split(" ");
    const short = () => `${words.join(" ").replace(/[,;:]$/, "")}…`;
    if (wide * least <= room + 0.01) return [text, least];
    while (words.length > 1 && this.widthOf(short()) * least > room) words.pop();
    return [short(), least];
  }

  /** @param {Pick} pick @returns {{tag: string, attributes: Record<string, any>, text: string}[]} */
  marks({ slot: [look, places, dashes], way, root, state, texts = [] }) {
    const found = [], codes = this.scene.looks[look][way];
    for (let i = 0; i < codes.length; i += 3) {
      const paint = this.scene.paints[codes[i + 1]][this.theme];
      if (!paint) continue;
      const place = places[codes[i]], dash = codes[i + 2] && this.scene.dashes[dashes[codes[i + 2] - 1]][this.theme];
      const attributes = { ...paint, ...where(place) };
      if (dash) Object.assign(attributes, { "stroke-dasharray": dash[0], "stroke-dashoffset": dash[1] });
      if (state) Object.assign(attributes, { "data-root": root, "data-state": state });
      if (place[4] === TITLE) attributes["font-size"] = (texts[TITLE + 1] * MM_PER_PT).toFixed(3);
      const text = place[0] !== "t" ? "" : typeof place[4] === "number" ? String(texts[place[4]]) : place[4];
      found.push({ tag: TAGS[place[0]], attributes, text });
    }
    return found;
  }

  /** Put the elements in order with few moves. */
  order(wanted) {
    const kept = new Set(wanted);
    for (const node of [...this.element.children]) if (!kept.has(node)) node.remove();
    let here = this.element.firstChild;
    for (const node of wanted) {
      if (here && node !== here && here.nextSibling === node) {
        this.element.append(here);
        here = node;
      }
      if (node === here) here = here.nextSibling;
      else this.element.insertBefore(node, here);
    }
  }
}

const TITLE = 2;
const TAGS = { p: "path", r: "rect", c: "circle", t: "text" };

function patchLeaf(drawn, i, { tag, attributes, text }) {
  let leaf = drawn.leaves[i];
  if (!leaf || leaf.tag !== tag) {
    const made = { element: svgElement(tag), tag, attributes: {}, text: "" };
    if (leaf) leaf.element.replaceWith(made.element);
    else drawn.g.append(made.element);
    leaf = drawn.leaves[i] = made;
  }
  change(leaf.element, leaf, attributes);
  if (leaf.text !== text) leaf.element.textContent = leaf.text = text;
}

/** Change those attributes of an element that differ from what is *known* of it. */
function change(element, known, attributes) {
  for (const name of Object.keys(known.attributes)) if (!(name in attributes)) element.removeAttribute(name);
  for (const [name, value] of Object.entries(attributes)) if (known.attributes[name] !== value) element.setAttribute(name, value);
  known.attributes = attributes;
}

const placed = new WeakMap();

/** Attributes that say where an element is. @param {import("./scene.js").Place} place */
function where(place) {
  if (!placed.has(place)) placed.set(place, worked(place));
  return placed.get(place);
}

function worked(place) {
  const [letter, ...values] = place;
  if (letter === "p") return { d: pathData(place) };
  const [a, b, c, d, e] = values.map((value) => number(value / 100));
  if (letter === "r") return { x: a, y: b, width: c, height: d, rx: e, ry: e };
  return letter === "c" ? { cx: a, cy: b, r: c } : { x: a, y: b, ...(values[2] === "start" ? {} : { "text-anchor": values[2] }) };
}

function pathData(place) {
  const told = points(place).map(([x, y]) => `${number(x)},${number(y)}`);
  let text = `M${told[0]}`;
  for (let i = 1; i < told.length; i += 3) text += ` C ${told.slice(i, i + 3).join(" ")}`;
  return text;
}
