// Chance that a seed repeats: the same seed, the same questions in the same order.

/** A source of numbers from 0 up to 1. @returns {() => number} */
export function chance(/** @type {string} */ seed) {
  let state = 2166136261;
  for (const letter of seed) state = Math.imul(state ^ letter.charCodeAt(0), 16777619);
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A seed that nobody chose. */
export function anySeed() {
  return String(Math.floor(Math.random() * 1e6));
}

/** @template T @param {T[]} items @param {() => number} dice @returns {T[]} */
export function shuffled(items, dice) {
  const made = [...items];
  for (let i = made.length - 1; i > 0; i -= 1) {
    const j = Math.floor(dice() * (i + 1));
    [made[i], made[j]] = [made[j], made[i]];
  }
  return made;
}
