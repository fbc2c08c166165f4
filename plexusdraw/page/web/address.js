// What is shown, as the part of the address after "#", so that it can be linked to.

/**
 * @typedef {{model: string, mode: string, detail: string, names: string, side: string, look: string, upto: string, labels: string, figures: string,
 *   kind: string, about: string, by: string, count: string, seed: string, time: string, step: string, form: string, forms: string, show: string, cuts: string[], partial: boolean, findings: [string, string][]}} Shown
 * labels: "names" or "numbers". findings: kind and id (or the name of a movement).
 */

const PLAIN = ["model", "mode", "detail", "names", "side", "look", "upto", "labels", "figures", "show", "kind", "about", "by", "count", "seed", "time", "step", "form", "forms"];
/** Of a set test. */
const TEST = ["kind", "about", "count", "seed", "time"];
/** How a plexus is seen, whichever it is. */
const WAY = ["mode", "detail", "names", "side", "look", "labels", "figures"];
/** An address that is longer is not read on. */
const MOST_LETTERS = 4000;

/** The address of what differs from the start. @param {Shown} shown @param {Shown} start */
export function toAddress(shown, start) {
  const found = new URLSearchParams();
  for (const name of PLAIN) if (shown[name] !== start[name]) found.set(name, shown[name]);
  if (shown.cuts.length) found.set("cut", shown.cuts.join(","));
  if (shown.partial) found.set("partial", "yes");
  for (const [kind, about] of shown.findings) found.append(kind, about);
  return found.toString().replaceAll("%2C", ",");
}

/** The address of another plexus of the page, seen in the same way. @param {string} model @param {Shown} shown @param {Shown} start */
export function ofModel(model, shown, start) {
  return toAddress({ ...start, ...Object.fromEntries(WAY.map((name) => [name, shown[name]])), model, cuts: [], partial: false, findings: [] }, start);
}

/**
 * What an address asks for; what it asks wrongly is left as at the start.
 * @param {string} text @param {Shown} start @param {Record<string, string[]>} allowed
 * @param {{site: (id: string) => boolean, entity: (id: string) => boolean, finding: (kind: string, about: string) => boolean, test: (name: string, value: string) => boolean, form: (code: string) => boolean}} known
 * @returns {{shown: Shown, unknown: string[]}}
 */
export function fromAddress(text, start, allowed, known) {
  const asked = new URLSearchParams(text.slice(0, MOST_LETTERS).replace(/^#/, ""));
  const shown = { ...start, cuts: [], partial: false, findings: [] };
  const unknown = [];
  const take = (value, fine, use) => (fine ? use() : unknown.push(value));
  for (const [name, value] of asked) {
    if (name === "cut") {
      for (const id of value.split(",")) take(id, known.site(id), () => shown.cuts.includes(id) || shown.cuts.push(id));
    } else if (name === "partial") shown.partial = value === "yes";
    else if (name === "show") take(value, known.entity(value), () => { shown.show = value; });
    else if (name === "form") take(`form=${value}`, known.form(value), () => { shown.form = value; });
    else if (TEST.includes(name)) take(`${name}=${value}`, known.test(name, value), () => { shown[name] = value; });
    else if (Object.hasOwn(allowed, name)) take(value, allowed[name].includes(value), () => { shown[name] = value; });
    else {
      const about = known.finding(name, value) ? [value] : value.split(","); // a movement may be called by a comma
      for (const one of about) take(`${name}=${one}`, known.finding(name, one), () => shown.findings.push([name, one]));
    }
  }
  return { shown, unknown };
}
