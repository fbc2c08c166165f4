// What is known of a structure: names, roots, route, supply, movements, sources.
import { groupBy, Plexus } from "./plexus.js";
import { h, list } from "./widgets.js";

/**
 * @param {Plexus} plexus
 * @param {{name: (id: string) => string, go: (id: string) => void}} wish
 */
export function card(plexus, id, wish) {
  const entity = plexus.entities.get(id);
  const facts = h("dl", {});
  const fact = (term, ...values) => {
    const told = values.filter((value) => value && value !== "");
    if (told.length) facts.append(h("dt", {}, term), h("dd", {}, ...told));
  };
  const link = (other) => h("button", { type: "button", className: "link", onclick: () => wish.go(other) }, wish.name(other));
  const links = (ids) => (ids.length ? list(ids.map(link), "inline") : null);

  fact("Roots", rootsOf(plexus, entity));
  if (entity.variable && Object.keys(entity.variable).length) {
    fact("Said by some", list(Object.entries(entity.variable).map(([root, note]) => `${root}: ${note}`)));
  }
  fact("Route", list(routesOf(plexus, entity).map((route) => route.map((step) => wish.name(step) || step).join(" → ")), "routes"));
  fact("Nerve", nerveOf(plexus, entity, links));
  fact("Belongs to", links([...plexus.groups.values()].filter((g) => g.members.includes(id)).map((g) => g.id)));
  const { muscles, skin } = reached(plexus, entity);
  fact("Muscles", links(muscles));
  fact("Skin", links(skin));
  fact("Branches", links(plexus.segments.has(id) ? plexus.children.get(id) : []));
  fact("Movements", (entity.movements || []).join(", "));
  fact("Area", entity.area);
  fact("Also called", (entity.synonyms || []).join(", "));
  fact("Note", entity.note);
  fact("Sources", (entity.sources || []).map((source) => plexus.data.sources[source] || source).join("; "));

  const other = wish.name(id) === entity.name ? entity.latin : entity.name;
  return h("article", { className: "card" },
    h("h2", {}, wish.name(id)),
    h("p", { className: "soft" }, entity.kind, other ? " · " : "", other && h("i", {}, other)), facts);
}

/** "C5, C6; small share: C7; from outside: C4 (cervical plexus)". */
export function rootsOf(plexus, entity) {
  const owner = plexus.levels.has(entity.id) ? plexus.segments.get(plexus.levels.get(entity.id).segment) : entity;
  let main = owner.roots || [], minor = owner.minor || [];
  if (owner.carried) {
    main = Object.keys(owner.carried).filter((root) => !owner.carried[root]);
    minor = Object.keys(owner.carried).filter((root) => owner.carried[root]);
  }
  const outside = Object.entries(owner.outside || {}).map(([root, nerve]) => `${root} (${nerve})`);
  const told = [main.join(", "), minor.length ? `small share: ${minor.join(", ")}` : "", outside.length ? `from outside: ${outside.join(", ")}` : ""];
  return told.filter(Boolean).join("; ");
}

/** Ways from the roots, as ids; the first item names all roots that share the rest. @returns {string[][]} */
export function routesOf(plexus, entity) {
  const level = plexus.levels.get(entity.id);
  const segment = level ? level.segment : plexus.segments.has(entity.id) ? entity.id : "";
  const ids = plexus.members(entity.id);
  const ways = segment ? waysInto(plexus, segment) : ids.flatMap((id) => plexus.routesTo(id)).map((route) => [...route.steps.map(([step]) => step), route.target]);
  const same = groupBy(ways.filter((way) => way.length > 1), (way) => [way.slice(1).join(" ")]);
  return [...same.values()].map((alike) => [[...new Set(alike.map((way) => way[0]))].join(", "), ...alike[0].slice(1)]);
}

function waysInto(plexus, segment) {
  const found = [];
  const climb = (here, root, rest) => {
    const parents = plexus.parents(here);
    if (!parents.length) found.push([here, ...rest]);
    for (const parent of parents) if (plexus.between(parent, here).includes(root)) climb(parent, root, [here, ...rest]);
  };
  for (const root of Object.keys(plexus.segments.get(segment).carried)) climb(segment, root, []);
  return found;
}

function nerveOf(plexus, entity, links) {
  if (entity.nerve) return entity.nerve;
  const level = plexus.levels.get(entity.id);
  return links(level ? [level.segment] : plexus.nervesOf.get(entity.id) || []);
}

/** Muscles and skin that fibres of a segment, of a level's segment beyond it, or of a group reach. */
function reached(plexus, entity) {
  const level = plexus.levels.get(entity.id);
  const segment = level ? level.segment : entity.id;
  let ids = entity.members || entity.muscles || [];
  if (plexus.segments.has(segment)) {
    const beyond = (route) => !level || route.steps.some(([step, at]) => step === segment && at >= level.at);
    ids = [...new Set((plexus.bySegment.get(segment) || []).filter(beyond).map((route) => route.target))];
  }
  return { muscles: ids.filter((id) => !plexus.skin.has(id)), skin: ids.filter((id) => plexus.skin.has(id)) };
}
