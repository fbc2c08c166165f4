// A drawing as Python laid it out (page/drawings.py): parts in paint order, mm, x right, y down; and its mirror image.
import { line } from "./strokes.js";

/**
 * @typedef {[number, number]} Point
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 * @typedef {{string: string, x: number, y: number, size: number, anchor: string, bold: boolean, box: Box}} Text
 * @typedef {Record<string, any> & {type: string, entity: string, kind: string}} Part
 * @typedef {{width: number, height: number, title: string, side: string, roots: string[], parts: Part[]}} Scene
 */

const FIELDS = {
  Panel: [["box", toBox], ["index"]],
  Heading: [["text", toText]],
  Gap: [["curve", toCurve], ["width"]],
  Strand: [["curve", toCurve], ["root"], ["source"], ["at"], ["minor", Boolean], ["width"]],
  Pill: [["box", toBox], ["text", toText], ["badge"]],
  Label: [["role"], ["lines", (lines) => lines.map(toText)], ["blank", toBox], ["badge"]],
  Leader: [["curve", toCurve]],
  Row: [["name", toText], ["dots", (dots) => dots.map(toDot)], ["empty"], ["word", toText], ["blank", toBox], ["badge", toText]],
  Spot: [["at"], ["x"], ["y"], ["angle"], ["half"]],
};

/** @returns {Scene} */
export function readScene(data) {
  return { ...data, side: "left", parts: data.parts.map((values, i) => ({ ...toPart(values), place: String(i) })) };
}

function toPart([type, ...values]) {
  if (type === "Note") {
    const [role, key, text, room] = values;
    return { type, entity: "", kind: role, role, key, text: toText(text), room };
  }
  const [entity, kind, ...own] = values;
  const part = { type, entity, kind };
  FIELDS[type].forEach(([name, read], i) => { part[name] = read ? read(own[i]) : own[i]; });
  return part;
}

function toBox([x, y, w, h]) {
  return { x, y, w, h };
}

function toText([string, x, y, size, anchor, bold, box]) {
  return { string, x, y, size, anchor, bold: Boolean(bold), box: toBox(box) };
}

function toDot([root, x, y, r, minor]) {
  return { root, x, y, r, minor: Boolean(minor) };
}

/** Hundredths of a millimetre, each point from the one before; two points are a straight piece. @returns {Point[]} */
function toCurve(numbers) {
  const points = [];
  let x = 0, y = 0;
  for (let i = 0; i < numbers.length; i += 2) {
    x += numbers[i];
    y += numbers[i + 1];
    points.push([x / 100, y / 100]);
  }
  return points.length === 2 ? line(points[0], points[1]) : points;
}

/** The same drawing with the roots on the viewer's right; notes stay where they read. As in layout/mirror.py. */
export function mirrored(/** @type {Scene} */ scene, /** @type {string} */ orientation) {
  const w = scene.width;
  const heads = scene.parts.filter((p) => p.role === "table-root").map((p) => p.text.x).sort((a, b) => a - b);
  const place = swapped(heads, w);
  const parts = scene.parts.map((part) => mirroredPart(part, w, place, orientation));
  return { ...scene, side: "right", parts };
}

const FLIP = { start: "end", end: "start", middle: "middle" };

function mirroredPart(part, w, heads, orientation) {
  const made = { ...part };
  if (part.type === "Note") return mirroredNote(part, w, heads, orientation);
  if (part.type === "Row") return mirroredRow(part, w);
  if (part.curve) made.curve = part.curve.map(([x, y]) => [w - x, y]);
  if (part.box) made.box = flipBox(part.box, w);
  if (part.text) made.text = flipText(part.text, w);
  if (part.lines) made.lines = part.lines.map((text) => flipText(text, w));
  if (part.blank) made.blank = flipBox(part.blank, w);
  if (part.badge) made.badge = [w - part.badge[0], part.badge[1]];
  if (part.type === "Spot") Object.assign(made, { x: w - part.x, angle: 180 - part.angle });
  return made;
}

function mirroredNote(part, w, heads, orientation) {
  if (part.role === "table-heading") return { ...part, text: flipText(part.text, w) };
  if (part.role === "orientation") return { ...part, text: { ...part.text, string: orientation }, room: w };
  if (part.role !== "table-root") return part;
  const x = heads.get(part.text.x);
  const box = { ...part.text.box, x: part.text.box.x + x - part.text.x };
  return { ...part, text: { ...part.text, x, box } };
}

/** Names change sides; the dots keep the order of the roots. */
function mirroredRow(part, w) {
  const cells = [...part.dots.map((dot) => dot.x), ...part.empty.map(([x]) => x)].sort((a, b) => a - b);
  const place = swapped(cells, w);
  return {
    ...part,
    name: flipText(part.name, w),
    dots: part.dots.map((dot) => ({ ...dot, x: place.get(dot.x) })),
    empty: part.empty.map(([x, y]) => [place.get(x), y]),
    word: flipText(part.word, w),
    blank: flipBox(part.blank, w),
    badge: flipText(part.badge, w),
  };
}

function swapped(places, w) {
  return new Map(places.map((x, i) => [x, w - places[places.length - 1 - i]]));
}

function flipText(text, w) {
  return { ...text, x: w - text.x, anchor: FLIP[text.anchor], box: flipBox(text.box, w) };
}

function flipBox(box, w) {
  return { ...box, x: w - box.x - box.w };
}
