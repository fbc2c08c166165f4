"""Damaged and hostile files: each reader gives a result or one message with file and line, soon and in little room."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from mutations import READERS, case, outcome, within
from night import by_day
from randoms import MODELS, brachial, small

from plexusdraw.api import figure
from plexusdraw.errors import ModelError, PlexusdrawError, SheetError, ThemeError
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme
from plexusdraw.model import load
from plexusdraw.names import own_labels
from plexusdraw.paint import pptx
from plexusdraw.routes import fibres
from plexusdraw.sheets.slides import outline
from plexusdraw.sheets.slides.lecture import Lecture, render
from plexusdraw.yamlfile import document

TWO = (MODELS / "two-stages.yaml").read_text("utf-8")
DEEP = 100_000
NESTED = {
    "brackets": "[" * DEEP,
    "closed": "[" * DEEP + "]" * DEEP,
    "braces": "{a: " * DEEP,
    "dashes": "- " * DEEP,
    "questions": "? " * DEEP,
    "indents": "".join(f"{' ' * i}a:\n" for i in range(1000)),
}


def written(folder: Path, text: str | bytes, name: str = "own.yaml") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
    return path


def told(read, path: Path) -> str:
    """The message with which a file is refused, without the folder."""
    with within(5), pytest.raises(PlexusdrawError) as caught:
        read(path)
    return str(caught.value).replace(f"{path.parent}/", "")


@pytest.mark.parametrize("first", by_day(range(0, 120, 20), [0, 100]))
@pytest.mark.parametrize("kind", READERS)
def test_a_damaged_file_is_read_or_refused(kind, first, tmp_path):
    for seed in range(first, first + 20):
        assert outcome(READERS[kind], case(kind, seed, tmp_path), on=seed % 10 == 0), seed


@pytest.mark.parametrize("shape", NESTED)
def test_deep_nesting_is_refused_and_does_not_end_the_process(shape, tmp_path):
    """In a process of its own: the compiled parser would take the tests with it."""
    path = written(tmp_path, NESTED[shape])
    code = f"from plexusdraw.model import load; load({str(path)!r})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert f"{path}:" in done.stderr.splitlines()[-1]
    assert "nest" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize("kind", READERS)
def test_exploding_aliases_are_refused(kind, tmp_path, monkeypatch):
    monkeypatch.setattr(document, "MAX_NODES", 20_000)
    lines = ["x0: &x0 [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]"]
    lines += [f"x{i}: &x{i} [{', '.join([f'*x{i - 1}'] * 10)}]" for i in range(1, 12)]
    assert "too many values" in told(READERS[kind].read, written(tmp_path, "\n".join(lines)))


@pytest.mark.parametrize(
    "encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1", "cp1252", "cp437", "shift_jis"]
)
@pytest.mark.parametrize("kind", READERS)
def test_wrong_encodings_are_told_with_the_line(kind, encoding, tmp_path):
    path = written(tmp_path, READERS[kind].sources[-1] + "\n# é\n".encode(encoding, "replace"))
    if encoding.startswith("utf"):
        path.write_bytes(READERS[kind].sources[-1].decode().encode(encoding))
    if encoding != "shift_jis":  # has no é, so that a question mark stands for it
        assert told(READERS[kind].read, path).startswith("own.yaml:")


@pytest.mark.parametrize("kind", READERS)
@pytest.mark.parametrize("escape", ["\\0", "\\a", "\\e[31m", "\\x7f", "\\u009b", "\\ud800", "\\uffff"])
def test_controls_written_as_escapes_are_refused(kind, escape, tmp_path):
    """Nothing of a file reaches a terminal as a command."""
    message = told(READERS[kind].read, written(tmp_path, f'a: 1\n"b{escape}": "{escape}"\n'))
    assert message.startswith(("own.yaml:2: control character U+", "own.yaml:2: not valid YAML"))
    assert message.isprintable()


@pytest.mark.parametrize("number", ["0x" + "f" * 5000, "9" * 5000, "-" + "9" * 5000, "1e999", ".inf", ".nan"])
@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("model", "plexusdraw: NUMBER\n"),
        ("model", TWO.replace("name: two-stage plexus", "name: [NUMBER]")),
        ("theme", "theme: 1\npage: NUMBER\nminor: NUMBER\n"),
        ("outline", "outline: 1\nsteps: [{title: [NUMBER]}]\n"),
        ("course", "count: NUMBER\nlevel: NUMBER\n"),
    ],
)
def test_huge_numbers_are_told(kind, text, number, tmp_path):
    message = told(READERS[kind].read, written(tmp_path, text.replace("NUMBER", number)))
    assert message.startswith("own.yaml:")
    assert len(message) < 3000


def test_a_message_is_one_line_and_short(tmp_path):
    message = told(load, written(tmp_path, f'plexusdraw: 1\n"a\\nb\\u202e": 1\n{"k" * 900}: 1\n'))
    assert "\\u202e" in message
    assert all(line.startswith("own.yaml:") for line in message.splitlines())
    assert max(map(len, message.splitlines())) < 1000


def test_a_tag_on_a_key_is_refused(tmp_path):
    assert "tag tag:yaml.org,2002:python/name:os.system is not allowed" in told(
        load, written(tmp_path, "!!python/name:os.system plexusdraw: 1\n")
    )


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("labels", "".join(f"nobody {i}: x\n" for i in range(10_000))),
        ("model", "plexusdraw: 1\n" + "".join(f"k{i}: 1\n" for i in range(10_000))),
        ("model", TWO.replace("- {name: C6, stage: roots}", "- 1\n" * 1 + "  - 1\n" * 10_000)),
        (
            "model",
            TWO.replace("[first-muscle,", f"[first-muscle, {', '.join(f'front-muscle-{i}' for i in range(10_000))},"),
        ),
        ("theme", "theme: 1\n" + "".join(f"k{i}: 1\n" for i in range(10_000))),
        ("outline", "outline: 1\nsteps:\n" + "  - {title: A, show: [nobody]}\n" * 10_000),
        ("outline", "outline: 1\nsteps:\n" + "  - {title: A}\n" * 10_000),
        ("course", "".join(f"k{i}: 1\n" for i in range(10_000))),
    ],
)
def test_a_fault_in_every_line_is_told_soon(kind, text, tmp_path):
    message = told(READERS[kind].read, written(tmp_path, text))
    assert message.startswith("own.yaml:")
    assert len(message.splitlines()) <= document.MOST_SHOWN + 1


@pytest.mark.parametrize(
    ("kind", "text", "says"),
    [
        ("model", "- a\n", "own.yaml:1: not a model file. It starts with plexusdraw: 1"),
        (
            "model",
            TWO.replace("  - {id: nerves", "  - {id: x, name: y, singular: z}\n  - {id: nerves"),
            'own.yaml:7: stage "x"',
        ),
        ("theme", 'theme: 1\nbased-on: "\\0.yaml"\n', "own.yaml:2: control character"),
        ("theme", f"theme: 1\nbased-on: {'a' * 300}.yaml\n", "own.yaml:2: no theme"),
        ("theme", f"theme: 1\nbased-on: {'a' * 300}\n", "own.yaml:2: no theme"),
        ("theme", "theme: 1\nbased-on: ../own.yaml\n", "own.yaml:2: no theme"),
        ("theme", "theme: 1\nbased-on: /etc/own.yaml\n", "own.yaml:2: no theme"),
        ("theme", "theme: 1\nbased-on: [print]\n", "own.yaml:2: based-on: must be text, not a list."),
        ("theme", "theme: 1\nagain: [1]\n", "own.yaml:2: again: must be up to 8 pairs"),
        ("theme", f"theme: 1\nagain: [{'1, ' * 200}]\n", "own.yaml:2: again: "),
        (
            "theme",
            "theme: 1\nroots: [" + '{strand: "#000000", text: "#000000"}, ' * 300 + "]\n",
            "own.yaml:2: roots: has more than 200 entries",
        ),
        ("labels", "deltoid: a\nDeltoid: b\n", 'own.yaml:2: "Deltoid" has a text already'),
        ("labels", "{}\n", "own.yaml:1: a label file without a label. Write one structure a line"),
        (
            "outline",
            "outline: 1\nsteps:\n  - {title: ' ', show: [roots]}\n",
            "own.yaml:3: steps, entry 1, title: must be text that can be seen",
        ),
        (
            "outline",
            "outline: 1\nsteps:\n  - {title: A, show: [roots], injure: [C5, 'C5:partial']}\n",
            'own.yaml:3: "C5" and "C5 (partial)" cannot both be true',
        ),
        (
            "outline",
            "outline: 1\nsteps:\n  - {title: A, show: [roots], hide: [all of it]}\n",
            'own.yaml:3: cannot hide "all of it"',
        ),
        ("course", "course: 1\nname: x\nkeep: []\n", "own.yaml:3: keep: must be a list of 1 or more"),
        ("course", f"course: 1\nname: {'x ' * 5000}\n", "own.yaml:2: name: is longer than 2000 characters."),
    ],
)
def test_what_was_not_told_before(kind, text, says, tmp_path):
    assert told(READERS[kind].read, written(tmp_path, text)).startswith(says)


@pytest.mark.parametrize(
    "step",
    [
        "{title: A, show: [SUPPLY C5]}".replace("SUPPLY", "supply of " * 3000),
        "{title: A, each: column " + "9" * 5000 + "}",
        "{title: A, injure: [radial nerve " + '"at elbow, before"' * 400 + "]}",
        "{title: " + "{plexus}" * 100_000 + "}",
        "{title: A, say: '" + "{plexus}" * 100_000 + "'}",
        "{title: A, show: [" + "C5, " * 100_000 + "]}",
    ],
)
def test_texts_without_end_in_an_outline(step, tmp_path):
    path = written(tmp_path, f"outline: 1\nsteps:\n  - {step}\n")
    assert told(lambda file: outline.read(brachial(), file), path).startswith("own.yaml:")


def test_a_site_of_many_clauses_is_refused_soon():
    with within(2), pytest.raises(PlexusdrawError):
        figure(injure="ulnar nerve" + ", before deltoid" * 100)


def test_names_that_no_file_can_have():
    for read, error in ((load, ModelError), (theme.load, ThemeError), (READERS["course"].read, ModelError)):
        for name in ("\0.yaml", f"{'x' * 5000}.yaml", ".yaml", "/"):
            with pytest.raises(error):
                read(name)
    with pytest.raises(ThemeError):
        theme.load("x" * 5000)
    with pytest.raises(ModelError):
        own_labels.read(brachial(), "\0")
    with pytest.raises(SheetError):
        outline.read(brachial(), "\0")


def test_more_ways_than_can_be_followed_are_refused(tmp_path):
    """Thirty columns of two, each from both before: a thousand million ways."""
    stages = "".join(f"  - {{id: s{i}, name: s{i}, singular: s{i}}}\n" for i in range(30))
    rows = ["  - {name: A1, stage: s0}", "  - {name: B1, stage: s0}"]
    last = ["A1", "B1"]
    for i in range(1, 30):
        end = ", course: [m]" if i == 29 else ""
        rows += [f"  - {{name: {c} {i}, stage: s{i}, from: [{', '.join(last)}]{end}}}" for c in "xy"]
        last = [f"x-{i}", f"y-{i}"]
    body = "\n".join(rows)
    text = (
        f"plexusdraw: 1\nid: p\nname: p\nstages:\n{stages}segments:\n{body}\nmuscles: [{{name: m, roots: [A1, B1]}}]\n"
    )
    plexus = load(written(tmp_path, text))
    assert "more than 200000 ways" in told(lambda _: fibres.of(plexus).routes, tmp_path / "own.yaml")


@pytest.mark.parametrize("dash", ["[1, 1]", "[0, 0]", "[1e-9, 1e-9]", "[100, 0]", "[]"])
@pytest.mark.parametrize("width", ["0", "1e-12", "1"])
def test_any_theme_that_loads_can_be_painted(dash, width, tmp_path):
    path = written(tmp_path, f"theme: 1\nstates: {{plain: {{dash: {dash}, width: {width}}}, lost: {{width: 0}}}}\n")
    made = figure(small("one-root"), theme=str(path), injure=small("one-root").roots[0])
    for format in ("svg", "png", "pdf"):
        assert made.render(format)
    assert pptx.paint([(page.scene, page.view) for page in made.pages()], made.theme)


def test_a_lecture_with_a_title_longer_than_a_document_may_have(tmp_path):
    path = written(tmp_path, f"outline: 1\ntitle: {'long ' * 90}\nsteps: [{{title: A, section: '<&>'}}]\n")
    made = Lecture(small("two-stages"), Options("nerves", paper("16:9")), theme.load("lecture"), path)
    assert render(made, "pptx")
    path = written(tmp_path, f"outline: 1\nsteps: [{{title: {'long ' * 90}}}]\n")
    made = Lecture(small("two-stages"), Options("nerves", paper("16:9")), theme.load("lecture"), path)
    assert told(lambda _: made.slides, path).startswith("own.yaml:2: the title")
