// Mode "test yourself": name a blank, find a place, or say what an injury does. Nothing is kept unless asked.
import { Injury } from "./injury.js";
import { asked } from "./view.js";
import { button, checkbox, choice, h, list } from "./widgets.js";

const ROUND = 10;
const CHOICES = 4;
/** How a case marks a muscle that is surely paralysed, or surely spared. */
const LOST = "x", SPARED = ".";
const KEPT = "plexusdraw-results";

export class Quiz {
  /** @param {import("./app.js").App} app */
  constructor(app) {
    this.app = app;
    this.how = { task: "name", about: "labels", by: "typing" };
    this.body = h("div", { className: "result" });
    this.score = h("p", { className: "sum" });
    const kinds = app.plexus.data.stages.map((stage) => [stage.singular, stage.name]);
    this.settings = h("div", { className: "settings" },
      choice("Questions", [["name", "name the blank"], ["place", "click the place"], ["injury", "injuries"], ["mixed", "mixed"]], "name", (task) => this.begin({ task })),
      choice("About", [["labels", "all names"], ...kinds, ["nerve", "side branches"], ["muscle", "muscle rows"]], "labels", (about) => this.begin({ about })),
      choice("Answer by", [["typing", "typing"], ["choosing", "choosing"]], "typing", (by) => this.begin({ by })));
    this.keep = checkbox("Keep my results on this computer", Boolean(read()), (on) => this.keepResults(on));
    this.forget = button("Delete what is kept", () => { this.keepResults(false); app.say("Deleted. Nothing is kept."); });
    this.panel = h("div", {}, this.settings, this.score, this.body, h("div", { className: "row kept" }, this.keep, this.forget));
    this.kept = read() || { asked: 0, right: 0, repeat: [] };
    this.reset([]);
  }

  /** Forget the round. @param {Record<string, any>[]} queue */
  reset(queue) {
    this.queue = queue;
    this.asked = 0;
    this.right = 0;
    /** @type {Record<string, any>[]} */
    this.wrong = [];
    this.question = null;
    this.answered = false;
  }

  begin(how = {}) {
    Object.assign(this.how, how);
    this.reset(this.questions());
    if (!this.queue.length) this.app.say("Nothing of that kind is on this picture. Choose another detail.");
    this.next();
  }

  questions() {
    const { task } = this.how;
    const names = this.blankIds();
    const made = {
      name: () => names.map((id) => ({ task: "name", id })),
      place: () => names.map((id) => ({ task: "place", id })),
      injury: () => this.injuryQuestions(),
    };
    const all = task === "mixed" ? [...shuffled(made.name()).slice(0, 4), ...shuffled(made.place()).slice(0, 3), ...shuffled(made.injury()).slice(0, 3)] : made[task]();
    return shuffled(all).slice(0, ROUND);
  }

  /** Ids of the names that may be asked: those with a blank of their own. */
  blankIds() {
    const { scene } = this.app;
    const names = asked(scene, this.how.about, true).map((label) => scene.labels[label][0]);
    return names.filter((id) => this.app.plexus.entities.has(id) && !this.isLater(id));
  }

  /** Whether it belongs to a stage that is not shown yet. */
  isLater(id) {
    return this.app.scene.hidden[this.app.shown.upto].includes(id);
  }

  /** A question about what is no longer on the picture is dropped with its round. */
  checkQuestion() {
    const { question } = this;
    if (question && question.task !== "injury" && !this.blankIds().includes(question.id)) this.reset([]);
  }

  injuryQuestions() {
    const { plexus } = this.app;
    const muscles = [...plexus.muscles.keys()];
    return Object.entries(plexus.data.cases).flatMap(([id, states]) => {
      const which = (mark) => muscles.filter((_, i) => states[i] === mark);
      const question = { task: "injury", id, lost: which(LOST), spared: which(SPARED) };
      return question.spared.length >= CHOICES - 1 ? [question] : [];
    });
  }

  next() {
    this.question = this.queue.shift() || null;
    this.answered = false;
    if (this.question) this.question.options = this.options(this.question);
    this.app.refresh();
    if (this.question) this.body.querySelector("input, button")?.focus();
    if (this.question && this.question.task === "name") this.app.picture.reveal(this.question.id);
  }

  /** Answers to choose from, one of them right. */
  options(question) {
    if (question.task === "injury") {
      question.answer = shuffled(question.lost)[0];
      return shuffled([question.answer, ...shuffled(question.spared).slice(0, CHOICES - 1)]);
    }
    const { plexus } = this.app, kind = plexus.entities.get(question.id).kind;
    const alike = this.blankIds().filter((id) => id !== question.id && plexus.entities.get(id).kind === kind);
    const others = alike.length >= CHOICES - 1 ? alike : this.blankIds().filter((id) => id !== question.id);
    return shuffled([question.id, ...shuffled(others).slice(0, CHOICES - 1)]);
  }

  request() {
    this.checkQuestion();
    const { question, answered } = this;
    if (!question) return { hide: this.how.about, quiet: true };
    if (question.task === "injury") return answered ? { injury: new Injury(this.app.rule, [this.app.plexus.siteById.get(question.id)], false) } : {};
    return answered ? { highlight: this.app.scene.lit.has(question.id) ? question.id : "" } : { hide: this.how.about, quiet: true };
  }

  pressed() {
    return new Set();
  }

  /** Id of the name on the picture that is asked for. */
  marked() {
    return this.question && !this.answered && this.question.task === "name" ? this.question.id : "";
  }

  point() {}

  pick(id) {
    if (this.question && this.question.task === "place" && !this.answered) this.judge(id === this.question.id ? "right" : "wrong", this.app.name(id));
  }

  /** @param {string} verdict "right", "spelling" or "wrong" @param {string} given */
  judge(verdict, given) {
    const { question } = this;
    const name = this.app.name(question.answer || question.id);
    this.answered = true;
    this.asked += 1;
    if (verdict === "wrong") this.wrong.push(question);
    else this.right += 1;
    const told = { right: `Right: ${name}.`, spelling: `Right, but spelt: ${name}.`, wrong: `No. ${given ? `You said ${given}. ` : ""}It is ${name}.` };
    this.verdict = told[verdict];
    this.store(verdict, question);
    this.app.refresh();
    this.app.say(this.verdict);
    this.body.querySelector("button")?.focus();
  }

  update() {
    const { asked, right, question } = this;
    this.score.textContent = asked ? `${right} of ${asked} right.` : "";
    this.forget.disabled = !read();
    this.body.replaceChildren(...(question ? this.ask() : this.end()));
  }

  ask() {
    const { question, app } = this;
    const number = `Question ${this.asked + (this.answered ? 0 : 1)} of ${this.asked + (this.answered ? 0 : 1) + this.queue.length}`;
    const head = h("p", { className: "soft" }, number);
    if (this.answered) return [head, h("p", { className: "verdict" }, this.verdict), button(this.queue.length ? "Next" : "See the result", () => this.next(), { className: "main" })];
    if (question.task === "place") return [head, h("p", { className: "question" }, "Click on the picture: ", h("b", {}, app.name(question.id))), this.pass()];
    if (question.task === "injury") {
      const text = h("p", { className: "question" }, h("b", {}, app.plexus.siteById.get(question.id).name), " is cut. Which of these muscles is paralysed?");
      return [head, text, this.buttons((id) => (question.lost.includes(id) ? "right" : "wrong")), this.pass()];
    }
    const blank = app.view.numbers.get(question.id);
    const text = h("p", { className: "question" }, "What is the name of ", h("b", {}, `blank ${blank ?? ""}`), "?");
    const answer = this.how.by === "choosing" ? this.buttons((id) => (id === question.id ? "right" : "wrong")) : this.typed();
    return [head, text, answer, this.pass()];
  }

  buttons(verdict) {
    return h("div", { className: "options" }, ...this.question.options.map((id) => button(this.app.name(id), () => this.judge(verdict(id), this.app.name(id)))));
  }

  typed() {
    const input = h("input", { type: "text", autocomplete: "off", spellcheck: false, "aria-label": "Your answer" });
    const submit = (event) => {
      event.preventDefault();
      if (input.value.trim()) this.judge(this.app.speller.judge(input.value, this.question.id, this.app.shown.detail), input.value.trim());
    };
    return h("form", { className: "with-button", onsubmit: submit }, input, h("button", { type: "submit", className: "main" }, "Answer"));
  }

  pass() {
    return button("I do not know", () => this.judge("wrong", ""), { className: "link" });
  }

  end() {
    const start = button(this.asked ? "New round" : "Begin", () => this.begin(), { className: "main" });
    if (!this.asked) {
      const before = this.kept.asked ? `Kept from before: ${this.kept.right} of ${this.kept.asked} right.` : "";
      const repeat = this.kept.repeat.filter((id) => this.app.plexus.entities.has(id));
      const again = repeat.length && button("Repeat what went wrong before", () => this.again(repeat.map((id) => ({ task: "name", id }))));
      return [h("p", {}, `Up to ${ROUND} questions on the picture that is shown. Spelling is forgiven as long as the name is clear.`), before && h("p", {}, before), start, again].filter(Boolean);
    }
    const made = [h("h2", { className: "sub" }, `${this.right} of ${this.asked} right`)];
    if (this.wrong.length) {
      made.push(h("p", {}, "To repeat:"), list(this.wrong.map((q) => this.app.name(q.task === "injury" ? q.answer : q.id))));
      made.push(button("Repeat these", () => this.again(this.wrong), { className: "main" }));
    } else made.push(h("p", {}, "Nothing to repeat."));
    return [...made, start];
  }

  again(questions) {
    this.reset(shuffled(questions));
    this.next();
  }

  // Results are kept only if the reader asks.

  store(verdict, question) {
    this.kept.asked += 1;
    if (verdict !== "wrong") this.kept.right += 1;
    const id = question.answer || question.id;
    this.kept.repeat = this.kept.repeat.filter((other) => other !== id);
    if (verdict === "wrong" && question.task !== "injury") this.kept.repeat.push(id);
    if (read()) write(this.kept);
  }

  keepResults(on) {
    if (on) write(this.kept);
    else {
      write(null);
      this.kept = { asked: 0, right: 0, repeat: [] };
    }
    this.keep.querySelector("input").checked = Boolean(read());
    this.update();
  }
}

function shuffled(items) {
  const made = [...items];
  for (let i = made.length - 1; i > 0; i -= 1) {
    const j = Math.floor(Math.random() * (i + 1));
    [made[i], made[j]] = [made[j], made[i]];
  }
  return made;
}

/** What is kept, or null; a browser may refuse. */
function read() {
  try {
    const found = JSON.parse(localStorage.getItem(KEPT) || "null");
    return found && Array.isArray(found.repeat) ? found : null;
  } catch {
    return null;
  }
}

function write(value) {
  try {
    if (value) localStorage.setItem(KEPT, JSON.stringify(value));
    else localStorage.removeItem(KEPT);
  } catch {
    // The browser keeps nothing for pages from a file; the round goes on without.
  }
}
