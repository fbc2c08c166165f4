// What the reader asks to see, as a view of a drawing: highlight, injure, build up to a stage, blank out.
// As in plexusdraw/views.py.
import { Injury } from "./injury.js";
import { light } from "./lighting.js";
import { strandKey } from "./marks.js";
import { Plexus } from "./plexus.js";

/**
 * @typedef {{highlight?: string[], injury?: Injury | null, upto?: string, hide?: string[], quiet?: boolean, title?: string}} Request
 * hide: kinds, or "labels" for all. quiet: leave out what nerves supply, instead of asking for it.
 */

/** @param {Plexus} plexus @param {import("./scene.js").Scene} scene @param {Request} wish @returns {import("./marks.js").View} */
export function makeView(plexus, scene, { highlight = [], injury = null, upto = "", hide = [], quiet = false, title = "" }) {
  const view = { entities: new Map(), strands: new Map(), words: new Map(), blanks: new Map(), quiet, cuts: new Set(), notes: new Map() };
  const { legends } = plexus.data.rules;
  if (!injury) for (const part of scene.parts) if (part.role === "caution") view.notes.set(part.key, null);
  if (highlight.length) lighten(scene, light(plexus, highlight), view);
  if (injury) harm(plexus, scene, injury, view);
  if (upto) buildUp(plexus, scene, upto, view);
  if (hide.length) view.blanks = numbered(plexus, scene, hide, quiet);
  const legend = injury ? injuryLegend(scene, injury, legends) : highlight.length ? legends.light : "";
  if (hide.length || legend) view.notes.set("legend", hide.length ? legends.blank : legend);
  if (title) view.notes.set("title", title);
  return view;
}

function injuryLegend(scene, injury, legends) {
  const kind = injury.partial ? "partial" : "cut";
  return scene.parts.some((part) => part.type === "Row") ? `${legends[kind]} ${legends[`${kind} table`]}` : legends[kind];
}

function lighten(scene, lit, view) {
  const bright = new Set();
  for (const part of scene.parts) {
    if (part.type === "Strand") {
      const on = isLit(part, lit);
      view.strands.set(strandKey(part.entity, part.root, part.source, part.at), on ? "highlit" : "dimmed");
      if (on) bright.add(part.entity);
    }
    for (const dot of part.dots || []) {
      const on = lit.targets.has(`${part.entity} ${dot.root}`);
      view.strands.set(strandKey(part.entity, dot.root, null, 0), on ? "highlit" : "dimmed");
    }
  }
  for (const part of scene.parts) {
    if (!["Strand", "Pill", "Label", "Row"].includes(part.type)) continue;
    view.entities.set(part.entity, bright.has(part.entity) || lit.reached.has(part.entity) ? "highlit" : "dimmed");
  }
}

function isLit(strand, lit) {
  if (strand.source) return lit.arrivals.has(`${strand.entity} ${strand.root} ${strand.source}`);
  return strand.at <= (lit.along.get(`${strand.entity} ${strand.root}`) ?? -2);
}

function harm(plexus, scene, injury, view) {
  const flows = new Map(), last = lastPositions(scene);
  for (const part of scene.parts) {
    if (part.type !== "Strand") continue;
    const flow = flowOf(part, injury, last);
    flows.set(part.entity, (flows.get(part.entity) || new Set()).add(flow));
    if (flow !== "alive") {
      view.strands.set(strandKey(part.entity, part.root, part.source, part.at), flow === "lost" ? "lost" : "weak");
    }
  }
  for (const [id, found] of flows) {
    if (found.has("lost") || found.has("partly")) {
      view.entities.set(id, found.has("alive") || found.has("partly") ? "weak" : "lost");
    }
  }
  for (const part of scene.parts) if (part.type === "Row") harmRow(plexus, part, injury, view);
  for (const { segment, at } of injury.sites) {
    const here = scene.parts.filter((p) => p.type === "Spot" && p.entity === segment && p.at <= at);
    if (here.length) view.cuts.add(`${segment} ${Math.max(...here.map((p) => p.at))}`);
  }
}

function harmRow(plexus, row, injury, view) {
  const { rowWords, rowStates } = plexus.data.rules;
  const outcome = injury.outcome(row.entity);
  const told = rowWords[outcome.state];
  if (told) {
    view.words.set(row.entity, told);
    view.entities.set(row.entity, rowStates[outcome.state]);
  }
  const gone = new Set(outcome.broken.map((route) => route.root));
  for (const dot of row.dots) {
    const key = strandKey(row.entity, dot.root, null, 0);
    if (gone.has(dot.root)) view.strands.set(key, "lost");
    else if (told) view.strands.set(key, "plain");
  }
}

/** "entity position" at which a piece begins → last position that it stands for. */
function lastPositions(scene) {
  const stops = new Map();
  for (const part of scene.parts) {
    if (part.type === "Spot") stops.set(part.entity, (stops.get(part.entity) || new Set()).add(part.at));
  }
  const found = new Map();
  for (const [entity, places] of stops) {
    const order = [...places].sort((a, b) => a - b);
    order.forEach((here, i) => found.set(`${entity} ${here}`, i + 1 < order.length ? order[i + 1] - 1 : here));
  }
  return found;
}

function flowOf(strand, injury, last) {
  if (strand.source) return injury.strand(strand.entity, strand.root, 0, strand.source);
  if (strand.at < 0) return "alive";
  return injury.strand(strand.entity, strand.root, last.get(`${strand.entity} ${strand.at}`) ?? strand.at);
}

/** Hide what belongs to later stages. */
function buildUp(plexus, scene, upto, view) {
  const limit = plexus.data.stages.findIndex((stage) => stage.id === upto);
  const final = limit === plexus.data.stages.length - 1;
  for (const part of scene.parts) {
    if (part.type === "Panel" || part.type === "Note") continue;
    if (part.type === "Row") {
      if (!final) view.entities.set(part.entity, "hidden");
    } else if ((plexus.segments.get(part.entity)?.column ?? 0) > limit) view.entities.set(part.entity, "hidden");
  }
}

/** A number for each label that is hidden, column by column, from the top. @returns {Map<string, number>} */
export function numbered(plexus, scene, hide, quiet = false) {
  const kinds = wanted(plexus, hide);
  const columns = scene.parts.filter((part) => part.type === "Panel").map((part) => part.box);
  const found = [];
  for (const part of scene.parts) {
    const key = labelKey(part, kinds);
    if (!key || (quiet && part.role === "supply")) continue;
    const [x, y] = part.type === "Row" ? [part.name.x, part.name.y] : part.badge;
    const beside = part.type === "Row"; // the table is read after the drawing
    const column = beside ? columns.length + 1 : columns.filter((box) => (scene.side === "left" ? x > box.x : x < box.x + box.w)).length;
    found.push({ column, y, x, key });
  }
  found.sort((a, b) => a.column - b.column || a.y - b.y || a.x - b.x || (a.key < b.key ? -1 : 1));
  return new Map([...new Set(found.map((row) => row.key))].map((key, i) => [key, i + 1]));
}

function labelKey(part, kinds) {
  if (part.type === "Label") return kinds.has(part.role === "name" ? part.kind : "muscle") ? `${part.entity} ${part.role}` : null;
  if (part.type === "Pill") return kinds.has(part.kind) ? `${part.entity} name` : null;
  return part.type === "Row" && kinds.has("muscle") ? `${part.entity} name` : null;
}

function wanted(plexus, hide) {
  const stages = plexus.data.stages.map((stage) => stage.singular);
  return new Set(hide.flatMap((word) => (word === "labels" ? [...stages, "nerve", "muscle"] : [word])));
}
