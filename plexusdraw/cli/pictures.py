"""What the commands that make pictures share: the limb, the style of names, no stray arguments."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

import click

from plexusdraw.model import Plexus
from plexusdraw.names import Style, own_labels
from plexusdraw.yamlfile.document import is_yaml

STYLES: tuple[Style, ...] = ("short", "english", "latin")

F = TypeVar("F", bound=Callable[..., Any])


def side_option(command: F) -> F:
    """Adds --side."""
    sides = click.Choice(["left", "right"])
    return click.option("--side", type=sides, default="left", show_default=True, help="Which limb.")(command)


def font_option(command: F) -> F:
    """Adds --font; ``check_font`` refuses it where nothing is borrowed."""
    return click.option(
        "--font",
        metavar="FILE",
        expose_value=False,
        callback=_prefer,
        help="A font for characters that the typeface lacks; else those of this computer are tried.",
    )(command)


def _prefer(context: click.Context, _option: click.Parameter, value: str | None) -> None:
    if value is None or context.resilient_parsing:
        return
    from plexusdraw import fonts, inputs  # noqa: PLC0415

    inputs.read(value)
    fonts.prefer(value)
    context.find_root().call_on_close(lambda: fonts.prefer(None))


def check_font(plexuses: Sequence[Plexus], typed: Mapping[str, object]) -> None:
    """Refuse --font where the typeface has all names of the models, and what is *typed* to be shown.

    Not beside a file with texts of one's own, of which nothing is known yet.

    Raises:
        click.UsageError: it has.
    """
    from plexusdraw import borrowed, fonts  # noqa: PLC0415

    if not borrowed.asked():
        return
    if typed.get("outline") or typed.get("course_path") or typed.get("naming", STYLES[0]) not in STYLES:
        return
    texts = [text for name, text in typed.items() if name in _SHOWN and isinstance(text, str)]
    if all(map(fonts.has_all, [*texts, *(text for plexus in plexuses for text in _named(plexus))])):
        raise click.UsageError("--font can do nothing here: the typeface has every character that is shown.")


def _named(plexus: Plexus) -> Iterator[str]:
    yield from (plexus.name, plexus.latin, plexus.limb, plexus.caution)
    for entity in plexus.entities():
        yield from (entity.name, entity.latin, entity.label)
    for stage in plexus.stages:
        yield from (stage.name, stage.latin)


_SHOWN = ("title", "instructions")
"""Options whose text is shown."""


def names_option(command: F) -> F:
    """Adds --names; ``naming`` reads what is given."""
    text = "short, english, latin, or a YAML file of your own texts (structure: text)."
    return click.option("--names", "naming", default="short", show_default=True, metavar="STYLE", help=text)(command)


def naming(plexus: Plexus, text: str) -> tuple[Style, dict[str, str]]:
    """The style of names, and texts of the reader's own by id.

    Raises:
        click.BadParameter: *text* is neither a style nor a YAML file. ModelError: the file is wrong.
    """
    if text in STYLES:
        return text, {}
    if is_yaml(text):
        return "short", own_labels.read(plexus, text)
    raise click.BadParameter(f'"{text}" is none of {", ".join(STYLES)}, nor a .yaml file', param_hint="--names")


def no_more(rest: Sequence[str]) -> None:
    """Refuse arguments that are left over once the model is found."""
    if rest:
        raise click.UsageError(
            f'what is "{rest[0]}"? The model is a built-in name or a .yaml file; the rest are options'
        )
