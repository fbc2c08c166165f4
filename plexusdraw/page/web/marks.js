// Drawing × view × theme → groups of marks: the looks of paint/marks.py. A test compares them with Python's,
// element by element.
import { continued, crossMarks, curveLength, cutMarks, fitted, line, mix, strandMarks, stroke } from "./strokes.js";

const MM_PER_PT = 25.4 / 72;
const A4_MM = 297;
const SMALLEST_PT = 6;
const CAP_EM = 0.668;
const RIM_MM = 0.25;

/**
 * @typedef {{entities: Map<string, string>, strands: Map<string, string>, words: Map<string, string>,
 *   blanks: Map<string, number>, quiet: boolean, cuts: Set<string>, notes: Map<string, string | null>}} View
 * Keys: strands "entity root source at", blanks "entity role", cuts "entity at".
 */

export function strandKey(entity, root, source, at) {
  return `${entity} ${root} ${source || ""} ${at}`;
}

/** Groups of marks, back to front. @param {View} view @param {(text: string, bold: boolean) => number} widthOf */
export function marks(scene, view, theme, widthOf) {
  return new Maker(scene, view, theme, widthOf).groups();
}

class Maker {
  constructor(scene, view, theme, widthOf) {
    this.scene = scene;
    this.view = view;
    this.theme = theme;
    this.widthOf = widthOf;
    this.pens = new Map(scene.roots.map((root, i) => [root, penOf(theme, i)]));
    this.scale = Math.max(1, Math.max(scene.width, scene.height) / A4_MM);
    this.parts = this.stacked();
    const digits = "8".repeat(String(Math.max(1, ...view.blanks.values())).length);
    this.widest = Math.hypot(widthOf(digits, true), CAP_EM * MM_PER_PT) / 2;
    const named = scene.parts.filter((part) => part.type === "Label" && part.role === "name");
    this.blanks = new Map(named.filter((part) => this.number(part)).map((part) => [part.entity, part.blank]));
    this.written = scene.parts.flatMap((part) => this.boxesOf(part));
    const headings = scene.parts.filter((part) => part.type === "Heading");
    this.names = secretNames(scene, view);
    this.headingWidth = Math.max(0, ...headings.map((part) => part.text.box.w));
  }

  groups() {
    const shown = this.parts.filter((p, i) => p.type !== "Spot" && (p.type !== "Gap" || this.opens(i)));
    const spots = this.parts.filter((part) => part.type === "Spot");
    return [...this.whole(shown), ...spots].map((part) => this.group(part)).filter(Boolean);
  }

  /** Bundles that hold a highlit strand after those that hold none. */
  stacked() {
    const runs = bundles(this.scene.parts);
    const lit = runs.map((run) => run.some((p) => p.type === "Strand" && this.strandState(p) === "highlit"));
    if (!lit.some(Boolean)) return this.scene.parts;
    const moving = [...runs.keys()].filter((i) => isLine(runs[i][0]));
    const order = [...moving.filter((i) => !lit[i]), ...moving.filter((i) => lit[i])];
    const placed = new Map(moving.map((place, i) => [place, order[i]]));
    return runs.flatMap((_, i) => runs[placed.get(i) ?? i]);
  }

  /** Pieces of a strand that follow each other in one state, joined. */
  whole(parts) {
    const found = [];
    for (const part of parts) {
      const held = found[found.length - 1];
      const same = held && held.type === "Strand" && part.type === "Strand" && this.strandState(held) === this.strandState(part);
      const joined = same ? continued(held, part) : null;
      if (joined) found[found.length - 1] = joined;
      else found.push(part);
    }
    return found;
  }

  group(part) {
    const state = part.type === "Note" ? "plain" : this.state(part.entity);
    if (state === "hidden") return null;
    const made = this.draw(part);
    if (!made.length) return null;
    const entity = part.entity && this.names.entity(part.entity);
    return { key: part.place, entity, kind: part.kind, state: this.number(part) ? "blank" : state, marks: made };
  }

  state(entity) {
    return this.view.entities.get(entity) || "plain";
  }

  strandState(part) {
    const own = this.view.strands.get(strandKey(part.entity, part.root, part.source, part.at));
    if (own) return own;
    const state = this.state(part.entity);
    return ["hidden", "dimmed", "highlit"].includes(state) ? state : "plain";
  }

  number(part) {
    const role = part.type === "Label" ? part.role : "name";
    return ["Pill", "Row", "Heading", "Label"].includes(part.type) ? this.view.blanks.get(`${part.entity} ${role}`) : undefined;
  }

  look(entity) {
    return this.theme.states[this.state(entity)];
  }

  kind(kind) {
    return this.theme.kinds[kind] || this.theme.kinds.default;
  }

  ink(part, look) {
    if (look.text) return look.text;
    const text = this.kind(part.kind).text;
    if (text !== "root") return text;
    const pen = this.pens.get(part.entity);
    return pen ? pen.text : this.theme.ink;
  }

  /** @returns {Record<string, any>[]} */
  draw(part) {
    return this[`draw${part.type}`](part);
  }

  /** @returns {Record<string, any>[]} */
  drawPanel({ box, index }) {
    const { fills, radius, rule, width } = this.theme.panels;
    const fill = fills.length ? fills[index % fills.length] : null;
    /** @type {Record<string, any>[]} */
    const made = fill ? [plate(box, radius * this.scale, fill)] : [];
    if (!rule || !index) return made;
    const x = this.scene.side === "right" ? box.x + box.w : box.x;
    for (const [top, bottom] of this.clear(x, box.y, box.y + box.h)) {
      made.push(stroke(line([x, top], [x, bottom]), rule, width * this.scale));
    }
    return made;
  }

  /** Stretches of a vertical line that meet no text and no box to write in. */
  clear(x, top, bottom) {
    const pad = 0.8 * this.scale, found = [];
    const taken = this.written
      .filter((b) => b.x - pad < x && x < b.x + b.w + pad)
      .map((b) => [b.y - pad, b.y + b.h + pad])
      .sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    for (const [first, last] of taken) {
      if (first > top) found.push([top, Math.min(first, bottom)]);
      top = Math.max(top, last);
    }
    return top < bottom ? [...found, [top, bottom]] : found;
  }

  boxesOf(part) {
    if ((part.type !== "Pill" && part.type !== "Label") || this.state(part.entity) === "hidden") return [];
    if (part.type === "Pill") return [part.box];
    return this.number(part) ? [part.blank] : part.lines.map((text) => text.box);
  }

  drawHeading(part) {
    const number = this.number(part);
    const { text } = part;
    if (!number) return [words(text, this.look(part.entity).soft || this.theme.soft)];
    const w = this.headingWidth + 2 * text.size * MM_PER_PT;
    const box = { x: text.box.x + text.box.w / 2 - w / 2, y: text.box.y, w, h: text.box.h };
    return this.blank(box, [box.x, box.y + box.h / 2], number);
  }

  drawGap(part) {
    return [stroke(part.curve, this.theme.page, part.width)];
  }

  drawStrand(part) {
    const state = this.strandState(part);
    if (state === "hidden") return [];
    const root = this.names.root(part.root);
    return strandMarks(part, this.pens.get(part.root), this.theme, state).map((mark) => ({ ...mark, root }));
  }

  drawLeader(part) {
    const { rules } = this.theme, look = this.look(part.entity);
    const width = rules.leader_width * this.scale;
    const wanted = look.strand ? look.dash.map((d) => 4 * d * width) : [];
    const curve = this.fromBlank(part);
    return [{ ...stroke(curve, look.strand || rules.leader, width), ...fitted(wanted, curveLength(curve)) }];
  }

  /** A leader's curve; where its name is blank it begins beside the blank, so that it tells no name's length. */
  fromBlank(part) {
    const start = part.curve[0], end = part.curve[3], blank = this.blanks.get(part.entity);
    if (!blank || start[0] === end[0]) return part.curve;
    const pad = 0.8 * this.scale;
    const x = start[0] < end[0] ? Math.min(blank.x + blank.w + pad, end[0]) : Math.max(blank.x - pad, end[0]);
    const rest = start[1] === end[1] ? part.curve.slice(3) : part.curve;
    return [...line([x, start[1]], rest[0]), ...rest.slice(1)];
  }

  drawPill(part) {
    const number = this.number(part);
    if (number) return this.blank(part.box, part.badge, number);
    const look = this.look(part.entity), kind = this.kind(part.kind);
    const radius = Math.min(kind.radius * this.scale, part.box.h / 2);
    const box = plate(part.box, radius, look.fill || kind.fill, look.stroke || kind.stroke, kind.width * this.scale);
    return [box, words(part.text, this.ink(part, look))];
  }

  drawLabel(part) {
    if (this.view.quiet && part.role === "supply") return [];
    const number = this.number(part);
    if (number) return this.blank(part.blank, part.badge, number);
    const look = this.look(part.entity), isName = part.role === "name";
    const colour = isName ? this.ink(part, look) : look.soft || this.kind(part.kind).soft;
    const behind = look.behind && isName && part.lines.length;
    const back = behind ? [this.behind(part.lines.map((text) => text.box), look.behind)] : [];
    return [...back, ...part.lines.map((text) => words(text, colour))];
  }

  drawRow(part) {
    const { theme } = this, look = this.look(part.entity), number = this.number(part), made = [];
    if (look.behind && !number) {
      const ends = [...part.dots.map((dot) => dot.x + dot.r), ...part.empty.map(([x]) => x)];
      made.push(this.behind([part.name.box, ...ends.map((x) => ({ x, y: part.name.box.y, w: 0, h: 0 }))], look.behind));
    }
    const r = part.dots.length ? Math.min(...part.dots.map((dot) => dot.r)) : 0.6 * this.scale;
    made.push(...part.empty.map(([x, y]) => disc(x, y, 0.22 * r, theme.rules.cell)));
    made.push(...part.dots.flatMap((dot) => this.dot(part.entity, dot)));
    made.push(number ? this.box(part.blank) : words(part.name, this.ink(part, look)));
    if (number) made.push(words({ ...part.badge, string: String(number), bold: true }, theme.ink));
    const string = this.view.words.get(part.entity);
    if (string) made.push(words({ ...part.word, string }, look.word || theme.soft));
    return made;
  }

  /** A root of a row: a disc, a ring where the share is minor, a cross where it is lost. */
  dot(row, dot) {
    const own = this.view.strands.get(strandKey(row, dot.root, null, 0));
    const { theme } = this, entity = this.state(row);
    const state = own || (entity === "lost" ? "lost" : this.strandState({ entity: row, root: dot.root, source: null, at: 0 }));
    if (state === "hidden") return [];
    const look = theme.states[state];
    if (state === "lost") return crossMarks(dot, look.soft || theme.soft);
    const colour = look.strand || mix(this.pens.get(dot.root).strand, theme.page, look.mix);
    const width = Math.min(theme.rules.ring_width * this.scale, 0.5 * dot.r);
    return [disc(dot.x, dot.y, dot.r - width / 2, dot.minor || look.hollow ? theme.page : colour, colour, width)];
  }

  drawSpot(part) {
    return this.view.cuts.has(`${part.entity} ${part.at}`) ? cutMarks(part, this.theme.cut, this.theme.page, this.scale) : [];
  }

  drawNote(part) {
    const { theme, view } = this;
    let string = view.notes.has(part.key) ? view.notes.get(part.key) : part.text.string;
    if (!string) return [];
    let colour = part.role === "title" ? theme.ink : theme.soft;
    if (part.role === "table-root") {
      const root = this.pens.has(part.key) ? part.key : string;
      const asked = view.blanks.get(`${root} name`);
      if (asked && !view.notes.has(part.key)) string = String(asked);
      else if (this.pens.has(root)) colour = this.pens.get(root).text;
    }
    return [words(this.within({ ...part.text, string }, part.room), colour)];
  }

  /** A text set smaller, then cut short, so that it keeps to its room. As in paint/lines.py. */
  within(text, room) {
    const wide = (string, size) => this.widthOf(string, text.bold) * size;
    const whole = wide(text.string, text.size);
    if (whole <= room + 0.01) return text;
    const size = Math.max(Math.min(SMALLEST_PT, text.size), (text.size * room) / whole);
    if (wide(text.string, size) <= room + 0.01) return { ...text, size };
    const all = text.string.split(" ");
    let n = all.length;
    while (n > 1 && wide(`${all.slice(0, n).join(" ")}…`, size) > room) n -= 1;
    return { ...text, size, string: `${all.slice(0, n).join(" ").replace(/[,;:]$/, "")}…` };
  }

  /** Whether the bundle in front of a gap is seen. */
  opens(index) {
    const gap = this.parts[index];
    let seen = false;
    for (const part of this.parts.slice(index + 1)) {
      if (part.type === "Gap" && part.entity === gap.entity) continue;
      if (part.type !== "Strand" || part.entity !== gap.entity) break;
      seen = seen || this.strandState(part) !== "hidden";
    }
    return seen;
  }

  behind(boxes, colour) {
    const pad = 0.6 * this.scale;
    const x = Math.min(...boxes.map((b) => b.x)) - pad, y = Math.min(...boxes.map((b) => b.y)) - 0.4 * pad;
    const right = Math.max(...boxes.map((b) => b.x + b.w)) + pad;
    const bottom = Math.max(...boxes.map((b) => b.y + b.h)) + 0.4 * pad;
    return plate({ x, y, w: right - x, h: bottom - y }, pad, colour);
  }

  box(box) {
    const style = this.theme.blank;
    const width = Math.min(style.width * this.scale, box.h / 12);
    return plate(box, Math.min(style.radius * this.scale, box.h / 2), style.fill, style.stroke, width);
  }

  blank(box, [x, y], number) {
    const style = this.theme.blank;
    const r = Math.max(0.46 * box.h, this.widest * SMALLEST_PT + RIM_MM);
    const size = Math.max(SMALLEST_PT, Math.min((r - RIM_MM) / this.widest, (1.25 * r) / MM_PER_PT));
    const text = { string: String(number), x, y: y + 0.5 * CAP_EM * size * MM_PER_PT, size, anchor: "middle", bold: true };
    return [this.box(box), disc(x, y, r, style.badge), words(text, style.number)];
  }
}

/** Ids as they may be written: on a picture that asks something, numbers that tell nothing. As in paint/secrecy.py. */
function secretNames(scene, view) {
  if (!view.blanks.size) return { entity: (id) => id, root: (id) => id };
  const ids = [...new Set(scene.parts.filter((part) => part.type !== "Note").map((part) => part.entity))];
  const secretRoots = scene.roots.some((root) => view.blanks.has(`${root} name`));
  return {
    entity: (id) => `part-${ids.indexOf(id) + 1}`,
    root: (id) => (secretRoots ? `root-${scene.roots.indexOf(id) + 1}` : id),
  };
}

/** Beyond the last pen they come again, marked. */
export function penOf(theme, i) {
  const pen = theme.roots[i % theme.roots.length];
  return i < theme.roots.length ? pen : { ...pen, core: theme.page, core_dash: theme.again };
}

function isLine(part) {
  return part.type === "Gap" || part.type === "Strand";
}

/** Bundles (gaps, then strands) and single other parts. */
function bundles(parts) {
  const runs = [];
  let before = null;
  for (const part of parts) {
    const begins = part.type === "Gap" && !(before && before.type === "Gap");
    if (isLine(part) && before && isLine(before) && !begins) runs[runs.length - 1].push(part);
    else runs.push([part]);
    before = part;
  }
  return runs;
}

function words(text, fill) {
  return { tag: "text", string: text.string, x: text.x, y: text.y, size: text.size * MM_PER_PT, anchor: text.anchor, bold: text.bold, fill };
}

function plate(box, radius, fill, colour = null, width = 0) {
  return { tag: "rect", box, radius, fill: fill || "none", stroke: colour, width };
}

function disc(x, y, r, fill, colour = null, width = 0) {
  return { tag: "circle", x, y, r, fill: fill || "none", stroke: colour, width };
}
