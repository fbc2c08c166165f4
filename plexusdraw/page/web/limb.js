// The limb beside the plexus: muscles and skin, front and back, in the states of the plexus; what is pointed at lights both.
import { svgElement } from "./svg.js";
import { h } from "./widgets.js";

/** Slopes of the strokes of a pattern, degrees, as plexusdraw/look/hatch.py has them. */
const DIRECTIONS = { level: [0], upright: [90], rising: [-45], falling: [45], crossed: [-45, 45], squared: [0, 90] };

/**
 * State of each muscle and skin area, as plexusdraw/views/limb.py says.
 * @param {import("./plexus.js").Plexus} plexus @param {Iterable<string>} ids
 * @param {{highlight?: string, injury?: import("./injury.js").Injury | null}} request @returns {Map<string, string>}
 */
export function limbStates(plexus, ids, { highlight = "", injury = null }) {
  const { muscles = [], skin = [] } = plexus.cards.get(highlight) || {};
  const lit = new Set([highlight, ...muscles, ...skin]);
  const { limbStates: words } = plexus.data.rules;
  const known = (id) => plexus.muscles.has(id) || plexus.skin.has(id);
  const harmed = (id) => injury && known(id) && words[injury.outcome(id).state];
  const state = (id) => (injury ? harmed(id) : highlight && (lit.has(id) ? "highlit" : "dimmed")) || "plain";
  return new Map([...ids].map((id) => [id, state(id)]));
}

export class Limb {
  /** @param {HTMLElement} box @param {Record<string, any>} data @param {{point: (id: string) => void, pick: (id: string) => void, name: (id: string) => string}} wish */
  constructor(box, data, wish) {
    this.box = box;
    this.data = data;
    this.wish = wish;
    this.shapes = data.shapes.map(absolute);
    this.defs = svgElement("defs");
    const holder = svgElement("svg", { width: 0, height: 0, "aria-hidden": "true", class: "patterns" });
    holder.append(this.defs);
    this.figures = data.figures.map((figure) => ({ ...figure, caption: h("figcaption", { "aria-hidden": "true" }), svg: svgElement("svg", { role: "img" }) }));
    this.key = h("ul", { className: "key" }, ...data.key.map(([state, words]) => {
      const path = svgElement("path", { d: "M3,3H157V67H3z" }), swatch = svgElement("svg", { viewBox: "0 0 160 70", "aria-hidden": "true" });
      swatch.append(path);
      return h("li", { "data-state": state }, swatch, words);
    }));
    box.replaceChildren(holder, ...this.figures.map(({ svg, caption }) => h("figure", {}, caption, svg)), this.key);
    box.addEventListener("pointerover", (event) => event.pointerType === "mouse" && this.tell(idOf(event)));
    box.addEventListener("pointerleave", () => this.tell(""));
    box.addEventListener("click", (event) => idOf(event) && wish.pick(idOf(event)));
  }

  /** All muscles and areas that it shows. */
  get ids() {
    return new Set(this.data.figures.flatMap(({ parts }) => parts.map(([, entity]) => entity)).filter((id) => id));
  }

  tell(/** @type {string} */ id) {
    if (id !== this.pointed) this.wish.point((this.pointed = id));
  }

  /** @param {Map<string, string>} states @param {string} theme @param {string} side @param {boolean} latin @param {(id: string) => string} word */
  show(states, theme, side, latin, word) {
    if (side !== this.side) this.draw((this.side = side));
    const looks = this.data.looks[theme];
    if (theme !== this.theme) this.fillPatterns(looks, (this.theme = theme));
    this.key.hidden = ![...states.values()].some((state) => state in looks.muscle && !["plain", "dimmed", "highlit"].includes(state));
    for (const { svg, caption, leaves, ...figure } of this.figures) {
      const told = new Map(), title = latin ? figure.latin : figure.title;
      caption.textContent = title;
      for (const leaf of leaves) {
        const state = states.get(leaf.entity) || "plain", key = `${theme} ${state}`;
        if (leaf.entity && word(leaf.entity)) told.set(leaf.entity, word(leaf.entity));
        if (leaf.key === key) continue;
        leaf.key = key;
        leaf.g.setAttribute("data-state", state);
        (looks[leaf.look][state] || looks[leaf.look].plain).forEach((paint, i) => this.paint(leaf.paths[i], paint, theme));
      }
      const said = [...told].map(([id, state]) => `${this.wish.name(id)} ${state}`);
      svg.setAttribute("aria-label", said.length ? `${title}: ${said.join("; ")}` : title);
    }
  }

  /** Figures of one limb; the other is its mirror image. */
  draw(side) {
    const { wide, high, looks } = this.data;
    for (const figure of this.figures) {
      const turned = Boolean(figure.turned) !== (side === "right");
      const x = side === "right" ? -figure.x : figure.x;
      figure.svg.setAttribute("viewBox", `${x - wide / 2 - 8} ${figure.y - high - 8} ${wide + 16} ${high + 16}`);
      figure.leaves = figure.parts.map(([look, entity, shapes]) => {
        const d = shapes.map((i) => pathOf(this.shapes[i], turned)).join("");
        const g = svgElement("g", entity ? { "data-limb": entity } : {});
        const paths = Object.values(looks)[0][look].plain.map(() => svgElement("path", { d, fill: "none" }));
        g.append(...paths);
        return { look, entity, g, paths, key: "" };
      });
      figure.svg.replaceChildren(...figure.leaves.map(({ g }) => g));
    }
  }

  paint(path, { pattern, ...attributes }, theme) {
    for (const name of ["fill", "stroke", "stroke-width", "stroke-dasharray"]) {
      const value = name === "fill" && pattern ? `url(#${patternId(theme, pattern, attributes.fill)})` : attributes[name];
      if (value === undefined) path.removeAttribute(name);
      else path.setAttribute(name, value);
    }
    if (!attributes.fill) path.setAttribute("fill", "none");
  }

  /** The patterns of a theme, each once. */
  fillPatterns(looks, theme) {
    const found = new Map();
    for (const { pattern, fill } of Object.values(looks).flatMap((states) => Object.values(states).flat())) {
      if (pattern) found.set(patternId(theme, pattern, fill), [pattern, fill]);
    }
    for (const item of this.key.children) this.paint(item.querySelector("path"), looks.muscle[item.getAttribute("data-state")][0], theme);
    this.defs.replaceChildren(...[...found].map(([id, [pattern, fill]]) => tile(id, pattern, fill)));
  }
}

/** A tile that, laid side by side, makes a pattern. */
function tile(id, [name, gap, colour, width], fill) {
  const slopes = DIRECTIONS[name] || [], oblique = slopes.some((slope) => slope % 90);
  const size = name === "dots" ? 1.6 * gap : gap;
  const made = svgElement("pattern", { id, width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: oblique ? "rotate(45)" : null });
  made.append(svgElement("rect", { width: size, height: size, fill: fill || "none" }));
  if (name === "dots") {
    for (const at of [0.25, 0.75]) made.append(svgElement("circle", { cx: at * size, cy: at * size, r: 0.8 * width, fill: colour }));
  }
  for (const slope of slopes) {
    const level = (slope - (oblique ? 45 : 0)) % 180 === 0;
    made.append(svgElement("path", { d: level ? `M0,${gap / 2}H${gap}` : `M${gap / 2},0V${gap}`, stroke: colour, "stroke-width": width }));
  }
  return made;
}

function patternId(theme, pattern, fill) {
  return `${theme}-${pattern.join("-")}-${fill}`.replace(/[^a-z0-9-]/gi, "");
}

/** Points from steps. @returns {[number, number][]} */
function absolute(steps) {
  const found = [];
  let x = 0, y = 0;
  for (let i = 0; i < steps.length; i += 2) found.push([(x += steps[i]), (y += steps[i + 1])]);
  return found;
}

/** A chain of cubics as a path. */
function pathOf(points, turned) {
  const told = points.map(([x, y]) => `${turned ? -x : x},${y}`);
  return `M${told[0]}C${told.slice(1).join(" ")}`;
}

function idOf(event) {
  const near = event.target instanceof Element ? event.target.closest("[data-limb]") : null;
  return near ? near.getAttribute("data-limb") : "";
}
