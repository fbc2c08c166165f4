// What an examination found, and how well broken routes agree with it: the rules of plexusdraw/clinic/findings.py.
import { NONE, PART, parts, States } from "./states.js";

/**
 * @typedef {{kind: string, about: string, name: string, movement: boolean}} Finding
 * about: id of a muscle, group, skin area, sign or reflex, or the name of a movement.
 */

/** In words: "weak deltoid". @param {Finding} finding @param {Record<string, string>} words kind → word, where it is another */
export function findingText(finding, words) {
  const word = finding.kind === "sign" ? "" : `${words[finding.kind] || finding.kind} `;
  return word + finding.name;
}

/** @param {Finding} finding @param {States} rule @param {bigint} broken */
export function gain(finding, rule, broken) {
  const gains = rule.rules.gains[finding.kind];
  if (isSign(finding)) return gains[rule.holds(rule.plexus.signs.get(finding.about).when, broken) ? 3 : 0];
  if (finding.movement) {
    const movers = rule.movers.get(finding.about);
    const share = movers.filter((id) => rule.loss(id, broken) >= PART).length / movers.length;
    return gains[rule.movement(finding.about, broken)] * (1 + share) / 2;
  }
  if (rule.areas.has(finding.about) && !rule.rules.normal.includes(finding.kind)) return gainOfDermatome(finding.about, gains, rule, broken);
  const members = rule.plexus.members(finding.about).map((id) => gains[rule.loss(id, broken)]);
  if (rule.rules.normal.includes(finding.kind)) return Math.min(...members);
  return members.reduce((sum, value) => sum + value, 0) / members.length;
}

/** Of an abnormal dermatome. @param {string} about @param {number[]} gains @param {States} rule @param {bigint} broken */
function gainOfDermatome(about, gains, rule, broken) {
  const areas = rule.areas.get(about), roots = rule.plexus.skin.get(about).dermatome;
  const felt = areas.map(([id, routes]) => gains[broken & routes ? rule.loss(id, broken) : NONE]);
  const mean = felt.reduce((sum, value) => sum + value, 0) / Math.max(felt.length, 1);
  const left = roots.reduce((/** @type {number} */ sum, /** @type {string} */ root) => sum + rule.remaining(root, broken), 0) / roots.length;
  return Math.max(gains[rule.loss(about, broken)], mean) * (2 - left) / 2;
}

/** The first two findings that cannot both be true, or several that cannot be so together. @param {States} rule @param {Finding[]} findings @returns {Finding[] | null} */
export function contradiction(rule, findings) {
  for (const [i, a] of findings.entries()) {
    const b = findings.slice(0, i).find((other) => other.movement === a.movement && contradict(a, other, rule));
    if (b) return [b, a];
  }
  for (const finding of findings) {
    const others = againstAll(rule, finding, findings);
    if (others.length) return [finding, ...others];
  }
  return null;
}

/** The findings of single muscles or areas that leave a group or a movement no way to be as found. */
function againstAll(rule, finding, findings) {
  const { normal, strengths } = rule.rules, usual = normal.includes(finding.kind);
  const membersOf = (one) => (one.movement ? [one.about] : rule.plexus.members(one.about));
  const ids = finding.movement ? rule.movers.get(finding.about) : membersOf(finding);
  if (ids.length < 2 && !finding.movement) return [];
  const holdsOf = (one, id) => !one.movement && membersOf(one).includes(id)
    && (membersOf(one).length === 1 || one.kind === "paralysed" || normal.includes(one.kind));
  const told = ids.map((id) => findings.filter((one) => one !== finding && holdsOf(one, id)));
  const left = told.map((of) => [0, 1, 2, 3, 4, 5].filter((grade) => of.every(({ kind }) => strengths[kind].includes(grade))));
  const opposite = !usual ? 5 : finding.movement ? 0 : -1;
  let wrong = [];
  if (left.every((grades) => grades.length === 1 && grades[0] === opposite)) wrong = told;
  else if (finding.movement && finding.kind === "paralysed") wrong = told.filter((_, i) => !left[i].includes(0)).slice(0, 1);
  return [...new Set(wrong.flat())];
}

function contradict(a, b, rule) {
  const members = (finding) => (finding.movement ? [finding.about] : rule.plexus.members(finding.about));
  const mine = members(a), other = members(b), may = rule.rules.strengths;
  if (!mine.some((id) => other.includes(id)) || may[a.kind].some((grade) => may[b.kind].includes(grade))) return false;
  if (mine.length === other.length && mine.every((id) => other.includes(id))) return true;
  const every = [a, b].filter(({ kind }) => kind === "paralysed" || rule.rules.normal.includes(kind)); // true of each member
  return every.length === 2 || every.some((finding) => [...mine, ...other].every((id) => members(finding).includes(id)));
}

/** Ids on which a finding depends. @param {Finding} finding @param {States} rule @returns {string[]} */
export function findingIds(finding, rule) {
  if (finding.movement) return rule.movers.get(finding.about);
  if (!isSign(finding)) return [finding.about];
  const rules = parts(rule.plexus.signs.get(finding.about).when);
  return rules.flatMap((part) => [...(part.lost || []), ...(part.weak || []), ...(part.spared || [])]);
}

/** @param {Finding} finding */
export function isSign(finding) {
  return finding.kind === "sign" || finding.kind === "no-sign";
}
