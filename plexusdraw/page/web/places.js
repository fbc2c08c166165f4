// All places at which an injury can be told, and what looks the same: the rules of plexusdraw/clinic/places.py.
import { PART, States, WHOLE } from "./states.js";

/**
 * @typedef {import("./plexus.js").Site} Site
 * @typedef {{sites: Site[], broken: bigint, losses: number[], seen: number[], plausible: number}} Place
 * sites: commonest first, after which all is the same; seen: at the bedside, 0 normal, 1 weak, 2 lost; then signs, 0 or 1.
 */

export class Places {
  /** @param {States} rule */
  constructor(rule) {
    this.rule = rule;
    const { muscles, skin, reflexes, sites, signs, outside } = rule.plexus;
    this.ids = [...muscles.keys(), ...skin.keys(), ...reflexes.keys(), ...[...outside.values()].filter((other) => other.cut).map((other) => other.id)];
    const tested = [...muscles.values()].filter((muscle) => !muscle.untestable);
    const areas = [...skin.values()].filter((area) => !area.dermatome);
    this.bedside = [...[...tested, ...areas].map(({ id }) => id), ...reflexes.keys()];
    this.placedSigns = [...signs.values()].filter((sign) => rule.askedCuts(sign.when));
    this.order = new Map(sites.map((site, i) => [site.id, i]));
    this.mask = this.bedsideBits();
    const byBits = new Map();
    for (const site of sites) push(byBits, rule.broken([site]), site);
    const found = new Map();
    for (const [broken, same] of byBits) {
      const losses = this.losses(broken);
      const shown = [...signs.values()].map((sign) => Number(rule.holds(sign.when, broken)));
      const key = `${losses.join("")} ${shown.join("")}`;
      if (!found.has(key)) found.set(key, { sites: [], broken, losses });
      found.get(key).sites.push(...same);
    }
    /** @type {Place[]} */
    this.all = [...found.values()].filter((place) => place.losses.some(Boolean)).map((place) => this.finish(place));
    this.findAlike();
  }

  finish({ sites, broken, losses }) {
    const sorted = this.commonestFirst(sites);
    return { sites: sorted, broken, losses, seen: this.seen(broken), plausible: this.plausible(sorted[0]) };
  }

  findAlike() {
    const alike = new Map();
    for (const place of this.all) push(alike, place.seen.join(), ...place.sites);
    this.bySeen = new Map([...alike].map(([seen, sites]) => [seen, this.commonestFirst(sites)]));
  }

  /** All sites that look the same at the bedside, commonest first. @returns {Site[]} */
  alike(/** @type {number[]} */ seen) {
    return this.bySeen.get(seen.join()) || [];
  }

  commonestFirst(/** @type {Site[]} */ sites) {
    const key = (site) => [this.plausible(site), Number(site.id !== site.segment), this.order.get(site.id)];
    return [...sites].sort((a, b) => compare(key(a), key(b)));
  }

  /** 0 usual, 1 less usual, 2 unusual. @returns {number} */
  plausible(/** @type {Site} */ site) {
    return this.rule.plexus.data.plausible[site.id];
  }

  /** Loss of every muscle, skin area, reflex and structure of the posterior rami. */
  losses(/** @type {bigint} */ broken) {
    return this.ids.map((id) => this.rule.loss(id, broken));
  }

  seen(/** @type {bigint} */ broken) {
    const signs = this.placedSigns.map((sign) => Number(this.rule.holds(sign.when, broken)));
    return [...this.bedside.map((id) => this.seenOf(id, broken)), ...signs];
  }

  seenOf(/** @type {string} */ id, /** @type {bigint} */ broken) {
    const loss = this.rule.loss(id, broken);
    if (loss !== PART) return loss === WHOLE ? 2 : 0;
    return Number(this.rule.remaining(id, broken) < this.rule.rules.unseen);
  }

  bedsideBits() {
    const supplies = this.bedside.map((id) => this.rule.supply.get(id));
    const bits = supplies.reduce((all, { principal, minor }) => all | principal | minor, 0n);
    return this.placedSigns.reduce((all, sign) => all | this.rule.askedCuts(sign.when), bits);
  }
}

/** Order of two lists of numbers. @param {number[]} a @param {number[]} b */
export function compare(a, b) {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at < 0 ? 0 : a[at] - b[at];
}

function push(map, key, ...values) {
  if (!map.has(key)) map.set(key, []);
  map.get(key).push(...values);
}
