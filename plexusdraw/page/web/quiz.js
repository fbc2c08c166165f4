// Mode "test yourself": questions that teach, and set tests by address. Nothing is kept unless the reader asks.
import { anySeed, chance } from "./chance.js";
import { Injury } from "./injury.js";
import { Memory, store, stored } from "./memory.js";
import { SPEECH, askFace, endFace, paperFace, startFace } from "./quiz-face.js";
import { Questions } from "./questions.js";
import { saveCsv } from "./result.js";
import { drawnFrom } from "./view.js";
import { button, checkbox, choice, h } from "./widgets.js";

const LATER = 3;
/** Why the page stays where it is. */
export const TEST_RUNS = "A test is running. End it first, so that names stay hidden.";
const MOST_COUNT = 100, MOST_MINUTES = 240;

export class Quiz {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.made = new Questions(app);
    this.memory = new Memory(app.plexus.data.id);
    this.body = h("div", { className: "result" });
    this.clock = h("p", { className: "clock", role: "timer" });
    this.settings = this.makeSettings();
    this.keep = checkbox("Keep my results on this device", this.memory.on, (on) => this.keepResults(on));
    this.forget = button("Delete what is kept", () => { this.keepResults(false); app.say("Deleted. Nothing is kept."); });
    this.csv = button("Save all answers as CSV", () => saveCsv(this.memory.lines));
    this.keeping = h("div", { className: "kept" }, this.keep, h("div", { className: "row" }, this.csv, this.forget));
    this.panel = h("div", {}, this.settings, this.clock, this.body, this.keeping);
    this.panel.addEventListener("keydown", (event) => this.key(event));
    /** @type {any} */
    this.round = null;
    setInterval(() => this.tick(), 1000);
    this.fromAddress();
  }

  makeSettings() {
    const { app } = this, { stages } = app.plexus.data, last = stages[stages.length - 1].id;
    const whole = [["labels", "everything"], ...stages.map((stage) => [stage.singular, stage.name]), ["nerve", "side branches"], ["muscle", "muscles in the picture"]];
    const nerves = [...app.plexus.segments.values()].filter((segment) => segment.stage === last).map(({ id, name }) => [id, name]);
    const put = (name) => (value) => { this.round = null; app.set({ [name]: value }); };
    this.choices = {
      kind: choice("Questions", this.made.kinds, "mixed", put("kind")),
      about: choice("About", [...whole, ...app.plexus.roots.map((root) => [root, root]), ...nerves], "labels", put("about")),
      by: choice("Names are answered by", [["choosing", "choosing"], ["typing", "typing"]], "choosing", put("by")),
      count: choice("How many", ["5", "10", "20", "40"].map((n) => [n, n]), "10", put("count")),
    };
    return h("div", { className: "settings" }, ...Object.values(this.choices));
  }

  /** What a round is about, by the name that the reader chose. */
  topic(/** @type {string} */ about) {
    const { app } = this, stage = app.plexus.data.stages.find(({ singular }) => singular === about);
    return stage ? app.stageName(stage) : app.plexus.entities.has(about) ? app.name(about) : "";
  }

  /** Whether an address may set it so. */
  accepts(name, value) {
    const whole = (most) => /^\d{1,6}$/.test(value) && Number(value) >= 1 && Number(value) <= most;
    return {
      kind: () => this.made.kinds.some(([kind]) => kind === value),
      about: () => [...this.choices.about.querySelectorAll("option")].some((option) => option.value === value) || this.app.plexus.entities.has(value),
      count: () => whole(MOST_COUNT),
      seed: () => /^[\w-]{1,20}$/.test(value),
      time: () => whole(MOST_MINUTES),
    }[name]();
  }

  /** A round that was begun goes on after a reload; another address ends it. */
  fromAddress() {
    const how = this.how();
    if (!this.round) {
      const found = stored("sessionStorage", this.sessionKey());
      if (found && found.how === how && Array.isArray(found.queue) && Array.isArray(found.lines)) this.round = found;
    } else if (this.round.how !== how && this.app.shown.mode === "test") this.round = null;
    if (this.running) this.app.shown.mode = "test";
  }

  how() {
    const { kind, about, by, count, seed, time } = this.app.shown;
    return [kind, about, by, count, seed, time].join(" ");
  }

  sessionKey() {
    return `plexusdraw-round-${this.app.plexus.data.id}`;
  }

  /** Whether a set test runs, so that names must stay hidden. */
  get running() {
    return Boolean(this.round && this.round.test && this.round.question);
  }

  begin() {
    const { kind, about, count, seed, time } = this.app.shown;
    const dice = chance(seed || anySeed());
    const round = this.made.round(kind, about, Number(count), dice);
    const again = seed ? [] : this.memory.ripe().filter((item) => this.made.subjects(item.kind, "labels").includes(item.about)).slice(0, Math.ceil(Number(count) / 2));
    const first = again.map((item) => ({ ...this.made.make(item.kind, item.about, dice), again: true }));
    const rest = round.filter((q) => !first.some((other) => other.kind === q.kind && other.about === q.about));
    this.repeat([...first, ...rest.slice(0, Number(count) - first.length)], { test: Boolean(seed), ends: seed && time ? Date.now() + Number(time) * 60000 : 0 });
    if (!this.round.question) {
      this.round = null;
      const muscles = about === "muscle" && this.app.shown.detail !== "muscles" ? " Muscles stand in the picture when View is set to “with every muscle”." : " Choose another kind, or “everything”.";
      this.app.say(`There is no such question.${muscles}`);
    }
    this.app.refresh();
    this.face();
  }

  /** @param {import("./questions.js").Question[]} queue */
  repeat(queue, { test = false, ends = 0 } = {}) {
    this.round = { how: this.how(), test, ends, queue: queue.slice(1), question: queue[0] || null, lines: [], verdict: null, number: 1, done: !queue.length };
    this.save();
  }

  /** Show what is asked: the question at the top of the panel, what it asks for in the picture. */
  face() {
    const { question, verdict } = this.round || {};
    if (!question) return;
    const first = /** @type {HTMLElement | null} */ (this.body.querySelector("h2"));
    first?.focus({ preventScroll: true });
    if (verdict) this.app.picture.overview(this.seen());
    else if (question.kind === "name") this.app.picture.reveal(this.seen());
    else if (this.app.picture.small()) this.app.picture.setZoom(0);
    this.app.toResult();
  }

  next() {
    const { round } = this;
    round.verdict = null;
    if (!round.test) this.app.say("");
    round.question = round.queue.shift() || null;
    round.number += 1;
    round.done = !round.question;
    this.save();
    this.app.refresh();
    if (round.question) this.face();
    else {
      this.app.say(`Finished: ${this.score()}.`);
      this.app.toResult();
      /** @type {HTMLElement | null} */ (this.body.querySelector("h2"))?.focus({ preventScroll: true });
    }
  }

  request() {
    const { round } = this, hide = this.hidden();
    if (!round || !round.question) return round && round.done ? {} : { hide, quiet: true };
    const { question, verdict } = round;
    if (!verdict) return { hide, quiet: true };
    const told = [...this.foremost()];
    const cut = question.cut && this.app.plexus.siteById.get(question.cut);
    const lit = this.app.scene.lit.has(question.id) ? question.id : "";
    return { hide, quiet: true, told, ...(cut ? { injury: new Injury(this.app.rule, [cut], false) } : { highlight: lit }) };
  }

  /** What is told after an answer, the asked thing first. */
  foremost() {
    const { question, verdict } = this.round || {};
    if (!question || !verdict) return new Set();
    const { plexus, picture } = this.app, right = question.options.find((option) => option.right)?.id, { named } = picture;
    const nerves = (plexus.nervesOf.get(this.made.told(question)) || []).flatMap((id) => drawnFrom(plexus, named, id));
    return new Set([question.id, question.cut && this.app.modes.injure.nerveOf(question.cut), right, question.about, ...nerves].filter(Boolean));
  }

  /** Of what is asked or told that which the picture names. */
  seen() {
    const { question, verdict } = this.round, { picture, view } = this.app;
    const ids = verdict ? [...this.foremost(), ...view.beyond] : [question.id];
    return ids.find((id) => picture.items.some((item) => item.id === id)) || "";
  }

  /** Names that stay hidden while it is asked. */
  hidden() {
    const { about } = this.app.shown, { round } = this, picture = round && round.question && ["name", "place"].includes(round.question.kind);
    return picture && !round.test && Object.hasOwn(this.app.scene.numbers, about) ? about : "labels";
  }

  pressed() {
    return new Set();
  }

  /** Id of the name on the picture that is asked for. */
  marked() {
    const { question, verdict } = this.round || {};
    return question && !verdict && question.kind === "name" ? question.id : "";
  }

  point() {}

  pick(id) {
    const { question, verdict } = this.round || {};
    if (!question || verdict) return;
    if (question.kind !== "place") return void this.app.say("Answer in the list, not in the picture.");
    this.judge(id === question.id ? "right" : "wrong", this.app.name(id), id);
  }

  /** @param {string} verdict "right", "spelling" or "wrong" @param {string} given @param {string} id what was given */
  judge(verdict, given, id = "") {
    const { round, app } = this, { question } = round;
    const line = this.line(question, given, verdict);
    round.lines.push({ ...line, why: question.options.find((option) => this.said(option) === given && !option.right)?.why });
    this.memory.add(line);
    if (round.test) {
      app.say(round.queue.length ? "Answered." : "");
      this.next();
      return;
    }
    round.verdict = { verdict, given, id };
    if (verdict === "wrong") this.later(question);
    this.save();
    app.refresh();
    const why = this.body.querySelector(".why-not")?.textContent || "";
    app.say(`${SPEECH[verdict]}: ${line.right}. ${why}`);
    if (app.picture.small()) app.picture.overview(this.seen());
    app.toResult();
    this.body.querySelector("button.main")?.focus({ preventScroll: true });
  }

  /** What is kept of an answer. @returns {import("./memory.js").Line} */
  line(question, /** @type {string} */ given, /** @type {string} */ verdict) {
    return { when: this.memory.now(), kind: question.kind, about: question.about, prompt: this.prompt(question), right: this.rightOf(question), given, verdict };
  }

  /** A set test counts all its questions, those too that were not reached. */
  unanswered(/** @type {import("./questions.js").Question[]} */ questions) {
    const { round } = this;
    if (round.test) round.lines.push(...questions.map((question) => this.line(question, "", "wrong")));
  }

  /** What is left of a round is not asked. */
  finish() {
    const { round } = this;
    this.unanswered([round.question, ...round.queue].filter(Boolean));
    Object.assign(round, { queue: [], question: null, verdict: null, done: true });
    this.save();
  }

  /** What went wrong is asked again after a few questions, in other words where there are some. */
  later(question) {
    const { queue } = this.round;
    queue.splice(Math.min(LATER, queue.length), 0, { ...this.made.make(question.kind, question.about, chance(anySeed())), again: true });
  }

  /** A question that can no longer be shown is left out, as when less is drawn than before. */
  stillThere({ kind, about }) {
    return !["name", "place"].includes(kind) || this.made.names("labels").includes(about);
  }

  update() {
    const { round, app, memory } = this;
    while (round && round.question && !round.verdict && !this.stillThere(round.question)) {
      this.unanswered([round.question]);
      round.question = round.queue.shift() || null;
    }
    if (round && !round.question) round.done = true;
    for (const option of this.choices.about.querySelectorAll("option")) option.textContent = this.topic(option.value) || option.textContent;
    for (const [name, element] of Object.entries(this.choices)) {
      const select = element.querySelector("select"), value = app.shown[name];
      if (![...select.options].some((option) => option.value === value)) select.append(h("option", { value }, app.name(value)));
      select.value = value;
    }
    this.settings.hidden = Boolean(round) || Boolean(app.shown.seed);
    this.keeping.hidden = Boolean(round && round.question);
    this.forget.disabled = !memory.on;
    this.csv.disabled = !memory.lines.length;
    this.tick();
    this.body.replaceChildren(...(round && round.question ? askFace(this) : round && round.done ? endFace(this) : startFace(this)));
  }

  prompt(question) {
    if (question.kind === "place") return `Find it in the picture: ${this.app.name(question.id)}`;
    const number = this.app.view?.numbers.get(question.id);
    if (question.kind === "name") return `What is marked${number ? ` with ${number}` : ""}?`;
    return this.latin(question.prompt, question.about);
  }

  /** What a question is about by the name that the reader chose. */
  latin(prompt, about) {
    const entity = this.app.plexus.entities.get(about);
    return entity ? prompt.replace(entity.name, () => this.app.name(about)) : prompt;
  }

  said({ id, text }) {
    return id ? this.app.name(id) : text;
  }

  rightOf(question) {
    if (!question.options.length) return this.app.name(question.id);
    return this.said(question.options.find((option) => option.right));
  }

  score() {
    const { lines } = this.round;
    return `${lines.filter((line) => line.verdict !== "wrong").length} of ${lines.length} right`;
  }

  /** End the round; what was answered is shown, but for *leave*. */
  stop(leave = false) {
    const { round, app } = this;
    if (!leave && round.lines.length) this.finish();
    else this.round = null;
    this.save();
    if (leave && app.shown.seed) app.set({ seed: "", time: "" });
    else app.refresh();
    app.toResult();
  }

  save() {
    store("sessionStorage", this.sessionKey(), this.round);
  }

  /** The time that is left, and its end. */
  tick() {
    const { round } = this, left = this.running && round.ends ? Math.ceil((round.ends - Date.now()) / 1000) : -1;
    this.clock.hidden = left < 0;
    if (left >= 0) this.clock.textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")} left`;
    if (this.running && round.ends && left <= 0) {
      round.late = true;
      this.finish();
      this.app.say(`The time is over: ${this.score()}.`);
      this.app.refresh();
    }
  }

  /** The keys 1 to 4 choose an answer. */
  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement) return;
    this.body.querySelector(`.options [data-number="${CSS.escape(event.key)}"]`)?.click();
  }

  /** What is printed: the result of a round. */
  paper() {
    return this.round && !this.round.question && this.round.lines.length ? paperFace(this) : [];
  }

  keepResults(on) {
    this.memory.keep(on);
    if (on && !this.memory.on) this.app.say("This browser keeps nothing for this page.");
    this.keep.querySelector("input").checked = this.memory.on;
    this.update();
  }
}
