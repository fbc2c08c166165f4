// Names within a text in Latin: of a site, of places that explain findings, of a step of the lecture.

/** What stands in a text by its name. */
const TABLES = ["segment", "place", "muscle", "skin", "group", "outside", "reflex", "sign"];

/** Puts the Latin names of structures in place of the English ones. @param {import("./plexus.js").Plexus} plexus @returns {(text: string) => string} */
export function latinWords(plexus) {
  const named = [...plexus.entities.values()].filter(({ id, table }) => TABLES.includes(table) && !plexus.roots.includes(id));
  const words = new Map(named.map(({ name, latin }) => [name, latin || name]));
  const longest = [...words.keys()].sort((a, b) => b.length - a.length).map((name) => name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  // Of two names the longer is meant, also where it has no Latin one.
  const any = longest.length ? new RegExp(`(?<![\\p{L}\\p{N}])(?:${longest.join("|")})(?![\\p{L}\\p{N}])`, "giu") : /$^/;
  const lower = new Map([...words].map(([name, latin]) => [name.toLowerCase(), latin]));
  return (text) => text.replace(any, (name) => lower.get(name.toLowerCase()) || name);
}
