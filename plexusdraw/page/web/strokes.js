// Strands, dashes and cut marks as paths. As in paint/strokes.py, which says why.

/** @typedef {import("./scene.js").Point} Point */

const CORE = 0.34;
const JOIN_MM = 0.5;
const HAIR_MM = 0.15;
const STRAIGHT_MM = 0.005;
const SAMPLES = 12;

/** Marks of a strand: its stroke, then its second tone or its blank middle. The caller adds the root. */
export function strandMarks(part, pen, theme, state) {
  const look = theme.states[state];
  const width = part.width * look.width;
  const run = curveLength(part.curve);
  const base = {
    ...stroke(part.curve, look.strand || mix(pen.strand, theme.page, look.mix), width),
    ...fitted(look.dash.map((d) => d * part.width), run),
    state,
  };
  const hollow = Math.max(look.hollow, part.minor ? theme.minor : 0);
  if (hollow) {
    return [base, { ...base, curve: longer(part.curve), stroke: theme.page, width: width * hollow, dash: [], offset: 0 }];
  }
  if (!pen.core || look.strand) return [base];
  const dash = fitted(pen.core_dash.map((d) => d * part.width), run);
  return [base, { ...base, stroke: mix(pen.core, theme.page, look.mix), width: width * CORE, ...dash }];
}

export function stroke(/** @type {Point[]} */ curve, /** @type {string} */ colour, /** @type {number} */ width) {
  return { tag: "path", curve, stroke: colour, width, dash: [], offset: 0 };
}

const joins = new WeakMap();

/** Two pieces as one, where the second goes straight on from the first; else null. */
export function continued(a, b) {
  if (!joins.has(a)) joins.set(a, new Map());
  const known = joins.get(a);
  if (!known.has(b)) known.set(b, join(a, b));
  return known.get(b);
}

function join(a, b) {
  const alike = a.entity === b.entity && a.root === b.root && a.width === b.width && a.minor === b.minor && a.kind === b.kind;
  if (!alike || b.curve.length !== 4 || !straight(b.curve)) return null;
  const [before, end] = a.curve.slice(-2);
  const start = b.curve[0], goal = b.curve[3];
  const near = Math.hypot(end[0] - start[0], end[1] - start[1]) <= JOIN_MM;
  const level = off(before, end, goal) < STRAIGHT_MM && off(start, goal, end) < STRAIGHT_MM;
  const ahead = (goal[0] - end[0]) * (end[0] - before[0]) + (goal[1] - end[1]) * (end[1] - before[1]) > 0;
  if (!(near && level && ahead)) return null;
  if (a.curve.length === 4 && straight(a.curve)) return { ...a, curve: line(a.curve[0], goal) };
  return { ...a, curve: [...a.curve, ...line(end, goal).slice(1)] };
}

/** Two bars across a bundle, with blank paper between and around them. */
export function cutMarks(spot, style, page, scale) {
  const angle = (spot.angle * Math.PI) / 180;
  const ux = Math.cos(angle), uy = Math.sin(angle);
  const reach = spot.half + style.reach * scale;
  const width = style.width * scale, half = 0.5 * style.apart * scale, casing = 0.5 * width;
  const bar = (shift, far, thick, colour) => {
    const x = spot.x + ux * shift, y = spot.y + uy * shift;
    return stroke(line([x + uy * far, y - ux * far], [x - uy * far, y + ux * far]), colour, thick);
  };
  return [
    bar(0, reach + casing, 2 * half + width + 2 * casing, page),
    bar(-half, reach, width, style.stroke),
    bar(half, reach, width, style.stroke),
  ];
}

/** A cross in place of a dot. */
export function crossMarks(dot, /** @type {string} */ colour) {
  const arm = 0.78 * dot.r, width = (dot.minor ? 0.26 : 0.52) * dot.r;
  return [arm, -arm].map((rise) => stroke(line([dot.x - arm, dot.y - rise], [dot.x + arm, dot.y + rise]), colour, width));
}

/** A straight stretch as one cubic. @returns {Point[]} */
export function line(/** @type {Point} */ a, /** @type {Point} */ b) {
  const tx = (b[0] - a[0]) / 3, ty = (b[1] - a[1]) / 3;
  return [a, [a[0] + tx, a[1] + ty], [b[0] - tx, b[1] - ty], b];
}

/** A dash stretched so that a stroke begins and ends in mid-dash. */
export function fitted(/** @type {number[]} */ dash, /** @type {number} */ run) {
  const period = dash.reduce((sum, d) => sum + d, 0);
  if (!period || !run) return { dash: [], offset: 0 };
  const stretch = run / (period * Math.max(1, Math.round(run / period)));
  return { dash: dash.map((d) => d * stretch), offset: (dash[0] * stretch) / 2 };
}

const lengths = new WeakMap();

/** Length of a chain of cubics, mm. */
export function curveLength(/** @type {Point[]} */ curve) {
  let found = lengths.get(curve);
  if (found === undefined) {
    found = 0;
    for (let i = 0; i + 3 < curve.length; i += 3) found += cubicLength(curve.slice(i, i + 4));
    lengths.set(curve, found);
  }
  return found;
}

function cubicLength(cubic) {
  let total = 0, [px, py] = cubic[0];
  for (let i = 1; i <= SAMPLES; i += 1) {
    const [x, y] = pointAt(cubic, i / SAMPLES);
    total += Math.hypot(x - px, y - py);
    [px, py] = [x, y];
  }
  return total;
}

/** @returns {Point} */
export function pointAt([a, b, c, d], /** @type {number} */ t) {
  const s = 1 - t, p = s * s * s, q = 3 * s * s * t, r = 3 * s * t * t, u = t * t * t;
  return [p * a[0] + q * b[0] + r * c[0] + u * d[0], p * a[1] + q * b[1] + r * c[1] + u * d[1]];
}

const lengthened = new WeakMap();

/** With both ends moved outwards by a hair. */
function longer(curve) {
  const n = curve.length;
  if (!lengthened.has(curve)) lengthened.set(curve, [beyond(curve[1], curve[0]), ...curve.slice(1, -1), beyond(curve[n - 2], curve[n - 1])]);
  return lengthened.get(curve);
}

/** @returns {Point} */
function beyond(a, b) {
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  return [b[0] + (HAIR_MM * (b[0] - a[0])) / size, b[1] + (HAIR_MM * (b[1] - a[1])) / size];
}

function straight(curve) {
  return curve.slice(1, -1).every((point) => off(curve[0], curve[curve.length - 1], point) < STRAIGHT_MM);
}

function off(a, b, p) {
  const dx = b[0] - a[0], dy = b[1] - a[1];
  return Math.abs(dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / (Math.hypot(dx, dy) || 1);
}

/** A colour with a share of another mixed in, in sRGB. */
export function mix(/** @type {string} */ colour, /** @type {string} */ other, /** @type {number} */ share) {
  if (!share) return colour;
  const channel = (text, i) => parseInt(text.slice(2 * i + 1, 2 * i + 3), 16);
  const mixed = [0, 1, 2].map((i) => {
    const a = channel(colour, i);
    return Math.round(a + (channel(other, i) - a) * share).toString(16).padStart(2, "0");
  });
  return `#${mixed.join("")}`;
}
