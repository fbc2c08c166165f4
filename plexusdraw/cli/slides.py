"""``plexusdraw slides``: a lecture that builds the plexus step by step."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from plexusdraw import paint
from plexusdraw.cli import common, defaults, pictures, places
from plexusdraw.cli.fitting import Command, Given, Rule, beside, fitting, needs
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.output import STDOUT, write
from plexusdraw.yamlfile.document import ENDINGS

if TYPE_CHECKING:
    from plexusdraw.model import Plexus
    from plexusdraw.sheets.slides.lecture import Lecture

PNG_PPI = 150.0
"""Pixels per inch of a slide: about full HD."""
HANDOUT = paint.FORMATS["pdf"].ending
SUMMARY = "summary"
DECK = paint.FORMATS["pptx"].ending
HELP = f"""Make a lecture that builds the plexus up step by step; nothing moves from slide to slide.

The ending of FILE says the format: {paint.endings("slides", notes=True)}; without one, FILE is a folder
that takes a picture of each slide.
"""


def _in_folder(given: Given) -> bool:
    """Whether pictures of slides are made."""
    return bool(given["output"]) and given["output"] != STDOUT and not Path(given["output"]).suffix


def _has_tables(given: Given) -> bool:
    """Whether the lecture may show the supply table."""
    return bool(given["long"] or given["outline"])


def _of_slides(given: Given) -> bool:
    """Whether slides are made, and not a study sheet of them."""
    return bool(given["handout"] != SUMMARY)


def _is_deck(given: Given) -> bool:
    """Whether slides are made on which things can appear."""
    return bool(given["output"]) and Path(given["output"]).suffix.lower() == DECK


RULES = (
    *(beside(name, "outline_template") for name in ("theme", "side", "naming", "handout", "handout_paper")),
    beside("long", "outline"),
    Rule(
        "detail", lambda given: given["detail"] != "muscles" or _has_tables(given), "tables go with --long or --outline"
    ),
    *(
        Rule(name, _of_slides, "a study sheet has no slides")
        for name in ("long", "subtitle", "occasion", "paper", "detail")
    ),
    *(beside(name, "outline_template") for name in ("format_", "ppi")),
    beside("animate", "outline_template"),
    Rule("animate", _is_deck, f"it goes with -o FILE{DECK}"),
    needs("force", "outline_template"),
    Rule("force", lambda given: given["output"] not in (None, STDOUT), "it goes with -o FILE"),
    needs("handout_paper", "handout"),
    Rule("format_", _in_folder, "it goes with -o FOLDER"),
    Rule("ppi", lambda given: _in_folder(given) and given["format_"] == "png", "it goes with -o FOLDER --format png"),
)
"""When an option matters."""


@click.command("slides", cls=Command, help=HELP)
@click.argument("words", nargs=-1, metavar="[MODEL]")
@common.model_option
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    callback=places.place,
    help=f"A {paint.endings('slides')} file, or a folder for pictures.",
)
@click.option("--outline", metavar="FILE", help="Your own steps (YAML); --outline-template writes one to edit.")
@click.option(
    "--outline-template", is_flag=True, help="Write the outline, with all its steps, to FILE or standard output."
)
@click.option("--force", is_flag=True, help="With --outline-template: write over a file that is there.")
@click.option(
    "--long", is_flag=True, help="All roots, nerves and injuries, with tables, instead of a lecture of 30 slides."
)
@click.option(
    "--animate", is_flag=True, help=f"With {DECK}: a build-up is one slide, on which each part appears on a click."
)
@click.option("--title", metavar="TEXT", default="", help="On the first slide, instead of the outline's.")
@click.option("--subtitle", metavar="TEXT", default="", help="Under the title.")
@click.option("--occasion", metavar="TEXT", default="", help="Under the title: a date, a course, a place.")
@click.option(
    "--detail",
    type=click.Choice(DETAILS),
    default="nerves",
    show_default="nerves; with --long or --outline muscles",
    help="Columns alone; with side branches; with the supply table on slides of its own.",
)
@click.option("--theme", metavar="THEME", help="A theme's name or file. [default: lecture; of a handout: print]")
@click.option(
    "--paper", type=click.Choice(["16:9", "4:3"]), default="16:9", show_default=True, help="Shape of a slide."
)
@pictures.side_option
@pictures.names_option
@pictures.font_option
@click.option(
    "--handout",
    type=click.Choice(["2", "3", "6", SUMMARY]),
    help=f"With {HANDOUT}: slides on a page, with lines for notes; summary: a study sheet of one page.",
)
@click.option("--handout-paper", default="a4", show_default=True, metavar="PAPER", help="Paper of the handout.")
@click.option(
    "--format",
    "format_",
    type=click.Choice(paint.names("picture of a slide")),
    default=paint.names("picture of a slide")[0],
    show_default=True,
    help="Of a folder.",
)
@click.option(
    "--ppi", type=click.FloatRange(36, 600), default=PNG_PPI, show_default=True, help="Dots per inch of a PNG."
)
@click.pass_context
@fitting(*RULES)
def command(
    context: click.Context,
    /,
    words: Sequence[str],
    output: str | None,
    outline_template: bool,
    force: bool,
    model: str | None,
    **given: Any,  # noqa: ANN401
) -> None:
    """Make the lecture: the command that ``HELP`` describes."""
    plexus, rest = common.pick_model(words, model)
    pictures.no_more(rest)
    choices = defaults.filled(context, plexus, given)
    if _has_tables(choices) and "detail" not in {*defaults.typed(context), *defaults.read(context.command, plexus)}:
        choices["detail"] = "muscles"
    ending = Path(output).suffix.lower() if output else ""
    if output is None and not outline_template:
        raise click.UsageError(f"say where to with -o: a {paint.endings('slides')} file, or a folder.")
    if choices["handout"] and not outline_template and ending != HANDOUT:
        raise click.UsageError(f"a handout is a {HANDOUT} file.")
    if outline_template and output is not None:
        places.ends(output, ENDINGS, "an outline")
        places.not_over(output, force)
    elif output == STDOUT:
        raise click.UsageError(f"a lecture is a {paint.endings('slides')} file, or a folder: give its name.")
    lecture = _lecture(plexus, **{**choices, "animate": choices["animate"] and ending == DECK})
    if outline_template:
        from plexusdraw.sheets.slides.template import template  # noqa: PLC0415

        write(output or STDOUT, template(lecture).encode())
    elif output is not None and ending[1:] in paint.names("slides"):
        write(output, _file(lecture, ending[1:], choices))
    elif output is not None:
        _folder(lecture, Path(output), choices["format_"], choices["ppi"])
        return
    if output not in (None, STDOUT):
        click.echo(f"wrote {output}", err=True)


def _file(lecture: Lecture, format: str, choices: dict[str, Any]) -> bytes:
    from plexusdraw.layout.paper import paper  # noqa: PLC0415
    from plexusdraw.sheets.slides.lecture import render  # noqa: PLC0415

    sheet = paper(choices["handout_paper"], "portrait")
    if choices["handout"] == SUMMARY:
        from plexusdraw.sheets.slides import summary  # noqa: PLC0415

        return summary.sheet(lecture, sheet)
    return render(lecture, format, handout=int(choices["handout"] or 0), handout_paper=sheet)


def _folder(lecture: Lecture, folder: Path, format: str, ppi: float) -> None:
    """A picture of each slide; the folder is made where there is none."""
    from plexusdraw.sheets.slides.folder import save  # noqa: PLC0415
    from plexusdraw.sheets.slides.lecture import pictures  # noqa: PLC0415

    if folder.suffix:
        raise click.UsageError(f'"{folder.suffix}" is no format for slides: {paint.endings("slides")}, or a folder.')
    written, removed, left = save(folder, pictures(lecture, format, ppi))
    click.echo(f"wrote {len(written)} files in {folder}", err=True)
    if removed:
        click.echo(f"removed {len(removed)} pictures of an earlier lecture", err=True)
    if left:
        names = ", ".join(path.name for path in left[:_NAMED])
        more = f" and {len(left) - _NAMED} more" if len(left) > _NAMED else ""
        click.echo(f"left in {folder}, as not of this lecture: {names}{more}", err=True)


_NAMED = 5
"""As many files that are left are named."""


def _lecture(plexus: Plexus, **choices: Any) -> Lecture:  # noqa: ANN401
    from plexusdraw.layout.fit import Options  # noqa: PLC0415
    from plexusdraw.layout.labels import Wording  # noqa: PLC0415
    from plexusdraw.layout.paper import paper  # noqa: PLC0415
    from plexusdraw.look.theme import load  # noqa: PLC0415
    from plexusdraw.sheets.slides.lecture import Lecture as Made  # noqa: PLC0415
    from plexusdraw.sheets.slides.lecture import Opening  # noqa: PLC0415

    style, own = pictures.naming(plexus, choices["naming"])
    theme = load(choices["theme"] or ("print" if choices["handout"] else "lecture"))
    options = Options(
        choices["detail"],
        paper(choices["paper"]),
        choices["side"],
        Wording(style, tuple(own.items())),
        remark=False,
    )
    opening = Opening(choices["title"], choices["subtitle"], choices["occasion"])
    return Made(plexus, options, theme, choices["outline"], choices["long"], opening, animate=choices["animate"])
