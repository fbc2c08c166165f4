"""``plexusdraw localise``: which sites explain the findings."""

from __future__ import annotations

import click

from plexusdraw.cli.common import (
    echo_json,
    json_option,
    model_option,
    pick_model,
    show,
    show_caution,
    show_table,
    show_variants,
)
from plexusdraw.clinic import report
from plexusdraw.clinic.findings import KINDS, Finding, finding, graded
from plexusdraw.clinic.localise import Result, localise
from plexusdraw.model import Plexus

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


@click.command("localise", short_help="Which sites explain the findings.")
@click.argument("words", nargs=-1, metavar="[MODEL]")
@model_option
@json_option
@click.option("--top", default=5, show_default=True, metavar="N", type=click.IntRange(1, 200), help="Answers.")
@click.option("--grade", multiple=True, metavar="X=N", help='Strength from 0 to 5: "biceps=3".')
def command(
    words: tuple[str, ...],
    model: str | None,
    as_json: bool,
    top: int,
    grade: tuple[str, ...],
    **found: tuple[str, ...],
) -> None:
    """Rank the sites, then the pairs of sites, that explain the findings of an examination.

    Each option may be given several times. Answers come best first, with what each leaves unexplained or is
    contradicted by, and the muscle, skin area or reflex that would best tell the leading ones apart.
    """
    plexus, rest = pick_model(words, model)
    if rest:
        raise click.UsageError(f'"{rest[0]}" is not a model; give findings as options, such as --weak deltoid.')
    findings = _findings(plexus, found, grade)
    if not findings:
        raise click.UsageError("give at least one finding, such as --weak deltoid.")
    result = localise(plexus, findings, top)
    if as_json:
        echo_json(report.localise(result))
        return
    show_variants(plexus)
    _print(result)
    show_caution(plexus)


_finding_options(command)


def _findings(plexus: Plexus, found: dict[str, tuple[str, ...]], grades: tuple[str, ...]) -> list[Finding]:
    given = [finding(plexus, kind, text) for kind in KINDS for text in found.get(kind.replace("-", "_"), ())]
    return [*given, *(graded(plexus, text) for text in grades)]


def _print(result: Result) -> None:
    if not result.answers:
        show("No abnormal finding: nothing to explain.")
    else:
        show("Sites, best first", style="bold")
    for number, answer in enumerate(result.answers, 1):
        show(f"{number}. {answer.name}  (score {answer.score:.2f})")
        for word, texts in (
            ("explained", answer.explained),
            ("unexplained", answer.unexplained),
            ("contradicted by", answer.contradicted),
        ):
            if texts:
                show(f"{word}: {'; '.join(texts)}", indent=3)
    show("")
    tests = ([test.name, test.kind, f"{test.tells:.2f} bits"] for test in result.next_tests)
    show_table("What to examine next, to tell the leading ones apart", ("Test", "Kind", "Tells"), tests)
