"""How far the computed results agree with published ones: ``python gallery/agreement.py [--check]``.

Writes gallery/AGREEMENT.md from tests/published; with ``--check`` it writes nothing and fails if the page is stale.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from plexusdraw import names
from plexusdraw.clinic import deficits
from plexusdraw.clinic.deficits import WORDS, Loss
from plexusdraw.clinic.findings import Finding, finding
from plexusdraw.clinic.injury import Injury, injure
from plexusdraw.clinic.localise import localise, places
from plexusdraw.model import Plexus, load
from plexusdraw.names import sites
from plexusdraw.routes import fibres

HERE = Path(__file__).parent
PAGE = HERE / "AGREEMENT.md"
PUBLISHED = HERE.parent / "tests" / "published"
PLEXUS = load("brachial")
RULE = deficits.of(PLEXUS)

OTHERS = ("lower_limb",)
"""Files of vignettes of other models than the brachial."""
AT_LEAST = {
    "paralysed": Loss.WHOLE,
    "weak": Loss.SLIGHT,
    "most_affected": Loss.PART,
    "affected": Loss.SLIGHT,
    "skin_lost": Loss.PART,
}
AT_MOST = {"spared": Loss.SLIGHT, "skin_spared": Loss.SLIGHT}
SAME = {"paralysed": Loss.WHOLE, "weak": Loss.PART, "spared": Loss.NONE, "skin_lost": Loss.WHOLE}
REFLEX = {"kept": "normal", "reduced": "reduced", "lost": "absent"}
KINDS = {
    "weak": "weak",
    "normal": "spared",
    "skin_lost": "numb",
    "skin_normal": "feels",
    "signs": "sign",
    "slight": "slight",
}

INTRO = """# Agreement with what is published

Made by `python gallery/agreement.py` from `tests/published`, where every row has its source; a test fails while this
page is stale. Sources are ids of [tests/published/README.md](../tests/published/README.md), which tells what part of
each was seen. Most sources were seen in excerpts. **Seen** counts the claims that an opened source states outright, and
**memory** names what is standard anatomy from memory in the same row: rest nothing on that part alone.

A claim agrees within these bounds: *paralysed* is paralysed; *weak* is at least slightly weak, *most affected* at least
weak; *spared* may lose a minor root (charts of roots differ); skin *lost* is lost or reduced, *spared* is spared.
**Other word** counts the claims that agree within the bounds but not word for word, such as weak in the source and
paralysed here. A disagreement is never tuned away for one row: its cause is the facts of the model, the rule, or
sources that differ among themselves.
"""


@dataclass(frozen=True, slots=True)
class Claim:
    """One thing that a source says of an injury, in its word, and the word computed here."""

    text: str
    agrees: bool
    word: str
    same: bool


@cache
def document(name: str) -> dict[str, Any]:
    """A YAML file of tests/published."""
    found: dict[str, Any] = YAML(typ="safe").load(PUBLISHED / f"{name}.yaml")
    return found


def table(name: str) -> list[dict[str, str]]:
    """A CSV file of tests/published."""
    with (PUBLISHED / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


# --- injuries ---


def claims(case: Mapping[str, Any], plexus: Plexus = PLEXUS) -> list[Claim]:
    """All that a vignette says, each with whether the computed injury agrees."""
    after = injure(plexus, case["cut"], partial=not case.get("complete", True))
    whole = injure(plexus, case["cut"])
    return [*_losses(case, whole), *_reflexes(case, after), *_signs(case, after), *_movements(case, after)]


def side_claims(cut: str, told: Mapping[str, Any]) -> list[Claim]:
    """What a pair says of one of its two places."""
    after = injure(PLEXUS, [cut])
    return [*_losses(told, after), *_signs(told, after)]


def _losses(told: Mapping[str, Any], after: Injury) -> Iterator[Claim]:
    for key in (*AT_LEAST, *AT_MOST):
        for text in told.get(key, ()):
            id = names.find(after.plexus, text).id
            loss = after.rule.loss(id, after.broken)
            right = loss >= AT_LEAST[key] if key in AT_LEAST else loss <= AT_MOST[key]
            word = WORDS["skin" if id in after.plexus.skin else "muscle"][loss]
            yield Claim(f"{key.replace('_', ' ')} {id}", right, word, loss == SAME.get(key, loss))


def _reflexes(case: Mapping[str, Any], after: Injury) -> Iterator[Claim]:
    for id, told in case.get("reflexes", {}).items():
        word = REFLEX[after.reflexes[id].state]
        yield Claim(f"{id.replace('-', ' ')} {' or '.join(told)}", word in told, word, word in told)


def _signs(case: Mapping[str, Any], after: Injury) -> Iterator[Claim]:
    shown = {sign.id for sign in after.signs}
    wanted = dict.fromkeys(case.get("signs", ()), True) | dict.fromkeys(case.get("signs_absent", ()), False)
    if "horner" in case:
        wanted["horner-syndrome"] = case["horner"]
    for id, there in wanted.items():
        right = there == (id in shown)
        word = "shown" if id in shown else "not shown"
        yield Claim(f"{'sign' if there else 'no'} {id}", right, word, right)


def _movements(case: Mapping[str, Any], after: Injury) -> Iterator[Claim]:
    for key, least in (("movements_lost", Loss.WHOLE), ("movements_weak", Loss.SLIGHT)):
        for name in case.get(key, ()):
            movement = after.movements[name]
            word = key.removeprefix("movements_")
            yield Claim(f"movement {word} {name}", movement.loss >= least, movement.state, movement.state == word)


def seen_claims(case: Mapping[str, Any], plexus: Plexus = PLEXUS) -> list[Claim]:
    """The part of a vignette that an opened source states outright."""
    return list(_losses(case.get("seen", {}), injure(plexus, case["cut"])))


def reasons() -> dict[tuple[str, str], str]:
    """(vignette, claim) → why it is left as it is."""
    rows = document("disagreements")["disagreements"]
    return {(row["case"], row["claim"]): f"{row['because']}: {row['why']}" for row in rows}


# --- from findings to places ---


def findings(case: Mapping[str, Any]) -> list[Finding]:
    """The findings of a question."""
    found = [finding(PLEXUS, kind, text) for key, kind in KINDS.items() for text in case.get(key, ())]  # type: ignore[arg-type]
    for id, told in case.get("reflexes", {}).items():
        found.append(finding(PLEXUS, "reflex-kept" if "normal" in told else "reflex-lost", id))
    return [*found, finding(PLEXUS, "no-sign", "Horner syndrome")] if case.get("horner") is False else found


def broken(cuts: Iterable[str]) -> int:
    """Bits of what is broken by sites as a person types them."""
    found = [sites.parse(PLEXUS, text) for text in cuts]
    return RULE.broken([(site.segment, site.at) for site in found])


def consequences(cuts: Iterable[str]) -> object:
    """What tells places apart: equal for places that no finding can tell apart."""
    return places(PLEXUS)._consequences(broken(cuts))


def seen(cuts: Iterable[str]) -> object:
    """What the bedside shows of places: equal for places that are one answer."""
    return places(PLEXUS).seen(broken(cuts))


def answered(case: Mapping[str, Any]) -> tuple[str, bool, list[str]]:
    """Name of the first answer, whether it is a published one, and the near misses that are not beaten."""
    answers = localise(PLEXUS, findings(case)).answers
    right = [consequences(cuts) for cuts in (*case["answers"], *case.get("also_accept", ()))]
    not_beaten = [
        " + ".join(wrong["cut"])
        for wrong in case.get("not_these", ())
        for answer in answers
        if answer.seen == seen(wrong["cut"]) and answer.score >= answers[0].score
    ]
    found = [places(PLEXUS)._consequences(RULE.broken([(s.segment, s.at) for s in cuts])) for cuts in answers[0].alike]
    return answers[0].name, any(what in right for what in found), not_beaten


# --- supply ---


def supply_agrees(row: Mapping[str, str], principal: set[str], minor: set[str], outside: set[str]) -> bool:
    """Whether a source's roots stand to the model's as its row says (same, within, differs, nerve only)."""
    told = {*row["roots"].split(), *row["minor"].split()}
    counted = principal | minor | outside
    if row["relation"] == "same":
        return told in (principal, counted, counted - outside)
    if row["relation"] == "differs":
        return not told <= counted
    return told <= counted


def muscle_roots(id: str) -> tuple[set[str], set[str], set[str]]:
    """Principal, minor and outside roots of a muscle or of a group's members together."""
    muscles = [PLEXUS.muscles[member] for member in RULE.members(id)]
    principal, minor, outside = ({r for m in muscles for r in getattr(m, key)} for key in ("roots", "minor", "outside"))
    return principal, minor - principal, outside


def muscle_row_agrees(row: Mapping[str, str]) -> bool:
    """Whether nerve and roots of a muscle are related as its row says; its nerve is on the fibres' way."""
    routes = [route for id in RULE.members(row["muscle"]) for route in fibres.of(PLEXUS).of(id)]
    nerves = {segment for route in routes for segment in route.path}
    right_nerve = row["relation"] == "differs" or set(row["nerve"].split()) <= nerves
    return right_nerve and supply_agrees(row, *muscle_roots(row["muscle"]))


# --- the page ---


def page() -> str:
    """The whole page as Markdown."""
    parts = [_vignettes(), *(_vignettes(name) for name in OTHERS), _pairs(), _questions(), _supply()]
    head = "| | compared | agree | disagree |\n|---|--:|--:|--:|"
    totals = "\n".join([head, *(total for total, _ in parts)])
    return "\n".join([INTRO, "## Totals\n", totals, "", *(text for _, text in parts)])


def _total(what: str, agree: int, compared: int) -> str:
    return f"| {what} | {compared} | {agree} | {compared - agree} |"


def _vignettes(name: str = "vignettes") -> tuple[str, str]:
    why = reasons()
    plexus = load(document(name).get("model", PLEXUS.id))
    rows, agree, compared = [], 0, 0
    all_seen: list[Claim] = []
    for case in document(name)["vignettes"]:
        found, seen = claims(case, plexus), seen_claims(case, plexus)
        all_seen += seen
        right = [claim for claim in found if claim.agrees]
        agree, compared = agree + len(right), compared + len(found)
        wrong = [f"{c.text}: {c.word} here ({why.get((case['id'], c.text), 'open')})" for c in found if not c.agrees]
        other = sum(not claim.same for claim in right)
        cells = (
            f"{case['id']}: {' + '.join(case['cut'])}{'' if case.get('complete', True) else ' (partial)'}",
            _sources(case),
            f"{sum(c.agrees for c in seen)} of {len(seen)}" if seen else "none",
            case.get("memory", ""),
            f"{len(right)} of {len(found)}",
            str(other or ""),
            "; ".join(wrong),
        )
        rows.append(_row(*cells))
    head = _head("injury", "sources", "seen, agree", "memory", "agree", "other word", "disagree, and why")
    text = f"## Injuries of the {plexus.name} and their consequences\n\n" + "\n".join([head, *rows]) + "\n"
    total = _total(f"claims on injuries of the {plexus.name}", agree, compared)
    if not all_seen:
        return total, text
    seen_total = _total("of them seen in an opened source", sum(c.agrees for c in all_seen), len(all_seen))
    return f"{total}\n{seen_total}", text


def _pairs() -> tuple[str, str]:
    rows, agree, compared = [], 0, 0
    for pair in document("vignettes")["pairs"]:
        both = zip(pair["cut"], (pair["first"], pair["second"]), strict=True)
        found = [claim for cut, told in both for claim in side_claims(cut, told)]
        right = sum(claim.agrees for claim in found)
        agree, compared = agree + right, compared + len(found)
        wrong = "; ".join(f"{c.text}: {c.word} here" for c in found if not c.agrees)
        name = " or ".join(pair["cut"])
        rows.append(_row(name, _sources(pair), pair.get("memory", ""), f"{right} of {len(found)}", wrong))
    head = _head("places", "sources", "memory", "agree", "disagree")
    text = "## Places easily taken for each other\n\n" + "\n".join([head, *rows]) + "\n"
    return _total("claims on such places", agree, compared), text


def _questions() -> tuple[str, str]:
    rows, agree = [], 0
    cases = document("inverse")["questions"]
    for case in cases:
        first, right, not_beaten = answered(case)
        agree += right and not not_beaten
        told = " or ".join(" + ".join(cuts) for cuts in (*case["answers"], *case.get("also_accept", ())))
        wrong = "" if right else "another place comes first"
        wrong += f"not told from {', '.join(not_beaten)}" if not_beaten else ""
        found = "; ".join(f.text for f in findings(case))
        verdict = "agrees" if right and not not_beaten else wrong
        rows.append(_row(case["id"], _sources(case), case.get("memory", ""), found, told, first, verdict))
    head = _head("question", "sources", "memory", "findings", "published answer", "first answer here", "verdict")
    text = "## From findings to the place\n\n" + "\n".join([head, *rows]) + "\n"
    return _total("questions", agree, len(cases)), text


def _supply() -> tuple[str, str]:
    rows, agree = [], 0
    listed = table("muscle_supply")
    for row in listed:
        principal, minor, outside = muscle_roots(row["muscle"])
        ours = " ".join([*sorted(principal), *(f"({root})" for root in sorted(minor)), *sorted(outside)])
        told = " ".join([*row["roots"].split(), *(f"({root})" for root in row["minor"].split())])
        right = row["relation"] != "differs" and muscle_row_agrees(row)
        agree += right
        verdict = {"same": "the same roots", "within": "counted here, other weight", "nerve only": "nerve only"}
        said = verdict[row["relation"]] if right else f"sources differ: {row['note'] or 'see the note of the muscle'}"
        rows.append(_row(row["muscle"], row["nerve"], row["source"], row["seen"], told, ours, said))
    head = _head("muscle", "nerve", "source", "fact", "roots there", "roots here", "verdict")
    covered = {member for row in listed for member in RULE.members(row["muscle"])}
    bare = [muscle.name for muscle in PLEXUS.muscles.values() if muscle.id not in covered]
    none = f"\nNo published row: {', '.join(bare)}.\n" if bare else ""
    text = "## Nerve and roots of each muscle\n\nMinor roots in brackets; those of other nerves last.\n\n"
    return _total("rows on nerve and roots", agree, len(listed)), text + "\n".join([head, *rows]) + "\n" + none


def _sources(row: Mapping[str, Any]) -> str:
    return ", ".join(source["id"] for source in row.get("sources", ())) or "none"


def _head(*columns: str) -> str:
    return f"{_row(*columns)}\n|{'---|' * len(columns)}"


def _row(*cells: str) -> str:
    return "| " + " | ".join(" ".join(cell.split()).replace("|", "/") for cell in cells) + " |"


def main() -> int:
    """Write the page, or with ``--check`` say whether it is stale."""
    made = page()
    if "--check" not in sys.argv[1:]:
        PAGE.write_text(made, encoding="utf-8")
        return 0
    if PAGE.exists() and PAGE.read_text("utf-8") == made:
        return 0
    print("AGREEMENT.md: stale; run python gallery/agreement.py")
    return 1


if __name__ == "__main__":
    sys.exit(main())
