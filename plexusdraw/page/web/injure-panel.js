// Mode "injure": cut structures and places, see what is lost and why.
import { Injury, tally } from "./injury.js";
import { NONE, PART, SLIGHT, WHOLE, placesOf } from "./states.js";
import { button, checkbox, field, h, list, stateWord, table } from "./widgets.js";

export class InjurePanel {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    /** @type {{cuts: string[], partial: boolean}[]} */
    this.past = [];
    this.picked = "";
    this.cuts = h("div", { className: "chips" });
    this.places = h("div", {});
    this.result = h("div", { className: "result" });
    this.partial = checkbox("Partial: each cut spares some fibres", false, (on) => this.change({ partial: on }));
    this.undoButton = button("Undo", () => this.undo());
    this.resetButton = button("Reset", () => this.change({ cuts: [], partial: false }));
    this.panel = h("div", {},
      field({ text: "Cut at", list: "sites", go: "Cut", use: (text) => this.byName(text) }),
      this.cuts, this.partial, h("div", { className: "row" }, this.undoButton, this.resetButton), this.places, this.result);
  }

  request() {
    const { app } = this;
    if (!app.shown.cuts.length) return {};
    const sites = this.sites();
    const kind = app.shown.partial ? "partial injury" : "injury";
    return { injury: this.injury(), title: `${app.title}: ${kind} of ${sites.map((site) => site.name).join(", ")}` };
  }

  sites() {
    return this.app.shown.cuts.map((id) => this.app.plexus.siteById.get(id));
  }

  injury() {
    const { cuts, partial } = this.app.shown, key = `${cuts.join(",")} ${partial}`;
    if (this.key !== key) {
      this.key = key;
      this.made = new Injury(this.app.rule, this.sites(), partial);
    }
    return this.made;
  }

  pressed() {
    return new Set(this.sites().map((site) => site.segment));
  }

  point() {}

  /** Cut what was clicked, or mend it. */
  pick(id, at) {
    const { plexus } = this.app;
    const place = plexus.places.get(id);
    if (!plexus.segments.has(id) && !place) {
      this.picked = "";
      this.app.say(`${this.app.name(id)} is no nerve. Cut a place on: ${plexus.nerves(id) || "no nerve of this plexus"}.`);
      this.choose(plexus.nervesOf.get(id) || []);
      return;
    }
    this.picked = place ? place.segment : id;
    const site = place ? id : this.siteAt(id, at);
    const { cuts } = this.app.shown;
    const named = at === null && cuts.filter((cut) => plexus.siteById.get(cut).segment === id);
    if (cuts.includes(site)) this.change({ cuts: cuts.filter((cut) => cut !== site) });
    else if (named && named.length) this.change({ cuts: cuts.filter((cut) => !named.includes(cut)) });
    else this.change({ cuts: [...cuts, site] });
  }

  /** Id of the site at a position, or of the one before it. */
  siteAt(segment, at) {
    const here = this.app.plexus.sites.filter((site) => site.segment === segment && site.at <= (at ?? 0));
    const last = Math.max(...here.map((site) => site.at));
    return at === null || !here.length ? segment : here.find((site) => site.at === last).id;
  }

  byName(text) {
    const { app } = this;
    const named = app.speller.scenario(text);
    if (named) {
      this.change({ cuts: [...new Set([...app.shown.cuts, ...named.cuts])] });
      const hint = named.usually === "partial" && !app.shown.partial ? " Usually partial." : "";
      app.say(`${named.name}: ${named.cuts.map((id) => app.plexus.siteById.get(id).name).join(", ")}.${hint} ${named.note || ""}`);
      return true;
    }
    const plain = text.trim().toLowerCase();
    const site = app.plexus.sites.find((one) => one.name.toLowerCase() === plain);
    const found = site ? [site.id] : app.speller.find(text, [...app.plexus.segments.keys(), ...app.plexus.places.keys()]);
    if (found.length === 1) {
      this.picked = app.plexus.siteById.get(found[0]).segment;
      if (!app.shown.cuts.includes(found[0])) this.change({ cuts: [...app.shown.cuts, found[0]] });
    } else app.say(found.length ? `Several places are called so: ${found.map((id) => app.name(id)).join(", ")}.` : `No place is called “${text}”.`);
    return found.length === 1;
  }

  change(wish) {
    const { cuts, partial } = this.app.shown;
    this.past.push({ cuts, partial });
    this.app.set(wish);
    this.tell();
  }

  undo() {
    const before = this.past.pop();
    if (!before) return;
    this.app.set(before);
    this.tell();
  }

  tell() {
    const sites = this.sites();
    if (!sites.length) return this.app.say("Nothing is cut.");
    const injury = this.injury();
    const signs = injury.signs.map((sign) => sign.name).join(", ");
    return this.app.say(`Cut: ${sites.map((site) => site.name).join(", ")}. Muscles: ${tally(injury)}. Signs: ${signs || "none"}.`);
  }

  update() {
    const { app } = this;
    const sites = this.sites();
    this.partial.querySelector("input").checked = app.shown.partial;
    this.undoButton.disabled = !this.past.length;
    this.resetButton.disabled = !sites.length;
    this.cuts.replaceChildren(...sites.map((site) => button(`${site.name} ×`, () => {
      this.change({ cuts: app.shown.cuts.filter((id) => id !== site.id) });
      const next = this.cuts.querySelector("button") || this.panel.querySelector("input");
      if (next) next.focus();
    }, { className: "chip", "aria-label": `Mend ${site.name}` })));
    this.choose(this.picked ? [this.picked] : sites.length ? [sites[sites.length - 1].segment] : []);
    if (sites.length) this.result.replaceChildren(...report(app, this.injury()));
    else this.result.replaceChildren(h("p", {}, "Click a structure to cut it, or a strand to cut it at that place; click again to mend it. Several cuts add up."));
  }

  /** The places of nerves, to choose a place. */
  choose(segments) {
    const { app } = this;
    const groups = segments.map((id) => {
      const places = app.plexus.sites.filter((site) => site.segment === id);
      if (places.length < 2 && segments.length < 2) return null;
      return h("fieldset", {}, h("legend", {}, `Places on ${app.name(id)}`), h("div", { className: "chips" }, ...places.map((site) => {
        const cut = app.shown.cuts.includes(site.id);
        const short = site.id === id ? (site.at ? site.name : "at its start") : site.name.replace(app.plexus.segments.get(id).name, "").trim() || site.name;
        return button(short, () => {
          this.picked = id;
          this.change({ cuts: cut ? app.shown.cuts.filter((other) => other !== site.id) : [...app.shown.cuts, site.id] });
          this.places.querySelector(`[data-site="${CSS.escape(site.id)}"]`)?.focus();
        }, { className: "chip", "aria-pressed": cut, "data-site": site.id, "aria-label": site.name });
      })));
    });
    this.places.replaceChildren(...groups.filter((group) => group !== null));
  }
}

/** Everything an injury does, as tables and lists. @param {Injury} injury */
export function report(app, injury) {
  const byLoss = (items) => [WHOLE, PART, SLIGHT].flatMap((loss) => items.filter((item) => item.loss === loss));
  const muscles = byLoss([...injury.muscles.values()]);
  const skin = byLoss([...injury.skin.values()]).filter((o) => o.state !== "spared");
  const reflexes = byLoss([...injury.reflexes.values()]).filter((o) => o.state !== "kept");
  const lines = (items) => items.map((o) => [why(app, injury, o), stateWord(o.state), `${Math.round(100 * o.remaining)}\u00a0%`]);
  const spared = [...injury.muscles.values()].filter((o) => o.loss === NONE).map((o) => app.name(o.id));
  return [
    h("p", { className: "sum" }, `Muscles: ${tally(injury)}.`),
    injury.signs.length ? h("h2", { className: "sub" }, "Signs") : null,
    list(injury.signs.map((sign) => h("span", {}, h("b", {}, sign.name), sign.note ? `: ${sign.note}` : ""))),
    table("Muscles", ["Muscle, and why", "State", "Left"], lines(muscles)),
    table("Movements", ["Movement", "State", "Still done by"], byLoss(injury.movements).map((m) => [m.name, stateWord(m.state), doneBy(app, m)])),
    table("Skin", ["Area, and why", "State", "Left"], lines(skin)),
    table("Reflexes", ["Reflex", "State"], reflexes.map((o) => [o.name, stateWord(o.state)])),
    spared.length ? h("details", {}, h("summary", {}, `Spared: ${spared.length} muscles`), h("p", {}, spared.join(", "))) : null,
  ].filter((node) => node !== null);
}

function doneBy(app, movement) {
  const names = [...movement.able.map((id) => app.name(id)), ...movement.weak.map((id) => `${app.name(id)} (weak)`)];
  return [...new Set(names)].join("; ") || "none";
}

/** A name that opens to its broken and its intact routes. */
function why(app, injury, outcome) {
  const steps = (route) => {
    const cut = ([segment, at]) => injury.sites.flatMap(placesOf).some(([here, from]) => here === segment && at >= from);
    return [...route.steps.map((step) => app.name(step[0]) + (cut(step) ? " ×" : "")), app.name(route.target)].join(" → ") + (route.minor ? " (small share)" : "");
  };
  const told = (word, routes) => routes.map((route) => h("span", {}, h("b", {}, `${word}: `), steps(route)));
  const made = h("details", { className: "why" }, h("summary", {}, app.name(outcome.id)));
  made.addEventListener("toggle", () => {
    const roots = `lost ${outcome.rootsLost.join(" ") || "no root"}, left ${outcome.rootsLeft.join(" ") || "no root"}`;
    const routes = list([...told("broken", outcome.broken), ...told("left", outcome.left)], "routes");
    const differ = outcome.disputed ? [h("p", { className: "soft" }, "Sources differ on it.")] : [];
    made.append(h("p", { className: "soft" }, roots), ...differ, ...(routes ? [routes] : []));
  }, { once: true });
  return made;
}
