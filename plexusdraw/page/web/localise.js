// From findings back to the places that explain them: the rules of plexusdraw/clinic/localise.py, where they stand in words.
import { contradiction, findingIds, findingText, gain, isSign } from "./findings.js";
import { round3 } from "./injury.js";
import { nextTests } from "./nexttests.js";
import { compare, Places } from "./places.js";
import { PART, WHOLE } from "./states.js";

const LOOKED_AT = 30;

/** The best answers and the tests that tell them apart; `refused`: findings that cannot be true together. @param {Places} places @param {import("./findings.js").Finding[]} findings */
export function localise(places, findings, top = 10) {
  const { normal, findingWords } = places.rule.rules;
  const nothing = { findings, answers: [], tests: [], unexplained: [], refused: "" };
  const both = contradiction(places.rule, findings);
  if (both) return { ...nothing, refused: both.map((finding) => `"${findingText(finding, findingWords)}"`).join(" and ") };
  if (findings.every((finding) => normal.includes(finding.kind))) return nothing;
  const search = new Search(places, findings);
  const answers = search.answers(Math.max(top, LOOKED_AT));
  const tests = nextTests(places, findings, answers);
  return { ...nothing, answers: firstOf(answers, top), tests, unexplained: search.byNone() };
}

/** The best answers; if none of them is a single place, the best of these comes last. */
function firstOf(answers, top) {
  const first = answers.slice(0, top), single = answers.find((answer) => answer.cuts.length === 1);
  if (!single || first.some((answer) => answer.cuts.length === 1)) return first;
  return [...first.slice(0, Math.max(top - 1, 1)), single];
}

/** The same values as `plexusdraw localise --json`. */
export function localiseReport(result, rules, { caution, variants }) {
  return {
    sites: result.answers.map((a) => ({
      id: a.id, name: a.name, cuts: a.cuts.map((site) => site.id), places: a.places, explained: a.explained,
      unexplained: a.unexplained, contradicted: a.contradicted, score: round3(a.score),
      plausible: rules.plausibleWords[a.plausible], partial: a.partial,
    })),
    unexplained: result.unexplained,
    variants_applied: variants,
    next_tests: result.tests.map((test) => ({ ...test, tells: round3(test.tells) })),
    caution,
  };
}

class Search {
  constructor(/** @type {Places} */ places, findings) {
    this.places = places;
    this.rule = places.rule;
    this.rules = this.rule.rules;
    this.findings = findings;
    const weights = this.rule.plexus.data.weights;
    this.weights = findings.map((finding) => (finding.kind === "sign" ? weights[finding.about] : 1));
    this.abnormal = findings.map((_, i) => i).filter((i) => !this.rules.normal.includes(findings[i].kind));
    this.full = this.abnormal.reduce((sum, i) => sum + this.weights[i], 0);
    this.named = new Set(findings.flatMap((f) => findingIds(f, this.rule)).flatMap((id) => this.rule.plexus.members(id)));
    this.relevant = this.findRelevant();
    this.gains = new Map();
    this.could = new Map(this.abnormal.map((i) => [i, this.explaining(i)]));
    this.neighbours = this.findNeighbours();
  }

  /** The best of all that stand, best first, and the best single place. */
  answers(many) {
    const singles = this.places.all.filter((place) => this.explains(place.broken)).map((place) => this.draft([place]));
    const best = singles.length ? Math.max(...singles.map((draft) => draft.total)) : 0;
    const several = best < this.full - this.rules.neighbour ? [...this.pairs(best), ...this.runs(best)] : [];
    const found = new Map();
    for (const draft of [...singles, ...several].sort((a, b) => compare(a.rank, b.rank))) {
      const key = this.looks(draft);
      found.set(key, [...(found.get(key) || []), draft]);
    }
    const groups = [...found.values()];
    const single = groups.slice(many).filter((group) => group[0].places.length === 1).slice(0, 1);
    return [...groups.slice(0, many), ...single].map((same) => this.answer(same));
  }

  text(i) {
    return findingText(this.findings[i], this.rules.findingWords);
  }

  /** Abnormal findings that no single place explains. */
  byNone() {
    return this.abnormal.filter((i) => !this.could.get(i).size).map((i) => this.text(i));
  }

  /** Bits on which the findings depend. */
  findRelevant() {
    let bits = 0n;
    const roots = [...this.named].filter((id) => this.rule.areas.has(id)).flatMap((id) => this.rule.plexus.skin.get(id).dermatome);
    for (const id of [...this.named, ...roots]) {
      const supply = this.rule.supply.get(id);
      if (supply) bits |= supply.principal | supply.minor;
    }
    const signs = this.findings.filter(isSign).map((finding) => this.rule.plexus.signs.get(finding.about));
    return signs.reduce((all, sign) => all | this.rule.askedCuts(sign.when), bits);
  }

  /** Weighted gain of each finding. @returns {number[]} */
  gain(/** @type {bigint} */ broken) {
    const key = broken & this.relevant;
    let found = this.gains.get(key);
    if (found === undefined) {
      found = this.findings.map((finding, i) => gain(finding, this.rule, key) * this.weights[i]);
      this.gains.set(key, found);
    }
    return found;
  }

  isExplained(i, gains) {
    return gains[i] >= this.rules.explained * this.weights[i];
  }

  explains(/** @type {bigint} */ broken) {
    const gains = this.gain(broken);
    return this.abnormal.some((i) => this.isExplained(i, gains));
  }

  /** What the places look like that explain an abnormal finding. */
  explaining(i) {
    const places = this.places.all.filter((place) => this.isExplained(i, this.gain(place.broken)));
    return new Set(places.map((place) => place.seen.join()));
  }

  /** Pairs that score above the best single place and need both places. */
  pairs(best) {
    /** @type {Map<bigint, any>} */
    const byBits = new Map();
    for (const place of this.places.all.filter((one) => this.explains(one.broken))) {
      const key = place.broken & this.relevant, known = byBits.get(key);
      const rank = (one) => [one.plausible, this.extra(one.losses)];
      if (!known || compare(rank(place), rank(known)) < 0) byBits.set(key, place);
    }
    const sums = [...byBits.values()].map((place) => ({ place, sum: sumOf(this.gain(place.broken)) }));
    const chosen = sums.sort((a, b) => b.sum - a.sum).slice(0, this.rules.mostPlaces).map(({ place }) => place);
    const found = [];
    chosen.forEach((a, i) => {
      for (const b of chosen.slice(i + 1)) {
        const gains = this.gain(a.broken | b.broken), { unlikely, neighbour } = this.rules;
        const least = unlikely[a.plausible] + unlikely[b.plausible] + neighbour;
        if (sumOf(gains) - least <= best || !this.needed(gains, b.broken, a) || !this.needed(gains, a.broken, b)) continue;
        const draft = this.draft(this.inOrder(a, b));
        if (draft.total > best) found.push(draft);
      }
    });
    return found;
  }

  /** Cranial first. */
  inOrder(a, b) {
    const order = [...this.rule.plexus.segments.keys()], at = (place) => order.indexOf(place.sites[0].segment);
    return at(b) < at(a) ? [b, a] : [a, b];
  }

  /** Whether a place makes enough of a difference beside the rest. */
  needed(gains, rest, place) {
    const alone = this.gain(rest);
    const more = this.abnormal.filter((i) => gains[i] - alone[i] >= this.rules.explained * this.weights[i]);
    return more.length > 1 || (more.length === 1 && [...this.could.get(more[0])].every((seen) => seen === place.seen.join()));
  }

  /** Runs of at least three neighbours of a stage. */
  runs(best) {
    const found = [];
    for (const ids of this.neighbours) {
      for (let first = 0; first + 3 <= ids.length; first += 1) {
        for (let last = first + 3; last <= ids.length; last += 1) {
          const run = this.run(ids.slice(first, last)), gains = this.gain(run.broken), { places } = run;
          const ends = [[places.slice(1), places[0]], [places.slice(0, -1), places[places.length - 1]]];
          if (run.total > best && ends.every(([rest, end]) => this.needed(gains, allBits(rest), end))) found.push(run);
        }
      }
    }
    return found;
  }

  /** Segments of each stage of given order. */
  findNeighbours() {
    const { plexus } = this.rule, segments = [...plexus.segments.values()];
    const stages = plexus.data.stages.filter((stage) => stage.order === "given");
    const rows = stages.map((stage) => segments.filter((segment) => segment.stage === stage.id).map(({ id }) => id));
    return rows.filter((ids) => ids.length <= this.rules.mostNeighbours);
  }

  /** Segments all cut at their start, or all torn from the cord if that scores more. */
  run(ids) {
    const { sites, siteById } = this.rule.plexus;
    const starts = ids.map((id) => siteById.get(id));
    const torn = ids.map((id) => sites.find((site) => site.segment === id && site.at === 0));
    const [first, second] = [starts, torn].map((way) => this.draft(way.map((site) => this.only(site))));
    return second.total > first.total ? second : first;
  }

  /** A site by itself, for an answer of several. */
  only(site) {
    const broken = this.rule.broken([site]);
    return { sites: [site], broken, losses: [], seen: this.places.seen(broken), plausible: 0 };
  }

  /** Sum of the losses that no finding mentions. */
  extra(losses) {
    return losses.reduce((sum, loss, i) => (loss >= PART && !this.named.has(this.places.ids[i]) ? sum + loss : sum), 0);
  }

  draft(places) {
    const broken = allBits(places);
    const losses = places.length === 1 ? places[0].losses : this.places.losses(broken);
    const all = sumOf(this.gain(broken)) - this.cost(places);
    const plausible = Math.max(...places.map((place) => place.plausible)), extra = this.extra(losses);
    return { places, broken, total: all, plausible, extra, rank: [-Math.round(all * 1e9), places.length, plausible, extra] };
  }

  cost(places) {
    const unlikely = places.reduce((sum, place) => sum + this.rules.unlikely[place.plausible], 0);
    if (places.length === 1) return unlikely;
    const ids = places.map((place) => place.sites[0].segment);
    const beside = (row) => ids.length === 2 && row.some((id, i) => id === ids[0] && row[i + 1] === ids[1]);
    const near = ids.length > 2 || this.neighbours.some(beside);
    return unlikely + (near ? this.rules.neighbour : this.rules.second) + this.rules.next * (places.length - 2);
  }

  looks(draft) {
    const seen = draft.places.length === 1 ? draft.places[0].seen : this.places.seen(draft.broken);
    return `${seen.join()} ${this.gain(draft.broken).map((value) => Math.round(value * 1e9)).join()}`;
  }

  /** The answer of drafts that look the same, best first. */
  answer(same) {
    const first = same[0], alike = this.names(same), cuts = alike[0], gains = this.gain(first.broken);
    const all = this.findings.map((_, i) => i);
    const missed = this.abnormal.filter((i) => !this.isExplained(i, gains));
    const against = all.filter((i) => !this.abnormal.includes(i) && gains[i] <= this.rules.contradicted);
    const texts = (list) => list.map((i) => this.text(i));
    return {
      id: cuts.map((site) => site.id).join("+"),
      name: joined(cuts),
      cuts,
      places: alike.map(joined),
      explained: texts(all.filter((i) => !missed.includes(i) && !against.includes(i))),
      unexplained: texts(missed),
      contradicted: texts(against),
      score: first.total / this.full,
      plausible: first.plausible,
      partial: this.isPartial(first.broken),
      broken: this.rule.broken(cuts),
      seen: first.places.length === 1 ? first.places[0].seen : this.places.seen(first.broken),
    };
  }

  /** Sites of all the drafts; of a pair first each place by its commonest site, then by the others. */
  names(same) {
    const drafts = same.map((draft) => draft.places.map((place) => place.sites[0]));
    const many = same[0].places.length;
    if (many === 1) {
      const singles = same.filter((draft) => draft.places.length === 1).flatMap((draft) => draft.places[0].sites);
      return [...this.places.commonestFirst(singles).map((site) => [site]), ...drafts.filter((cuts) => cuts.length > 1)];
    }
    if (many > 2) return drafts;
    const [a, b] = same[0].places.map((place) => this.others(place));
    const pairs = a.flatMap((one) => b.map((other) => [one, other]));
    const found = pairs.filter((cuts) => this.isAlike(cuts, same[0])).slice(0, this.rules.mostNames);
    return [...new Map([...found, ...drafts].map((cuts) => [cuts.map((site) => site.id).join("+"), cuts])).values()];
  }

  /** Whether cuts look like a draft and explain the same. */
  isAlike(cuts, draft) {
    const broken = this.rule.broken(cuts), { mask } = this.places;
    if (this.gain(broken).join() !== this.gain(draft.broken).join()) return false;
    return (broken & mask) === (draft.broken & mask) || this.places.seen(broken).join() === this.places.seen(draft.broken).join();
  }

  /** The commonest site that looks like a place, then those that do so beside any other cut. */
  others(place) {
    const { mask } = this.places, alike = this.places.alike(place.seen);
    const sure = alike.filter((site) => (this.rule.broken([site]) & mask) === (place.broken & mask));
    const found = [...new Set([...alike.slice(0, 1), ...place.sites, ...sure])];
    return this.places.commonestFirst(found).slice(0, this.rules.mostNames);
  }

  isPartial(broken) {
    const graded = this.findings.filter((finding) => this.rules.graded.includes(finding.kind));
    return graded.flatMap((finding) => findingIds(finding, this.rule)).some((id) => this.rule.loss(id, broken) === WHOLE);
  }
}

function allBits(places) {
  return places.reduce((/** @type {bigint} */ bits, place) => bits | place.broken, 0n);
}

function sumOf(values) {
  return values.reduce((sum, value) => sum + value, 0);
}

/** "a", "a and b", or "a to d" for a run of neighbours. @returns {string} */
function joined(cuts) {
  const names = cuts.map((site) => site.name);
  return names.length < 3 ? names.join(" and ") : `${names[0]} to ${names[names.length - 1]}`;
}
