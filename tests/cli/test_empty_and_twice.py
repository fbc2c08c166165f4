"""What is empty, typed twice or contradicts itself is refused by every command, with what to do."""

from __future__ import annotations

import click
import pytest
from click.testing import CliRunner
from randoms import MODELS, brachial

from plexusdraw.cli.fitting import Command
from plexusdraw.cli.main import COMMANDS, cli
from plexusdraw.clinic.injury import injure
from plexusdraw.errors import FindingsError

PARTS = str(MODELS / "two-part.yaml")
WORDS = {
    "draw": [PARTS, "-o", "x.svg"],
    "injure": [PARTS, "A1"],
    "localise": [PARTS],
    "compare": [PARTS, "A1", "A2"],
    "worksheet": [PARTS, "-o", "x.pdf"],
    "slides": [PARTS, "-o", "x.pdf"],
    "page": [PARTS, "-o", "x.html"],
    "course": [PARTS, "-o", "x.yaml"],
}


def options():
    for name in COMMANDS:
        command = cli.get_command(click.Context(cli), name)
        assert isinstance(command, Command), name
        for option in command.params:
            if (
                isinstance(option, click.Option)
                and not option.is_flag
                and isinstance(option.type, click.types.StringParamType)
            ):
                yield name, max(option.opts, key=len), option.multiple


def needed(command, option):
    """What else a command needs beside an option."""
    words = WORDS.get(command, [])
    return words[: words.index("-o")] if option == "--output" and "-o" in words else words


def told(*words):
    done = CliRunner().invoke(cli, words)
    assert done.exit_code == 2, (words, done.output, done.exception)
    return " ".join(done.stderr.split())


@pytest.mark.parametrize(("command", "option", "_"), [*options()], ids=str)
@pytest.mark.parametrize("text", ["", " ", ","])
def test_nothing_is_no_value(folder, command, option, _, text):
    said = told(command, *needed(command, option), option, text)
    assert f"{option} is empty: give it a value, or leave it out." in said or f'"{text}"' in said
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(("command", "option", "_"), [one for one in options() if one[2]], ids=str)
def test_nothing_is_said_twice(folder, command, option, _):
    said = told(command, *needed(command, option), option, "Great  Nerve", option, "great nerve")
    assert f'{option} "great nerve" is given twice: leave one of them out.' in said
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(("command", "option", "_"), [one for one in options() if not one[2]], ids=str)
def test_what_holds_one_value_is_typed_once(folder, command, option, _):
    """Else the last would hold, and the one before it be ignored."""
    said = told(command, *needed(command, option), option, "a3", option, "a4")
    assert f"{option} is given twice: leave one of them out." in said
    assert said.startswith(f"Usage: cli {command}")
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "words",
    [("draw", "--key"), ("draw", "--show-roots"), ("worksheet", "--word-bank"), ("injure", "--partial")],
    ids=str,
)
def test_what_takes_no_value_is_typed_once(folder, words):
    command, option = words
    assert f"{option} is given twice" in told(command, *WORDS[command], option, option)
    assert list(folder.iterdir()) == []


def test_a_site_is_cut_once():
    assert 'the site "c5" is given twice' in told("injure", "C5", "c5")
    one, two = injure(brachial(), ["C5"]), injure(brachial(), ["C5", "C5 root"])
    assert two.sites == one.sites


@pytest.mark.parametrize(
    "found",
    [("--weak", "deltoid", "--weak", "musculus deltoideus"), ("--grade", "deltoid=3", "--grade", "deltoid=2")],
    ids=" ".join,
)
def test_a_finding_is_given_once(found):
    """By another name, or as another grade of the same weakness, the second would say nothing."""
    assert "is given twice: leave one of them out" in told("localise", *found)


@pytest.mark.parametrize(
    "words",
    [
        ("injure", "C5", "C5 root"),
        ("injure", "C5 + C6 + C5 root"),
        ("injure", "C5, C5"),
        ("draw", "--injure", "C5 + C5", "-o", "x.svg"),
        ("draw", "--injure", "C5", "--injure", "C5 root", "-o", "x.svg"),
        ("draw", "--highlight", "deltoid", "--highlight", "musculus deltoideus", "-o", "x.svg"),
        ("trace", "C5", "--variant", "prefixed", "--variant", "prefixed plexus"),
    ],
    ids=" ".join,
)
def test_nothing_is_said_again_in_other_words(folder, words):
    assert "once more: leave one of them out" in told(*words)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("option", ["--ppi", "--text-size"])
def test_what_is_no_number_is_in_no_range(folder, option):
    assert f"{option}: nan is no number." in told("draw", option, "NaN", "-o", "x.png")
    assert list(folder.iterdir()) == []


def test_a_text_of_signs_that_nobody_sees_is_empty(folder):
    assert "--title is empty" in told("draw", "--title", "\u200b\u2060 ", "-o", "x.svg")


@pytest.mark.parametrize(
    "words", [("injure", "C5", "C5:partial"), ("draw", "--injure", "C5:partial", "--injure", "C5", "-o", "x.svg")]
)
def test_a_place_is_not_cut_wholly_and_in_part(folder, words):
    done = CliRunner().invoke(cli, words)
    assert isinstance(done.exception, FindingsError)
    assert "cannot both be true" in str(done.exception)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    ("paper", "says"),
    [
        ("a4 landscape portrait", "is turned twice: leave one of landscape and portrait out"),
        ("fit portrait", "fit is as large as what it holds, so leave portrait out"),
        ("landscape square", "square is as wide as it is high, so leave landscape out"),
    ],
)
def test_a_paper_is_turned_once_and_only_where_that_turns_it(folder, paper, says):
    done = CliRunner().invoke(cli, ["draw", PARTS, "--paper", paper, "-o", "x.svg"])
    assert done.exit_code == 1
    assert says in str(done.exception)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "kind"),
    [(("localise", "--weak", "upper lateral arm"), "skin area"), (("injure", "C6 dermatome"), "skin area")],
)
def test_what_a_name_means_instead_is_told_in_words(words, kind):
    assert f"is a {kind}" in str(CliRunner().invoke(cli, words).exception)
