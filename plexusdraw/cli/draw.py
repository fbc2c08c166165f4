"""``plexusdraw draw``: a picture into a file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from plexusdraw import fonts, paint
from plexusdraw.api import PNG_PPI, Figure, figure
from plexusdraw.cli import common, pictures, places
from plexusdraw.cli.fitting import Command, Given, Rule, beside, fitting, meant_once, needs
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.output import STDOUT, write
from plexusdraw.routes import reach
from plexusdraw.views import stages

HELP = f"""Draw the plexus, a structure in it, or an injury, into a file.

The ending of FILE says the format: {paint.endings("picture", notes=True)}.
"""

RULES = (
    Rule("ppi", lambda given: _ending(given) == "png", "it goes with a .png file"),
    beside("limb", "nerve"),
    beside("detail", "nerve", "limb"),
    Rule("layer", lambda given: given["limb"] == "muscles", "it goes with --limb muscles"),
    needs("key", "hide"),
    needs("partial", "injure"),
    beside("upto", "nerve", "limb"),
    beside("show_roots", "limb"),
    Rule(
        "naming",
        lambda given: given["limb"] != "dermatomes" or given["naming"] not in pictures.STYLES,
        "dermatomes are called by their roots, in any style",
    ),
    Rule(
        "by",
        lambda given: _ending(given) != "dot" or given["by"] == "root",
        "a .dot file has the colours of the roots",
    ),
    Rule("by", lambda given: given["limb"] or given["by"] != "state", "--by state goes with --limb"),
    Rule(
        "by",
        lambda given: not given["limb"] or given["by"] != "plane",
        "of the limb, colour stands for the nerve, the root or the state",
    ),
)
"""When an option matters; what depends on the model stands in ``_check_picture``."""


@click.command("draw", cls=Command, help=HELP)
@click.argument("words", nargs=-1, metavar="[MODEL]")
@common.model_option
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="FILE",
    callback=places.place,
    help='Where to; "-" for standard output.',
)
@click.option(
    "--format",
    "format_",
    type=click.Choice(paint.names("picture")),
    help="Needed with -o -; else the file's ending says it.",
)
@click.option(
    "--detail",
    type=click.Choice(DETAILS),
    default="nerves",
    show_default=True,
    help="Columns alone; with side branches and what they supply; with the supply table.",
)
@click.option(
    "--nerve",
    default="",
    metavar="NERVE",
    help='Draw its course instead: branches and places in order. "injured": the nerve on which every cut lies.',
)
@click.option(
    "--limb",
    type=click.Choice(["skin", "muscles", "dermatomes"]),
    help="Draw the limb instead, front and back, with its skin areas, muscles or dermatomes.",
)
@click.option(
    "--layer",
    type=click.Choice(["both", "superficial", "deep"]),
    default="both",
    show_default=True,
    help="With --limb muscles: which of them.",
)
@click.option(
    "--highlight", multiple=True, metavar="NAME", help="Keep the colour of its fibres from end to end, dim the rest."
)
@click.option(
    "--hide",
    multiple=True,
    metavar="KINDS",
    help="Numbered blanks for: labels (all), or roots,trunks,...,nerves,side branches,muscles,places.",
)
@click.option("--key", is_flag=True, help='With --hide: the answers on a second page, or in "NAME-key".')
@click.option("--injure", multiple=True, metavar="SITE", help='Cut there: "upper trunk", "C6:partial".')
@click.option(
    "--partial", is_flag=True, help='With --injure: each cut spares some fibres; ":partial" after a site: that one.'
)
@click.option(
    "--upto", default="", metavar="STAGE", help="Show stages up to this one; the rest keeps its place, unseen."
)
@click.option(
    "--part", default="", metavar="PART", help='Draw the nerves of one part and what feeds them: "lumbar plexus".'
)
@click.option(
    "--by",
    type=click.Choice(["root", "plane", "nerve", "state"]),
    help="What colour stands for: the root, anterior and posterior divisions (plane), the nerve, or, of the limb, "
    "the state. By default the root; of the limb the nerve, or the state after an injury.",
)
@pictures.side_option
@click.option(
    "--paper",
    default="a4",
    show_default=True,
    metavar="PAPER",
    help='a5 to a0, letter, legal, tabloid, 16:9, 4:3, square, poster, 250x180 (mm), fit; add "portrait" to turn it.',
)
@click.option(
    "--text-size",
    type=click.FloatRange(1, 4),
    default=1.0,
    show_default=True,
    help="Of all text, as a multiple of the usual: 1.5 on a poster that is read from far.",
)
@click.option("--theme", default="print", show_default=True, metavar="THEME", help="A theme's name or file.")
@click.option("--title", default="", help="Instead of the title that the picture would have.")
@pictures.names_option
@pictures.font_option
@click.option("--show-roots", is_flag=True, help="Add the roots to the names of nerves: radial n. (C5–T1).")
@click.option(
    "--ppi", type=click.FloatRange(36, 1200), default=PNG_PPI, show_default=True, help="Dots per inch of a PNG."
)
@fitting(*RULES)
def command(
    words: Sequence[str],
    output: str,
    format_: str | None,
    ppi: float,
    key: bool,
    **choices: object,
) -> None:
    """Draw into a file: the command that ``HELP`` describes."""
    if output == STDOUT and format_ is None:
        raise click.UsageError(f"-o - needs --format ({', '.join(paint.names('picture'))})")
    if format_ is not None and Path(output).suffix:
        places.ends(output, [f".{format_}"], f"a picture of --format {format_}")
    made = _figure(words, key=key, **choices)
    _check_picture(made)
    _check_title(made, str(choices["title"]))
    meant_once("--injure", _texts(choices["injure"]), lambda text: common.cut_by(made.plexus, text))
    meant_once("--highlight", _texts(choices["highlight"]), lambda text: reach.find(made.plexus, text).id)
    if output == STDOUT:
        write(STDOUT, made.render(format_ or "svg", ppi))
        return
    for file in made.save(output, format_, ppi):
        click.echo(f"wrote {file}", err=True)


def _figure(words: Sequence[str], **choices: object) -> Figure:
    plexus, words_left = common.pick_model(words, _text(choices.pop("model")))
    rest = list(words_left)
    pictures.no_more(rest)
    choices["limb"], choices["by"] = choices["limb"] or "", choices["by"] or ""
    naming, labels = pictures.naming(plexus, str(choices.pop("naming")))
    hide = [kind for text in _texts(choices.pop("hide")) for kind in text.split(",") if kind.strip()]
    return figure(
        plexus,
        hide=hide,
        naming=naming,
        labels=labels,
        with_roots=bool(choices.pop("show_roots")),
        **choices,  # type: ignore[arg-type]
    )


def _check_picture(made: Figure) -> None:
    """Refuse what this picture cannot show: an injury in what is not built up yet, blanks of what it does not name."""
    request = made.request
    if request.injury is not None and request.upto:
        shown = stages.reached(made.plexus, request.upto)
        for site in request.injury.sites:
            if site.segment not in shown:
                last = stages.stage_of(made.plexus, site.segment)
                raise click.UsageError(f"--upto {request.upto} does not show {site.name}: say --upto {last} or later.")
    for i, kind in enumerate(request.hide):
        if not made.blanks(kind):
            raise click.UsageError(f'--hide "{kind}" has nothing to hide here: this picture shows no such name.')
        others = request.hide[:i] + request.hide[i + 1 :]
        if others and made.blanks(*others) == made.blanks(*request.hide):
            raise click.UsageError(
                f'--hide "{kind}" is hidden already by "{", ".join(others)}": leave one of them out.'
            )


def _check_title(made: Figure, title: str) -> None:
    """Refuse a title of one's own for which its line has no room in the smallest type."""
    from plexusdraw.look import lines  # noqa: PLC0415
    from plexusdraw.scene import Note  # noqa: PLC0415

    for part in (part for page in made.pages() for part in page.scene.parts) if title else ():
        if isinstance(part, Note) and part.role == "title":
            set_in = lines.within(replace(part.text, string=title), part.room)
            if set_in.string != title or fonts.width(title, set_in.size, set_in.bold) > part.room + _SLACK:
                raise click.UsageError(f"--title is wider than its line of {part.room:.0f} mm: say it in fewer words.")


_SLACK = 0.1
"""mm"""


def _ending(given: Given) -> str:
    """The format that is asked for, as far as file and option say."""
    return str(given["format_"] or Path(given["output"]).suffix.lstrip(".").lower())


def _texts(value: object) -> list[str]:
    return [str(v) for v in value] if isinstance(value, list | tuple) else []


def _text(value: object) -> str | None:
    return None if value is None else str(value)
