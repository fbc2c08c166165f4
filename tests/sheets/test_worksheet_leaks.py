"""The answer stands nowhere in a form: not in its text, tags, alt texts, metadata, ids or widths."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest
from formpages import SETS, brachial, everything, forms, pdf, save, says, shown, svg

from plexusdraw.scene import Label, Note, Pill, Strand
from plexusdraw.scene.transform import changed

ASKING = [name for name in SETS if name not in ("draw", "recall", "choice", "match", "cards", "sections")]
"""What is drawn is no text; the sheet from nothing is tested on its own, and so are answers that stand to choose."""


def secrets(form):
    """Every answer and spelling, less those that a label which is not asked says in the same words.

    Lists in a table are left out: other rows give the same roots and muscles. See the test of its cells.
    """
    given = " | ".join(text for scene, view in form.pages for text in shown(scene, view))
    if form.questions[0].key and form.questions[0].key[0].startswith("cell"):
        given += " | ".join(m.name for m in brachial().muscles.values())  # "ulnar half" is no nerve
    case = " ".join(p.text.string for p in form.pages[0][0].parts if isinstance(p, Note) and p.role == "orientation")
    asked = [q for q in form.questions if not q.drawn and not (q.key and q.key[0].startswith("cell") and q.wanted > 1)]
    spelled = {s for q in asked for s in q.spellings()}
    return sorted(s for s in spelled if not says(given, s) and not says(case, s))


def leaks(lines, form):
    return [(s, line) for s in secrets(form) for line in lines if says(line, s)]


@pytest.mark.parametrize("name", ASKING)
def test_no_answer_in_a_pdf(name):
    for form in forms(name):
        lines = everything(pdf(form.pages))
        assert len(lines) > 20
        assert leaks(lines, form) == []


@pytest.mark.parametrize("name", [n for n in ASKING if n != "table"])
def test_no_answer_in_an_svg(name):
    form = forms(name)[0]
    for page in form.pages:
        text = re.sub(r"base64,[A-Za-z0-9+/=]+|text-anchor=\"middle\"", "", svg(page))
        words = [part.replace("-", " ") for part in re.findall(r'"[^"]*"|>[^<]+<', text)]
        assert len(words) > 20
        assert leaks(words, form) == []


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="no pdftotext")
@pytest.mark.parametrize("name", [n for n in ASKING if n != "table"])
def test_no_answer_for_another_reader(name, tmp_path):
    form = forms(name)[-1]
    (tmp_path / "form.pdf").write_bytes(pdf(form.pages))
    said = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "form.pdf", "-"], capture_output=True, text=True, check=True
    )
    assert "Name" in said.stdout
    assert leaks(said.stdout.splitlines(), form) == []


def test_the_search_finds_an_answer_in_the_key():
    form = forms("label")[0]
    assert len({s for s, _ in leaks(everything(pdf(form.key)), form)}) > 20


def test_blanks_of_a_kind_have_one_width():
    (scene, view), *_ = forms("label")[0].pages
    found = {}
    for part in scene.parts:
        if isinstance(part, Label | Pill) and (part.entity, "name") in view.blanks:
            box = part.blank if isinstance(part, Label) else part.box
            found.setdefault(part.kind, set()).add((round(box.w, 6), round(box.h, 6)))
    assert {kind: len(sizes) for kind, sizes in found.items()} == dict.fromkeys(found, 1)


def test_cells_left_out_hold_a_number_and_a_count():
    for form in forms("table"):
        notes = [p for p in form.pages[0][0].parts if isinstance(p, Note) and p.role == "table-heading"]
        numbers = [p for p in notes if p.text.string.isdigit()]
        assert len(numbers) == len(form.questions)
        for number in numbers:
            x, y = number.text.x, number.text.y
            line = [p.text for p in notes if abs(p.text.y - y) < 0.1 and p.text.x > x]
            nearest = min((t.x - x for t in line), default=99.0)
            assert nearest > 30.0, "the rest of the cell is free"


def test_what_is_left_out_is_not_in_the_file():
    form = forms("draw")[0]
    ((scene, view),) = form.pages
    gone = {p for p in scene.parts if isinstance(p, Strand) and (p.entity, p.root, p.source, p.at) in view.strands}
    less = changed(scene, lambda part: None if part in gone else part)
    assert len(gone) > 20
    assert svg((scene, view)).count("data-root") == svg((less, view)).count("data-root")


def test_nothing_but_headings_from_nothing():
    (page,) = forms("recall")[0].pages
    words = set(re.findall(r">([^<>]+)</text>", svg(page)))
    assert {"ROOTS", "TRUNKS", "DIVISIONS", "CORDS", "TERMINAL BRANCHES"} < words
    assert not any(says(word, e.name) for word in words for e in brachial().segments.values())


def test_file_names_hold_a_number_only(tmp_path):
    made = save(forms("label"), tmp_path / "set", "file", False)
    names = {path.name for path in made}
    assert names == {f"{what}-{form.code}.pdf" for form in forms("label") for what in ("form", "key")}
