"""Options that can do nothing where they are typed are wrong usage: each command lists when its options matter.

Typing what would hold anyway is fine where the option matters. What is empty or typed twice is refused everywhere.
``tests/cli/test_nothing_ignored.py`` walks all options.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isnan
from typing import Any, TypeVar
from unicodedata import category

import click
from click.core import ParameterSource

F = TypeVar("F", bound=Callable[..., Any])
Given = Mapping[str, Any]
"""Name of each parameter → what it holds, typed or not."""
_TYPED = (ParameterSource.COMMANDLINE, ParameterSource.ENVIRONMENT)


@dataclass(frozen=True, slots=True)
class Rule:
    """When one option matters; ``hint`` says what it goes with, or what to leave out."""

    option: str
    matters: Callable[[Given], object]
    hint: str


def needs(option: str, *others: str) -> Rule:
    """The option matters beside any of these."""
    return Rule(option, lambda given: any(given.get(other) for other in others), f"it goes with {_either(others)}")


def beside(option: str, *others: str) -> Rule:
    """The option does not matter beside any of these."""
    hint = f"beside {_either(others)}, leave it out"
    return Rule(option, lambda given: not any(given.get(other) for other in others), hint)


def fitting(*rules: Rule) -> Callable[[F], F]:
    """Beside the options of a command: refuses what is typed against these rules."""

    def decorate(command: F) -> F:
        def checked(*args: Any, **values: Any) -> Any:  # noqa: ANN401
            check(click.get_current_context(), rules)
            return command(*args, **values)

        for name in ("__doc__", "__name__", "__module__", "__click_params__"):
            if hasattr(command, name):
                setattr(checked, name, getattr(command, name))
        return checked  # type: ignore[return-value]

    return decorate


HELP_NAMES = ("-h", "--help")


class Command(click.Command):
    """A command that takes nothing empty, and nothing twice."""

    def get_help_option_names(self, ctx: click.Context) -> list[str]:
        """As for all commands, also where one is called by itself."""
        return list(HELP_NAMES)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does, once every option that is typed says something, and says it alone."""
        typed, _, order = self.make_parser(ctx).parse_args(args=[*args])
        for option in self.params:
            if isinstance(option, click.Option):
                name = max(option.opts, key=len)
                if not option.multiple and order.count(option) > 1:
                    raise click.UsageError(f"{name} is given twice: leave one of them out.", ctx)
                if not option.is_flag:
                    _says_something(name, typed.get(str(option.name)), ctx)
        left = super().parse_args(ctx, args)
        for key, value in ctx.params.items():
            if isinstance(value, float) and isnan(value):  # which no range of click's excludes
                raise click.UsageError(f"{written(self, key)}: nan is no number.", ctx)
        return left


def _says_something(option: str, value: object, ctx: click.Context) -> None:
    texts = [text for text in (value if isinstance(value, tuple | list) else (value,)) if isinstance(text, str)]
    if any(map(is_empty, texts)):
        raise click.UsageError(f"{option} is empty: give it a value, or leave it out.", ctx)
    once_each(option, texts, ctx)


def is_empty(text: str) -> bool:
    """Whether a text, or a list with commas between, says nothing: blanks, and signs that only format."""
    return all(sign == "," or category(sign)[0] in "ZC" for sign in text)


def once_each(option: str, texts: Sequence[str], ctx: click.Context | None = None) -> None:
    """Refuse a text that is typed twice.

    Raises:
        click.UsageError: names it.
    """
    again = [text for i, text in enumerate(texts) if _plain_text(text) in map(_plain_text, texts[:i])]
    if again:
        raise click.UsageError(f'{option} "{again[0]}" is given twice: leave one of them out.', ctx)


def meant_once(option: str, texts: Sequence[str], meaning: Callable[[str], object]) -> None:
    """Refuse a text that says in other words what one before it said.

    Raises:
        click.UsageError: names both.
    """
    known: dict[object, str] = {}
    for text in texts:
        first = known.setdefault(meaning(text), text)
        if first is not text:
            raise click.UsageError(f'{option} "{text}" is "{first}" once more: leave one of them out.')


def _plain_text(text: str) -> str:
    return " ".join(text.casefold().split())


def check(context: click.Context, rules: tuple[Rule, ...]) -> None:
    """Refuse the first option that is typed where it can do nothing.

    Raises:
        click.UsageError: says which, and what it goes with.
    """
    for rule in rules:
        if context.get_parameter_source(rule.option) in _TYPED and not rule.matters(context.params):
            raise click.UsageError(f"{written(context.command, rule.option)} can do nothing here: {rule.hint}.")


def written(command: click.Command, option: str) -> str:
    """How an option is typed: "--partial"."""
    found = next((p for p in command.params if p.name == option), None)
    if isinstance(found, click.Argument):
        return found.make_metavar(click.get_current_context()).strip("[]")
    return max(found.opts, key=len) if found else _plain(option)


def _plain(option: str) -> str:
    return f"--{option.strip('_').replace('_', '-')}"


def _either(options: tuple[str, ...]) -> str:
    return " or ".join(_NAMES.get(option, _plain(option)) for option in options)


_NAMES = {"output": "-o FILE"}
