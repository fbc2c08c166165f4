// The result of a round: to read, print, copy and save.
import { csv } from "./memory.js";
import { download } from "./save.js";
import { h } from "./widgets.js";

/** @param {import("./memory.js").Line[]} lines */
export function resultList(lines) {
  const word = (line) => h("span", { className: "word", "data-word": line.verdict }, { right: "✓ right", spelling: "✓ right, spelt otherwise", wrong: "✕ wrong" }[line.verdict]);
  const item = (line) => h("li", {}, h("b", {}, line.prompt), h("div", {}, word(line), `: ${line.given || "no answer"}${line.why ? ` (${line.why})` : ""}`), line.verdict === "right" ? null : h("div", {}, `Right is: ${line.right}`));
  return h("ol", { className: "answers" }, ...lines.map(item));
}

/** The same as plain text. @param {import("./memory.js").Line[]} lines */
export function resultText(title, lines) {
  const told = lines.map((line, i) => `${i + 1}. ${line.prompt}\n   ${line.verdict === "wrong" ? "✕" : "✓"} ${line.given || "no answer"}${line.verdict === "right" ? "" : ` (${line.right})`}`);
  return `${[title, ...told].join("\n")}\n`;
}

/** @param {import("./memory.js").Line[]} lines */
export function saveCsv(lines) {
  const rows = lines.map((line) => [new Date(line.when).toISOString(), line.kind, line.about, line.prompt, line.given, line.right, line.verdict]);
  download(new Blob([csv([["when", "kind", "about", "question", "answer", "right answer", "result"], ...rows])], { type: "text/csv" }), "answers.csv");
}
