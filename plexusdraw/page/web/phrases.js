// "numb C6", "biceps reflex lost", "deltoid 3/5": which kinds of finding the words of a text allow, and what is left of it.
import { tokens } from "./spelling.js";

const ABNORMAL = ["weak", "numb", "sign", "reflex-lost"];
const LOST = ["reflex-lost", "paralysed", "numb"], KEPT = ["spared", "feels", "reflex-kept"];
const NOT = ["no-sign", "numb", "reflex-lost", "paralysed"];
/** Word → kinds of finding of which it may speak, the likeliest first. */
const HINTS = new Map(/** @type {[string, string[]][]} */ ([
  ["weak weakness", ["weak", "moderate", "slight"]], ["moderately moderate", ["moderate"]], ["slightly slight", ["slight"]],
  ["paralysed paralyzed paralysis plegia", ["paralysed"]], ["cannot cant unable", ["weak", "paralysed"]], ["strength power mrc grade", ["spared", "weak", "paralysed"]], ["strong", ["spared"]],
  ["numb numbness insensate anaesthesia anesthesia hypoaesthesia hypoesthesia hypaesthesia hypesthesia paraesthesia paresthesia tingling tingles", ["numb"]],
  ["feeling sensation sensory", ["numb", "feels"]], ["reflex jerk", ["reflex-lost", "reflex-kept"]], ["lost loss absent gone", LOST],
  ["reduced decreased diminished impaired", ["reflex-lost", "weak", "numb"]], ["normal intact kept", KEPT], ["present", ["reflex-kept", "feels", "sign"]], ["full spared", ["spared", "feels"]],
  ["no not without", NOT], ["sign", ["sign", "no-sign"]], ["shows positive", ["sign"]], ["negative", ["no-sign"]],
]).flatMap(([words, kinds]) => words.split(" ").map((word) => [word, kinds])));
/** Words that tell nothing apart. */
const SMALL = new Set("a the of to in on over is has with".split(" "));

/** @param {string} text @param {Record<string, any>} rules @returns {{kinds: string[], rest: string}} kinds: the likeliest first */
export function phrase(text, { grade, byGrade, strengths }) {
  const told = new RegExp(grade, "i").exec(text);
  const words = tokens(told ? text.replace(told[0], " ") : text), rest = words.filter((word) => !HINTS.has(word) && !SMALL.has(word));
  const hints = words.filter((word) => HINTS.has(word)).map((word) => HINTS.get(word));
  const all = hints.reduce((a, b) => {
    const both = a.filter((kind) => b.includes(kind));
    return both.length ? both : b;
  }, hints[0] || ABNORMAL);
  if (!told) return { kinds: all, rest: rest.join(" ") };
  // Strength that the words beside it do not allow is none: "weak deltoid 5/5".
  const fits = !hints.length || all.some((kind) => strengths[kind].includes(Number(told[1])));
  return { kinds: fits ? [byGrade[told[1]]] : [], rest: rest.join(" ") };
}
