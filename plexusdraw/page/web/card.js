// What is known of a structure: names, roots, route, supply, movements, sources, as Python says.
import { Plexus } from "./plexus.js";
import { h, list } from "./widgets.js";

/**
 * @param {Plexus} plexus
 * @param {{name: (id: string) => string, kind: (id: string) => string, go: (id: string) => void}} wish
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

  const { ways = [], muscles = [], skin = [], ...own } = plexus.cards.get(id) || {};
  fact("Roots", rootsOf(own, entity));
  if (entity.variable && Object.keys(entity.variable).length) {
    fact("Said by some", list(Object.entries(entity.variable).map(([root, note]) => `${root}: ${note}`)));
  }
  fact("Route", list(ways.map((way) => way.map((step) => wish.name(step) || step).join(" → ")), "routes"));
  fact("Nerve", nerveOf(plexus, entity, links));
  fact("Belongs to", links([...plexus.groups.values()].filter((g) => g.members.includes(id)).map((g) => g.id)));
  fact("Muscles", links(muscles));
  fact("Skin", links(skin));
  fact("Branches", links(plexus.children.get(id) || []));
  const moves = (entity.movements || []).map((name) => h("button", { type: "button", className: "link", onclick: () => wish.go(name) }, name));
  fact("Movements", moves.length ? list(moves, "inline") : null);
  fact("Examined by", entity.examine);
  fact("Deceived by", entity.trick);
  fact("Area", entity.area);
  fact("Also called", (entity.synonyms || []).join(", "));
  fact("Note", entity.note);
  fact("Sources", [...new Set((entity.sources || []).map((source) => titleOf(plexus, source)))].join("; "));

  const cuts = [...plexus.siteById.keys()].filter((site) => site === id);
  if (cuts.length) facts.append(h("dd", { className: "row" }, h("button", { type: "button", onclick: () => wish.cut(cuts) }, "Cut it here")));

  const other = wish.name(id) === entity.name ? entity.latin : entity.name;
  return h("article", { className: "card" },
    h("h2", { lang: other === entity.name ? "la" : null }, wish.name(id)),
    h("p", { className: "soft" }, wish.kind(id), other ? " · " : "", other && h("i", { lang: other === entity.name ? "en" : "la" }, other)), facts);
}

/** A source as a reader knows it. */
function titleOf(plexus, source) {
  return Object.hasOwn(plexus.data.sources, source) ? plexus.data.sources[source] : source;
}

/** What does a movement. @param {import("./states.js").States} rule */
export function movementCard(rule, name, wish) {
  const links = rule.movers.get(name).map((id) => h("button", { type: "button", className: "link", onclick: () => wish.go(id) }, wish.name(id)));
  return h("article", { className: "card" }, h("h2", {}, name), h("p", { className: "soft" }, "movement"), h("dl", {}, h("dt", {}, "Done by"), h("dd", {}, list(links, "inline"))));
}

/** "C5, C6; small share: C7; from outside: C4 (cervical plexus)". */
function rootsOf({ roots = [], minor = [] }, entity) {
  const outside = Object.entries(entity.outside || {}).map(([root, nerve]) => `${root} (${nerve})`);
  const told = [roots.join(", "), minor.length ? `small share: ${minor.join(", ")}` : "", outside.length ? `from outside: ${outside.join(", ")}` : ""];
  return told.filter(Boolean).join("; ");
}

function nerveOf(plexus, entity, links) {
  if (entity.nerve) return entity.nerve;
  const place = plexus.places.get(entity.id);
  return links(place ? [place.segment] : plexus.nervesOf.get(entity.id) || []);
}
