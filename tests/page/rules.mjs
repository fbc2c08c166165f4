// Runs the page's live rules in plain node: reads cases from the standard input, writes what the rules say.
import { readFileSync } from "node:fs";
import { Injury } from "./injury.js";
import { localise, localiseReport } from "./localise.js";
import { Places } from "./places.js";
import { phrase } from "./phrases.js";
import { Plexus } from "./plexus.js";
import { Speller } from "./spelling.js";
import { States } from "./states.js";

const asked = JSON.parse(readFileSync(0, "utf8"));

function answer({ model, injuries, findings, texts }) {
  const plexus = new Plexus(model), rule = new States(plexus), speller = new Speller(plexus);
  const places = findings.length ? new Places(rule) : null;
  const strands = (injury, pieces) => pieces.map(([segment, root, at, source]) => injury.strand(segment, root, at, source || ""));
  return {
    entities: [...plexus.entities.keys()],
    injuries: injuries.map(({ sites, partial, pieces }) => {
      const injury = new Injury(rule, sites.map((id) => plexus.siteById.get(id)), partial);
      return { report: injury.report(), strands: strands(injury, pieces) };
    }),
    findings: findings.map((list) => localiseReport(localise(places, list, 10), rule.rules, model)),
    texts: texts.map((text) => ({ core: speller.canonical(text), found: speller.find(text, speller.exact.keys()), phrase: phrase(text, rule.rules) })),
  };
}

console.log(JSON.stringify(asked.map(answer)));
