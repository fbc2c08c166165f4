// Chance as the worksheets have it: Python's random.Random, seeded by a text (SHA-512, FIPS 180-4; MT19937, Matsumoto and
// Nishimura 1998, doi 10.1145/272991.272995), and choices that differ from form to form (worksheet/different.py).

const WORD = (1n << 64n) - 1n;
const MANY = 624;
const AHEAD = 397;

/** The first 64 bits after the point of a root of a small number. */
function rootBits(/** @type {bigint} */ number, /** @type {bigint} */ degree) {
  const goal = number << (64n * degree);
  let low = 0n, high = 1n << 68n;
  while (high - low > 1n) {
    const middle = (low + high) / 2n;
    if (middle ** degree <= goal) low = middle;
    else high = middle;
  }
  return low & WORD;
}

function primes(/** @type {number} */ many) {
  const found = [];
  for (let n = 2; found.length < many; n += 1) if (found.every((prime) => n % prime)) found.push(n);
  return found.map(BigInt);
}

/** @type {{start: bigint[], rounds: bigint[]} | null} */
let constants = null;

/** The 64 bytes of SHA-512. @returns {number[]} */
export function sha512(/** @type {number[]} */ bytes) {
  constants = constants || { start: primes(8).map((prime) => rootBits(prime, 2n)), rounds: primes(80).map((prime) => rootBits(prime, 3n)) };
  const size = BigInt(bytes.length * 8), room = (239 - (bytes.length % 128)) % 128;
  const padded = [...bytes, 128, ...Array(room).fill(0), ...bytesOf(size, 16)];
  let state = constants.start;
  for (let at = 0; at < padded.length; at += 128) state = block(state, padded.slice(at, at + 128), constants.rounds);
  return state.flatMap((word) => bytesOf(word, 8));
}

function bytesOf(/** @type {bigint} */ value, /** @type {number} */ many) {
  return Array.from({ length: many }, (_, i) => Number((value >> BigInt(8 * (many - 1 - i))) & 255n));
}

const numberOf = (bytes) => bytes.reduce((sum, byte) => (sum << 8n) | BigInt(byte), 0n);
const turned = (word, by) => ((word >> by) | (word << (64n - by))) & WORD;

function block(before, bytes, rounds) {
  const w = Array.from({ length: 16 }, (_, i) => numberOf(bytes.slice(8 * i, 8 * i + 8)));
  for (let i = 16; i < 80; i += 1) {
    const [x, y] = [w[i - 15], w[i - 2]];
    const small = turned(x, 1n) ^ turned(x, 8n) ^ (x >> 7n), large = turned(y, 19n) ^ turned(y, 61n) ^ (y >> 6n);
    w.push((w[i - 16] + small + w[i - 7] + large) & WORD);
  }
  let [a, b, c, d, e, f, g, h] = before;
  rounds.forEach((round, i) => {
    const one = h + (turned(e, 14n) ^ turned(e, 18n) ^ turned(e, 41n)) + ((e & f) ^ (~e & WORD & g)) + round + w[i];
    const two = (turned(a, 28n) ^ turned(a, 34n) ^ turned(a, 39n)) + ((a & b) ^ (a & c) ^ (b & c));
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) & WORD, c, b, a, (one + two) & WORD];
  });
  return [a, b, c, d, e, f, g, h].map((word, i) => (before[i] + word) & WORD);
}

export class Random {
  /** @param {string} seed */
  constructor(seed) {
    const text = [...new TextEncoder().encode(seed)];
    this.state = seeded(words(numberOf([...text, ...sha512(text)])));
    this.at = MANY;
  }

  /** 32 bits. */
  next() {
    if (this.at === MANY) this.mix();
    let y = this.state[this.at++];
    y ^= y >>> 11;
    y ^= (y << 7) & 0x9d2c5680;
    y ^= (y << 15) & 0xefc60000;
    return (y ^ (y >>> 18)) >>> 0;
  }

  mix() {
    const { state } = this;
    for (let i = 0; i < MANY; i += 1) {
      const y = (state[i] & 0x80000000) | (state[(i + 1) % MANY] & 0x7fffffff);
      state[i] = state[(i + AHEAD) % MANY] ^ (y >>> 1) ^ (y & 1 ? 0x9908b0df : 0);
    }
    this.at = 0;
  }

  /** A whole number from 0, less than another of any size. */
  below(/** @type {bigint} */ most) {
    for (;;) {
      let bits = most.toString(2).length, found = 0n, place = 0n;
      for (; bits > 0; bits -= 32, place += 32n) found |= BigInt(this.next() >>> Math.max(0, 32 - bits)) << place;
      if (found < most) return found;
    }
  }

  /** Brought into another order, in place. @template T @param {T[]} items */
  shuffle(items) {
    for (let i = items.length - 1; i > 0; i -= 1) {
      const j = Number(this.below(BigInt(i + 1)));
      [items[i], items[j]] = [items[j], items[i]];
    }
    return items;
  }
}

/** Words of 32 bits, the lowest first. */
function words(/** @type {bigint} */ value) {
  const found = [];
  for (let rest = value; rest; rest >>= 32n) found.push(Number(rest & 0xffffffffn));
  return found.length ? found : [0];
}

function seeded(/** @type {number[]} */ key) {
  const state = new Uint32Array(MANY), mixed = (i) => state[i - 1] ^ (state[i - 1] >>> 30);
  state[0] = 19650218;
  for (let i = 1; i < MANY; i += 1) state[i] = Math.imul(1812433253, mixed(i)) + i;
  let i = 1;
  const step = (factor, added) => {
    state[i] = (state[i] ^ Math.imul(mixed(i), factor)) + added;
    i += 1;
    if (i === MANY) [state[0], i] = [state[MANY - 1], 1];
  };
  for (let k = 0; k < Math.max(MANY, key.length); k += 1) step(1664525, key[k % key.length] + (k % key.length));
  for (let k = 1; k < MANY; k += 1) step(1566083941, -i);
  state[0] = 0x80000000;
  return state;
}

/** Of 0 to *many* - 1 so many, rising: the choice with this number, counted from 1. */
export function choiceOf(/** @type {number} */ many, /** @type {number} */ size, /** @type {number} */ number, /** @type {Random} */ dice) {
  const ways = comb(many, size), start = dice.below(ways), stride = strideOf(ways, dice);
  const mixed = dice.shuffle(Array.from({ length: many }, (_, i) => i)), found = [];
  let rank = (start + stride * BigInt(number - 1)) % ways;
  for (let place = 0, left = size; left; place += 1) {
    const first = comb(many - place - 1, left - 1);
    if (rank < first) {
      found.push(mixed[place]);
      left -= 1;
    } else rank -= first;
  }
  return found.sort((a, b) => a - b);
}

function comb(/** @type {number} */ many, /** @type {number} */ size) {
  let found = 1n;
  for (let i = 0; i < size; i += 1) found = (found * BigInt(many - i)) / BigInt(i + 1);
  return found;
}

function strideOf(ways, dice) {
  const common = (a, b) => (b ? common(b, a % b) : a);
  for (;;) {
    const step = 1n + dice.below(ways);
    if (common(step, ways) === 1n) return step;
  }
}
