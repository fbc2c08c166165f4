// What broken routes mean for each muscle, skin area, movement, reflex and sign: the rule of plexusdraw/clinic/deficits.py.
// Broken routes are the bits of one integer; above them stand the places that signs ask for.
import { Plexus } from "./plexus.js";

/** @typedef {{principal: bigint, minor: bigint, outside: number, safe: boolean}} Supply routes as bits; safe: a principal root from outside */

export const NONE = 0;
export const SLIGHT = 1;
export const PART = 2;
export const WHOLE = 3;

/** A state as it is called beside a name: "slightly weak". @param {States} rule */
export function wordOfState(rule, /** @type {string} */ state) {
  return rule.rules.rowWords[state] || state;
}

export class States {
  /** @param {Plexus} plexus */
  constructor(plexus) {
    this.plexus = plexus;
    this.rules = plexus.data.rules;
    /** @type {Map<string, [number, bigint][]>} */
    this.leaving = new Map();
    for (const route of plexus.routes) {
      for (const [segment, at] of [...route.steps, ...route.beyond]) this.leave(segment, at, route.bit);
    }
    this.signCuts = this.findSignCuts();
    this.supply = this.findSupply();
    /** @type {Map<string, [string, bigint][]>} dermatome → each area that it covers and the routes of its roots to it */
    this.areas = new Map();
    /** @type {Map<string, bigint[][]>} dermatome → for each of its roots the routes to each area that it covers */
    this.byRoot = new Map();
    for (const area of plexus.skin.values()) {
      if (!area.dermatome) continue;
      const ways = plexus.within(area);
      this.areas.set(area.id, ways.map((routes) => [routes[0].target, bits(routes)]));
      const of = (/** @type {string} */ root) => ways.map((routes) => bits(routes.filter((route) => route.root === root))).filter(Boolean);
      this.byRoot.set(area.id, area.dermatome.map(of).filter((/** @type {bigint[]} */ areas) => areas.length));
    }
    this.movers = this.findMovers();
    /** @type {Map<string, bigint>} */
    this.byCut = new Map();
  }

  /** @param {string} segment @param {number} at @param {bigint} bit */
  leave(segment, at, bit) {
    if (!this.leaving.has(segment)) this.leaving.set(segment, []);
    this.leaving.get(segment).push([at, bit]);
  }

  /** Bits of all that cuts break. @param {Iterable<{segment: string, at: number}>} cuts */
  broken(cuts) {
    let found = 0n;
    for (const [segment, at] of [...cuts].flatMap(breaksOf)) {
      const key = `${segment} ${at}`;
      if (!this.byCut.has(key)) this.byCut.set(key, this.brokenBy(segment, at));
      found |= this.byCut.get(key);
    }
    return found;
  }

  /** @param {string} segment @param {number} at */
  brokenBy(segment, at) {
    let found = 0n;
    for (const [leaving, bit] of this.leaving.get(segment) || []) {
      if (leaving >= at) found |= bit;
    }
    return found;
  }

  /** Loss of a muscle, skin area, root, reflex, outside structure or group. @returns {number} */
  loss(/** @type {string} */ id, /** @type {bigint} */ broken) {
    const group = this.plexus.groups.get(id);
    if (group) return together(group.members.map((member) => this.loss(member, broken)));
    const supply = this.supply.get(id);
    if (!supply) return NONE;
    if (!this.plexus.skin.has(id) && this.plexus.unseen.get(id)?.kind !== "skin") return loss(supply, broken);
    const byRoot = this.byRoot.get(id);
    const whole = !byRoot || byRoot.some((areas) => areas.every((routes) => broken & routes));
    return whole ? skinLoss(supply, broken) : Math.min(skinLoss(supply, broken), SLIGHT);
  }

  /** Loss of a movement. */
  movement(/** @type {string} */ name, /** @type {bigint} */ broken) {
    return together(this.movers.get(name).map((id) => this.loss(id, broken)));
  }

  /** Share of the supply that is left, 0 to 1. */
  remaining(/** @type {string} */ id, /** @type {bigint} */ broken) {
    const supply = this.supply.get(id);
    const whole = this.weight(supply, 0n);
    return whole ? this.weight(supply, broken) / whole : 1;
  }

  weight(supply, /** @type {bigint} */ broken) {
    return count(supply.principal & ~broken) + this.rules.minorWeight * count(supply.minor & ~broken) + supply.outside;
  }

  /** Whether a sign's rule holds; in a partial injury nothing is wholly lost and nothing is cut. @returns {boolean} */
  holds(rule, /** @type {bigint} */ broken, partial = false) {
    const most = partial ? PART : WHOLE;
    const any = rule.any || [];
    return (
      (rule.lost || []).every((id) => Math.min(this.loss(id, broken), most) === WHOLE) &&
      (rule.weak || []).every((id) => this.loss(id, broken) >= PART) &&
      (rule.spared || []).every((id) => this.loss(id, broken) <= SLIGHT) &&
      (rule.cut || []).every((id) => !partial && (broken & this.cutBits(id)) === this.cutBits(id)) &&
      (rule.all || []).every((part) => this.holds(part, broken, partial)) &&
      (any.length === 0 || any.some((part) => this.holds(part, broken, partial)))
    );
  }

  /** Ids that signs ask for, and places at which roots are torn from posterior rami → bits of what a cut there breaks. @returns {Map<string, bigint>} */
  findSignCuts() {
    const found = new Map();
    const byPlace = new Map();
    const ofSigns = [...this.plexus.signs.values()].flatMap((sign) => parts(sign.when));
    for (const id of [...ofSigns, ...this.plexus.outside.values()].flatMap((asked) => asked.cut || [])) {
      found.set(id, 0n);
      for (const [segment, at] of this.plexus.cutsAt(id)) {
        const key = `${segment} ${at}`, known = byPlace.get(key), bit = known || 1n << BigInt(this.plexus.routes.length + byPlace.size);
        if (!known) this.leave(segment, at, bit);
        byPlace.set(key, bit);
        found.set(id, found.get(id) | bit);
      }
    }
    return found;
  }

  cutBits(/** @type {string} */ id) {
    return /** @type {bigint} */ (this.signCuts.get(id));
  }

  /** Bits of the places for which a sign's rule asks. @returns {bigint} */
  askedCuts(rule) {
    return parts(rule).flatMap((part) => part.cut || []).reduce((bits, id) => bits | this.cutBits(id), 0n);
  }

  /** @returns {Map<string, Supply>} */
  findSupply() {
    const { muscles, skin, reflexes, roots, routes } = this.plexus;
    const found = new Map();
    for (const target of [...muscles.values(), ...skin.values(), ...this.plexus.unseen.values()]) found.set(target.id, this.targetSupply(target));
    for (const root of roots) found.set(root, supplyOf(routes.filter((route) => route.root === root), 0, false));
    for (const reflex of reflexes.values()) {
      const ids = new Set((reflex.muscles || []).flatMap((id) => this.plexus.members(id)));
      const all = [...ids].flatMap((id) => this.plexus.routesTo(id));
      const of = (list) => bits(all.filter((route) => (list || []).includes(route.root)));
      found.set(reflex.id, { principal: of(reflex.roots), minor: of(reflex.minor), outside: 0, safe: false });
    }
    for (const outside of this.plexus.outside.values()) {
      const places = (outside.cut || []).map((id) => this.cutBits(id));
      if (places.length) found.set(outside.id, { principal: places.reduce((all, bit) => all | bit, 0n), minor: 0n, outside: 0, safe: false });
    }
    return found;
  }

  targetSupply(target) {
    const minor = target.outsideMinor || [];
    const principal = Object.keys(target.outside || {}).filter((root) => !minor.includes(root)).length;
    const outside = principal + this.rules.minorWeight * minor.length;
    const routes = this.plexus.routesTo(target.id);
    const main = new Set(routes.filter((route) => !route.minor).map((route) => route.root));
    const backed = target.kind === "muscle" && main.size + principal === 1;
    return { ...supplyOf(routes, outside, principal > 0), backed };
  }

  /** Movement → ids of the muscles that do it, those of other nerves last. @returns {Map<string, string[]>} */
  findMovers() {
    const found = new Map();
    for (const muscle of [...this.plexus.muscles.values(), ...this.plexus.unseen.values(), ...this.plexus.outside.values()]) {
      for (const movement of muscle.movements || []) {
        if (!found.has(movement)) found.set(movement, []);
        found.get(movement).push(muscle.id);
      }
    }
    return found;
  }
}

/** Segments and positions that a cut breaks: a place on a nerve of several parts lies on all of them. */
export function placesOf(site) {
  return [[site.segment, site.at], ...(site.others || [])];
}

/** The same, with parts of the nerve that a course leaves out. */
export function breaksOf(site) {
  return [...placesOf(site), ...(site.leftOut || [])];
}

function supplyOf(routes, outside, safe) {
  const principal = bits(routes.filter((route) => !route.minor));
  const minor = bits(routes.filter((route) => route.minor));
  if (!principal && !safe) return { principal: minor, minor: 0n, outside, safe: false };
  return { principal, minor, outside, safe };
}

function loss(supply, broken) {
  const hit = broken & supply.principal;
  if (hit && hit === supply.principal && !supply.safe) {
    return supply.backed && (supply.outside || supply.minor & ~broken) ? PART : WHOLE;
  }
  if (hit) return PART;
  return broken & supply.minor ? SLIGHT : NONE;
}

/** Minor routes and overlap from outside keep some feeling. */
function skinLoss(supply, broken) {
  const found = loss(supply, broken);
  return found === WHOLE && (supply.outside || supply.minor & ~broken) ? PART : found;
}

/** All lost: lost; else at most partly. */
function together(losses) {
  return Math.min(...losses) === WHOLE ? WHOLE : Math.min(Math.max(...losses), PART);
}

/** A rule and all rules in it. @returns {Record<string, any>[]} */
export function parts(rule) {
  return [rule, ...[...(rule.all || []), ...(rule.any || [])].flatMap(parts)];
}

/** @param {import("./plexus.js").Route[]} routes @returns {bigint} */
function bits(routes) {
  return routes.reduce((found, route) => found | route.bit, 0n);
}

function count(/** @type {bigint} */ value) {
  let found = 0;
  for (let rest = value; rest; rest &= rest - 1n) found += 1;
  return found;
}
