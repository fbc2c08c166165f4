"""An option that can do nothing where it is typed is refused: every option of every command, in many contexts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from night import by_day
from randoms import MODELS

from plexusdraw.cli.main import COMMANDS, cli

PARTS = str(MODELS / "two-part.yaml")
OUT = "OUT"
"""Stands for a place to write to."""
CONTEXTS: tuple[tuple[str, ...], ...] = (
    ("draw", PARTS, "-o", "OUT.svg"),
    ("draw", PARTS, "-o", "OUT.png"),
    ("draw", PARTS, "-o", "OUT.pdf", "--detail", "muscles"),
    ("draw", PARTS, "-o", "OUT.dot", "--detail", "framework"),
    ("draw", PARTS, "-o", "-", "--format", "svg"),
    ("draw", PARTS, "-o", "-", "--format", "png"),
    ("draw", PARTS, "-o", "OUT.svg", "--hide", "labels"),
    ("draw", PARTS, "-o", "OUT.pdf", "--hide", "labels", "--key"),
    ("draw", PARTS, "-o", "OUT.svg", "--injure", "A1"),
    ("draw", PARTS, "-o", "OUT.svg", "--injure", "A1", "--partial"),
    ("draw", PARTS, "-o", "OUT.svg", "--upto", "roots"),
    ("draw", PARTS, "-o", "OUT.svg", "--highlight", "A2"),
    ("draw", PARTS, "-o", "OUT.svg", "--by", "plane"),
    ("draw", PARTS, "-o", "OUT.svg", "--nerve", "great nerve"),
    ("draw", "brachial", "-o", "OUT.svg", "--limb", "skin"),
    ("draw", "brachial", "-o", "OUT.svg", "--limb", "muscles"),
    ("draw", "brachial", "-o", "OUT.svg", "--limb", "dermatomes", "--injure", "C6"),
    ("injure", PARTS, "A1"),
    ("injure", PARTS, "A1", "--json"),
    ("injure", PARTS, "A1", "--why"),
    ("injure", "brachial", "C5", "-o", "OUT.svg"),
    ("localise", PARTS, "--weak", "calf"),
    ("localise", PARTS, "--weak", "calf", "--json"),
    ("localise", "brachial", "--weak", "deltoid", "-o", "OUT.svg"),
    ("trace", PARTS, "A1"),
    ("trace", PARTS, "A1", "--json"),
    ("compare", PARTS, "A1", "A2"),
    ("compare", PARTS, "brachial"),
    ("compare", PARTS, "A1", "A2", "-o", "OUT.svg"),
    ("list", PARTS),
    ("list", "models"),
    ("list", "themes"),
    ("list", PARTS, "sites"),
    ("check", PARTS),
    ("check", "--schema"),
    ("slides", PARTS, "-o", "OUT.pdf"),
    ("slides", PARTS, "-o", "OUT.pdf", "--handout", "3"),
    ("slides", PARTS, "-o", "OUT.pptx"),
    ("slides", PARTS, "-o", "OUT"),
    ("slides", PARTS, "-o", "OUT", "--format", "png"),
    ("slides", PARTS, "--outline-template"),
    ("page", PARTS, "-o", "OUT.html"),
)
LONG = (
    ("slides", PARTS, "-o", "OUT", "--format", "png"),
    ("draw", "brachial", "-o", "OUT.svg", "--limb", "muscles"),
    ("localise", "brachial", "--weak", "deltoid", "-o", "OUT.svg"),
)
"""These take as long as all others together."""
CONTEXTS_BY_DAY = [context for context in CONTEXTS if context not in LONG]
VALUES = {
    "--model": ["brachial"],
    "--models": ["cervical"],
    "--highlight": ["A2"],
    "--hide": ["nerves"],
    "--injure": ["A2"],
    "--upto": ["roots"],
    "--nerve": ["great nerve"],
    "--paper": ["a3", "4:3"],
    "--handout-paper": ["a5"],
    "--theme": ["grayscale", "dark"],
    "--title": ["My own"],
    "--subtitle": ["Roots to skin"],
    "--occasion": ["Week 3"],
    "--text-size": ["1.2"],
    "--names": ["english"],
    "--ppi": ["61"],
    "--top": ["1"],
    "--weak": ["shin"],
    "--paralysed": ["shin"],
    "--spared": ["shin"],
    "--grade": ["shin=3"],
}
"""Option → values that are not what holds anyway; choices are tried one by one."""
LEFT_OUT = {"--help", "--format", "--output", "--outline", "--variant", "--part", "--outline-template", "--font"}
"""What says where to and in which form, and what a model here has none of: these have tests of their own."""
OF_FINDINGS = {"--numb", "--feels", "--sign", "--no-sign", "--reflex-lost", "--reflex-kept"}
FITS = {("--paper", "--outline-template"), ("--detail", "--outline-template")}
"""May decide whether a lecture fits a slide, and so its outline; here it does in any case."""


HOLDS = {
    ("--by", "root"): (),
    ("--by", "nerve"): ("--limb",),
    ("--by", "state"): ("--limb", "--injure"),
}
"""What may be said though it holds anyway, where all of these are given."""


def holds(words: list[str], context: tuple[str, ...]) -> bool:
    """Whether an option says what holds anyway, or may decide what fits."""
    if any((words[0], other) in FITS for other in context):
        return True
    return len(words) == 2 and all(other in context for other in HOLDS.get((words[0], words[1]), ("never",)))


def typed(option: click.Option) -> Iterator[list[str]]:
    """An option with each value that is worth trying."""
    name = max(option.opts, key=len)
    if name in LEFT_OUT | OF_FINDINGS:
        return
    if option.is_flag:
        yield [name]
    elif isinstance(option.type, click.Choice):
        yield from ([name, str(value)] for value in option.type.choices if value != option.default)
    else:
        yield from ([name, value] for value in VALUES[name])


def made(words: list[str], folder: Path) -> tuple[int, str, list[bytes]]:
    """Exit code, what was said, and the bytes that were written, of a command in an empty folder."""
    for old in sorted(folder.rglob("*"), reverse=True):
        old.rmdir() if old.is_dir() else old.unlink()
    done = CliRunner().invoke(cli, [word.replace(OUT, str(folder / "out")) for word in words])
    written = [path.name.encode() + path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()]
    return done.exit_code, done.stderr if done.exit_code else "", [done.stdout_bytes, *written]


@pytest.mark.parametrize("context", by_day(CONTEXTS, CONTEXTS_BY_DAY), ids=" ".join)
def test_no_option_is_ignored(context, tmp_path):
    command = cli.get_command(click.Context(cli), context[0])
    code, said, plain = made([*context], tmp_path)
    assert code == 0, said
    wrong = []
    for option in command.params:
        for words in typed(option) if isinstance(option, click.Option) else ():
            if words[0] in context and not option.multiple:
                continue
            code, said, changed = made([*context, *words], tmp_path)
            if code == 0 and changed == plain and not holds(words, context):
                wrong.append(f"{words} is ignored")
            if code == 2 and "--" not in said:
                wrong.append(f"{words} is refused without a reason: {said}")
            if code not in (0, 1, 2):
                wrong.append(f"{words}: exit code {code}")
    assert not wrong, "\n".join(wrong)


def test_all_commands_have_contexts():
    assert {context[0] for context in CONTEXTS} | {"worksheet", "course"} >= set(COMMANDS)
    assert len(CONTEXTS_BY_DAY) >= 30
    assert {*LONG} < {*CONTEXTS}


@pytest.mark.parametrize(
    "words",
    [
        ("trace", "deltoid", "--json"),
        ("localise", "--weak", "deltoid", "--json"),
        ("compare", "C8", "ulnar nerve", "--json"),
        ("injure", "C8", "--json"),
    ],
    ids=" ".join,
)
def test_answers_as_json_name_the_variant_even_where_it_changes_nothing(words, tmp_path):
    varied = made([*words, "--variant", "long thoracic without C5"], tmp_path)
    assert b'"long-thoracic-without-c5"' in varied[2][0]


def test_a_list_that_a_variant_does_not_change_says_so():
    said = "--variant changes nothing in this list."
    for what, same in ((["reflexes"], True), (["nerves"], False), ([], False)):
        done = CliRunner().invoke(cli, ["list", "brachial", *what, "--variant", "Martin-Gruber"])
        assert done.exit_code == 0
        assert (said in done.stderr) == same
