"""What is kept of the files that come with the tool is what they say, line by line, and never of an older text."""

from __future__ import annotations

from pathlib import Path

import pytest

from plexusdraw.model import loader
from plexusdraw.yamlfile import kept, reader
from plexusdraw.yamlfile.document import Document, parse, read_text

FILES = kept.files()


def places(value, path=()):
    """The place of a value and of all that it holds."""
    yield path
    steps = value if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    for step in steps:
        yield from places(value[step], (*path, step))


def test_each_file_has_a_name_of_its_own_and_nothing_else_is_kept():
    assert {path.name for path in kept.FOLDER.iterdir()} == {f"{path.stem}.json" for path in FILES}
    assert len({path.stem for path in FILES}) == len(FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_what_is_kept_is_current(path):
    """Else: python -m plexusdraw.yamlfile.kept."""
    assert (kept.FOLDER / f"{path.stem}.json").read_text("utf-8") == kept.encoded(path)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_values_and_lines_are_those_of_the_file(path):
    text = read_text(path)
    known, made = kept.document(text, path.name), parse(text, path.name)
    assert known is not None
    assert known.value == made.value
    assert repr(known.value) == repr(made.value)  # also the order, and 1 is not 1.0 or true
    for place in places(made.value):
        for asked in (place, (*place, "not-there"), (*place, 999)):
            assert known.line(asked) == made.line(asked)


def test_another_text_is_parsed(monkeypatch):
    text = read_text(loader._FOLDER / "cervical.yaml")
    edited = text.replace("\nname: cervical plexus", "\nname: cervical plexvs", 1)
    assert kept.document(text, "cervical.yaml") is not None
    assert kept.document(edited, "cervical.yaml") is None
    assert kept.document(text, "no-such.yaml") is None
    monkeypatch.setattr(loader, "read_text", lambda _: edited)
    assert loader.load("cervical").name == "cervical plexvs"


def test_a_file_of_the_user_is_parsed_whatever_its_name(tmp_path, monkeypatch):
    text = read_text(loader._FOLDER / "cervical.yaml")
    asked: list[str] = []
    monkeypatch.setattr(kept, "document", lambda *words: asked.append(words[1]) or Document(None, None))
    file = reader.from_text(loader.KIND, text, str(tmp_path / "cervical.yaml"))
    assert (asked, file.value["id"]) == ([], "cervical")


def test_keeping_anew_takes_away_what_has_no_file(tmp_path, monkeypatch):
    monkeypatch.setattr(kept, "FOLDER", tmp_path / "parsed")
    kept.keep()
    (kept.FOLDER / "gone.json").write_text("{}")
    kept.keep()
    assert {Path(path.name).stem for path in kept.FOLDER.iterdir()} == {path.stem for path in FILES}
