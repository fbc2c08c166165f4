// Roots named together, or said to be torn or diseased: "C5 to C7 preganglionic", "L5 radiculopathy"; the rule of plexusdraw/names/sites.py.
import { tokens } from "./spelling.js";

const REMARK = /\s*\([^()]*\)/g;

/** @param {string} text @param {import("./plexus.js").Plexus} plexus @returns {string[]} ids of sites; none where other words stand with the roots */
export function rootsIn(text, plexus) {
  const whole = among(text, plexus);
  return whole.length ? whole : among(text.replace(REMARK, " "), plexus);
}

function among(/** @type {string} */ text, /** @type {import("./plexus.js").Plexus} */ plexus) {
  const { torn, diseased, rootWords, run } = plexus.data.rules, rest = text.toLowerCase().replace("from the cord", " ");
  const roots = new Map(plexus.roots.map((root) => [root.toLowerCase(), root])), order = [...roots.keys()];
  const named = tokens(rest).filter((word) => roots.has(word)), [first, last] = [named[0], named[named.length - 1]];
  const words = tokens(rest.replace(new RegExp(rootWords, "g"), " ")).filter((word) => !roots.has(word) && word !== "all");
  const [state = "", more] = words, isTorn = torn.includes(state);
  if (!named.length || more || (state && !isTorn && ![...diseased, "postganglionic"].includes(state)) || (named.length < 2 && !state)) return [];
  const isRun = named.length === 2 && new RegExp(run.replace("FIRST", first).replace("LAST", last)).test(rest);
  const all = isRun ? order.slice(order.indexOf(first), order.indexOf(last) + 1) : [...new Set(named)];
  return all.map((word) => siteOf(plexus, /** @type {string} */ (roots.get(word)), isTorn, state));
}

/** Torn, a root is cut where it leaves the cord; diseased, at its start. */
function siteOf(plexus, root, isTorn, state) {
  const torn = plexus.sites.find(({ segment, at }) => segment === root && at === 0);
  return (isTorn && torn?.id) || (plexus.siteById.has(`${root}-${state}`) ? `${root}-${state}` : root);
}
