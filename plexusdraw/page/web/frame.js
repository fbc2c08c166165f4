// What of a page is on the screen: the drawing without the page's margins, title and small print.
import { points } from "./scene.js";

/** @typedef {import("./room.js").Box} Box */

/** Words of a page that the screen shows elsewhere, or not at all. */
export const PAGE_WORDS = ["title", "orientation", "legend", "caution"];
/** At this scale every name can be read and tapped; at the second, read. */
export const CLEAR_PX_PER_MM = 8, READABLE_PX_PER_MM = 4.2;
const AIR_MM = 2;
const AIR_PX = 5;
/** So much wider than the drawing a frame becomes for its names at most. */
const WIDEST = 1.4;

/** All that is drawn but the words of the page, mm. @param {import("./scene.js").Scene} scene @returns {Box} */
export function bounds(scene) {
  let left = Infinity, top = Infinity, right = -Infinity, bottom = -Infinity;
  const reach = (/** @type {number} */ x, /** @type {number} */ y) => {
    [left, right, top, bottom] = [Math.min(left, x), Math.max(right, x), Math.min(top, y), Math.max(bottom, y)];
  };
  for (const part of scene.runs.flatMap(([, parts]) => parts)) {
    const [type, role] = part;
    if (type === "cut" || (type === "note" && PAGE_WORDS.includes(role))) continue;
    for (const [, places] of part[part.length - 1]) for (const place of places) extent(place, reach);
  }
  for (const [, , ...boxes] of scene.items) for (const [x, y, w, h] of [boxes[0], ...boxes[2]]) { reach(x / 100, y / 100); reach((x + w) / 100, (y + h) / 100); }
  for (const x of scene.words || []) [left, right] = [Math.min(left, x / 100), Math.max(right, x / 100)];
  return { x: left - AIR_MM, y: top - AIR_MM, w: right - left + 2 * AIR_MM, h: bottom - top + 2 * AIR_MM };
}

function extent(place, reach) {
  const [letter, a, b, c, d] = place;
  if (letter === "p") for (const [x, y] of points(place)) reach(x, y);
  else if (letter === "r") { reach(a / 100, b / 100); reach((a + c) / 100, (b + d) / 100); }
  else if (letter === "c") { reach((a - c) / 100, (b - c) / 100); reach((a + c) / 100, (b + c) / 100); }
}

/**
 * The frame about a drawing in a box of the screen: with room at its sides for names that are larger here than on paper.
 * @param {Box} drawing @param {{x: number, right: number, anchor: string, width: number}[]} names width in px as they are shown on the screen
 * @param {number} wide px @param {number} high px @returns {Box}
 */
export function framed(drawing, names, wide, high) {
  let scale = Math.min(wide / drawing.w, high / drawing.h) || 1, frame = drawing;
  for (let turn = 0; turn < 5; turn += 1) {
    let left = drawing.x, right = drawing.x + drawing.w;
    for (const name of names) {
      if (name.anchor === "start") right = Math.max(right, name.x + (name.width + AIR_PX) / scale);
      if (name.anchor === "end") left = Math.min(left, name.right - (name.width + AIR_PX) / scale);
    }
    const w = Math.min(right - left, WIDEST * drawing.w);
    frame = { x: right > drawing.x + drawing.w ? left : right - w, y: drawing.y, w, h: drawing.h };
    scale = Math.min(wide / frame.w, high / frame.h);
  }
  return frame;
}

/** Half the width of the widest strand, mm. @param {import("./scene.js").Scene} scene */
export function halfStrand(scene) {
  const strands = scene.runs.flatMap(([, parts]) => parts).filter(([type]) => type === "strand");
  const looks = new Set(strands.flatMap(([, , , , slots]) => slots.map(([look]) => look)));
  const widths = [...looks].flatMap((look) => scene.looks[look].plain.filter((_, i) => i % 3 === 1).map((paint) => Number(scene.paints[paint][0]?.["stroke-width"] || 0)));
  return Math.max(0, ...widths) / 2;
}
