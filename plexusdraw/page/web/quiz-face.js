// What "test yourself" shows: before a round, at a question, after an answer, at the end.
import { toAddress } from "./address.js";
import { anySeed, chance } from "./chance.js";
import { KINDS } from "./questions.js";
import { resultList, resultText, saveCsv } from "./result.js";
import { copy } from "./share.js";
import { button, h } from "./widgets.js";

/** @typedef {import("./quiz.js").Quiz} Quiz */

export const SPEECH = { right: "Right", spelling: "Right, but spelt otherwise", wrong: "No, it is" };

export function startFace(/** @type {Quiz} */ quiz) {
  const { app, memory } = quiz, { seed, count, time, kind, about } = app.shown;
  const go = button(seed ? "Begin the test" : "Begin", () => quiz.begin(), { className: "main" });
  if (seed) {
    const what = (KINDS.find(([key]) => key === kind) || ["", kind])[1];
    const topic = about === "labels" ? "" : `, about ${app.name(about)}`;
    const many = Math.min(Number(count), quiz.made.many(kind, about));
    return [h("h2", {}, "A set test"), h("p", {}, `${many} question${many === 1 ? "" : "s"}: ${what}${topic}. ${time ? `${time} minutes.` : "No limit of time."} Form ${seed}.`),
      h("p", {}, "Right and wrong are told at the end; names stay hidden until then."), honest(quiz), go,
      h("p", {}, button("Practise instead", () => app.set({ seed: "", time: "" }), { className: "link" }))];
  }
  const ripe = memory.ripe().length;
  const before = memory.lines.length ? `So far ${memory.right} of ${memory.lines.length} right. ${ripe ? `${ripe} to repeat today come first.` : "Nothing to repeat today."}` : "";
  return [h("p", {}, "Each answer is explained. What goes wrong comes back after a few questions, then after 1, 3 and 7 days."), before && h("p", {}, before), go, setTest(quiz)].filter(Boolean);
}

function honest(/** @type {Quiz} */ quiz) {
  return h("p", { className: "soft" }, "This file holds its answers, and whoever looks into it finds them: it is for practice, not for an examination.");
}

/** How a teacher makes a test that others open by its address. */
function setTest(/** @type {Quiz} */ quiz) {
  const seed = h("input", { type: "text", id: "set-seed", value: "1", maxLength: 20, pattern: "[A-Za-z0-9_\\-]+" });
  const time = h("input", { type: "text", id: "set-time", inputMode: "numeric", maxLength: 3 });
  const wrong = () => [[seed, "seed", "letters and figures"], [time, "time", "whole minutes, up to 240, or nothing"]].find(([field, name]) => (field.value || name === "seed") && !quiz.accepts(name, field.value.trim()));
  const said = h("p", { className: "message", role: "status" });
  const whenFine = (use) => () => {
    const [field, , allowed] = wrong() || [];
    said.textContent = field ? `“${field.value}”: ${allowed}, please.` : "";
    if (field) field.focus();
    else use();
  };
  const link = () => {
    const shown = { ...quiz.app.shown, mode: "test", seed: seed.value.trim(), time: time.value.trim(), show: "", cuts: [], findings: [], partial: false };
    return toAddress(shown, quiz.app.start);
  };
  return h("details", { className: "tick-list" }, h("summary", {}, "Set a test for others"),
    h("p", {}, "The choices above, as one test: whoever opens its address gets the same questions. Another form number gives other questions."),
    h("div", { className: "settings" }, h("div", { className: "field" }, h("label", { for: "set-seed" }, "Form"), seed), h("div", { className: "field" }, h("label", { for: "set-time" }, "Minutes, or empty"), time)),
    said, honest(quiz),
    h("div", { className: "row" }, button("Copy the address", whenFine(() => copy(quiz.app, `${location.href.split("#")[0]}#${link()}`, "The address of the test is copied."))), button("Open the test", whenFine(() => { location.hash = link(); }))));
}

export function askFace(/** @type {Quiz} */ quiz) {
  const { question, verdict, number, queue, test, lines } = quiz.round;
  const count = `Question ${number} of ${number + queue.length}${question.again ? ", once more" : ""}`;
  const head = h("p", { className: "soft row" }, h("span", {}, count), !test && lines.length ? h("span", {}, `${lines.filter((line) => line.verdict !== "wrong").length} of ${lines.length} right`) : null);
  const text = h("h2", { className: "question", tabIndex: -1 }, quiz.prompt(question));
  const stop = button(test ? "End the test" : "End", () => quiz.stop(), { className: "link" });
  if (verdict) return [head, text, ...feedback(quiz), h("div", { className: "row next" }, button(queue.length ? "Next" : "See the result", () => quiz.next(), { className: "main" }), stop)];
  const pass = button(test ? "Leave it out" : "I do not know", () => quiz.judge("wrong", ""), { className: "link" });
  const answer = question.kind === "place" ? h("p", { className: "soft" }, "Choose it in the picture.") : question.kind === "name" && quiz.app.shown.by === "typing" ? typedAnswer(quiz) : optionButtons(quiz);
  return [head, text, answer, h("div", { className: "row" }, pass, stop)];
}

function optionButtons(/** @type {Quiz} */ quiz) {
  return h("div", { className: "options" }, ...quiz.round.question.options.map((option, i) => button(quiz.said(option), () => quiz.judge(option.right ? "right" : "wrong", quiz.said(option), option.id), { "data-number": i + 1 })));
}

function typedAnswer(/** @type {Quiz} */ quiz) {
  const input = h("input", { type: "text", autocomplete: "off", spellcheck: false, "aria-label": "Your answer", maxLength: 120 });
  const submit = (event) => {
    event.preventDefault();
    if (input.value.trim()) quiz.judge(quiz.app.speller.judge(input.value, quiz.round.question.id, quiz.app.shown.detail), input.value.trim());
  };
  return h("form", { className: "with-button typed", onsubmit: submit }, input, h("button", { type: "submit", className: "main" }, "Answer"));
}

/** Right or wrong, and why: each answer with its reason; the picture lights the route. */
function feedback(/** @type {Quiz} */ quiz) {
  const { question, verdict: { verdict, given, id } } = quiz.round;
  const picture = ["name", "place"].includes(question.kind);
  const told = h("p", { className: "verdict", "data-word": verdict }, `${verdict === "wrong" ? "✕" : "✓"} ${SPEECH[verdict]}: ${quiz.rightOf(question)}`);
  const about = quiz.made.told(question), described = quiz.made.describe(about);
  const chosen = id && id !== question.id && picture ? `You chose ${quiz.app.name(id)}: ${quiz.made.describe(id)}.` : given && verdict === "wrong" ? reasonFor(quiz, question, given) : "";
  const others = question.kind === "place" ? [] : question.options.filter((option) => !option.right && quiz.said(option) !== given);
  return [told, chosen && h("p", { className: "why-not" }, chosen), described && h("p", {}, `${quiz.app.name(about)}: ${described}.`),
    others.length ? h("ul", { className: "reasons" }, ...others.map((option) => h("li", {}, h("b", {}, `✕ ${quiz.said(option)}`), `: ${option.why}`))) : null].filter(Boolean);
}

function reasonFor(/** @type {Quiz} */ quiz, question, given) {
  const option = question.options.find((one) => quiz.said(one) === given);
  return option ? `You chose ${given}: ${option.why}.` : `You wrote “${given}”.`;
}

export function endFace(/** @type {Quiz} */ quiz) {
  const { round, app } = quiz, { lines, test } = round;
  const wrong = [...new Map(lines.filter((line) => line.verdict === "wrong").map((line) => [`${line.kind} ${line.about}`, line])).values()];
  const title = test ? `Form ${app.shown.seed}: ${quiz.score()}` : quiz.score();
  const again = wrong.length && !test ? button("Repeat what went wrong", () => { quiz.repeat(wrong.map(({ kind, about }) => quiz.made.make(kind, about, chance(anySeed())))); app.refresh(); quiz.face(); }, { className: "main" }) : null;
  return [h("h2", { tabIndex: -1 }, title), round.late ? h("p", {}, "The time was over.") : null, again,
    h("div", { className: "row" }, button(test ? "Take it again" : "New round", () => quiz.begin(), { className: again ? "" : "main" }), button("Settings", () => { quiz.stop(true); }),
      button("Print", () => print()), button("Copy", () => copy(app, resultText(`${app.title}. ${title}`, lines), "The result is copied.")), button("Save as CSV", () => saveCsv(lines))),
    resultList(lines)].filter(Boolean);
}

/** The result on paper. */
export function paperFace(/** @type {Quiz} */ quiz) {
  const { test, lines } = quiz.round, form = test ? `Form ${quiz.app.shown.seed}: ` : "";
  return [h("p", {}, h("b", {}, `${form}${quiz.score()}`)), h("p", {}, "Name: ______________________________"), resultList(lines)];
}
