"""The command line. Each command's module is imported only when the command is called.

The library raises, and prints nothing; here a message goes to stderr and the exit code is 1, or 2 where
click finds the usage wrong.
"""

from __future__ import annotations

import os
import re
import sys
from contextlib import suppress
from difflib import get_close_matches
from importlib import import_module
from io import TextIOWrapper
from typing import Any, TextIO

import click

from plexusdraw import __version__, inputs
from plexusdraw.cli import stop
from plexusdraw.cli.fitting import HELP_NAMES
from plexusdraw.errors import OutputError, PlexusdrawError

COMMANDS: dict[str, tuple[str, str]] = {
    "draw": ("draw", "Draw the plexus, a structure in it, or an injury."),
    "trace": ("trace", "Follow a root, nerve, muscle or skin area."),
    "injure": ("injure", "What cuts at one or more sites do."),
    "localise": ("localise", "Which sites explain the findings."),
    "compare": ("compare", "Two injuries, or two models, side by side."),
    "worksheet": ("worksheet", "Forms to print and fill in, with keys."),
    "slides": ("slides", "A lecture that builds the plexus up step by step."),
    "page": ("page", "One page to click, offline."),
    "course": ("course", "Write a course file of your own to edit."),
    "check": ("check", "Check a model or course file."),
    "list": ("listing", "List what a model holds."),
}
"""Command → its module in this package, and its short help."""


class LazyGroup(click.Group):
    """A group that knows names and short help of its commands without importing them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command; None if there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"plexusdraw.cli.{COMMANDS[cmd_name][0]}").command
        return command

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401
        """As click does: no file that is read is written, and what was typed is not echoed at length."""
        _forget_borrowed()
        with inputs.kept_apart():
            try:
                done = super().invoke(ctx)
                _tell_borrowed()
                return done
            except click.ClickException as error:
                error.__dict__["message"] = shortened(error.message)  # a final attribute
                raise
            except PlexusdrawError as error:
                error.args = (shortened(str(error)),)
                raise

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, with the nearest name where there is none."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            near = get_close_matches(args[0], COMMANDS, n=1)
            hint = f" Did you mean {near[0]}?" if near else ""
            ctx.fail(f'no command "{args[0]}".{hint}')
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Short help from the table, so that no command is imported."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(
    cls=LazyGroup,
    context_settings={"help_option_names": list(HELP_NAMES)},
    epilog="A structure may be named in any spelling of the trade: C5, upper trunk, n. radialis, ECRL.",
)
@click.version_option(__version__, "--version", "-V", message="%(prog)s %(version)s")
def cli() -> None:
    """Labelled schematics of nerve plexuses: draw, trace, hide, injure."""


def run() -> None:
    """Entry point: one message and exit code 1 for what the user can mend, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    with stop.tidily():
        try:
            cli(prog_name="plexusdraw")
        except PlexusdrawError as error:
            _fail(str(error), error.exit_code)
        except OSError as error:
            if error.filename is not None:
                raise
            _fail(f"standard output cannot be written to: {error.strerror}.", OutputError.exit_code)


def _forget_borrowed() -> None:
    """A command borrows for itself: what one before it in this process took changes nothing."""
    borrowed = sys.modules.get("plexusdraw.borrowed")
    if borrowed and (borrowed.asked() or borrowed.told()):
        sys.modules["plexusdraw.fonts"].prefer(None)


def _tell_borrowed() -> None:
    """Warn of characters that are set in another font."""
    borrowed = sys.modules.get("plexusdraw.borrowed")
    for line in borrowed.told() if borrowed else ():
        click.echo(f"warning: {line}", err=True)


def shortened(message: str) -> str:
    """A message in which no quoted text, and no word, is longer than anyone reads."""
    brief = _LONG.sub(lambda found: f"{found[0][:_SHOWN]}…{found[0][-1]}", message)
    return _LONG_WORD.sub(lambda found: f"{found[0][:_SHOWN]}…{found[0][-_ENDING:]}", brief)


_SHOWN = 81
_LONG = re.compile(rf"\"[^\"\n]{{{_SHOWN + 40},}}\"|'[^'\n]{{{_SHOWN + 240},}}'")
"""In quotes of either kind; an apostrophe may stand far from the next without quoting anything."""
_LONG_WORD = re.compile(r"\S{400,}")
"""As the name of a file may be; its ending says the most."""
_ENDING = 40


def _fail(message: str, exit_code: int) -> None:
    if sys.stdout is not None:  # as it is where it was closed from the start
        _drop(sys.stdout)
    with suppress(OSError):
        click.echo(f"plexusdraw: {message}", err=True)
    sys.exit(exit_code)


def _drop(stream: TextIO) -> None:
    """Drop what a stream no longer takes, since Python would try it again at the end."""
    try:
        stream.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
