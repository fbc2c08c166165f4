// Runs the page's chance in plain node: reads cases from the standard input, writes what they give.
import { readFileSync } from "node:fs";
import { choiceOf, Random, sha512 } from "./random.js";

const { texts, choices, bounds } = JSON.parse(readFileSync(0, "utf8"));

console.log(JSON.stringify({
  sums: texts.map((text) => Buffer.from(sha512([...Buffer.from(text)])).toString("hex")),
  choices: choices.map(([seed, many, size, number]) => choiceOf(many, size, number, new Random(seed))),
  orders: texts.map((text) => new Random(text).shuffle(Array.from({ length: 30 }, (_, i) => i))),
  draws: bounds.map(([seed, most]) => { const dice = new Random(seed); return Array.from({ length: 20 }, () => String(dice.below(BigInt(most)))); }),
}));
