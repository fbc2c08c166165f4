// In which state each part of a picture is. What is highlit, later or blank was worked out in Python; an injury is live.
import { placesOf } from "./states.js";
import { Injury } from "./injury.js";
import { Plexus } from "./plexus.js";

/**
 * @typedef {{highlight?: string, injury?: Injury | null, upto?: string, hide?: string, quiet?: boolean, title?: string, told?: string[], later?: Set<string>, only?: number[] | null, marks?: import("./plexus.js").Site[]}} Request
 * later: ids that do not show yet. marks: cuts whose mark alone is shown. only: the labels that are blank, by their numbers.
 * told: hidden names that are shown all the same. hide: a kind of name, or "labels" for all. quiet: leave out what nerves supply, instead of asking for it.
 * @typedef {{entities: Map<string, string>, strands: string[], words: Map<string, string>, blanks: Map<number, number>, asked: Set<number>,
 *   numbers: Map<string, number>, quiet: boolean, cuts: Set<string>, unseen: Map<string, string[]>, beyond: Set<string>, legend: string, caution: boolean, title: string}} View
 * asked: labels that are blank or were. unseen: cuts that no mark in the picture shows → names from which they come, which are *beyond*. strands: by their place in the scene's; blanks: by the label's; numbers: of blank names, by entity; cuts: "entity at".
 */

/** @param {Plexus} plexus @param {import("./scene.js").Scene} scene @param {Request} wish @returns {View} */
export function makeView(plexus, scene, { highlight = "", injury = null, upto = "", hide = "", quiet = false, title = "", told = [], later = new Set(), only = null, marks = [] }) {
  const numbered = (only || asked(scene, hide, quiet)).map((label, i) => /** @type {[number, number]} */ ([label, i + 1]));
  const blanks = new Map(numbered.filter(([label]) => !told.includes(scene.labels[label][0])));
  const view = {
    asked: new Set(numbered.map(([label]) => label)), entities: new Map(), strands: scene.strands.map(() => "plain"), words: new Map(), blanks, quiet, cuts: new Set(), unseen: new Map(), beyond: new Set(),
    numbers: new Map([...blanks].flatMap(([label, i]) => (scene.labels[label][1] === "name" ? [[scene.labels[label][0], i]] : []))),
    legend: hide ? "blank" : injury ? (injury.partial ? "partial" : "cut") : highlight ? "light" : "plain",
    caution: Boolean(injury), title: title || scene.title,
  };
  if (highlight) lighten(scene, highlight, view);
  if (injury) harm(plexus, scene, injury, view);
  if (told.length) tell(scene, view);
  for (const [segment, at] of marks.flatMap(placesOf)) view.cuts.add(mark(scene, segment, at));
  for (const id of scene.hidden[upto]) view.entities.set(id, "hidden");
  for (const id of later) view.entities.set(id, "hidden");
  for (const [stage, called] of Object.entries(scene.heads)) if (called.some((id) => view.numbers.has(id))) view.entities.set(stage, "hidden");
  return view;
}

/** What is told of a cut beyond the picture is also the name of its nerve there. */
function tell(scene, view) {
  for (const label of view.blanks.keys()) if (view.beyond.has(scene.labels[label][0])) view.blanks.delete(label);
  for (const id of view.beyond) view.numbers.delete(id);
}

/** Labels that are blank, in the order of their numbers. @returns {number[]} */
export function asked(scene, /** @type {string} */ hide, quiet = false) {
  return (hide ? scene.numbers[hide] : []).filter((label) => !quiet || scene.labels[label][1] === "name");
}

function lighten(scene, id, view) {
  const bits = [...scene.lit.get(id)].reverse().flatMap((digit) => [1, 2, 4, 8].map((bit) => parseInt(digit, 16) & bit));
  const state = (i) => (bits[i] ? "highlit" : "dimmed");
  view.strands = scene.strands.map((_, i) => state(i));
  scene.lightable.forEach((entity, i) => view.entities.set(entity, state(scene.strands.length + i)));
}

function harm(plexus, scene, injury, view) {
  const flows = new Map();
  scene.strands.forEach(([entity, root, source, at, last], i) => {
    if (last === null) view.strands[i] = dot(injury, entity, root, source);
    else {
      const flow = source ? injury.strand(entity, root, 0, source) : at < 0 ? "alive" : injury.strand(entity, root, last);
      for (const id of [entity, plexus.wholeOf.get(entity)]) if (id) flows.set(id, (flows.get(id) || new Set()).add(flow));
      view.strands[i] = { alive: "plain", partly: "weak", lost: "lost" }[flow];
    }
  });
  for (const [id, found] of flows) {
    if (found.has("lost") || found.has("partly")) view.entities.set(id, found.has("alive") || found.has("partly") ? "weak" : "lost");
  }
  const { rowWords, rowStates } = plexus.data.rules;
  for (const id of scene.rows) {
    const { state } = injury.outcome(id);
    if (!rowWords[state]) continue;
    view.words.set(id, rowWords[state]);
    view.entities.set(id, rowStates[state]);
  }
  const named = new Set(scene.items.map(([id]) => id));
  for (const site of injury.sites) {
    const marks = placesOf(site).map(([segment, at]) => mark(scene, segment, at)).filter(Boolean);
    marks.forEach((found) => view.cuts.add(found));
    if (marks.length) continue;
    const from = placesOf(site).flatMap(([segment]) => drawnFrom(plexus, named, segment));
    view.unseen.set(site.id, [...new Set(from)]);
    for (const id of from) view.beyond.add(id);
  }
}

/** Where the mark of a cut stands; empty if the cut lies beyond what is drawn. */
function mark(scene, segment, at) {
  const here = scene.cuts.filter(([entity, place]) => entity === segment && place <= at).map(([, place]) => place);
  return here.length ? `${segment} ${Math.max(...here)}` : "";
}

/** The nearest names of the picture from which a segment comes. @returns {string[]} */
export function drawnFrom(plexus, named, segment) {
  const own = [segment, plexus.wholeOf.get(segment)].find((id) => named.has(id));
  return own ? [own] : plexus.parents(segment).flatMap((parent) => drawnFrom(plexus, named, parent));
}

/** A root of a row is lost with any of its routes; where the row shows one nerve's, with those alone. */
function dot(injury, id, root, via) {
  const gone = injury.outcome(id).broken.some((route) => route.root === root && [null, route.steps[route.steps.length - 1][0]].includes(via));
  return gone ? "lost" : "plain";
}
