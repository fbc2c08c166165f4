// What can be asked: names of the picture, and the worksheets' questions as Python made them, each wrong answer with its reason.
import { shuffled } from "./chance.js";
import { asked } from "./view.js";

const CHOICES = 4;
const NEAREST = 6;
const PICTURE = ["name", "place"];
/** Kinds of questions, as the address and the settings call them. */
export const KINDS = [
  ["mixed", "all kinds, mixed"], ["name", "name what is marked"], ["place", "find it in the picture"], ["roots", "roots of a nerve"], ["origins", "where a nerve comes from"],
  ["muscles", "nerve and muscle"], ["movements", "muscle of a movement"], ["skin", "nerve and skin"], ["injuries", "what an injury takes"], ["sites", "where the injury is"],
];

/**
 * @typedef {{text: string, id: string, right: boolean, why: string}} Option
 * @typedef {{kind: string, about: string, prompt: string, id: string, cut: string, options: Option[], again?: boolean}} Question
 * id: what lights after the answer, or is asked for in the picture; cut: the site of an injury.
 */

export class Questions {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.pool = new Map();
    for (const [kind, about, prompt, right, wrong] of app.plexus.data.questions) {
      if (!this.pool.has(kind)) this.pool.set(kind, new Map());
      const subjects = this.pool.get(kind);
      subjects.set(about, [...(subjects.get(about) || []), { prompt, right, wrong }]);
    }
    this.kinds = KINDS.filter(([kind]) => kind === "mixed" || PICTURE.includes(kind) || this.pool.has(kind));
    this.byName = new Map([...app.plexus.entities.values()].filter(({ table }) => table !== "scenario").map(({ id, name }) => [name, id]));
  }

  /** What may be asked of a kind: ids of structures or sites, or names of movements. @returns {string[]} */
  subjects(/** @type {string} */ kind, /** @type {string} */ about) {
    const all = PICTURE.includes(kind) ? this.names(about) : [...(this.pool.get(kind) || new Map()).keys()];
    if (!this.app.plexus.entities.has(about)) return all;
    const near = this.near(about);
    return all.filter((id) => near.has(id));
  }

  /** Ids of names that may be asked: those with a blank of their own. */
  names(about) {
    const { scene, shown, plexus } = this.app;
    const kind = Object.hasOwn(scene.numbers, about) ? about : "labels";
    const names = asked(scene, kind, true).map((label) => scene.labels[label][0]);
    return names.filter((id) => plexus.entities.has(id) && !scene.hidden[shown.upto].includes(id));
  }

  /** What belongs to a structure: what it reaches, comes from and gives, its places, and what its muscles do. */
  near(id) {
    const { plexus } = this.app, { ways = [], muscles = [], skin = [] } = plexus.cards.get(id) || {};
    const found = new Set([id, ...ways.flat(), ...muscles, ...skin, ...(plexus.children.get(id) || [])]);
    for (const site of plexus.sites) if (plexus.nerveAt(site) === id) found.add(site.id);
    for (const muscle of muscles) for (const movement of plexus.muscles.get(muscle)?.movements || []) found.add(movement);
    return found;
  }

  /** Kinds of a round. @returns {string[]} */
  within(/** @type {string} */ kind) {
    return kind === "mixed" ? this.kinds.map(([one]) => one).filter((one) => one !== "mixed") : [kind];
  }

  /** So many questions a round may have at most. */
  many(kind, about) {
    return this.within(kind).reduce((sum, one) => sum + this.subjects(one, about).length, 0);
  }

  /** Questions of a round: of each kind in turn, none twice. @returns {Question[]} */
  round(kind, about, count, dice) {
    const kinds = shuffled(this.within(kind), dice);
    const piles = kinds.map((one) => shuffled(this.subjects(one, about), dice).map((id) => [one, id]));
    const found = [];
    for (let i = 0; found.length < count && piles.some((pile) => pile.length > i); i += 1) {
      for (const pile of piles) if (pile.length > i && found.length < count) found.push(this.make(pile[i][0], pile[i][1], dice));
    }
    return found;
  }

  /** @returns {Question} */
  make(/** @type {string} */ kind, /** @type {string} */ about, dice) {
    return PICTURE.includes(kind) ? this.ofPicture(kind, about, dice) : this.ofPool(kind, about, dice);
  }

  ofPool(kind, about, dice) {
    const variants = this.pool.get(kind).get(about), { prompt, right, wrong } = variants[Math.floor(dice() * variants.length)];
    const options = [{ text: right, why: "" }, ...shuffled(wrong, dice).slice(0, CHOICES - 1).map(([text, why]) => ({ text, why }))];
    const cut = kind === "injuries" || kind === "sites" ? about : "";
    const made = options.map(({ text, why }) => ({ text, why, id: this.byName.get(text) || "", right: text === right }));
    return { kind, about, prompt, cut, id: cut ? "" : this.app.plexus.entities.has(about) ? about : made[0].id, options: shuffled(made, dice) };
  }

  ofPicture(kind, about, dice) {
    const near = this.nearest(about).slice(0, NEAREST);
    const options = [about, ...shuffled(near, dice).slice(0, CHOICES - 1)].map((id) => ({ id, text: this.app.plexus.entities.get(id).name, right: id === about, why: id === about ? "" : this.describe(id) }));
    return { kind, about, prompt: "", cut: "", id: about, options: shuffled(options, dice) };
  }

  /** Names of the same kind, those that share most roots first. */
  nearest(id) {
    const { plexus } = this.app, rootsOf = (other) => plexus.cards.get(other)?.roots || [];
    const own = new Set(rootsOf(id)), order = this.names("labels"), at = order.indexOf(id);
    const cost = (other) => {
      const roots = rootsOf(other), shared = roots.filter((root) => own.has(root)).length;
      const kind = plexus.entities.get(other).kind === plexus.entities.get(id).kind ? 0 : 100;
      return kind + roots.length + own.size - 2 * shared + Math.abs(order.indexOf(other) - at) / 100;
    };
    return order.filter((other) => other !== id).sort((a, b) => cost(a) - cost(b));
  }

  /** Id of what explains the answer: the muscle or skin area that is asked about or right, else the structure, or that of the site. */
  told({ about, id, cut, options }) {
    const { plexus } = this.app, right = options.find((option) => option.right)?.id;
    const target = [about, right].find((one) => plexus.muscles.has(one) || plexus.skin.has(one));
    return target || id || plexus.siteById.get(cut).segment;
  }

  /** A structure in a line: its roots, from what it comes and what it gives or reaches. */
  describe(/** @type {string} */ id) {
    const { app } = this, { plexus } = app, { roots = [], minor = [], muscles = [], skin = [] } = plexus.cards.get(id) || {};
    const nerve = plexus.isNerve(id), parents = nerve ? plexus.parents(id) : plexus.nervesOf.get(id) || [];
    const within = nerve && plexus.stageOf(id) !== plexus.data.stages[plexus.data.stages.length - 1].id ? plexus.children.get(id) : [];
    const reached = within.length ? within : nerve ? [...muscles, ...skin] : [];
    const own = plexus.roots.includes(id) || parents.join() === roots.join() ? "" : roots.join(", ") + (minor.length ? ` (small share: ${minor.join(", ")})` : "");
    const names = (ids, most) => ids.slice(0, most).map((one) => app.name(one)).join(", ") + (ids.length > most ? " and others" : "");
    return [own, parents.length && `from ${names(parents, 3)}`, reached.length && `to ${names(reached, 2)}`].filter(Boolean).join("; ");
  }
}
