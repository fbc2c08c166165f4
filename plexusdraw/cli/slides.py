"""``plexusdraw slides``: a lecture that builds the plexus step by step."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from plexusdraw import paint
from plexusdraw.cli import common, defaults, pictures
from plexusdraw.errors import OutputError
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.output import STDOUT, write, write_all

if TYPE_CHECKING:
    from plexusdraw.model import Plexus
    from plexusdraw.sheets.slides.lecture import Lecture

PNG_PPI = 150.0
"""Pixels per inch of a slide: about full HD."""
HANDOUT = paint.FORMATS["pdf"].ending
HELP = f"""Make a lecture that builds the plexus up step by step; nothing moves from slide to slide.

The ending of FILE says the format: {paint.endings("slides", notes=True)}; without one, FILE is a folder
that takes a picture of each slide.
"""


@click.command("slides", help=HELP)
@click.argument("words", nargs=-1, metavar="[MODEL]")
@common.model_option
@click.option("-o", "--output", metavar="FILE", help=f"A {paint.endings('slides')} file, or a folder for pictures.")
@click.option("--outline", metavar="FILE", help="Your own steps (YAML); --outline-template writes one to edit.")
@click.option(
    "--outline-template", is_flag=True, help="Write the outline, with all its steps, to FILE or standard output."
)
@click.option(
    "--detail",
    type=click.Choice(DETAILS),
    default="muscles",
    show_default=True,
    help="Columns alone; with side branches and what they supply; with the supply table on slides of its own.",
)
@click.option("--theme", metavar="THEME", help="A theme's name or file. [default: lecture; of a handout: print]")
@click.option(
    "--paper", type=click.Choice(["16:9", "4:3"]), default="16:9", show_default=True, help="Shape of a slide."
)
@pictures.side_option
@pictures.names_option
@click.option(
    "--handout", type=click.Choice(["2", "3", "6"]), help=f"With {HANDOUT}: slides on a page, with lines for notes."
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
def command(
    context: click.Context,
    /,
    words: Sequence[str],
    output: str | None,
    outline_template: bool,
    model: str | None,
    **given: Any,  # noqa: ANN401
) -> None:
    """Make the lecture: the command that ``HELP`` describes."""
    plexus, rest = common.pick_model(words, model)
    pictures.no_more(rest)
    choices = defaults.filled(context, plexus, given)
    ending = Path(output).suffix.lower() if output else ""
    if output is None and not outline_template:
        raise click.UsageError(f"say where to with -o: a {paint.endings('slides')} file, or a folder.")
    if choices["handout"] and ending != HANDOUT:
        raise click.UsageError(f"a handout is a {HANDOUT} file.")
    lecture = _lecture(plexus, **choices)
    if outline_template:
        from plexusdraw.sheets.slides.lecture import template  # noqa: PLC0415

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
    return render(lecture, format, handout=int(choices["handout"] or 0), handout_paper=sheet)


def _folder(lecture: Lecture, folder: Path, format: str, ppi: float) -> None:
    """A picture of each slide; the folder is made where there is none."""
    from plexusdraw.sheets.slides.lecture import pictures  # noqa: PLC0415

    if folder.suffix:
        raise click.UsageError(f'"{folder.suffix}" is no format for slides: {paint.endings("slides")}, or a folder.')
    made = list(pictures(lecture, format, ppi))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be made: {error.strerror or error}.") from error
    write_all((folder / name, data) for name, data in made)
    click.echo(f"wrote {len(made)} files in {folder}", err=True)


def _lecture(plexus: Plexus, **choices: Any) -> Lecture:  # noqa: ANN401
    from plexusdraw.layout.fit import Options  # noqa: PLC0415
    from plexusdraw.layout.labels import Wording  # noqa: PLC0415
    from plexusdraw.layout.paper import paper  # noqa: PLC0415
    from plexusdraw.look.theme import load  # noqa: PLC0415
    from plexusdraw.sheets.slides.lecture import Lecture as Made  # noqa: PLC0415

    style, own = pictures.naming(plexus, choices["naming"])
    theme = load(choices["theme"] or ("print" if choices["handout"] else "lecture"))
    options = Options(
        choices["detail"],
        paper(choices["paper"]),
        choices["side"],
        Wording(style, tuple(own.items())),
        remark=False,
    )
    return Made(plexus, options, theme, choices["outline"])
