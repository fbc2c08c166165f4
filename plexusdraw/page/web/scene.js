// A picture as Python painted it (page/pictures.py): every part in each of its states; and its other side.
// Lengths are in hundredths of a millimetre.

/**
 * @typedef {[string, ...any[]]} Place letter of the element, then numbers; a text ends with its string, or the index in LIVE
 * @typedef {[number, Place[], number[]]} Slot look, places, dashes
 * @typedef {[string, string, string, ...any[]]} Part type, entity, kind, what chooses its state, slots
 * @typedef {Record<string, any> & {width: number, height: number, side: string, entities: string[], labels: [string, string][],
 *   runs: [number, Part[]][], strands: [string, string, string | null, number, number | null][]}} Scene
 */

/** One side of a picture. @returns {Scene} */
export function sceneOf(/** @type {Record<string, any>} */ data, /** @type {string} */ side, detail) {
  const { slots, ...own } = data[side];
  let i = 0;
  const other = (part) => otherSide(part, slots[i++], data.mirrored);
  const runs = slots ? data.runs.map(([moves, parts]) => [moves, parts.map(other)]) : data.runs;
  return { ...data, ...own, ...detail, side, runs };
}

/** A part of the other limb: mirrored, but for what differs. */
function otherSide(part, unlike, wide) {
  return [...part.slice(0, -1), part[part.length - 1].map((slot, i) => otherSlot(slot, unlike ? unlike[i] : 0, wide))];
}

/** @returns {Slot} */
function otherSlot([look, places, dashes], unlike, wide) {
  if (unlike && unlike[0] === null) return unlike.slice(1);
  return [look, places.map((place, i) => otherPlace(place, unlike ? unlike[i] : 0, wide)), dashes];
}

/** @param {Place} place @param {Place | number} unlike the place itself, or how far it is moved; 0: mirrored */
function otherPlace(place, unlike, wide) {
  if (typeof unlike !== "number") return unlike;
  return unlike ? [place[0], place[1] + unlike, ...place.slice(2)] : flipped(place, wide);
}

/** @returns {Place} */
function flipped([letter, x, y, ...rest], wide) {
  if (letter === "p") return [letter, wide - x, y, ...rest.map((step, i) => (i % 2 ? step : -step))];
  if (letter === "t") return [letter, wide - x, y, { start: "end", end: "start" }[rest[0]] || rest[0], rest[1]];
  return [letter, wide - x - (letter === "r" ? rest[0] : 0), y, ...rest];
}

/** Points of a curve, mm: a chain of cubics. @returns {[number, number][]} */
export function points([, ...steps]) {
  const found = [];
  let x = 0, y = 0;
  for (let i = 0; i < steps.length; i += 2) found.push([(x += steps[i]) / 100, (y += steps[i + 1]) / 100]);
  return found;
}

/** Place of a stretch among those of a strand of *many* pieces: from the piece *first* to the piece *last*. */
export function stretch(/** @type {number} */ many, /** @type {number} */ first, /** @type {number} */ last) {
  return first * many - (first * (first - 1)) / 2 + last - first;
}
