// A set of cuts → what is lost, weak and spared, and why: the rules of plexusdraw/clinic/injury.py.
import { NONE, PART, SLIGHT, States, WHOLE, breaksOf, placesOf, wordOfState } from "./states.js";

export class Injury {
  /** @param {States} rule @param {import("./plexus.js").Site[]} sites @param {boolean} partial */
  constructor(rule, sites, partial) {
    this.rule = rule;
    this.plexus = rule.plexus;
    this.sites = sites;
    this.partial = partial;
    this.broken = rule.broken(sites);
    this.firstCut = new Map();
    for (const [segment, at] of sites.flatMap(breaksOf)) this.firstCut.set(segment, Math.min(at, this.firstCut.get(segment) ?? at));
    const outcomes = (table) => new Map([...table.values()].map((target) => [target.id, this.outcomeOf(target)]));
    this.muscles = outcomes(this.plexus.muscles);
    this.skin = outcomes(this.plexus.skin);
    this.reflexes = outcomes(this.plexus.reflexes);
    /** Of what a course leaves out: it counts in movements, and is told nowhere. */
    this.unseen = outcomes(this.plexus.unseen);
    this.movements = [...rule.movers].map(([name, ids]) => this.movement(name, ids));
    this.signs = [...this.plexus.signs.values()].filter((sign) => rule.holds(sign.when, this.broken, partial));
    this.findAlive();
  }

  outcome(/** @type {string} */ id) {
    return this.muscles.get(id) || this.skin.get(id) || this.reflexes.get(id);
  }

  /** "alive", "partly" or "lost": a root's fibres in the piece at a position, or in the piece from a parent. */
  strand(/** @type {string} */ segment, /** @type {string} */ root, at = 0, source = "") {
    const here = source || segment;
    const total = this.counts.get(here)[root];
    const alive = this.leaving(here, root, source ? this.plexus.exitOf(source, segment) : at);
    if (alive === total) return "alive";
    return alive || this.partial ? "partly" : "lost";
  }

  leaving(segment, root, at) {
    const first = this.firstCut.get(segment);
    return first !== undefined && first <= at ? 0 : this.alive.get(segment)[root];
  }

  /** Ways of each root's fibres into each segment: all, and those still alive. */
  findAlive() {
    this.alive = new Map();
    this.counts = new Map();
    for (const id of this.plexus.data.order) {
      const parents = this.plexus.parents(id);
      const alive = Object.create(null), counts = Object.create(null);
      for (const root of Object.keys(this.plexus.segments.get(id).carried)) alive[root] = counts[root] = parents.length ? 0 : 1;
      for (const parent of parents) {
        const at = this.plexus.exitOf(parent, id);
        for (const root of this.plexus.between(parent, id)) {
          alive[root] += this.leaving(parent, root, at);
          counts[root] += this.counts.get(parent)[root];
        }
      }
      this.alive.set(id, alive);
      this.counts.set(id, counts);
    }
  }

  outcomeOf(target) {
    const { id, name, table: kind } = target;
    const routes = kind === "reflex" ? this.reflexRoutes(id) : this.plexus.routesTo(id);
    const broken = routes.filter((route) => this.broken & route.bit);
    const left = routes.filter((route) => !(this.broken & route.bit));
    const lasting = new Set(left.map((route) => route.root));
    const lost = new Set(broken.map((route) => route.root).filter((root) => !lasting.has(root)));
    const share = this.rule.remaining(id, this.broken);
    const loss = this.soften(this.rule.loss(id, this.broken));
    return {
      id, name, kind, loss, broken, left,
      state: this.rule.rules.words[kind][loss],
      remaining: this.partial ? (1 + share) / 2 : share,
      rootsLost: this.plexus.roots.filter((root) => lost.has(root)),
      disputed: kind !== "reflex" && this.disputed(target, loss, left),
      rootsLeft: [...Object.keys(target.outside || {}), ...this.plexus.roots.filter((root) => lasting.has(root))],
    };
  }

  /** Whether sources that count its roots otherwise would tell it otherwise: the rule of clinic/disputes.py. */
  disputed({ kind, outside = {}, outsideMinor = [], variableWays = {} }, loss, left) {
    if (loss === SLIGHT) return true;
    if (loss === PART) {
      const principal = Object.keys(outside).some((root) => !outsideMinor.includes(root)) || left.some((route) => !route.minor);
      return kind === "muscle" && !principal;
    }
    const whole = (way) => way.every(([segment, at]) => (this.firstCut.get(segment) ?? Infinity) > at);
    const every = Object.entries(variableWays);
    const lasting = every.filter(([root, ways]) => !this.firstCut.has(root) && ways.some(whole));
    return loss === WHOLE ? left.length > 0 || Object.keys(outside).length > 0 || lasting.length > 0 : lasting.length < every.length;
  }

  reflexRoutes(id) {
    const { principal, minor } = this.rule.supply.get(id);
    return this.plexus.routes.filter((route) => (principal | minor) & route.bit);
  }

  movement(name, ids) {
    const losses = ids.map((id) => [id, this.soften(this.rule.loss(id, this.broken))]);
    const those = (test) => losses.filter(([, loss]) => test(loss)).map(([id]) => id);
    const loss = this.soften(this.rule.movement(name, this.broken));
    const gone = those((l) => l === WHOLE);
    return {
      name, loss, gone,
      state: this.rule.rules.words.movement[loss],
      disputed: loss === WHOLE && gone.some((id) => (this.muscles.get(id) || this.unseen.get(id))?.disputed),
      able: those((l) => l <= SLIGHT),
      weak: those((l) => l === PART),
    };
  }

  soften(loss) {
    return this.partial ? Math.min(loss, PART) : loss;
  }

  /** Strength from 0 to 5, an estimate: the rule of plexusdraw/clinic/deficits.py. */
  mrc({ loss, remaining }) {
    if (loss === WHOLE) return remaining > 0 ? "0-1" : "0";
    if (loss === PART) return remaining >= this.rule.rules.half ? "3-4" : "2-3";
    return loss === SLIGHT ? "4-5" : "5";
  }

  /** Ids of what loses nothing and whose fibres run beside what is cut, the nearest first. @returns {string[]} */
  notablySpared() {
    const { near, far } = this.beside();
    const targets = [...this.plexus.muscles.values(), ...[...this.plexus.skin.values()].filter((area) => !area.dermatome)];
    const whole = targets.map(({ id }) => this.outcome(id)).filter((outcome) => outcome.loss === NONE);
    const through = (set) => whole.filter((o) => o.left.some((r) => r.steps.some(([segment]) => set.has(segment))));
    return [...new Set([...through(near), ...through(far)].map(({ id }) => id))];
  }

  /** Ids of the cut segments, and of those from which they come, up to a staged one. */
  beside() {
    const { plexus } = this, near = new Set(), far = new Set();
    const last = plexus.data.stages[plexus.data.stages.length - 1].id;
    for (const [segment] of this.sites.flatMap(placesOf)) {
      near.add(segment);
      const { stage } = plexus.segments.get(segment);
      if (stage && stage !== last) {
        const passed = plexus.routes.filter((r) => this.broken & r.bit).flatMap((r) => r.steps.map(([id]) => id));
        for (const id of passed) if (plexus.segments.get(id).stage === last) far.add(id);
      }
      const todo = [...plexus.parents(segment)];
      while (todo.length) {
        const id = todo.pop();
        far.add(id);
        if (!plexus.segments.get(id).stage) todo.push(...plexus.parents(id));
      }
    }
    return { near, far };
  }

  /** The same values as `plexusdraw injure --json`. */
  report() {
    const brief = ({ id, name, state }) => ({ id, name, state });
    return {
      sites: this.sites.map(({ id, name }) => ({ id, name, partial: this.partial })),
      variants: this.plexus.data.variants,
      muscles: [...this.muscles.values()].map((o) => ({
        id: o.id, name: o.name, nerve: this.plexus.nerves(o.id), state: o.state, disputed: o.disputed,
        remaining: round3(o.remaining), mrc_estimate: this.mrc(o), roots_lost: o.rootsLost, roots_left: o.rootsLeft,
      })),
      skin: [...this.skin.values()].map((o) => ({ ...brief(o), disputed: o.disputed })),
      movements: this.movements.map(({ name, state, disputed, able, weak, gone }) => ({ name, state, disputed, able, weak, gone })),
      reflexes: [...this.reflexes.values()].map(brief),
      signs: this.signs.map(({ id, name, note }) => ({ id, name, note: note || "" })),
      notably_spared: this.notablySpared().map((id) => ({ id, name: this.outcome(id).name })),
      caution: this.plexus.data.caution,
    };
  }
}

/** Counts of muscles: "3 paralysed, 5 weak, ..." in the order of the table. */
export function tally(/** @type {Injury} */ injury) {
  const count = (loss) => [...injury.muscles.values()].filter((o) => o.loss === loss).length;
  const words = injury.rule.rules.words.muscle;
  return [WHOLE, PART, SLIGHT, NONE].map((loss) => `${count(loss)} ${wordOfState(injury.rule, words[loss])}`).join(", ");
}

export function round3(value) {
  return Math.round(value * 1000) / 1000;
}
