// Mode "find the site": findings in, ranked sites out, and what would tell them apart.
import { findingText } from "./findings.js";
import { Injury } from "./injury.js";
import { localise } from "./localise.js";
import { button, field, h, list } from "./widgets.js";

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
    this.chosen = h("div", { className: "chips" });
    this.result = h("div", { className: "result" });
    this.kind = h("select", { "aria-label": "Result" }, ...[...MUSCLE, ...SKIN, ...SIGN, ...REFLEX].map(([kind, text]) => h("option", { value: kind }, kindText(kind, text))));
    this.lists = this.groups.map((group) => this.listOf(group));
    const quick = field({ text: "Add a finding", list: "findable", go: "Add", use: (text) => this.byName(text) });
    quick.querySelector("label")?.after(this.kind);
    this.clear = button("Clear", () => this.change([]));
    this.panel = h("div", {}, quick, this.chosen, h("div", { className: "row" }, this.clear), ...this.lists.map((one) => one.element), this.result);
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
    const rest = this.app.shown.findings.filter(([k, a]) => a !== about || !kinds.includes(k));
    this.change(kind ? [...rest, [kind, about]] : rest);
  }

  change(findings) {
    this.first = 0;
    this.app.set({ findings });
    const { answers } = this.found();
    if (answers.length) this.app.say(`${answers.length} places. First: ${answers[0].name}.`);
    else this.app.say(findings.length ? "No abnormal finding: nothing to explain." : "No finding.");
  }

  byName(text) {
    const { app } = this, kind = this.kind.value;
    const group = this.groups.filter((one) => one.options.some(([k]) => k === kind));
    const movement = group.flatMap((one) => one.about).find((about) => !app.plexus.entities.has(about) && about.toLowerCase() === text.trim().toLowerCase());
    const ids = group.flatMap((one) => one.about).filter((about) => app.plexus.entities.has(about));
    const found = app.speller.find(text, ids);
    const about = found.length === 1 ? found[0] : movement;
    if (about) this.put(kind, about, group[0].options);
    else app.say(found.length ? `Several are called so: ${found.map((id) => app.name(id)).join(", ")}.` : `“${text}” is nothing that can be ${kindText(kind, kind)}.`);
    return Boolean(about);
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
    return { injury: new Injury(this.app.rule, answer.cuts, false), title: `${this.app.title}: ${answer.name}` };
  }

  pressed() {
    const answer = this.found().answers[this.first];
    return new Set(answer ? answer.cuts.map((site) => site.segment) : []);
  }

  point() {}

  /** A muscle or skin area of the table: the next result. */
  pick(id) {
    const group = this.groups.find((one) => one.about.includes(id));
    if (!group) {
      this.app.say("Findings are about muscles, skin, reflexes and signs. Show muscle rows to click them, or use the lists.");
      return;
    }
    const kinds = group.options.map(([kind]) => kind);
    const now = this.app.shown.findings.find(([kind, about]) => about === id && kinds.includes(kind));
    this.put(kinds[now ? kinds.indexOf(now[0]) + 1 : 0] || "", id, group.options);
  }

  update() {
    const { app } = this;
    this.clear.disabled = !app.shown.findings.length;
    this.lists.forEach((one) => this.fill(one));
    this.chosen.replaceChildren(...this.findings().map((finding) => {
      const text = findingText({ ...finding, name: this.nameOf(finding.about) }, app.rule.rules.findingWords);
      return button(`${text} ×`, () => {
        this.change(app.shown.findings.filter(([kind, about]) => kind !== finding.kind || about !== finding.about));
        (this.chosen.querySelector("button") || this.kind).focus();
      }, { className: "chip", "aria-label": `Remove ${text}` });
    }));
    this.result.replaceChildren(...this.answers());
  }

  answers() {
    const { app } = this, { answers, tests, refused, unexplained } = this.found();
    if (!app.shown.findings.length) return [h("p", {}, "Say what was found: what is weak, numb or seen, and what is normal. The places that explain it come best first, and the picture shows the first.")];
    if (refused) return [h("p", {}, `${refused} cannot both be true. Remove one of them.`)];
    const none = unexplained.length ? [h("p", {}, `No single site explains: ${unexplained.join("; ")}.`)] : [];
    if (!answers.length) return none.length ? none : [h("p", {}, "No abnormal finding: nothing to explain.")];
    const items = answers.map((answer, i) => h("li", {},
      button(answer.name, () => { this.first = i; app.refresh(); this.result.querySelectorAll("li > button")[i]?.focus(); }, { className: "answer", "aria-pressed": i === this.first }),
      h("span", { className: "soft" }, ` score ${answer.score.toFixed(2)}, ${app.rule.rules.plausibleWords[answer.plausible]} place${answer.partial ? ", partial injury" : ""}`),
      detail("Not told apart at the bedside", answer.places.slice(1)),
      detail("Explains", answer.explained), detail("Does not explain", answer.unexplained), detail("Speaks against it", answer.contradicted)));
    const told = tests.map((test) => h("span", {}, h("b", {}, app.name(test.id)), ` (${test.kind}): ${test.word}`));
    return [
      h("h2", { className: "sub" }, "Places, best first"), h("ol", { className: "answers" }, ...items), ...none,
      ...(told.length ? [h("h2", { className: "sub" }, "What tells them apart"), list(told)] : []),
    ];
  }
}

function detail(term, texts) {
  return texts.length ? h("p", { className: "detail" }, h("b", {}, `${term}: `), texts.join("; ")) : null;
}

function kindText(kind, text) {
  const told = { spared: "normal power", feels: "normal feeling", "reflex-lost": "reflex lost", "reflex-kept": "reflex normal", sign: "sign shows", "no-sign": "sign does not show" };
  return told[kind] || text;
}
