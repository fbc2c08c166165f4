// "numb C6", "biceps reflex lost", "no Horner": which kinds of finding the words of a text allow, and what is left of it.
import { tokens } from "./spelling.js";

const ABNORMAL = ["weak", "numb", "sign", "reflex-lost"];
const LOST = ["reflex-lost", "paralysed", "numb"], KEPT = ["spared", "feels", "reflex-kept"];
const NOT = ["no-sign", "numb", "reflex-lost", "paralysed"];
/** Word → kinds of finding of which it may speak, the likeliest first. */
const HINTS = new Map(Object.entries({
  weak: ["weak", "moderate", "slight"], weakness: ["weak", "moderate", "slight"], moderately: ["moderate"], moderate: ["moderate"], slightly: ["slight"], slight: ["slight"],
  paralysed: ["paralysed"], paralyzed: ["paralysed"], paralysis: ["paralysed"], strength: ["spared", "weak", "paralysed"], power: ["spared", "weak", "paralysed"], strong: ["spared"],
  numb: ["numb"], numbness: ["numb"], insensate: ["numb"], anaesthesia: ["numb"], feeling: ["numb", "feels"], sensation: ["numb", "feels"],
  reflex: ["reflex-lost", "reflex-kept"], jerk: ["reflex-lost", "reflex-kept"], lost: LOST, absent: LOST, reduced: ["reflex-lost", "weak", "numb"], gone: LOST,
  normal: KEPT, intact: KEPT, kept: KEPT, present: ["reflex-kept", "feels", "sign"], full: ["spared", "feels"], spared: ["spared", "feels"],
  no: NOT, not: NOT, without: NOT, sign: ["sign", "no-sign"], shows: ["sign"], positive: ["sign"], negative: ["no-sign"],
}));

/** @returns {{kinds: string[], rest: string}} kinds: the likeliest first */
export function phrase(/** @type {string} */ text) {
  const words = tokens(text), rest = words.filter((word) => !HINTS.has(word));
  const hints = words.filter((word) => HINTS.has(word)).map((word) => HINTS.get(word));
  const all = hints.reduce((a, b) => {
    const both = a.filter((kind) => b.includes(kind));
    return both.length ? both : b;
  }, hints[0] || ABNORMAL);
  return { kinds: all, rest: rest.join(" ") };
}
