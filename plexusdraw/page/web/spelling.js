// Spellings of names brought to one form, and a forgiving comparison. The words are those of plexusdraw/spelling.py.
import { Plexus } from "./plexus.js";

/** Words without case, accents and punctuation. @returns {string[]} */
export function tokens(/** @type {string} */ text) {
  const plain = text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/['’`´]/g, "");
  return plain.match(/[\p{L}\p{N}]+/gu) || [];
}

/** Those words that distinguish, in one spelling. @param {{mapped: Record<string, string>, silent: string[]}} words */
function distinct(/** @type {string} */ text, words) {
  const all = tokens(text);
  const found = all.filter((word) => !words.silent.includes(word)).map((word) => stem(words.mapped[word] || word));
  return found.length ? found : all;
}

/** The same in whatever order. */
function canonical(text, words) {
  return distinct(text, words).sort().join(" ");
}

/** The same as one word, to be compared letter by letter. */
function letters(text, words) {
  return distinct(text, words).join("");
}

function stem(word) {
  if (word.startsWith("interosse")) return "interosse";
  return word.length > 3 && word.endsWith("s") && !/(ss|us|is|eps)$/.test(word) ? word.slice(0, -1) : word;
}

/** All names of an entity. @returns {string[]} */
export function namesOf(entity) {
  return [entity.id, entity.name, entity.bare, entity.latin, ...(entity.synonyms || [])].filter(Boolean);
}

/** Names of everything that can be shown on a picture or listed, in one spelling. */
export class Speller {
  /** @param {Plexus} plexus */
  constructor(plexus) {
    this.words = plexus.data.spelling;
    this.plexus = plexus;
    this.forms = this.eachName(canonical);
    this.spelt = this.eachName(letters);
  }

  /** Id → all its names in one form. @returns {Map<string, Set<string>>} */
  eachName(form) {
    const all = [...this.plexus.entities.values()];
    return new Map(all.map((entity) => [entity.id, new Set(namesOf(entity).map((name) => form(name, this.words)))]));
  }

  /** Ids that a text names, of those given. @param {Iterable<string>} ids */
  find(/** @type {string} */ text, ids) {
    const wish = canonical(text, this.words);
    const exact = tokens(text).join(" ");
    const among = [...ids];
    const whole = among.filter((id) => namesOf(this.plexus.entities.get(id)).some((name) => tokens(name).join(" ") === exact));
    return whole.length ? whole : among.filter((id) => this.forms.get(id).has(wish));
  }

  /** The injury with a name of its own that a text names. @returns {Record<string, any>|undefined} */
  scenario(/** @type {string} */ text) {
    const wish = canonical(text, this.words);
    const all = this.plexus.data.scenarios || [];
    return all.find((/** @type {Record<string, any>} */ row) => namesOf(row).some((name) => canonical(name, this.words) === wish));
  }

  /**
   * "right", "spelling" (a slip of the pen) or "wrong": whether a text names an entity. The text must not be nearer
   * to something else. A short label counts, as on the picture.
   */
  judge(/** @type {string} */ text, /** @type {string} */ id) {
    const wish = canonical(text, this.words);
    if (!wish) return "wrong";
    const entity = this.plexus.entities.get(id);
    if (this.forms.get(id).has(wish) || (entity.label && canonical(entity.label, this.words) === wish)) return "right";
    if ([...this.forms.values()].some((forms) => forms.has(wish))) return "wrong";
    const word = letters(text, this.words);
    const most = word.length < 5 ? 0 : word.length < 9 ? 1 : 2;
    const near = nearest(this.spelt.get(id), word, most);
    if (near > most) return "wrong";
    const others = [...this.spelt].filter(([other]) => other !== id);
    return others.some(([, forms]) => nearest(forms, word, near) <= near) ? "wrong" : "spelling";
  }
}

function nearest(forms, wish, most) {
  let found = most + 1;
  for (const form of forms) {
    if (Math.abs(form.length - wish.length) < found) found = Math.min(found, distance(form, wish));
  }
  return found;
}

/** Number of letters to change, add, leave out or swap with their neighbour. */
export function distance(/** @type {string} */ a, /** @type {string} */ b) {
  let before = [], row = [...Array(b.length + 1).keys()];
  for (let i = 1; i <= a.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + same);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) next[j] = Math.min(next[j], before[j - 2] + 1);
    }
    before = row;
    row = next;
  }
  return row[b.length];
}
