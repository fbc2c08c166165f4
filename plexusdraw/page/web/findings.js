// What an examination found, and how well broken routes agree with it: the rules of plexusdraw/clinic/findings.py.
import { parts, States } from "./states.js";

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
  if (finding.movement) return gains[rule.movement(finding.about, broken)];
  const members = rule.plexus.members(finding.about).map((id) => gains[rule.loss(id, broken)]);
  if (rule.rules.normal.includes(finding.kind) || Math.max(...members) <= 0) return Math.min(...members);
  return members.reduce((sum, value) => sum + Math.max(value, 0), 0) / members.length;
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
