"""Exports: CSV by RFC 4180, GIFT as an independent reader understands it."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from xml.etree import ElementTree

import pytest
from formpages import PRINT, forms

from plexusdraw.errors import OutputError
from plexusdraw.sheets.worksheet import export

CSV, GIFT = Path("week.csv"), Path("week.gift")


def test_csv_has_a_line_for_each_question():
    rows = list(csv.DictReader(io.StringIO(export.write(forms("label"), CSV).decode())))
    assert len(rows) == 44
    assert rows[0]["picture"] == "week-1-01.svg"
    assert {row["question"].split()[0] for row in rows} == {"Name"}


def test_csv_holds_no_formula():
    assert export._plain("=1+1") == "'=1+1"


@pytest.mark.parametrize("name", ["label", "numbers", "supply", "injury", "site", "table"])
def test_gift_is_understood(name, gift_parser):
    made = forms(name)
    found = gift_parser.parseFile(io.StringIO(export.write(made, GIFT).decode()))
    questions = [q for form in made for q in form.questions]
    assert len(found) == len(questions)
    for got, q in zip(found, questions, strict=True):
        assert got.valid
        kind = type(got.answers).__name__
        assert kind == ("ShortSet" if q.wanted == 1 and not q.drawn else "Essay")
        if kind == "ShortSet":
            assert tuple(a.answer.strip().replace("\\:", ":") for a in got.answers.answers) == q.spellings()


def test_special_characters_are_escaped():
    assert export._escaped("a~b=c#{d}:e") == r"a\~b\=c\#\{d\}\:e"


def test_a_picture_for_each_page_and_none_twice():
    made = list(export.pictures(forms("supply"), CSV, PRINT))
    assert [path.name for path, _ in made] == ["week-1-01.svg", "week-1-01-2.svg"]
    assert all(ElementTree.fromstring(data).tag.endswith("svg") for _, data in made)


def test_unknown_ending_is_said():
    with pytest.raises(OutputError, match=r"exported as .csv or .gift"):
        export.check(Path("week.xlsx"))


def test_same_bytes():
    assert export.write(forms("site"), GIFT) == export.write(forms("site"), GIFT)
