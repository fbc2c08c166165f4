// From findings back to the places that explain them: the rules and the scoring of plexusdraw/clinic/localise.py.
import { findingIds, findingText, gain, isSign } from "./findings.js";
import { round3 } from "./injury.js";
import { PART, SLIGHT, States } from "./states.js";

/** Sites after which everything the model knows is the same are one place. */
export class Places {
  /** @param {States} rule */
  constructor(rule) {
    this.rule = rule;
    const { muscles, skin, reflexes, sites, signs } = rule.plexus;
    this.ids = [...muscles.keys(), ...skin.keys(), ...reflexes.keys()];
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
    this.all = [...found.values()].filter((place) => place.losses.some(Boolean));
  }

  /** Loss of every muscle, skin area and reflex. */
  losses(/** @type {bigint} */ broken) {
    return this.ids.map((id) => this.rule.loss(id, broken));
  }
}

/** The best answers and the tests that tell them apart. @param {Places} places @param {import("./findings.js").Finding[]} findings */
export function localise(places, findings, top = 10) {
  const normal = places.rule.rules.normal;
  if (findings.every((finding) => normal.includes(finding.kind))) return { findings, answers: [], tests: [] };
  const answers = new Search(places, findings).answers(top);
  return { findings, answers: answers.slice(0, top), tests: nextTests(places, findings, answers) };
}

/** The same values as `plexusdraw localise --json`. */
export function localiseReport(result, caution) {
  return {
    sites: result.answers.map((a) => ({
      id: a.id, name: a.name, cuts: a.cuts.map((site) => site.id), explained: a.explained,
      unexplained: a.unexplained, contradicted: a.contradicted, score: round3(a.score),
    })),
    next_tests: result.tests.map(({ id, name, kind, tells }) => ({ id, name, kind, tells: round3(tells) })),
    caution,
  };
}

class Search {
  constructor(/** @type {Places} */ places, findings) {
    this.places = places;
    this.rule = places.rule;
    this.rules = this.rule.rules;
    this.findings = findings;
    this.full = findings.filter((finding) => !this.isNormal(finding)).length;
    this.named = new Set(findings.flatMap((f) => findingIds(f, this.rule)).flatMap((id) => this.rule.plexus.members(id)));
    this.relevant = this.findRelevant();
    this.gains = new Map();
  }

  isNormal(finding) {
    return this.rules.normal.includes(finding.kind);
  }

  answers(top) {
    const likely = this.places.all.filter((place) => this.gain(place.broken) > -this.full);
    const singles = likely.map((place) => this.answer([place]));
    const best = singles.length ? Math.max(...singles.map((answer) => answer.score)) : 0;
    const complete = singles.some((a) => !a.unexplained.length && !a.contradicted.length);
    const several = complete ? [] : [...this.pairs(best, Math.max(4 * top, 40)), ...this.runs(best)];
    return [...singles, ...several].sort(byRank);
  }

  /** Bits on which the findings depend. */
  findRelevant() {
    let bits = 0n;
    for (const id of this.named) {
      const supply = this.rule.supply.get(id);
      if (supply) bits |= supply.principal | supply.minor;
    }
    for (const { bit } of this.rule.signCuts.values()) bits |= bit;
    return bits;
  }

  gain(/** @type {bigint} */ broken) {
    const key = broken & this.relevant;
    let found = this.gains.get(key);
    if (found === undefined) {
      found = this.findings.reduce((sum, finding) => sum + gain(finding, this.rule, key), 0);
      this.gains.set(key, found);
    }
    return found;
  }

  /** The best of the pairs that explain so much more than any single site that the second cut is paid for. */
  pairs(best, many) {
    /** @type {Map<bigint, any>} */
    const byBits = new Map();
    for (const place of this.places.all) {
      const key = place.broken & this.relevant;
      if (!byBits.has(key) || this.extra(place.losses) < this.extra(byBits.get(key).losses)) byBits.set(key, place);
    }
    const keys = [...byBits.keys()].sort((a, b) => this.gain(b) - this.gain(a)).slice(0, this.rules.mostPlaces);
    const scored = [];
    keys.forEach((a, i) => {
      for (const b of keys.slice(i + 1)) {
        const both = this.gain(a | b);
        if (both - this.rules.secondCut > best * this.full) scored.push([both, a, b]);
      }
    });
    scored.sort((x, y) => y[0] - x[0]);
    return scored.slice(0, many).map(([, a, b]) => this.answer([byBits.get(a), byBits.get(b)]));
  }

  /** Runs of at least three neighbours of a stage that explain more than any single site. */
  runs(best) {
    const { plexus } = this.rule, found = [];
    for (const stage of plexus.data.stages) {
      const ids = [...plexus.segments.values()].filter((segment) => segment.stage === stage.id).map((segment) => segment.id);
      if (stage.order !== "given" || ids.length > this.rules.mostNeighbours) continue;
      for (let first = 0; first + 3 <= ids.length; first += 1) {
        for (let last = first + 3; last <= ids.length; last += 1) {
          const answer = this.run(ids.slice(first, last));
          if (answer.score > best) found.push(answer);
        }
      }
    }
    return found;
  }

  /** Segments all cut at their start, or all torn from the cord if that explains more. */
  run(ids) {
    const { sites, siteById } = this.rule.plexus;
    const starts = ids.map((id) => siteById.get(id));
    const torn = ids.map((id) => sites.find((site) => site.segment === id && site.at === 0));
    const [first, second] = [starts, torn].map((way) => this.answer(way.map((site) => this.only(site))));
    return second.score > first.score ? second : first;
  }

  /** A site for an answer of several, which reads no losses of one. */
  only(site) {
    return { sites: [site], broken: this.rule.broken([site]), losses: [] };
  }

  /** Sum of the losses that no finding mentions. */
  extra(losses) {
    return losses.reduce((sum, loss, i) => (loss >= PART && !this.named.has(this.places.ids[i]) ? sum + loss : sum), 0);
  }

  cost(cuts) {
    return cuts < 2 ? 0 : this.rules.secondCut + this.rules.nextCut * (cuts - 2);
  }

  answer(chosen) {
    const broken = chosen.reduce((/** @type {bigint} */ bits, place) => bits | place.broken, 0n);
    const gains = this.findings.map((finding) => [finding, gain(finding, this.rule, broken)]);
    const against = gains.filter(([f, g]) => this.isNormal(f) && g <= this.rules.contradicted).map(([f]) => f);
    const missed = gains.filter(([f, g]) => !this.isNormal(f) && g < 0).map(([f]) => f);
    const cuts = chosen.map(plainest);
    const total = gains.reduce((sum, [, g]) => sum + g, 0) - this.cost(chosen.length);
    const text = (finding) => findingText(finding, this.rules.findingWords);
    const texts = (list) => this.findings.filter((f) => list.includes(f)).map(text);
    return {
      id: cuts.map((site) => site.id).join("+"),
      name: joined(chosen.map((place) => rangeName(this.rule.plexus, place.sites))),
      cuts, broken,
      explained: this.findings.filter((f) => !against.includes(f) && !missed.includes(f)).map(text),
      unexplained: texts(missed),
      contradicted: texts(against),
      score: total / this.full,
      extra: this.extra(chosen.length === 1 ? chosen[0].losses : this.places.losses(broken)),
    };
  }
}

/** "a", "a and b", or "a to d" for a run of neighbours. */
function joined(names) {
  return names.length < 3 ? names.join(" and ") : `${names[0]} to ${names[names.length - 1]}`;
}

/** By score; then one cut before two, a named place before "after ...", few losses beyond the findings. */
function byRank(a, b) {
  const rank = (answer) => [
    -Math.round(answer.score * 1e9), answer.cuts.length, Number(!answer.cuts.every(isNamed)), answer.extra,
  ];
  const first = rank(a), second = rank(b);
  const at = first.findIndex((value, i) => value !== second[i]);
  return at < 0 ? 0 : first[at] - second[at];
}

function isNamed(site) {
  return !site.id.startsWith(`${site.segment}-after-`);
}

/** A segment's own name where there is one, else a level, else the first of the sites. */
function plainest(place) {
  const named = place.sites.filter(isNamed);
  return named.find((site) => site.id === site.segment) || named[0] || place.sites[0];
}

/** Name for sites that cannot be told apart: "ulnar nerve (start to elbow)". @returns {string} */
function rangeName(plexus, sites) {
  const first = sites[0], last = sites[sites.length - 1];
  if (sites.length === 1) return first.name;
  const segments = [...new Set(sites.map((site) => site.segment))];
  if (segments.length > 1) {
    return [...new Set(segments.map((id) => rangeName(plexus, sites.filter((site) => site.segment === id))))].join(" or ");
  }
  const whole = plexus.segments.get(first.segment).name;
  const rest = (last.name.startsWith(whole) ? last.name.slice(whole.length) : last.name).trim().replace(/^at /, "");
  return `${first.name} (${first.id === first.segment ? "start to" : "to"} ${rest})`;
}

/** The five most telling things to examine: not yet examined, testable alone, each with results of its own. */
function nextTests(places, findings, answers) {
  const { rule } = places;
  if (!answers.length) return [];
  const leading = answers.filter((a) => a.score >= answers[0].score - rule.rules.leading).slice(0, rule.rules.mostLeading);
  const done = new Set(
    findings.filter((f) => !isSign(f)).flatMap((f) => findingIds(f, rule)).flatMap((id) => rule.plexus.members(id)),
  );
  const losses = leading.map((answer) => places.losses(answer.broken));
  const tests = [], known = new Set();
  places.ids.forEach((id, i) => {
    const results = losses.map((row) => Math.max(row[i], SLIGHT));
    const tells = entropy(results);
    const { name, kind, untestable } = rule.plexus.entities.get(id);
    if (tells > 0 && !done.has(id) && !untestable && !known.has(results.join())) {
      known.add(results.join());
      tests.push({ id, name, kind, tells, plain: entropy(results.map((result) => result > SLIGHT)) });
    }
  });
  tests.sort((a, b) => b.tells - a.tells || b.plain - a.plain);
  return tests.slice(0, 5);
}

/** Entropy of results, in bits. */
function entropy(results) {
  const counts = new Map();
  for (const result of results) counts.set(result, (counts.get(result) || 0) + 1);
  return -[...counts.values()].reduce((sum, n) => sum + (n / results.length) * Math.log2(n / results.length), 0);
}

function push(map, key, value) {
  if (!map.has(key)) map.set(key, []);
  map.get(key).push(value);
}
