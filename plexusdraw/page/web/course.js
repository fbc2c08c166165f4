// Along a nerve: its places and branches in order, with what is cut marked and what is lost beyond; for cuts that no picture shows.
import { NONE, placesOf, wordOfState } from "./states.js";
import { h, stateWord } from "./widgets.js";

/** @typedef {{at: number, id: string, kind: "place" | "branch" | "supply"}} Stop at: position on the course of its nerve */

/** From a nerve of the picture down to one that is not drawn. @param {import("./plexus.js").Plexus} plexus @param {Set<string>} drawn @returns {string[]} */
export function wayTo(plexus, drawn, /** @type {string} */ id) {
  const parents = plexus.parents(id);
  return drawn.has(id) || drawn.has(plexus.wholeOf.get(id) || "") || !parents.length ? [id] : [...wayTo(plexus, drawn, parents[0]), id];
}

/** What leaves a nerve or lies on it, in order; then what it divides into. @param {import("./plexus.js").Plexus} plexus @returns {Stop[]} */
export function stopsOf(plexus, /** @type {string} */ id) {
  const course = plexus.segments.get(id).course || [];
  const kind = (item) => (typeof item !== "string" ? "place" : plexus.segments.has(item) ? "branch" : "supply");
  const along = course.map((item, at) => ({ at, id: typeof item === "string" ? item : item.id, kind: /** @type {any} */ (kind(item)) }));
  const ends = plexus.children.get(id).filter((child) => !course.includes(child));
  return [...along, ...ends.map((child) => ({ at: course.length, id: child, kind: /** @type {any} */ ("branch") }))];
}

/**
 * The nerve of a cut from where it is drawn, as a list in a list.
 * @param {import("./app.js").App} app @param {import("./plexus.js").Site} site @param {import("./injury.js").Injury} injury
 */
export function alongNerve(app, site, injury) {
  const drawn = new Set(app.scene.items.map(([id]) => id));
  const [[segment]] = placesOf(site), way = wayTo(app.plexus, drawn, segment);
  return h("div", { className: "along" }, h("h2", { className: "sub" }, `Along ${app.name(way[0])}`), listOf(app, way, injury));
}

/** @param {string[]} way the nerve, and that of its branches which is opened, and so on */
function listOf(app, [id, next, ...rest], injury) {
  // Of nerves on the way places alone are told, of the one that is cut all.
  const { plexus } = app, stops = stopsOf(plexus, id).filter((stop) => !next || stop.kind === "place" || stop.id === next);
  const cuts = new Set(injury.sites.flatMap(placesOf).filter(([segment]) => segment === id).map(([, at]) => at)), first = Math.min(...cuts, Infinity);
  const items = stops.flatMap((stop, i) => {
    const bar = cuts.has(stop.at) && stop.at !== stops[i - 1]?.at, here = bar && stop.kind === "place";
    const inner = stop.id === next ? listOf(app, [next, ...rest], injury) : null;
    const line = h("li", { "data-id": stop.id, className: here ? "cut" : stop.at >= first ? "past" : "" }, here ? "✕ cut: " : null, h(stop.kind === "place" || inner ? "b" : "span", {}, app.name(stop.id)), " ", wordOf(plexus, stop, injury), inner);
    return bar && !here ? [h("li", { className: "cut" }, stop.at ? "✕ cut here" : "✕ cut where it begins"), line] : [line];
  });
  return h("ol", {}, ...items);
}

/** What becomes of a branch, muscle or area, in a word. */
function wordOf(plexus, { id, kind }, injury) {
  if (kind === "branch") {
    const flows = Object.keys(plexus.segments.get(id).carried).map((root) => injury.strand(id, root));
    if (flows.every((flow) => flow === "alive")) return null;
    return stateWord(flows.every((flow) => flow === "lost") ? "lost" : "partly lost");
  }
  const outcome = injury.outcome(id);
  return outcome && outcome.loss !== NONE ? stateWord(outcome.state, wordOfState(injury.rule, outcome.state)) : null;
}
