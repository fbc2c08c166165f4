// Room for a name on the picture: off strands of other things, off other texts, on the picture. Lengths in mm.

/**
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 * @typedef {{entity: string, ax: number, ay: number, bx: number, by: number}} Piece a straight piece of a strand
 * @typedef {Box & {id: string, lines: string[], plate: boolean, middle: number}} Place h: high enough to be tapped; middle: of the text, down
 */

/** A line of its own has so many letters at least. */
const LEAST_LETTERS = 4;
/** Height of a line, and of a plate, in sizes of the type. */
export const LINE = 1.2;
const PLATE = 1.45, PLATE_PAD = 0.45;
/** A name moves so far from its place, in sizes of the type. */
const ACROSS = 4, HARDLY = [0.35, -0.35], DOWN = [...HARDLY, 0.7, -0.7, 1.05, -1.05];
/** It then reaches so far up and down: the last step, and half of two lines on a plate. */
const REACH = 1.05 + (LINE + PLATE) / 2;

/** How far a straight piece reaches across within a band. @returns {[number, number] | null} */
function across(ax, ay, bx, by, top, bottom) {
  if (Math.max(ay, by) < top || Math.min(ay, by) > bottom) return null;
  const at = (y) => (by === ay ? 0 : Math.max(0, Math.min(1, (y - ay) / (by - ay))));
  const [s, t] = by === ay ? [0, 1] : [at(top), at(bottom)];
  const from = ax + s * (bx - ax), to = ax + t * (bx - ax);
  return from < to ? [from, to] : [to, from];
}

/** Whether two boxes meet, with a gap between them across. @param {Box} a @param {Box} b */
export function overlap(a, b, gap = 0) {
  return a.x < b.x + b.w + gap && b.x < a.x + a.w + gap && a.y < b.y + b.h && b.y < a.y + a.h;
}

/** The text as one line, and as two of nearly the same width. @returns {string[][]} */
export function foldings(/** @type {string} */ text, /** @type {(text: string) => number} */ widthOf) {
  const words = text.split(" ");
  const all = words.slice(1).map((_, i) => [words.slice(0, i + 1).join(" "), words.slice(i + 1).join(" ")]);
  const pairs = all.filter((lines) => lines.every((line) => line.length >= LEAST_LETTERS));
  if (!pairs.length) return [[text]];
  const wide = (lines) => Math.max(...lines.map(widthOf));
  return [[text], pairs.reduce((a, b) => (wide(b) < wide(a) ? b : a))];
}

/**
 * Places where a name may stand, the best first: its own, moved within the free room of its row, in two lines.
 * @param {{id: string, text: string, own: Box, anchor: string, plate: boolean, row: boolean, blank: boolean}} name row: of a table, where it keeps to its line; blank: a number, which stands in its blank
 * @param {{size: number, tap: number, widthOf: (text: string) => number, frame: Box, clear: number, pieces: Piece[], texts: Box[], parts: Map<string, string[]>}} about
 * parts: of a name that stands on several nerves; widthOf: mm at this size; tap: least height; clear: from the middle of a strand; texts: those that stand already
 * @returns {Generator<Place>}
 */
export function* placesFor(name, about) {
  const { own: place, plate, id } = name, { size } = about;
  if (name.blank) return void (yield* standing({ ...name, lines: [name.text], steps: [], anchor: "middle", onPlate: false }, [], about));
  const near = about.pieces.filter(within(place, ACROSS * size + place.w + about.widthOf(name.text), REACH * size + about.clear));
  const own = [id, ...(about.parts.get(id) || [])], foreign = near.filter((piece) => !own.includes(piece.entity));
  const one = [name.text], [, two] = name.row ? [] : foldings(name.text, about.widthOf);
  const shapes = plate || name.row ? [[one, []], ...(two ? [[two, []]] : [])] : [[one, HARDLY], ...(two ? [[two, DOWN]] : []), [one, DOWN]];
  // On its plate if that fits; a name beside its strand keeps off that as well, if it can.
  const ways = plate ? [[true, foreign], [false, foreign]] : near.length > foreign.length ? [[false, near], [false, foreign]] : [[false, near]];
  for (const [onPlate, pieces] of ways) {
    const known = new Map();
    for (const [lines, steps] of shapes) yield* standing({ ...name, lines, steps, onPlate, known }, pieces, about);
  }
}

/** Places of a name in these lines: that in its own row if it is hardly moved, then those that are moved least first; *known*: those worked out before. @returns {Generator<Place>} */
function* standing({ id, lines, steps, own, anchor, onPlate, known = new Map() }, pieces, about) {
  const { size, tap, widthOf, frame } = about;
  const text = Math.max(...lines.map(widthOf)), w = text + (onPlate ? 2 * PLATE_PAD * size : 0);
  const high = onPlate ? (lines.length - 1) * LINE * size + PLATE * size : lines.length * LINE * size, h = Math.max(tap, high);
  const wish = anchor === "start" ? own.x : anchor === "end" ? own.x + own.w - w : own.x + own.w / 2 - w / 2;
  const at = (step) => {
    const key = `${lines.length} ${step}`;
    if (!known.has(key)) known.set(key, moved(step));
    return known.get(key);
  };
  const moved = (step) => {
    const middle = own.y + own.h / 2 + step * size, y = middle - high / 2;
    if (y < frame.y || y + high > frame.y + frame.h) return [];
    const x = nearestFree(wish, ACROSS * size, { y, w, h: high }, pieces, about);
    if (x === null) return [];
    return [{ cost: Math.abs(x - wish) + 2 * Math.abs(step) * size, place: { id, lines, plate: onPlate, x, y: middle - h / 2, w, h, middle } }];
  };
  const [first] = at(0);
  if (first && first.cost < size) yield first.place;
  const others = steps.flatMap(at);
  const rest = first && first.cost >= size ? [first, ...others] : others;
  for (const { place } of rest.sort((a, b) => a.cost - b.cost)) yield place;
}

/** Where a box as wide and high as this may stand in its row, nearest to the wish and no farther than *far*. @returns {number | null} */
function nearestFree(wish, far, { y, w, h }, pieces, { texts, frame, clear }) {
  /** @type {[number, number][]} */
  const taken = [], low = wish - far - clear, high = wish + w + far + clear;
  for (const text of texts) if (text.y < y + h && text.y + text.h > y) taken.push([text.x - clear, text.x + text.w + clear]);
  for (const { ax, ay, bx, by } of pieces) {
    if ((ax < low && bx < low) || (ax > high && bx > high)) continue;
    const found = across(ax, ay, bx, by, y - clear, y + h + clear);
    if (found) taken.push([found[0] - clear, found[1] + clear]);
  }
  let best = null, from = frame.x;
  const gap = (to) => {
    if (to - from < w) return;
    const x = Math.max(from, Math.min(to - w, wish));
    if (best === null || Math.abs(x - wish) < Math.abs(best - wish)) best = x;
  };
  for (const [start, end] of taken.sort((a, b) => a[0] - b[0])) {
    gap(Math.min(start, frame.x + frame.w));
    from = Math.max(from, end);
  }
  gap(frame.x + frame.w);
  return best !== null && Math.abs(best - wish) <= far ? best : null;
}

/** Pieces that come near to a box. @param {Box} box */
function within({ x, y, w, h }, dx, dy) {
  return ({ ax, ay, bx, by }) => Math.max(ax, bx) > x - dx && Math.min(ax, bx) < x + w + dx && Math.max(ay, by) > y - dy && Math.min(ay, by) < y + h + dy;
}
