// The result of a round: to read, print, copy and save.
import { csv } from "./memory.js";
import { download } from "./save.js";
import { h, table } from "./widgets.js";

const HEAD = ["Question", "Your answer", "Right answer", "Result"];

/** @param {import("./memory.js").Line[]} lines */
export function resultTable(lines) {
  return table("Answers", ["", ...HEAD], lines.map((line, i) => [String(i + 1), line.prompt, line.given || "no answer", line.right, h("span", { className: "word", "data-word": line.verdict }, { right: "✓ right", spelling: "✓ right, spelt otherwise", wrong: "✕ wrong" }[line.verdict])]));
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
