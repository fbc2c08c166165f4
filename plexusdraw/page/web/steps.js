// What a tap shows first: its answer, in the very next frame; what follows comes after that frame, in tasks of its own.
import { Injury } from "./injury.js";

/** What follows, in this order; what is seen together is done together. */
const AFTER = [["picture"], ["zoom", "names"], ["panel"], ["words", "limb", "address"]];

/** @typedef {"picture" | "zoom" | "names" | "panel" | "words" | "limb" | "address"} Name */

export class Steps {
  constructor() {
    /** @type {Map<string, () => void>} */
    this.waiting = new Map();
    this.tapping = false;
    /** @type {string[]} */
    this.running = [];
    /** The last tap of which something follows. */
    this.tap = {};
    /** All that follows the last tap is done. */
    this.done = Promise.resolve();
    addEventListener("click", (event) => { this.finish(); this.tapping = event.isTrusted; }, true);
    addEventListener("click", () => this.answered());
    addEventListener("beforeprint", () => this.finish());
  }

  /** Do it at once; but after the frame in which a tap is answered, and of each name only what was asked for last. */
  later(/** @type {Name} */ name, /** @type {() => void} */ job) {
    if (this.tapping || this.running.includes(name)) this.waiting.set(name, job);
    else job();
  }

  answered() {
    this.tapping = false;
    if (this.waiting.size) this.done = this.follow((this.tap = {}));
  }

  async follow(/** @type {object} */ tap) {
    await new Promise((done) => requestAnimationFrame(done));
    for (const names of AFTER) {
      await new Promise((done) => setTimeout(done, 0));
      if (tap === this.tap) this.run(names);
    }
  }

  run(/** @type {string[]} */ names) {
    this.running = names;
    try {
      for (const name of names) {
        const job = this.waiting.get(name);
        this.waiting.delete(name);
        job?.();
      }
    } finally {
      this.running = [];
    }
  }

  /** Do now what still waits. */
  finish() {
    this.tapping = false;
    AFTER.forEach((names) => this.run(names));
  }
}

/** While nothing is asked, the browser makes ready what a first tap would wait for. @param {import("./app.js").App} app */
export function warm(app) {
  const { plexus, rule } = app, idle = globalThis.requestIdleCallback || setTimeout;
  idle(() => app.viewOf({ injury: new Injury(rule, plexus.sites.slice(0, 1), false) }));
  idle(() => app.viewOf({ highlight: plexus.roots[0] }));
  idle(() => app.places);
}
