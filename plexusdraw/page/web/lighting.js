// Which fibres a structure lights: its own, from the root end to what they reach. As in plexusdraw/lighting.py.
import { Plexus } from "./plexus.js";

const END = 1000000;

/**
 * along: "segment root" → last position; arrivals: "segment root parent"; targets: "target root"; reached: targets.
 * @param {Plexus} plexus @param {string[]} ids
 */
export function light(plexus, ids) {
  const lit = { along: new Map(), arrivals: new Set(), targets: new Set(), reached: new Set() };
  for (const id of ids) {
    const level = plexus.levels.get(id);
    if (level || plexus.segments.has(id)) through(plexus, lit, level ? level.segment : id);
    else for (const member of plexus.members(id)) toTarget(plexus, lit, member);
  }
  return lit;
}

function run(lit, segment, root, to) {
  const key = `${segment} ${root}`;
  lit.along.set(key, Math.max(to, lit.along.get(key) ?? -1));
}

function reach(lit, route) {
  lit.targets.add(`${route.target} ${route.root}`);
  lit.reached.add(route.target);
}

function toTarget(plexus, lit, target) {
  for (const route of plexus.routesTo(target)) {
    route.steps.forEach(([segment, exit], i) => {
      run(lit, segment, route.root, exit);
      if (i) lit.arrivals.add(`${segment} ${route.root} ${route.steps[i - 1][0]}`);
    });
    reach(lit, route);
  }
}

function through(plexus, lit, segment) {
  for (const root of Object.keys(plexus.segments.get(segment).carried)) {
    upstream(plexus, lit, segment, root);
    downstream(plexus, lit, segment, root);
  }
  for (const route of plexus.bySegment.get(segment) || []) reach(lit, route);
}

function upstream(plexus, lit, segment, root) {
  const stack = [segment];
  while (stack.length) {
    const here = stack.pop();
    for (const parent of plexus.parents(here)) {
      if (!plexus.between(parent, here).includes(root)) continue;
      lit.arrivals.add(`${here} ${root} ${parent}`);
      const at = (plexus.segments.get(parent).course || []).indexOf(here);
      run(lit, parent, root, at < 0 ? END : at);
      stack.push(parent);
    }
  }
}

function downstream(plexus, lit, segment, root) {
  const stack = [segment];
  while (stack.length) {
    const here = stack.pop();
    run(lit, here, root, END);
    for (const child of plexus.children.get(here)) {
      if (!plexus.between(here, child).includes(root)) continue;
      const key = `${child} ${root} ${here}`;
      if (!lit.arrivals.has(key)) stack.push(child);
      lit.arrivals.add(key);
    }
  }
}
