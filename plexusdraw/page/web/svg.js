// SVG elements and numbers. Every text goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element with attributes; those that are null or undefined are left out. */
export function svgElement(/** @type {string} */ tag, attributes = {}) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) made.setAttribute(name, String(value));
  }
  return made;
}

/** A length to 0.01 mm, without needless digits. */
export function number(/** @type {number} */ value) {
  return String(Math.round(value * 100) / 100 + 0);
}
