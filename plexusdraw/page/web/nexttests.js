// What to examine next, to tell the leading answers apart: the rules of plexusdraw/clinic/next_tests.py.
import { findingIds, isSign } from "./findings.js";

const UNUSUAL = 2;

/** The most telling tests, best first. @param {import("./places.js").Places} places */
export function nextTests(places, findings, answers) {
  const { rule } = places, { rules, plexus } = rule;
  if (!answers.length) return [];
  const leading = leadingOf(rules, answers);
  const about = (finding) => (isSign(finding) ? [finding.about] : findingIds(finding, rule));
  const done = new Set(findings.flatMap(about).flatMap((id) => plexus.members(id)));
  const rows = new Map();
  for (const [id, results] of resultsOf(places, leading)) {
    const tells = (entropy(results) + entropy(results.map((result) => result > 0))) / 2;
    if (!done.has(id) && tells > 0 && !rows.has(results.join())) rows.set(results.join(), { id, results, tells });
  }
  const best = [...rows.values()].sort((a, b) => b.tells - a.tells).slice(0, rules.manyTests);
  return best.map(({ id, results, tells }, i) => {
    const word = i === 0 ? 0 : tells >= rules.well * best[0].tells ? 1 : 2;
    const names = (gone) => leading.filter((_, j) => results[j] > 0 === gone).map((answer) => answer.name);
    const { bare, name, kind } = plexus.entities.get(id);
    return { id, name: bare || name, kind, tells, word: rules.testWords[word], normal: names(false), changed: names(true) };
  });
}

/** The answers that tests should tell apart. */
function leadingOf(rules, answers) {
  const usual = answers.filter((answer, i) => i === 0 || answer.plausible !== UNUSUAL);
  const many = usual.filter((answer) => answer.score >= answers[0].score - rules.leading).length;
  return usual.slice(0, Math.min(Math.max(many, rules.leastLeading), rules.mostLeading));
}

/** Each test and what it shows after each of the leading answers. */
function resultsOf(places, leading) {
  const { plexus } = places.rule;
  const ids = [...places.bedside, ...places.placedSigns.map((sign) => sign.id)];
  const rows = ids.map((id, i) => [id, leading.map((answer) => answer.seen[i])]);
  const roots = leading.map((answer) => answer.cuts.every((site) => plexus.roots.includes(site.segment)));
  if (!roots[0] || roots.filter(Boolean).length < 2) return rows;
  const maps = [...plexus.skin.values()].filter((area) => area.dermatome);
  return [...rows, ...maps.map(({ id }) => [id, leading.map((answer) => places.seenOf(id, answer.broken))])];
}

/** Entropy of results, in bits. */
function entropy(results) {
  const counts = new Map();
  for (const result of results) counts.set(result, (counts.get(result) || 0) + 1);
  return -[...counts.values()].reduce((sum, n) => sum + (n / results.length) * Math.log2(n / results.length), 0);
}
