"""The choices of ``plexusdraw worksheet``: which options fit the kinds that are asked for, and the set that they say.

What can matter for a kind stands in the registry."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

import click

from plexusdraw.cli import defaults, pictures
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model import Plexus
from plexusdraw.sheets.worksheet import codes, sections, stamp
from plexusdraw.sheets.worksheet.registry import CHOICES, REGISTRY, SETS
from plexusdraw.sheets.worksheet.spec import Choosing, Spec

Choice = Any
"""What an option holds."""
OF_CODE = (
    *("kind", "ask", "count", "only", "sources", "prompt", "level", "word_bank"),
    *("forms", "seed", "detail", "writing", "side", "paper"),
)
"""Options that a code says."""
USUAL = ("label",)
"""The kinds of a form where nobody says which."""
OF_KIND = ("ask", "only", "sources", "prompt")
"""Options whose values are those of one kind."""


def filled(context: click.Context, plexus: Plexus, given: Mapping[str, Choice]) -> dict[str, Choice]:
    """The options, what was not typed as the course has it; what it asks of its own kinds is not asked of others."""
    choices, typed = defaults.filled(context, plexus, given), defaults.typed(context)
    of_course = defaults.read(context.command, plexus).get("kind", USUAL)
    if {*choices["kind"]} == {*of_course}:
        return choices
    return choices | {name: given[name] for name in OF_KIND if name not in typed}


def option(name: str) -> str:
    """How the option of a choice is written."""
    return {"naming": "--names", "sources": "--from"}.get(name, f"--{name.replace('_', '-')}")


def check(typed: Collection[str], kinds: Sequence[str], forms: int) -> None:
    """Refuse options that cannot matter: *typed* are the names of those that were given.

    Raises:
        click.UsageError: one of them has nothing to do in any of the *kinds*, or beside another.
    """
    _check_kinds(kinds)
    for name in (*CHOICES, *SETS):
        fits = [kind.name for kind in REGISTRY.values() if name in kind.takes]
        if name in typed and not {*fits} & {*kinds}:
            raise click.UsageError(
                f"{option(name)} has nothing to do in --kind {' or '.join(kinds)}; it goes with {', '.join(fits)}"
            )
    for one, other in (("all", "same"), ("all", "count")):
        if {one, other} <= {*typed}:
            raise click.UsageError(f"{option(one)} and {option(other)} contradict each other: give one of them")
    if "only" in typed and all(REGISTRY[kind].one_of for kind in kinds):
        for name in ("ask", "count", *SETS):
            if name in typed:
                raise click.UsageError(f"--only leaves one thing to ask: leave {option(name)} out")
    for name in SETS:
        if name in typed and forms == 1:
            raise click.UsageError(f"{option(name)} says what the forms of a set ask: give --forms 2 or more")


def _check_kinds(kinds: Sequence[str]) -> None:
    twice = next((kind for kind in kinds if kinds.count(kind) > 1), "")
    if twice:
        raise click.UsageError(f"--kind {twice} is given twice")
    alone = [kind for kind in kinds if not REGISTRY[kind].joins]
    if alone and len(kinds) > 1:
        raise click.UsageError(f"--kind {alone[0]} is no section of a form: make it with a command of its own")
    if len(kinds) > stamp.MOST_KINDS:
        raise click.UsageError(f"a form has at most {stamp.MOST_KINDS} sections: give fewer --kind")


def check_words(plexus: Plexus, spec: Spec) -> None:
    """Refuse a word after --ask that no section of a form with several knows, and boxes for muscles.

    Raises:
        click.UsageError: there is one.
    """
    muscles = spec.detail == "muscles" or any(word.strip().lower().rstrip("s") == "muscle" for word in spec.ask)
    if spec.writing == "boxes" and "label" in spec.kinds and muscles:
        raise click.UsageError("muscles are named on lines: leave --writing boxes out, or ask about no muscles")
    taking = [kind for kind in spec.kinds if "ask" in REGISTRY[kind].takes]
    for word in spec.ask if len(spec.kinds) > 1 else ():
        if not any(sections.knows(plexus, kind, word) for kind in taking):
            raise click.UsageError(f'none of --kind {", ".join(taking)} can ask about "{word}"')


def spec_of(plexus: Plexus, choices: Mapping[str, Choice]) -> Spec:
    """The choices as a specification."""
    kind, *more = choices["kind"]
    style, own = pictures.naming(plexus, choices["naming"])
    choosing: Choosing = "all" if choices["all"] else "same" if choices["same"] else "anew"
    return Spec(
        kind=kind,
        more=tuple(more),
        ask=tuple(word for word in choices["ask"].split(",") if word.strip()),
        count=choices["count"] or 0,
        only=choices["only"],
        level=choices["level"],
        word_bank=choices["word_bank"],
        forms=choices["forms"],
        seed=choices["seed"],
        title=choices["title"],
        instructions=choices["instructions"],
        course=course_of(plexus),
        detail=choices["detail"],
        page=paper(choices["paper"]),
        side=choices["side"],
        duplex=choices["duplex"],
        writing=choices["writing"],
        choosing=choosing,
        wording=Wording(style, tuple(own.items())),
        sources=tuple(word for word in choices["sources"].split(",") if word.strip()),
        prompt=choices["prompt"],
    )


def course_of(plexus: Plexus) -> str:
    """The name of the course by which a plexus is taught; empty if it is none."""
    return plexus.taught.name if plexus.taught else ""


def of_code(plexus: Plexus, choices: Mapping[str, Choice], typed: Collection[str]) -> stamp.Told:
    """The set and the number that --form tells; title, looks and own labels as given.

    Raises:
        click.UsageError: an option says what the code says. SheetError: it is no code of this model.
    """
    code = choices["form"]
    said = next((name for name in (*OF_CODE, *SETS) if name in typed), "")
    if said:
        raise click.UsageError(f"--form {code} says {option(said)} itself: leave that out")
    _, own = pictures.naming(plexus, choices["naming"])
    told = stamp.read(plexus, codes.plain(code), Wording(own=tuple(own.items())))
    if "naming" in typed and not told.own_labels:
        raise click.UsageError(f"--form {code} was made without labels of its own: leave --names out")
    return told
