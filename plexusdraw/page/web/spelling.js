// Names in one spelling, as Python made them (names/spelling.py); what a reader types is brought to the same.
import { Plexus } from "./plexus.js";

/** Words without case, accents and punctuation. @returns {string[]} */
export function tokens(/** @type {string} */ text) {
  const plain = text.normalize("NFKD").replace(/\p{M}/gu, "").toUpperCase().toLowerCase().replace(/['’`´]/g, "");
  return plain.match(/[\p{L}\p{N}]+/gu) || [];
}

export class Speller {
  /** @param {Plexus} plexus */
  constructor(plexus) {
    const { exact, mapped, silent, stems } = plexus.data.spelling;
    this.mapped = new Map(Object.entries(mapped));
    this.silent = new Set(silent);
    this.stems = stems.map((pattern) => new RegExp(pattern));
    this.exact = new Map(Object.entries(exact));
    this.core = new Map([...this.exact].map(([id, forms]) => [id, forms.map((form) => this.canonical(form))]));
    this.unordered = new Map([...this.core].map(([id, forms]) => [id, new Set(forms.map(sorted))]));
    this.right = new Map(Object.entries(plexus.data.right).map(([detail, names]) => [detail, new Map(Object.entries(names))]));
  }

  /** Those words that distinguish, in one spelling; all of them if none does. */
  canonical(/** @type {string} */ text) {
    const all = tokens(text);
    const found = all.filter((word) => !this.silent.has(word)).map((word) => this.stem(this.mapped.get(word) || word));
    return (found.length ? found : all).join(" ");
  }

  stem(/** @type {string} */ word) {
    const fit = this.stems.find((pattern) => pattern.test(word));
    return fit ? /** @type {RegExpExecArray} */ (fit.exec(word))[1] : word;
  }

  /** Ids that a text names, of those given. @param {Iterable<string>} ids */
  find(/** @type {string} */ text, ids) {
    const whole = tokens(text).join(" "), wish = sorted(this.canonical(text)), among = [...ids];
    const found = among.filter((id) => this.exact.get(id).includes(whole));
    return found.length ? found : among.filter((id) => this.unordered.get(id).has(wish));
  }

  /**
   * "right", "spelling" (a slip of the pen) or "wrong": whether a text names an entity of pictures of this detail. The
   * text must not be nearer to something else.
   */
  judge(/** @type {string} */ text, /** @type {string} */ id, /** @type {string} */ detail) {
    const core = this.canonical(text), wish = sorted(core), right = this.right.get(detail).get(id);
    if (!wish) return "wrong";
    if (right.some((form) => sorted(form) === wish)) return "right";
    if ([...this.unordered.values()].some((forms) => forms.has(wish))) return "wrong";
    const word = core.replaceAll(" ", "");
    const most = word.length < 5 ? 0 : word.length < 9 ? 1 : 2;
    const near = nearest(right, word, most);
    if (near > most) return "wrong";
    const others = [...this.core].filter(([other]) => other !== id);
    return others.some(([, forms]) => nearest(forms, word, near) <= near) ? "wrong" : "spelling";
  }
}

/** Words in the order of the alphabet. */
function sorted(/** @type {string} */ words) {
  return words.split(" ").sort().join(" ");
}

/** Fewest letters by which a word differs from one of these forms, words written together; more than *most* if so. */
function nearest(forms, wish, most) {
  let found = most + 1;
  for (const form of forms.map((words) => words.replaceAll(" ", ""))) {
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
