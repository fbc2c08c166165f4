// Mode "find the site": findings in, ranked sites out, and what would tell them apart.
import { finder, Index, rowOf, surest } from "./finder.js";
import { findingText } from "./findings.js";
import { Injury } from "./injury.js";
import { localise } from "./localise.js";
import { phrase } from "./phrases.js";
import { button, capital, h, list } from "./widgets.js";

const MUSCLE = [["weak", "weak"], ["paralysed", "paralysed"], ["moderate", "moderately weak"], ["slight", "slightly weak"], ["spared", "normal"]];
const SKIN = [["numb", "numb"], ["feels", "normal"]];
const SIGN = [["sign", "shows"], ["no-sign", "does not show"]];
const REFLEX = [["reflex-lost", "lost or reduced"], ["reflex-kept", "normal"]];
const TOP = 8;

export class SiteSearch {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.first = 0;
    this.groups = this.findGroups();
    this.chosen = h("ul", { className: "chosen", "aria-label": "Findings" });
    this.result = h("div", { className: "result" });
    this.lists = this.groups.map((group) => this.listOf(group));
    const [muscle] = app.examples("muscle"), [reflex] = app.examples("reflex"), skin = [...app.plexus.skin.values()].find((area) => area.dermatome);
    const hint = [muscle && `weak ${muscle}`, skin && `numb ${skin.dermatome[0]}`].filter(Boolean).join(", ");
    const quick = finder({
      text: "Add a finding", hint, go: "Add", find: (text) => this.offers(text),
      none: (text) => `“${text}” is no finding that is known here. Try ${[hint, reflex && `${reflex} lost`].filter(Boolean).map((one) => `“${one}”`).join(" or ")}.`,
    });
    this.clear = button("Clear all", () => this.change([], "All removed"));
    this.panel = h("div", {}, quick, this.chosen, h("div", { className: "row" }, this.clear), this.result,
      h("h2", { className: "sub" }, "Or choose from lists"), ...this.lists.map((one) => one.element));
  }

  /** Whether something may have a finding of a kind. */
  accepts(kind, about) {
    return this.groups.some((group) => group.about.includes(about) && group.options.some(([one]) => one === kind));
  }

  /** Findings that a text may mean, best first. */
  offers(text) {
    const { plexus, speller } = this.app, { kinds, rest } = phrase(text, this.app.rule.rules);
    const groups = this.groups.filter((group) => group.options.some(([kind]) => kinds.includes(kind)));
    this.indexes = this.indexes || new Map();
    const found = groups.flatMap((group) => {
      if (!this.indexes.has(group)) this.indexes.set(group, new Index(speller, group.about.map((key) => rowOf(plexus, speller, key))));
      const kind = kinds.find((one) => group.options.some(([key]) => key === one)) || "";
      return this.indexes.get(group).find(rest).map((match) => ({ ...match, kind, group, order: kinds.indexOf(kind) }));
    });
    const ranked = found.sort((a, b) => Math.floor(a.grade) - Math.floor(b.grade) || a.order - b.order || a.grade - b.grade);
    const sure = surest(ranked);
    return ranked.map(({ key, kind, group, guess }) => ({
      text: this.text({ kind, about: key, name: this.nameOf(key) }), note: group.title.toLowerCase(), sure: key === sure, guess,
      use: () => this.put(kind, key, group.options),
    }));
  }

  text(finding) {
    if (finding.kind === "sign") return `shows ${finding.name}`;
    return findingText(finding, this.app.rule.rules.findingWords);
  }

  findGroups() {
    const { plexus, rule } = this.app;
    const outside = (kind) => [...plexus.outside.values()].filter((o) => o.kind === kind).map((o) => o.id);
    return [
      { title: "Muscles", options: MUSCLE, about: [...plexus.groups.keys(), ...plexus.muscles.keys(), ...outside("muscle")] },
      { title: "Movements", options: MUSCLE, about: [...rule.movers.keys()] },
      { title: "Skin", options: SKIN, about: [...plexus.skin.keys(), ...outside("skin")] },
      { title: "Signs", options: SIGN, about: [...plexus.signs.keys()] },
      { title: "Reflexes", options: REFLEX, about: [...plexus.reflexes.keys()] },
    ].filter((group) => group.about.length);
  }

  /** A list to tick, filled when it is opened. */
  listOf(group) {
    const body = h("div", { className: "ticks" });
    const element = h("details", { className: "tick-list" }, h("summary", {}, group.title), body);
    const one = { element, body, group };
    element.addEventListener("toggle", () => this.fill(one));
    return one;
  }

  fill({ element, body, group }) {
    if (!element.open) return;
    if (!body.childNodes.length) body.append(...group.about.map((about) => this.tick(group, about)));
    for (const select of body.querySelectorAll("select")) {
      const found = this.app.shown.findings.find(([kind, about]) => about === select.dataset.about && group.options.some(([k]) => k === kind));
      select.value = found ? found[0] : "";
    }
  }

  tick(group, about) {
    const select = h("select", { onchange: () => this.put(select.value, about, group.options) }, h("option", { value: "" }, "not tested"));
    select.dataset.about = about;
    for (const [kind, text] of group.options) select.append(h("option", { value: kind }, text));
    return h("label", { className: "tick" }, h("span", {}, this.nameOf(about)), select);
  }

  nameOf(about) {
    return this.app.plexus.entities.has(about) ? this.app.name(about) : about;
  }

  /** Give something a finding of one of these kinds, or none. */
  put(kind, about, options) {
    const kinds = options.map(([one]) => one);
    const rest = this.app.shown.findings.filter(([k, a]) => a !== about || !kinds.includes(k)), name = this.nameOf(about);
    this.change(kind ? [...rest, [kind, about]] : rest, kind ? capital(this.text({ kind, about, name })) : `Removed: ${name}`);
  }

  /** *what*: what was changed, to be heard before what follows from it. */
  change(findings, /** @type {string} */ what) {
    this.first = 0;
    this.app.set({ findings });
    const { answers, refused, unexplained } = this.found(), { app } = this;
    const many = answers.length === 1 ? "1 place explains" : `${answers.length} places explain`;
    if (refused) app.say(`${what}. ${app.told(refused)} cannot be true together.`);
    else if (answers.length) app.say(`${what}. ${many} it. First: ${app.told(answers[0].name)}.`);
    else app.say(`${what}. ${unexplained.length ? "No single site explains it." : findings.length ? "No abnormal finding: nothing to explain." : "No finding."}`);
  }

  findings() {
    return this.app.shown.findings.map(([kind, about]) => {
      const entity = this.app.plexus.entities.get(about);
      return { kind, about, name: entity ? entity.name : about, movement: !entity };
    });
  }

  found() {
    const key = JSON.stringify(this.app.shown.findings);
    if (this.key !== key) {
      this.key = key;
      this.made = localise(this.app.places, this.findings(), TOP);
    }
    return this.made;
  }

  request() {
    const answer = this.found().answers[this.first];
    if (!answer) return {};
    return { injury: new Injury(this.app.rule, answer.cuts, false), title: `${this.app.title}: ${this.app.told(answer.name)}` };
  }

  pressed() {
    const answer = this.found().answers[this.first];
    return new Set(answer ? answer.cuts.map((site) => this.app.plexus.nerveAt(site)) : []);
  }

  point() {}

  /** A muscle or skin area of the table: the next result. */
  pick(id) {
    const group = this.groups.find((one) => one.about.includes(id));
    if (!group) {
      const muscles = this.app.shown.detail === "muscles" ? "" : " To choose muscles in the picture, set View to “with every muscle”.";
      this.app.say(`${this.app.name(id)} cannot be examined: findings are about muscles, skin, reflexes and signs.${muscles}`);
      return;
    }
    const kinds = group.options.map(([kind]) => kind);
    const now = this.app.shown.findings.find(([kind, about]) => about === id && kinds.includes(kind));
    this.put(kinds[now ? kinds.indexOf(now[0]) + 1 : 0] || "", id, group.options);
  }

  /** What is printed. */
  paper() {
    return this.app.shown.findings.length ? [list(this.findings().map((finding) => this.text({ ...finding, name: this.nameOf(finding.about) })), "inline"), ...this.answers()] : [];
  }

  update() {
    const { app } = this;
    this.clear.disabled = !app.shown.findings.length;
    this.lists.forEach((one) => this.fill(one));
    this.chosen.replaceChildren(...this.findings().map((finding) => this.row(finding)));
    this.result.replaceChildren(...this.answers());
  }

  /** A finding that was added: what it is about, its result to change, and a button to remove it. */
  row({ kind, about }) {
    const name = this.nameOf(about), group = this.groups.find((one) => one.about.includes(about) && one.options.some(([key]) => key === kind));
    const select = h("select", { "aria-label": `Result of ${name}`, onchange: () => this.put(select.value, about, group.options) },
      ...group.options.map(([key, text]) => h("option", { value: key, selected: key === kind }, text)));
    const remove = button("×", () => {
      this.put("", about, group.options);
      (this.chosen.querySelector("button") || this.panel.querySelector("input")).focus();
    }, { "aria-label": `Remove ${name}` });
    return h("li", { className: "tick" }, h("span", {}, name), h("span", { className: "with-button" }, select, remove));
  }

  answers() {
    const { app } = this, { answers, tests, refused, unexplained } = this.found();
    if (!app.shown.findings.length) return [h("p", {}, "Say what was found: what is weak, numb or seen, and what is normal. The places that explain it stand here, best first; the picture shows the one that is chosen.")];
    if (refused) return [h("p", {}, `${app.told(refused)} cannot be true together. Remove one of them.`)];
    const none = unexplained.length ? [h("p", {}, `No single site explains: ${unexplained.map((text) => app.told(text)).join("; ")}.`)] : [];
    if (!answers.length) return none.length ? none : [h("p", {}, "No abnormal finding: nothing to explain.")];
    const names = (texts) => texts.map((text) => app.told(text));
    const items = answers.map((answer, i) => h("li", {},
      button(app.told(answer.name), () => { this.first = i; app.refresh();}, { className: "answer", "aria-pressed": i === this.first }),
      h("span", { className: "soft" }, ` explains ${answer.explained.length} of ${app.shown.findings.length}; ${app.rule.rules.plausibleWords[answer.plausible]} place${answer.partial ? "; partial injury" : ""}`),
      detail("Looks the same when examined", names(answer.places.slice(1))),
      detail("Explains", names(answer.explained)), detail("Does not explain", names(answer.unexplained)), detail("Speaks against it", names(answer.contradicted))));
    const told = tests.map((test) => h("span", {}, h("b", {}, app.name(test.id)), ` (${app.kind(test.id)}): ${test.word}`));
    return [
      h("h2", {}, "Places, best first"), h("ol", { className: "answers" }, ...items), ...none,
      ...(told.length ? [h("h2", { className: "sub" }, "What tells them apart"), list(told)] : []),
    ];
  }
}

function detail(term, texts) {
  return texts.length ? h("p", { className: "detail" }, h("b", {}, `${term}: `), texts.join("; ")) : null;
}
