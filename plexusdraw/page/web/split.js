// How the plexus and the limb share the screen: beside each other or one under the other, both as large as can be.

const GAP_PX = 10, STEP_PX = 6, KEY_LINE_PX = 20;
/** The plexus gets at least this share of the screen's height. */
export const LEAST = 0.55;
/** In a narrower column the words over a figure take two lines. */
const FOLDED_PX = 125;
/** In a narrower one they would not fit at all. */
const NARROWEST_PX = 78;
/** Higher than this share of the screen a figure gains little. */
const ENOUGH = 0.25;
/** Below this a figure tells nothing. */
const SMALLEST_PX = 140;

/**
 * @param {{wide: number, high: number, screen: number}} box room for both, and height of the screen, px
 * @param {(wide: number, high: number) => number} scaleOf scale of the plexus in a box
 * @param {{many: number, shape: number, words: number, key: number}} limb how many figures, width by height of one; height of the words over one; the key in one line: its width, px
 * @returns {{under: boolean, columns: number, size: number, figure: number} | null} size: px of the limb across, or down where it
 * stands under the plexus; figure: height of each; null: no room
 */
export function split({ wide, high, screen }, scaleOf, { many, shape, words, key }) {
  let best = null, most = 0;
  const weigh = (plexus, size, under) => {
    const [w, h] = under ? [wide, size] : [size, high];
    for (let columns = 1; columns <= many; columns += 1) {
      const over = w / columns < FOLDED_PX ? 2 * words : words, lines = Math.ceil(key / Math.max(w, 1));
      const figure = Math.min((w / columns - GAP_PX) / shape, (h - KEY_LINE_PX * lines) / Math.ceil(many / columns) - over - GAP_PX);
      const worth = plexus ** 3 * Math.min(figure, ENOUGH * screen);
      if (figure >= SMALLEST_PX && w / columns >= NARROWEST_PX && worth > most) [best, most] = [{ under, columns, size, figure: Math.floor(figure) }, worth];
    }
  };
  for (let size = 0; size < wide / 2; size += STEP_PX) weigh(scaleOf(wide - size, high), size, false);
  for (let size = 0; high - size >= LEAST * screen; size += STEP_PX) weigh(scaleOf(wide, high - size), size, true);
  return best;
}
