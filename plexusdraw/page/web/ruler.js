// How wide a text is, before it is drawn.
const RULER = "700 100px 'Atkinson Hyperlegible'";

/** A pen that measures, in the font of the picture. */
const ruler = /** @type {CanvasRenderingContext2D} */ (document.createElement("canvas").getContext("2d"));

/** @type {Map<string, number>} */
const widths = new Map();

/** Width of a bold text at 1 pt, mm. */
export function widthOf(text) {
  if (!widths.has(text)) {
    ruler.font = RULER;
    widths.set(text, ((ruler.measureText(text).width / 100) * 25.4) / 72);
  }
  return /** @type {number} */ (widths.get(text));
}
