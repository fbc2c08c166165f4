// The code of a label form, as worksheet/codes.py and worksheet/stamp.py have it. What it is made of came with the model.

/**
 * @typedef {{seed: bigint, several: boolean, choosing: string, side: string, detail: string, style: string, count: number, ask: number[]}} Wish
 * detail "": as drawn for what is asked. ask: places in the list of what may be asked; empty: the usual.
 * @typedef {Record<string, any>} Known what Python says of codes (page/forms.py)
 */

const GENERATOR = 3n;
const CODE = /^([0-9A-Z]{1,60})-([0-9]{2,6})-?([0-9A-Z])$/;
const DIGIT = 16;

/** The code of one form. @param {Known} known */
export function codeOf(known, /** @type {string} */ stamp, /** @type {number} */ number) {
  const digits = String(number).padStart(2, "0");
  return `${stamp}-${digits}-${checkOf(known, stamp + digits)}`;
}

/** What the codes of a set begin with. @param {Known} known @param {Wish} wish */
export function stampOf(known, wish) {
  const others = [...othersOf(known, wish)], usual = [...othersOf(known, { ...wish, side: known.sides[0], detail: "", style: known.styles[0], count: 0, ask: [] })];
  const same = others.join() === usual.join();
  const fields = [
    known.model, [0, known.mostKinds], [known.label, known.kindsSize], ...numberFields(wish.seed), [Number(wish.several), 2],
    [known.choosing.indexOf(wish.choosing), known.choosing.length], [0, 2], [Number(!same), 2], ...(same ? [] : others),
  ];
  let total = 0n, text = "";
  for (const [value, size] of fields.reverse()) total = total * BigInt(size) + BigInt(value);
  for (; total; total /= BigInt(known.alphabet.length)) text = known.alphabet[Number(total % BigInt(known.alphabet.length))] + text;
  return text || known.alphabet[0];
}

/** What stands in a code only where it is not as usual: values, each with how many it could be. */
function* othersOf(known, { side, detail, style, count, ask }) {
  yield* [[known.level - 1, 4], [0, 2], [known.sides.indexOf(side), known.sides.length], [0, known.writing]];
  yield* [[known.details.indexOf(detail) + 1, known.details.length + 1], [known.styles.indexOf(style), known.styles.length], [0, 2]];
  yield* numberFields(BigInt(count));
  yield [ask.length, known.askSize];
  for (const word of ask) yield [known.ask[word][0], known.wordSize];
  yield* [[0, known.prompts], [0, known.askSize], [0, known.mostSites]];
}

function* numberFields(value) {
  do {
    const rest = value / BigInt(DIGIT);
    yield [2 * Number(value % BigInt(DIGIT)) + Number(rest > 0n), 2 * DIGIT];
    value = rest;
  } while (value);
}

/**
 * What a code tells of a form that this page can make. @param {Known} known
 * @returns {{wish: Wish, number: number, stamp: string}} @throws {Error} in words for the reader
 */
export function readCode(known, /** @type {string} */ typed) {
  const text = typed.replace(/\s/g, "").toUpperCase().replaceAll("O", "0").replace(/[IL]/g, "1"), found = CODE.exec(text);
  if (!found || Number(found[2]) < 1) throw new Error(`This is no code of a form. A code looks like "${codeOf(known, "8KW2M", 7)}".`);
  const [, stamp, digits, check] = found;
  if ([...stamp].some((letter) => !known.alphabet.includes(letter)) || check !== checkOf(known, stamp + digits)) throw new Error("The code has a wrong character. Compare it with the form.");
  const taker = new Taker(known, stamp), wish = wishOf(known, taker);
  if (taker.rest) throw new Error("The code was made by another version.");
  return { wish, number: Number(digits), stamp };
}

/** Takes the values out of a code one after the other. */
class Taker {
  constructor(known, stamp) {
    this.rest = [...stamp].reduce((sum, letter) => sum * BigInt(known.alphabet.length) + BigInt(known.alphabet.indexOf(letter)), 0n);
  }

  take(size) {
    const value = Number(this.rest % BigInt(size));
    this.rest /= BigInt(size);
    return value;
  }

  number() {
    let value = 0n, unit = 1n, more = 1;
    while (more) {
      const digit = this.take(2 * DIGIT);
      value += BigInt(digit >> 1) * unit;
      unit *= BigInt(DIGIT);
      more = digit & 1;
    }
    return value;
  }

  list(most, size) {
    return Array.from({ length: this.take(most) }, () => this.take(size));
  }
}

/** @returns {Wish} */
function wishOf(known, taker) {
  const refuse = (fine) => { if (!fine) throw new Error("This page makes plain label forms of the plexus that it shows. The command \"plexusdraw worksheet --form\" makes any form."); };
  refuse(taker.take(known.model[1]) === known.model[0]);
  refuse(taker.take(known.mostKinds) === 0 && taker.take(known.kindsSize) === known.label);
  const seed = taker.number(), several = taker.take(2) === 1, choosing = known.choosing[taker.take(known.choosing.length)];
  const large = readPaper(known, taker);
  const wish = { seed, several, choosing, side: known.sides[0], detail: "", style: known.styles[0], count: 0, ask: [] };
  if (!taker.take(2)) return wish;
  refuse(taker.take(4) === known.level - 1 && taker.take(2) === 0);
  wish.side = known.sides[taker.take(known.sides.length)];
  taker.take(known.writing);
  wish.detail = ["", ...known.details][taker.take(known.details.length + 1)];
  wish.style = known.styles[taker.take(known.styles.length)];
  refuse(taker.take(2) === 0);
  wish.count = Number(taker.number());
  wish.ask = taker.list(known.askSize, known.wordSize).map((place) => known.ask.findIndex(([own]) => own === place));
  refuse(!wish.ask.includes(-1) && !(large && wish.ask.includes(known.muscles)));
  refuse(taker.take(known.prompts) === 0 && taker.take(known.askSize) === 0 && taker.take(known.mostSites) === 0);
  return wish;
}

/** Whether a form is on paper of its own, on which rows of muscles may have another order. */
function readPaper(known, taker) {
  if (!taker.take(2)) return false;
  if (taker.take(known.papers + 1)) taker.take(known.turns);
  else [taker.number(), taker.number()];
  return true;
}

function checkOf(known, text) {
  const base = BigInt(known.alphabet.length);
  const total = [...text].reduce((sum, letter, i) => sum + BigInt(known.alphabet.indexOf(letter)) * (GENERATOR ** BigInt(i + 1) % base), 0n);
  return known.alphabet[Number(total % base)];
}
