// What an injury does, in tables and lists for the panel, and in short for print.
import { Injury, tally } from "./injury.js";
import { NONE, PART, SLIGHT, WHOLE, placesOf, wordOfState } from "./states.js";
import { h, list, stateWord, table } from "./widgets.js";

/** What an injury does in short. @param {Injury} injury */
export function summary(app, injury) {
  return [
    h("p", { className: "sum" }, `Muscles: ${tally(injury)}.`),
    injury.signs.length ? h("h2", { className: "sub" }, "Signs") : "",
    list(injury.signs.map((sign) => h("span", {}, h("b", {}, app.name(sign.id)), sign.note ? `: ${sign.note}` : ""))) || "",
  ];
}

/** All of it, muscle by muscle. @param {Injury} injury */
export function tables(app, injury) {
  const byLoss = (items) => [WHOLE, PART, SLIGHT].flatMap((loss) => items.filter((item) => item.loss === loss));
  const muscles = byLoss([...injury.muscles.values()]);
  const skin = byLoss([...injury.skin.values()]).filter((o) => o.state !== "spared");
  const reflexes = byLoss([...injury.reflexes.values()]).filter((o) => o.state !== "kept");
  const lines = (items) => items.map((o) => [why(app, injury, o), stateWord(o.state, wordOfState(injury.rule, o.state)), o.rootsLost.join(" ")]);
  const spared = [...injury.muscles.values()].filter((o) => o.loss === NONE).map((o) => app.name(o.id));
  return [
    table("Muscles", ["Muscle, and why", "State", "Roots lost"], lines(muscles)),
    table("Movements", ["Movement", "State", "Still done by"], byLoss(injury.movements).map((m) => [m.name, stateWord(m.state, wordOfState(injury.rule, m.state)), doneBy(app, m)])),
    table("Skin", ["Area, and why", "State", "Roots lost"], lines(skin)),
    table("Reflexes", ["Reflex", "State"], reflexes.map((o) => [app.name(o.id), stateWord(o.state, wordOfState(injury.rule, o.state))])),
    spared.length ? h("details", {}, h("summary", {}, `Spared: ${spared.length} muscles`), h("p", {}, spared.join(", "))) : null,
  ].filter((node) => node !== null);
}

function doneBy(app, movement) {
  const names = [...movement.able.map((id) => app.name(id)), ...movement.weak.map((id) => `${app.name(id)} (weak)`)];
  return [...new Set(names)].join("; ") || "none";
}

/** A name that opens to its broken and its intact routes. */
function why(app, injury, outcome) {
  const steps = (route) => {
    const cut = ([segment, at]) => injury.sites.flatMap(placesOf).some(([here, from]) => here === segment && at >= from);
    return [...route.steps.map((step) => app.name(step[0]) + (cut(step) ? " ×" : "")), app.name(route.target)].join(" → ") + (route.minor ? " (small share)" : "");
  };
  const told = (word, routes) => routes.map((route) => h("span", {}, h("b", {}, `${word}: `), steps(route)));
  const made = h("details", { className: "why" }, h("summary", {}, app.name(outcome.id)));
  made.addEventListener("toggle", () => {
    const roots = `lost ${outcome.rootsLost.join(" ") || "no root"}, left ${outcome.rootsLeft.join(" ") || "no root"}`;
    const routes = list([...told("broken", outcome.broken), ...told("left", outcome.left)], "routes");
    const differ = outcome.disputed ? [h("p", { className: "soft" }, "Sources differ on it.")] : [];
    made.append(h("p", { className: "soft" }, roots), ...differ, ...(routes ? [routes] : []));
  }, { once: true });
  return made;
}

/** The same in short, for one printed page. @param {Injury} injury */
export function paperOf(app, injury) {
  const lines = [];
  const line = (term, items) => { if (items.length) lines.push(h("dt", {}, `${term} (${items.length})`), h("dd", {}, items.join("; "))); };
  const each = (outcomes, kind) => [WHOLE, PART, SLIGHT].forEach((loss) => {
    const word = injury.rule.rules.words[kind][loss];
    line(`${{ muscle: "Muscles", skin: "Skin", reflex: "Reflexes", movement: "Movements" }[kind]}: ${wordOfState(injury.rule, word)}`, outcomes.filter((o) => o.loss === loss && (kind === "muscle" || kind === "movement" || word !== injury.rule.rules.words[kind][NONE])).map((o) => app.name(o.id || o.name)));
  });
  each([...injury.muscles.values()], "muscle");
  each(injury.movements, "movement");
  each([...injury.skin.values()], "skin");
  each([...injury.reflexes.values()], "reflex");
  line("Signs", injury.signs.map((sign) => app.name(sign.id)));
  line("Muscles: spared", [...injury.muscles.values()].filter((o) => o.loss === NONE).map((o) => app.name(o.id)));
  return [h("dl", { className: "columns" }, ...lines)];
}
