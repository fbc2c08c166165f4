// Marks as SVG elements. Every text goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element with attributes; those that are null or undefined are left out. */
export function svgElement(/** @type {string} */ tag, attributes = {}) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) made.setAttribute(name, String(value));
  }
  return made;
}

/**
 * A group of elements that shows groups of marks and, when others come, changes only what differs: most of a picture
 * stays as it is when its state changes.
 */
export class Canvas {
  constructor() {
    this.element = svgElement("g", { "aria-hidden": "true" });
    /** @type {Map<string, {g: Element, attributes: Record<string, any>, leaves: {element: Element, tag: string, attributes: Record<string, any>}[]}>} */
    this.drawn = new Map();
  }

  /** Begin anew, for another drawing. */
  clear() {
    this.drawn.clear();
    this.element.replaceChildren();
  }

  show(groups) {
    const wanted = groups.map((group) => this.patch(group));
    const keys = new Set(groups.map((group) => group.key));
    for (const [key, { g }] of this.drawn) {
      if (keys.has(key)) continue;
      g.remove();
      this.drawn.delete(key);
    }
    this.order(wanted);
  }

  patch(group) {
    let drawn = this.drawn.get(group.key);
    if (!drawn) {
      drawn = { g: svgElement("g"), attributes: {}, leaves: [] };
      this.drawn.set(group.key, drawn);
    }
    const attributes = { "data-entity": group.entity || null, "data-kind": group.kind, "data-state": group.state };
    setAttributes(drawn.g, drawn.attributes, attributes);
    drawn.attributes = attributes;
    group.marks.forEach((mark, i) => patchLeaf(drawn, i, mark));
    for (const leaf of drawn.leaves.splice(group.marks.length)) leaf.element.remove();
    return drawn.g;
  }

  /** Put the elements in order with few moves. */
  order(wanted) {
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

function patchLeaf(drawn, i, mark) {
  const attributes = attributesOf(mark);
  let leaf = drawn.leaves[i];
  if (!leaf || leaf.tag !== mark.tag) {
    const made = { element: svgElement(mark.tag), tag: mark.tag, attributes: {} };
    if (leaf) leaf.element.replaceWith(made.element);
    else drawn.g.append(made.element);
    leaf = drawn.leaves[i] = made;
  }
  setAttributes(leaf.element, leaf.attributes, attributes);
  if (mark.tag === "text" && leaf.element.textContent !== mark.string) leaf.element.textContent = mark.string;
  leaf.attributes = attributes;
}

/** Change those attributes that differ. */
function setAttributes(element, before, now) {
  for (const name of Object.keys(before)) if (!(name in now)) element.removeAttribute(name);
  for (const [name, value] of Object.entries(now)) {
    if (before[name] === value) continue;
    if (value === null || value === undefined) element.removeAttribute(name);
    else element.setAttribute(name, value);
  }
}

function attributesOf(mark) {
  const line = mark.stroke ? { stroke: mark.stroke, "stroke-width": number(mark.width) } : {};
  switch (mark.tag) {
    case "path":
      return { d: outline(mark.curve), fill: "none", ...line, ...dashes(mark), "data-root": mark.root, "data-state": mark.state };
    case "rect": {
      const { x, y, w, h } = mark.box, r = number(mark.radius);
      return { x: number(x), y: number(y), width: number(w), height: number(h), rx: r, ry: r, fill: mark.fill, ...line };
    }
    case "circle":
      return { cx: number(mark.x), cy: number(mark.y), r: number(mark.r), fill: mark.fill, ...line };
    default:
      return {
        x: number(mark.x), y: number(mark.y), "font-size": mark.size.toFixed(3), fill: mark.fill,
        "font-weight": mark.bold ? "bold" : null, "text-anchor": mark.anchor === "start" ? null : mark.anchor,
      };
  }
}

function dashes({ dash, offset }) {
  return dash.length ? { "stroke-dasharray": dash.map(number).join(","), "stroke-dashoffset": number(offset) } : {};
}

const outlines = new WeakMap();

/** A chain of cubics as path data. */
export function outline(curve) {
  if (!outlines.has(curve)) outlines.set(curve, pathData(curve));
  return outlines.get(curve);
}

function pathData(curve) {
  const points = curve.map(([x, y]) => `${number(x)},${number(y)}`);
  let text = `M${points[0]}`;
  for (let i = 1; i < points.length; i += 3) text += ` C ${points.slice(i, i + 3).join(" ")}`;
  return text;
}

/** A length to 0.01 mm, without needless digits. */
export function number(/** @type {number} */ value) {
  return String(Math.round(value * 100) / 100 + 0);
}
