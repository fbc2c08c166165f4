// The ways of strands across a picture, as straight pieces. Lengths in mm.
import { points, stretch } from "./scene.js";

/** What turns off by less is straight. */
const STRAIGHT_MM = 0.01;

/** @typedef {{entity: string, way: [number, number][]}} Way */

/** The way of each piece of each strand. @param {import("./scene.js").Scene} scene @returns {Way[]} */
export function waysOf(scene) {
  return scene.runs.flatMap(([, parts]) => parts.filter(([type]) => type === "strand").flatMap(pieces));
}

/** All straight pieces. @param {Way[]} ways @returns {import("./room.js").Piece[]} */
export function piecesOf(ways) {
  return ways.flatMap(({ entity, way }) => straightened(way).map(([ax, ay, bx, by]) => ({ entity, ax, ay, bx, by })));
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

/** Distance of a place from a straight piece, mm. */
export function distanceTo([ax, ay], [bx, by], x, y) {
  const dx = bx - ax, dy = by - ay, size = dx * dx + dy * dy;
  const t = size ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / size)) : 0;
  return Math.hypot(ax + t * dx - x, ay + t * dy - y);
}
