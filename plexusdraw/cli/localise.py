"""``plexusdraw localise``: which sites explain the findings."""

from __future__ import annotations

from typing import Literal

import click

from plexusdraw.cli import allowances, pictures, places
from plexusdraw.cli.common import (
    echo_json,
    json_option,
    model_option,
    pick_model,
    show,
    show_caution,
    show_table,
    show_variants,
    split_model,
)
from plexusdraw.cli.fitting import Command, beside, fitting, needs
from plexusdraw.cli.wording import listed
from plexusdraw.clinic import report
from plexusdraw.clinic.findings import KINDS, NORMAL, Finding, finding, graded
from plexusdraw.clinic.localise import Answer, Result, localise
from plexusdraw.model import Plexus

_NAMED = 8
"""As many places that are not told apart are named in the text; JSON has more."""

_OPTIONS = (
    ("weak", "X", "Muscle, group or movement that is weak."),
    ("paralysed", "X", "Muscle, group or movement without any power."),
    ("spared", "X", "Muscle, group or movement of normal power."),
    ("numb", "AREA", "Skin area or dermatome without feeling."),
    ("feels", "AREA", "Skin area or dermatome with normal feeling."),
    ("sign", "SIGN", "Sign that shows."),
    ("no-sign", "SIGN", "Sign that does not show."),
    ("reflex-lost", "REFLEX", "Reflex that is lost or reduced."),
    ("reflex-kept", "REFLEX", "Reflex that is normal."),
)


def _finding_options(command: click.Command) -> click.Command:
    for name, metavar, text in _OPTIONS:
        command.params.append(
            click.Option([f"--{name}", name.replace("-", "_")], multiple=True, metavar=metavar, help=text)
        )
    return command


@click.command("localise", cls=Command, short_help="Which sites explain the findings.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@model_option
@json_option
@click.option("--top", default=5, show_default=True, metavar="N", type=click.IntRange(1, 200), help="Answers.")
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    callback=places.place,
    help="The leading places, the limb and the next tests on one page.",
)
@pictures.side_option
@pictures.font_option
@click.option("--theme", default="print", show_default=True, metavar="THEME", help="With -o: a theme's name or file.")
@click.option("--allow-variants", is_flag=True, help="Say which variant would explain what speaks against a site.")
@click.option("--grade", multiple=True, metavar="X=N", help='Strength from 0 to 5: "biceps=3".')
@fitting(
    *(needs(name, "output") for name in ("side", "theme", "font")),
    *(beside(name, "output") for name in ("as_json", "allow_variants", "top")),
)
def command(
    words: tuple[str, ...],
    *,
    model: str | None,
    as_json: bool,
    top: int,
    output: str | None,
    side: Literal["left", "right"],
    theme: str,
    allow_variants: bool,
    grade: tuple[str, ...],
    **found: tuple[str, ...],
) -> None:
    """Rank the sites, and pairs of sites, that explain the findings of an examination.

    Each option may be given several times. Strength from 1 to 4 may be a partial injury. Findings that cannot both be
    true are refused.

    The score is the share of the abnormal findings that a site explains: 1 is all of them. A normal finding where the
    site predicts weakness or numbness takes from it; so does a second site, more than one finding is worth (less for
    neighbouring roots, trunks or cords), and a place where injuries are unusual. A sign counts for more, the fewer
    places show it. It ranks the answers; it is no probability.

    Sites that no bedside test tells apart are one answer. What to examine next is a test at the bedside that splits
    the leading answers; after which of them it is normal, and after which not, stands beside it.
    """
    plexus, rest = pick_model(words, model)
    if rest:
        raise click.UsageError(f'"{rest[0]}" is not a model; give findings as options, such as --weak deltoid.')
    findings = _findings(plexus, found, grade)
    if not findings:
        raise click.UsageError("give at least one finding, such as --weak deltoid.")
    result = localise(plexus, findings, top)
    if output is not None:
        from plexusdraw.sheets.case import localised, save  # noqa: PLC0415

        for file in save(localised.pages(result, side), output, theme):
            click.echo(f"wrote {file}", err=True)
        return
    allowed = allowances.found(result, split_model(words, model)[0]) if allow_variants else ()
    if as_json:
        echo_json(report.localise(result) | ({"variants": allowances.as_json(allowed)} if allow_variants else {}))
        return
    show_variants(plexus)
    _print(result)
    if allow_variants:
        allowances.show_allowances(allowed)
    show_caution(plexus)


_finding_options(command)


def _findings(plexus: Plexus, found: dict[str, tuple[str, ...]], grades: tuple[str, ...]) -> list[Finding]:
    given = [finding(plexus, kind, text) for kind in KINDS for text in found.get(kind.replace("-", "_"), ())]
    every = [*given, *(graded(plexus, text) for text in grades)]
    for i, one in enumerate(every):
        if any((one.kind, one.about, one.movement) == (f.kind, f.about, f.movement) for f in every[:i]):
            raise click.UsageError(f'"{one.text}" is given twice: leave one of them out.')
    return every


def _print(result: Result) -> None:
    if all(finding.kind in NORMAL for finding in result.findings):
        show("No abnormal finding: nothing to explain.")
    elif result.answers:
        show("Sites, best first", style="bold")
    for number, answer in enumerate(result.answers, 1):
        _print_answer(number, answer)
    if result.unexplained:
        told = "; ".join(_with_nerve(result.plexus, finding) for finding in result.unexplained)
        show(f"No single site of the {result.plexus.name} explains: {told}.")
    show("")
    tests = (
        [test.name, test.kind, listed(test.normal, 2), listed(test.changed, 2), test.word] for test in result.next_tests
    )
    columns = ("Test", "Kind", "Normal after", "Not normal after", "")
    show_table("What to examine next, to tell the leading ones apart", columns, tests)


def _print_answer(number: int, answer: Answer) -> None:
    marks = [
        f"score {answer.score:.2f}",
        f"{answer.plausible.word} place",
        *(["partial injury"] if answer.partial else []),
    ]
    show(f"{number}. {answer.name}  ({', '.join(marks)})")
    for word, texts in (
        ("not told apart at the bedside", answer.places[1:]),
        ("explained", answer.explained),
        ("unexplained", answer.unexplained),
        ("contradicted by", answer.contradicted),
    ):
        if texts:
            show(f"{word}: {listed(texts, _NAMED, '; ')}", indent=3)


def _with_nerve(plexus: Plexus, finding: Finding) -> str:
    """A finding, with the nerve if it is none of this plexus."""
    outside = plexus.outside.get(finding.about)
    return f"{finding.text} ({outside.nerve})" if outside else finding.text
