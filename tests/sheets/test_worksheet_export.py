"""Exports: CSV by RFC 4180, GIFT as an independent reader understands it, QTI as a package of well-formed parts."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from formpages import PRINT, brachial, forms, says

from plexusdraw.errors import OutputError
from plexusdraw.scene import Note
from plexusdraw.sheets.worksheet import class_set, export, gift, picture, qti
from plexusdraw.sheets.worksheet.spec import Choice, Form, Option, Pairs, Question, Spec

CSV, GIFT, QTI = Path("week.csv"), Path("week.gift"), Path("week.zip")
SORTS = ["label", "numbers", "supply", "injury", "site", "table", "choice", "match", "cards"]
NS = {"q": qti.QTI, "p": qti.PACKAGE}


def rows(name):
    return list(csv.DictReader(io.StringIO(export.write(forms(name), CSV, PRINT).decode())))


def package(name):
    return zipfile.ZipFile(io.BytesIO(export.write(forms(name), QTI, PRINT)))


def kind_of(question):
    """The class of the reader that a question must come out as."""
    if question.choice:
        return "MultipleChoicesSet" if question.choice.several else "SelectSet"
    if question.pairs:
        return "MatchingSet"
    return "ShortSet" if question.wanted == 1 and not question.drawn else "Essay"


def test_csv_has_a_line_for_each_question():
    found = rows("label")
    assert len(found) == 48
    assert found[0]["picture"] == f"week-{forms('label')[0].code}.svg"
    assert {row["question"].split()[0] for row in found} == {"Name"}


def test_csv_of_cards_is_front_and_back():
    found = rows("cards")
    assert list(found[0]) == ["front", "back", "also right", "kind"]
    deltoid = next(row for row in found if row["front"] == "Which nerve supplies the deltoid?")
    assert deltoid["back"] == "axillary nerve"
    assert {"circumflex nerve", "axillary", "anterior branch of axillary nerve"} <= {*deltoid["also right"].split("; ")}


def test_a_case_is_told_in_each_of_its_questions():
    for name in ("injury", "told", "site"):
        for form in forms(name):
            assert form.stem
            assert all(gift.asked(form, q).startswith(form.stem) for q in form.questions)
    assert re.search(r"Site of the one injury: \w+", forms("injury")[0].stem)


def test_csv_says_why_the_others_are_wrong():
    for row, question in zip(rows("choice"), (q for f in forms("choice") for q in f.questions), strict=True):
        assert row["answers"] in row["options"].split("; ") or "," in row["answers"]
        assert all(f"{o.text}: {o.why}" in row["why the others are wrong"] for o in question.choice.options if o.why)


def test_csv_holds_no_formula():
    assert export._plain("=1+1") == "'=1+1"


@pytest.mark.parametrize("name", SORTS)
def test_gift_is_understood(name, gift_parser):
    made = forms(name)
    found = gift_parser.parseFile(io.StringIO(export.write(made, GIFT, PRINT).decode()))
    questions = [q for form in made for q in form.questions]
    assert len(found) == len(questions)
    for got, q in zip(found, questions, strict=True):
        assert got.valid
        assert type(got.answers).__name__ == kind_of(q)
        if kind_of(q) == "ShortSet":
            assert tuple(a.answer.strip().replace("\\:", ":") for a in got.answers.answers) == q.spellings()
        elif q.choice:
            right = {a.answer for a in got.answers.answers if a.fraction > 0}
            assert right == {o.text for o in q.choice.options if o.right}
            assert [a.feedback or "" for a in got.answers.answers] == [
                o.why.replace(":", "\\:") for o in q.choice.options
            ]
        elif q.pairs:
            told = {(a.question.strip(), a.answer.strip()) for a in got.answers.answers if a.question.strip()}
            assert told == {(a, q.pairs.right[i]) for a, i in zip(q.pairs.left, q.pairs.partner, strict=True)}


def test_special_characters_are_escaped():
    assert gift._escaped("a~b=c#{d}:e") == r"a\~b\=c\#\{d\}\:e"


def test_pairs_that_hold_an_arrow_become_an_essay():
    pairs = Pairs(("a -> b", "c", "d"), ("x", "y", "z"), (0, 1, 2))
    said = gift._item(forms("choice")[0], Question(1, "Match.", ("a -> b: x",), pairs=pairs), GIFT)
    assert "####" in said


@pytest.mark.parametrize(("right", "wrong"), [(1, 1), (2, 3), (3, 5), (4, 2), (5, 5)])
def test_shares_of_a_choice_are_those_that_platforms_take(right, wrong, gift_parser):
    """Shares: 100, 50, 33.33333, 25, 20 and the like (common practice of platforms that read GIFT)."""
    options = tuple(Option(f"r{i}", True) for i in range(right)) + tuple(Option(f"w{i}") for i in range(wrong))
    question = Question(1, "Which?", ("r0",), choice=Choice("Which?", options, True))
    (got,) = gift_parser.parseFile(io.StringIO(gift.gift([Form("1-1", (), (), (question,))], GIFT).decode()))
    assert got.valid
    assert {abs(a.fraction) for a in got.answers.answers} <= {100.0, 50.0, 33.33333, 25.0, 20.0}


def test_a_picture_for_each_drawing_and_none_for_lines_to_write_on():
    made = list(export.pictures(forms("supply"), CSV, PRINT))
    assert [path.name for path, _ in made] == [f"week-{forms('supply')[0].code}.svg"]
    assert all(ElementTree.fromstring(data).tag.endswith("svg") for _, data in made)
    assert list(export.pictures(forms("choice"), CSV, PRINT)) == []


def test_a_picture_has_no_lines_for_the_name():
    page = forms("label")[0].pages[0]
    scene, _ = picture.cropped(page)
    said = " ".join(p.text.string for p in scene.parts if isinstance(p, Note))
    assert "Name" not in said
    assert "left upper limb" in said
    assert scene.height < page[0].height


def test_unknown_ending_is_said():
    with pytest.raises(OutputError, match=r"exported as .csv, .gift or .zip"):
        export.check(Path("week.xlsx"))


@pytest.mark.parametrize("path", [CSV, GIFT, QTI])
def test_same_bytes(path):
    again = list(class_set.forms(brachial(), Spec(kind="choice", forms=2)))
    assert export.write(forms("choice"), path, PRINT) == export.write(again, path, PRINT)


@pytest.mark.parametrize("name", [*SORTS, "draw", "recall"])
def test_a_package_is_whole(name):
    """As IMS Content Packaging 1.1 asks: a manifest at the root names every file, every reference leads to one."""
    held = package(name)
    assert held.testzip() is None
    manifest = ElementTree.fromstring(held.read("imsmanifest.xml"))
    resources = {r.get("identifier"): r for r in manifest.iterfind("p:resources/p:resource", NS)}
    named = {f.get("href") for f in manifest.iterfind(".//p:file", NS)}
    assert named | {"imsmanifest.xml"} == set(held.namelist())
    assert {d.get("identifierref") for d in manifest.iterfind(".//p:dependency", NS)} <= set(resources)
    test = ElementTree.fromstring(held.read("test.xml"))
    refs = [r.get("href") for r in test.iterfind(".//q:assessmentItemRef", NS)]
    assert len(refs) == len(set(refs)) == sum(len(form.questions) for form in forms(name))
    assert set(refs) <= named
    for href in refs:
        item = ElementTree.fromstring(held.read(href))
        shown = {image.get("src").removeprefix("../") for image in item.iterfind(".//q:img", NS)}
        assert shown <= named
        id = href.removeprefix("items/").removesuffix(".xml")
        needs = {d.get("identifierref") for d in resources[id].iterfind("p:dependency", NS)}
        assert {resources[need].get("href") for need in needs} == shown


ORDER = ("responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing")
"""Order of the parts of an item in the QTI 2.2 information model, those that are used here."""


@pytest.mark.parametrize("name", [*SORTS, "draw", "recall"])
def test_an_item_says_what_is_right_where_it_is_marked_and_nowhere_else(name):
    held = package(name)
    for form in forms(name):
        for question in form.questions:
            item = ElementTree.fromstring(held.read(f"items/{qti._id(form, question)}.xml"))
            tags = [child.tag.split("}")[1] for child in item]
            assert tags == [tag for tag in ORDER if tag in tags]
            body = item.find("q:itemBody", NS)
            assert len(body.findall(".//q:rubricBlock[@view='scorer']", NS)) == (
                item.find("q:responseProcessing", NS) is None
            )
            if kind_of(question) == "ShortSet" and not question.card:
                mapped = {e.get("mapKey").casefold() for e in item.iterfind(".//q:mapEntry", NS)}
                assert mapped == {text.casefold() for text in question.spellings()}
                said = " ".join([*body.itertext(), *(v for e in body.iter() for v in e.attrib.values())])
                given = form.stem + question.prompt
                assert not [s for s in question.spellings() if says(said, s) and not says(given, s)]


@pytest.mark.parametrize("name", ["label", "muscles", "supply", "injury", "site", "table", "draw", "recall"])
def test_alt_texts_and_file_names_tell_nothing(name):
    for form in forms(name):
        told = [picture.alt(page) for page in picture.pages(form)]
        told += [picture.file_name(form, CSV, i) for i in range(1, len(told) + 1)]
        spelled = {s for q in form.questions for s in q.spellings()}
        assert told
        assert [(s, text) for s in spelled for text in told if says(text, s)] == []
