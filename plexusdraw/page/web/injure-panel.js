// Mode "injure": cut structures and places, see what is lost and why.
import { alongNerve } from "./course.js";
import { finder, Index, surest } from "./finder.js";
import { Injury, tally } from "./injury.js";
import { paperOf, summary, tables } from "./report.js";
import { rootsIn } from "./roots.js";
import { tokens } from "./spelling.js";
import { drawnFrom } from "./view.js";
import { button, capital, checkbox, h } from "./widgets.js";

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
      finder({ text: "Cut at", hint: app.examples("segment", "scenario").join(", "), go: "Cut", find: (text) => this.offers(text), none: (text) => this.none(text) }),
      this.cuts, this.result, this.places, this.partial, h("div", { className: "row" }, this.undoButton, this.resetButton));
  }

  /** Every place of a cut, and injuries with names of their own. */
  get index() {
    const { plexus, speller } = this.app;
    this.madeIndex = this.madeIndex || new Index(speller, [
      ...plexus.sites.map((site) => {
        const { id, name } = site;
        return { key: id, name, forms: [...(speller.exact.get(id) || []), tokens(name).join(" ")], beside: speller.exact.get(plexus.nerveAt(site)) };
      }),
      ...[...plexus.scenarios.keys()].map((key) => ({ key, name: plexus.scenarios.get(key).name, forms: speller.exact.get(key) })),
    ]);
    return this.madeIndex;
  }

  /** Several places in a text: roots, or "ulnar and median"; whether they are sure. @returns {{ids: string[], sure: boolean}} */
  several(text, /** @type {boolean} */ whole) {
    const { siteById } = this.app.plexus, roots = rootsIn(text, this.app.plexus);
    if (roots.length && !whole) return { ids: roots, sure: true };
    const parts = text.split(/\s*(?:[,;+&]|\band\b)\s*/).filter(Boolean), found = whole ? [] : parts.map((part) => this.index.find(part));
    const ids = found.map((matches) => surest(matches) || matches[0]?.key);
    const fine = ids.length > 1 && ids.every((id) => siteById.has(id));
    return { ids: fine ? [...new Set(ids)] : [], sure: found.every((matches) => surest(matches)) };
  }

  /** Places that a text means, "beyond" and "distal to" being "after". */
  found(text) {
    const found = this.index.find(text), { farther } = this.app.plexus.data.rules;
    const after = found.some(({ guess }) => !guess) ? text : text.replace(new RegExp(`\\b(?:${farther.join("|")})\\b`, "i"), "after");
    return after === text ? found : this.index.find(after);
  }

  offers(text) {
    const { plexus, speller } = this.app, matches = this.found(text), whole = surest(matches), several = this.several(text, Boolean(whole)), sure = several.ids.length ? "" : whole;
    const targets = speller.find(text, [...plexus.muscles.keys(), ...plexus.skin.keys()]);
    const nerves = targets.flatMap((target) => plexus.nervesOf.get(target).map((id) => ({ key: id, text: this.app.name(id), note: `nerve of ${this.app.name(target)}`, use: () => this.cutSite(id) })));
    const all = { text: several.ids.map((id) => this.app.name(id)).join(", "), note: several.ids.length > 1 ? `${several.ids.length} cuts` : "", sure: several.sure, use: () => this.cutAll(several.ids) };
    const named = new Set(nerves.map(({ key }) => key));
    return [...(several.ids.length ? [all] : []), ...nerves, ...matches.filter(({ key }) => !named.has(key)).map(({ key, guess }) => {
      const scenario = plexus.scenarios.get(key);
      return {
        text: this.app.name(key), note: scenario ? `injury: ${scenario.cuts.map((id) => this.app.name(id)).join(", ")}` : "", sure: key === sure && !nerves.length, guess,
        use: () => (scenario ? this.cutScenario(scenario) : this.cutSite(key)),
      };
    })];
  }

  /** Why a text is no place, where it is something else. */
  none(text) {
    const { app } = this, [found] = app.modes.explore.index.find(text), entity = found && app.plexus.entities.get(found.key);
    const [finding] = found ? [] : app.modes.find.offers(text), kind = entity?.kind || "movement";
    if (!found && !finding) return `No place is called “${text}”.`;
    const what = finding ? "finding" : { skin: "skin area", group: "group of muscles" }[kind] || kind;
    return `${found ? app.name(found.key) : capital(finding.text)} is no place to cut, but a ${what}. What may cause it: “Find the site”.`;
  }

  cutSite(id) {
    this.picked = this.nerveOf(id);
    if (!this.app.shown.cuts.includes(id)) this.change({ cuts: [...this.app.shown.cuts, id] });
  }

  cutAll(ids) {
    this.change({ cuts: [...new Set([...this.app.shown.cuts, ...ids])] });
  }

  cutScenario(named) {
    this.cutAll(named.cuts);
    const hint = named.usually === "partial" && !this.app.shown.partial ? " Usually partial." : "";
    this.app.say(`${named.name}: ${named.cuts.map((id) => this.app.name(id)).join(", ")}.${hint} ${named.note || ""}`);
  }

  request() {
    const { app } = this;
    if (!app.shown.cuts.length) return {};
    const sites = this.sites();
    const kind = app.shown.partial ? "partial injury" : "injury";
    return { injury: this.injury(), title: `${app.title}: ${kind} of ${sites.map((site) => app.name(site.id)).join(", ")}` };
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

  nerveOf(/** @type {string} */ id) {
    const { plexus } = this.app;
    return plexus.nerveAt(plexus.siteById.get(id));
  }

  pressed() {
    return new Set(this.app.shown.cuts.map((id) => this.nerveOf(id)));
  }

  point() {}

  /** Cut what was clicked, or mend it. */
  pick(id, at) {
    const { plexus } = this.app;
    const place = plexus.places.get(id);
    if (!plexus.isNerve(id) && !place) {
      this.picked = "";
      this.app.say(`${this.app.name(id)} is no nerve. Cut a place on: ${plexus.nerves(id) || "no nerve of this plexus"}.`);
      this.choose(plexus.nervesOf.get(id) || []);
      return;
    }
    this.picked = place ? place.segment : id;
    const site = place ? id : this.siteAt(id, at);
    const { cuts } = this.app.shown;
    const named = at === null && cuts.filter((cut) => this.nerveOf(cut) === id);
    if (cuts.includes(site)) this.change({ cuts: cuts.filter((cut) => cut !== site) });
    else if (named && named.length) this.change({ cuts: cuts.filter((cut) => !named.includes(cut)) });
    else this.change({ cuts: [...cuts, site] });
  }

  /** Id of the site at a position, or of the one before it. */
  siteAt(nerve, at) {
    const { plexus } = this.app, here = plexus.sites.filter((site) => plexus.nerveAt(site) === nerve && site.at <= (at ?? 0));
    const last = Math.max(...here.map((site) => site.at));
    return at === null || !here.length ? nerve : here.find((site) => site.at === last).id;
  }

  change(wish) {
    const { cuts, partial } = this.app.shown;
    this.past.push({ cuts, partial });
    this.app.set(wish);
    this.tell();
    const { plexus, picture, view } = this.app, [seen] = [...view.beyond, ...this.sites().flatMap((site) => drawnFrom(plexus, picture.named, plexus.nerveAt(site)))];
    if (seen && this.app.picture.small()) this.app.picture.reveal(seen);
    this.app.toResult(); // last, since it asks where things are: the browser then lays them out but once
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
    const signs = injury.signs.map((sign) => this.app.name(sign.id)).join(", ");
    return this.app.say(`Cut: ${sites.map((site) => this.app.name(site.id)).join(", ")}. Muscles: ${tally(injury)}. Signs: ${signs || "none"}.`);
  }

  update() {
    const { app } = this;
    const sites = this.sites();
    this.partial.querySelector("input").checked = app.shown.partial;
    this.undoButton.disabled = !this.past.length;
    this.resetButton.disabled = !sites.length;
    this.cuts.replaceChildren(...sites.map((site) => button(`${app.name(site.id)} ×`, () => {
      this.change({ cuts: app.shown.cuts.filter((id) => id !== site.id) });
      const next = this.cuts.querySelector("button") || this.panel.querySelector("input");
      if (next) next.focus();
    }, { className: "chip", "aria-label": `Mend ${app.name(site.id)}` })));
    if (sites.length) this.result.replaceChildren(...this.beyond(), ...summary(app, this.injury()));
    else this.result.replaceChildren(h("p", {}, "Choose a name in the picture to cut the nerve where it begins, or a strand to cut it there; choose it again to mend it. Several cuts add up."));
    app.steps.later("panel", () => this.more());
  }

  /** What stands below the result: tables, and places to choose from. */
  more() {
    const sites = this.sites();
    if (sites.length) this.result.append(...tables(this.app, this.injury()));
    this.choose(this.picked ? [this.picked] : sites.length ? [this.nerveOf(sites[sites.length - 1].id)] : []);
    if (this.app.steps.running.length) this.app.toResult();
  }

  /** Where to look for a cut that lies beyond what is drawn. */
  beyond() {
    const { app } = this;
    return [...app.view.unseen].map(([id, shown]) => {
      const frames = shown.length ? ` The dashed frame marks ${shown.map((one) => app.name(one)).join(", ")}, from which it comes.` : "";
      const rows = app.shown.detail !== "muscles" && app.tools.choices[0].querySelector('[value="muscles"]');
      return h("div", { className: "beyond" }, h("p", {}, h("b", {}, app.name(id)), ` lies beyond what is drawn.${frames}`),
        alongNerve(app, app.plexus.siteById.get(id), this.injury()),
        rows && button("Show what it takes, muscle by muscle", () => { app.set({ detail: "muscles" }); app.say("Every muscle is shown; those that are lost are marked."); }));
    });
  }

  /** What is printed, on one page with the picture. */
  paper() {
    return this.app.shown.cuts.length ? paperOf(this.app, this.injury()) : [];
  }

  /** The places of nerves, to choose a place. */
  choose(segments) {
    const { app } = this;
    const groups = segments.map((id) => {
      const places = app.plexus.sites.filter((site) => app.plexus.nerveAt(site) === id);
      if (places.length < 2 && segments.length < 2) return null;
      return h("fieldset", {}, h("legend", {}, `Places on ${app.name(id)}`), h("div", { className: "chips" }, ...places.map((site) => {
        const cut = app.shown.cuts.includes(site.id);
        const name = app.name(site.id), short = site.id === id ? "where it begins" : name.replace(app.name(id), "").trim() || name;
        return button(short, () => {
          this.picked = id;
          this.change({ cuts: cut ? app.shown.cuts.filter((other) => other !== site.id) : [...app.shown.cuts, site.id] });
        }, { className: "chip", "aria-pressed": cut, "data-site": site.id, "aria-label": site.id === id ? `${app.name(id)}, where it begins` : name });
      })));
    });
    this.places.replaceChildren(...groups.filter((group) => group !== null));
  }
}
