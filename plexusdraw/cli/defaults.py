"""What a course file says of a command's options: checked against click's own description of the command."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from math import isnan
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource

from plexusdraw import names
from plexusdraw.cli.fitting import is_empty
from plexusdraw.cli.main import COMMANDS
from plexusdraw.errors import PlexusdrawError
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme
from plexusdraw.model.plexus import Default, Plexus
from plexusdraw.names import sites
from plexusdraw.output import is_there
from plexusdraw.sheets.worksheet import askable
from plexusdraw.yamlfile.document import Faults
from plexusdraw.yamlfile.reader import close, near, shown

_NEVER = ("output", "model", "variant", "exports", "outline_template", "form", "help")
"""Options without a default: where to write, and what the course itself says."""
_TYPED = (ParameterSource.COMMANDLINE, ParameterSource.ENVIRONMENT)


def filled(context: click.Context, plexus: Plexus, given: Mapping[str, Any]) -> dict[str, Any]:
    """The options of a command: what was typed, then the course file, then the defaults.

    Raises:
        ModelError: the course file says what the command does not take; every fault with its line.
    """
    found = read(context.command, plexus)
    given_here = typed(context)
    return {**given, **{name: value for name, value in found.items() if name not in given_here}}


def typed(context: click.Context) -> set[str]:
    """Names of the options that the user gave, here or in the environment."""
    return {name for name in context.params if context.get_parameter_source(name) in _TYPED}


def check(plexus: Plexus) -> None:
    """ModelError with all faults of the defaults that a course gives."""
    for name in plexus.taught.defaults if plexus.taught else ():
        read(import_module(f"plexusdraw.cli.{COMMANDS[name][0]}").command, plexus)


def read(command: click.Command, plexus: Plexus) -> dict[str, Any]:
    """What the course of a plexus says of a command's options, by the names of its parameters."""
    name = str(command.name)
    if plexus.taught is None or not plexus.taught.defaults.get(name):
        return {}
    faults = Faults(plexus.taught.path)
    options = _options(command)
    found: dict[str, Any] = {}
    for key, default in plexus.taught.defaults[name].items():
        if key not in options:
            faults.add(default.line, f'{name}: no option "{key}"', near(key, list(options)))
            continue
        option = options[key]
        try:
            found[str(option.name)] = _checked(key, _value(option, command, default), plexus)
        except click.BadParameter as error:
            kind = options[key].type
            hint = close(str(default.value), list(map(str, kind.choices))) if isinstance(kind, click.Choice) else ""
            faults.add(default.line, f"{name}, {key}: {error.message.rstrip('.')}", hint)
        except PlexusdrawError as error:
            faults.add(default.line, f"{name}, {key}: {str(error).rstrip('.')}")
    faults.check()
    return found


def _options(command: click.Command) -> dict[str, click.Option]:
    """Long options that may have a default, as one types them without dashes."""
    options = (one for one in command.params if isinstance(one, click.Option) and one.name not in _NEVER)
    return {text[2:]: one for one in options for text in one.opts if text.startswith("--")}


def _value(option: click.Option, command: click.Command, default: Default) -> Any:  # noqa: ANN401
    """A value of the file as click makes one of what is typed; a list as words with commas between them."""
    value = default.value
    if option.is_flag:
        if not isinstance(value, bool):
            raise click.BadParameter(f"must be true or false, not {shown(value)}")
        return value
    if value is True and isinstance(option.flag_value, str):
        value = option.flag_value  # as the option typed alone
    several = value if isinstance(value, list) else [value]
    if any(one is None or isinstance(one, bool | dict | list) for one in several) or not several:
        raise click.BadParameter(f"must be text or a number, not {shown(value)}")
    if any(is_empty(str(one)) for one in several):
        raise click.BadParameter("is empty: give it a value, or leave it out")
    context = click.Context(command)
    typed: Any = [str(one) for one in several] if option.multiple else ",".join(map(str, several))
    made = option.process_value(context, typed)
    if isinstance(made, float) and isnan(made):
        raise click.BadParameter("nan is no number")
    return made


def _checked(key: str, value: Any, plexus: Plexus) -> Any:  # noqa: ANN401
    """The value, where it names something that there is; a path as from the folder of the course file."""
    if key == "outline":
        assert plexus.taught is not None
        path = Path(plexus.taught.path).parent / value
        if not is_there(path, file=True):
            raise click.BadParameter(f'there is no file "{path}"')
        return str(path)
    if key in _KNOWN and value:
        _KNOWN[key](plexus, value)
    return value


def _only(plexus: Plexus, text: str) -> None:
    try:
        names.find(plexus, text)
    except PlexusdrawError:
        sites.parse_all(plexus, text)


def _asked(plexus: Plexus, text: str) -> None:
    from plexusdraw.sheets.worksheet.registry import REGISTRY  # noqa: PLC0415

    topics = {topic for kind in REGISTRY.values() for topic in kind.topics}
    words = (word for word in text.split(",") if word.strip())
    askable.asked(plexus, [word for word in words if word.strip().lower() not in topics])


_KNOWN: dict[str, Callable[[Plexus, str], object]] = {
    "paper": lambda _, text: paper(text),
    "handout-paper": lambda _, text: paper(text),
    "theme": lambda _, text: theme.load(text),
    "only": _only,
    "ask": _asked,
}
"""Option → what looks up the words that it holds; a name that leads nowhere is told with its line."""
