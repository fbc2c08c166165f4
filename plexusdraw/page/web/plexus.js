// The plexus of the page: what can be named, where it lies, and the routes of the fibres.
// The values come from Python (page/payload.py); nothing here decides anything.

/**
 * @typedef {{root: string, target: string, minor: boolean, steps: [string, number][], beyond: [string, number][], bit: bigint}} Route
 * steps: segment and the position at which the fibres leave it, the root first; beyond: the same in parts that a course leaves out.
 * @typedef {{segment: string, at: number, id: string, name: string, others: [string, number][], leftOut: [string, number][]}} Site others: where it lies on further parts of its nerve; leftOut: and on those that a course leaves out
 * @typedef {Record<string, any> & {id: string, name: string, kind: string, table: string}} Entity
 */

export class Plexus {
  /** @param {Record<string, any>} data */
  constructor(data) {
    this.data = data;
    /** @type {string[]} */
    this.roots = data.roots;
    /** @type {Map<string, Entity>} */
    this.entities = new Map();
    this.segments = this.table(data.segments, "segment");
    /** @type {Map<string, {segment: string, at: number}>} */
    this.places = new Map();
    // Nerves in several parts: the picture names them, and what is asked of them is asked of their parts.
    this.wholes = this.table(data.wholes, "whole");
    for (const nerve of [...data.segments, ...data.wholes]) this.addPlaces(nerve);
    this.muscles = this.table(data.muscles, "muscle");
    this.skin = this.table(data.skin, "skin");
    // What a course leaves out and still counts: it has no name and stands in no list.
    /** @type {Map<string, Entity>} */
    this.unseen = new Map(data.unseen.map((row) => [row.id, { ...row, table: row.kind }]));
    this.groups = this.table(data.groups, "group");
    this.outside = this.table(data.outside, "outside");
    this.reflexes = this.table(data.reflexes, "reflex");
    this.signs = this.table(data.signs, "sign");
    this.scenarios = this.table(data.scenarios, "scenario");
    /** @type {Route[]} */
    this.routes = data.routes.map(route);
    /** @type {Site[]} */
    this.sites = data.sites.map(([segment, at, id, name, others, leftOut]) => ({ segment, at, id, name, others: others || [], leftOut: leftOut || [] }));
    this.siteById = new Map(this.sites.map((site) => [site.id, site]));
    this.cards = new Map(Object.entries(data.cards));
    this.link();
  }

  /** @param {Record<string, any>[]} rows @param {string} table @returns {Map<string, Entity>} */
  table(rows, table) {
    const found = new Map();
    for (const row of rows) {
      row.table = table;
      found.set(row.id, row);
      this.entities.set(row.id, /** @type {Entity} */ (row));
    }
    return found;
  }

  /** Whatever has a name, whether it can be asked about or not. @returns {Entity | undefined} */
  named(/** @type {string} */ id) {
    return this.entities.get(id) || this.unseen.get(id);
  }

  /** @param {Record<string, any>} segment */
  addPlaces(segment) {
    (segment.course || []).forEach((item, at) => {
      if (typeof item === "string") return;
      item.table = "place";
      this.places.set(item.id, { segment: segment.id, at });
      this.entities.set(item.id, item);
    });
  }

  /** Children of segments, nerves of targets and routes by target and by root of skin. */
  link() {
    this.children = new Map([...this.segments.keys()].map((id) => [id, /** @type {string[]} */ ([])]));
    this.nervesOf = new Map([...this.muscles.keys(), ...this.skin.keys()].map((id) => [id, /** @type {string[]} */ ([])]));
    for (const segment of this.segments.values()) {
      for (const parent of this.parents(segment.id)) this.children.get(parent).push(segment.id);
      for (const item of segment.course || []) {
        if (typeof item === "string" && this.nervesOf.has(item)) this.nervesOf.get(item).push(segment.id);
      }
    }
    /** @type {Map<string, string>} */
    this.wholeOf = new Map();
    for (const { id, parts } of this.wholes.values()) for (const part of parts) this.wholeOf.set(part, id);
    for (const { id, parts } of this.wholes.values()) this.children.set(id, [...new Set(parts.flatMap((/** @type {string} */ part) => this.children.get(part)))]);
    this.byTarget = groupBy(this.routes, (r) => [r.target]);
  }

  /** The segments that a nerve stands for: its parts, else itself. @returns {string[]} */
  partsOf(/** @type {string} */ id) {
    return this.wholes.get(id)?.parts || [id];
  }

  /** Column of a nerve. @returns {string | undefined} */
  stageOf(/** @type {string} */ id) {
    return this.segments.get(this.partsOf(id)[0])?.stage;
  }

  /** A segment, or a nerve of several. */
  isNerve(/** @type {string} */ id) {
    return this.segments.has(id) || this.wholes.has(id);
  }

  /** Id of the nerve on which a site lies: the whole one where it lies on all of its parts. */
  nerveAt(/** @type {Site} */ { segment, others }) {
    const lies = [segment, ...others.map(([part]) => part)].join();
    return others.length ? [...this.wholes.values()].find(({ parts }) => parts.join() === lies)?.id || segment : segment;
  }

  /** Segments and positions that a cut at a place, or at the start of a nerve, breaks. @returns {[string, number][]} */
  cutsAt(/** @type {string} */ id) {
    const place = this.places.get(id);
    if (!place) return this.partsOf(id).map((part) => [part, 0]);
    const { segment, at, others } = /** @type {Site} */ (this.wholes.has(place.segment) ? this.siteById.get(id) : { ...place, others: [] });
    return [[segment, at], ...others];
  }

  /** @param {string} id @returns {string[]} */
  parents(id) {
    return [...new Set(this.partsOf(id).flatMap((part) => Object.keys(this.segments.get(part).between || {})))];
  }

  /** Roots that go from a parent into a child. @param {string} parent @param {string} child @returns {string[]} */
  between(parent, child) {
    return this.segments.get(child).between[parent];
  }

  /** Position at which something leaves a segment; the end of its course if it is not listed. */
  exitOf(/** @type {string} */ parent, /** @type {string} */ child) {
    const course = this.segments.get(parent).course || [];
    const at = course.indexOf(child);
    return at < 0 ? course.length : at;
  }

  /** Routes to a muscle, skin area or dermatome (those of its roots to its areas). @returns {Route[]} */
  routesTo(/** @type {string} */ target) {
    const skin = this.skin.get(target);
    if (skin && skin.dermatome) return this.within(skin).flat();
    return this.byTarget.get(target) || [];
  }

  /** For each area of a dermatome the routes of its roots to it. @returns {Route[][]} */
  within(/** @type {Record<string, any>} */ dermatome) {
    const areas = dermatome.areas || [...this.skin.values()].filter((area) => !area.dermatome).map((area) => area.id);
    const found = areas.map((id) => (this.byTarget.get(id) || []).filter((route) => dermatome.dermatome.includes(route.root)));
    return found.filter((routes) => routes.length);
  }

  /** Members of a group; anything else is its own. @returns {string[]} */
  members(/** @type {string} */ id) {
    const group = this.groups.get(id);
    return group ? group.members : [id];
  }

  /** Names of the nerves that reach a muscle or skin area. */
  nerves(/** @type {string} */ target) {
    return (this.nervesOf.get(target) || []).map((id) => this.segments.get(id).name).join(", ");
  }
}

/** @returns {Route} */
function route([root, target, minor, steps, beyond], i) {
  return { root, target, minor: Boolean(minor), steps, beyond: beyond || [], bit: 1n << BigInt(i) };
}

/**
 * @template T
 * @param {T[]} items @param {(item: T) => string[]} keys @returns {Map<string, T[]>}
 */
export function groupBy(items, keys) {
  const found = new Map();
  for (const item of items) {
    for (const key of keys(item)) {
      if (!found.has(key)) found.set(key, []);
      found.get(key).push(item);
    }
  }
  return found;
}
