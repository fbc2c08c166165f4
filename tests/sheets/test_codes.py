"""Codes of forms: short, told from a slip of the hand, and each makes its form again, byte for byte."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from formpages import brachial, call

from plexusdraw.errors import SheetError
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.sheets.worksheet import codes, stamp
from plexusdraw.sheets.worksheet.spec import Spec

SPECS = [
    Spec(),
    Spec(seed=2),
    Spec(seed=20261126, forms=2),
    Spec(forms=2),
    Spec(forms=2, choosing="all"),
    Spec(forms=2, choosing="same"),
    Spec(kind="table"),
    Spec(kind="label", more=("table",)),
    Spec(kind="table", more=("label",)),
    Spec(ask=("cords",)),
    Spec(ask=("cords", "trunks")),
    Spec(count=3),
    Spec(count=300),
    Spec(only="posterior cord"),
    Spec(kind="injury", only="radial nerve at spiral groove"),
    Spec(kind="limb", only="deltoid"),
    Spec(kind="limb", ask=("dermatomes", "muscles")),
    Spec(level=3),
    Spec(word_bank=True),
    Spec(detail="framework"),
    Spec(page=paper("letter")),
    Spec(page=paper("a4 portrait")),
    Spec(page=paper("250x180")),
    Spec(side="right"),
    Spec(writing="lines"),
    Spec(wording=Wording("latin")),
    Spec(wording=Wording(own=(("C5", "fifth"),))),
]


@pytest.mark.parametrize("spec", SPECS, ids=range(len(SPECS)))
def test_a_code_tells_the_choices(spec):
    told = stamp.read(brachial(), codes.of(stamp.stamp(brachial(), spec), 17), Wording(own=spec.wording.own))
    assert told.number == 17
    assert not told.changed
    assert told.own_labels == bool(spec.wording.own)
    only = {"posterior cord": "posterior-cord"}.get(spec.only, spec.only)
    assert told.spec == replace(spec, only=only)


def test_sets_that_differ_in_a_choice_share_no_code():
    found = [stamp.stamp(brachial(), spec) for spec in SPECS]
    assert len(set(found)) == len(SPECS)


@pytest.mark.parametrize(
    ("one", "other"),
    [("trunk,cords", "trunks,cord"), ("trunks", "superior trunk"[-5:])],
)
def test_spellings_of_one_choice_have_one_code(one, other):
    a, b = (stamp.stamp(brachial(), Spec(ask=tuple(text.split(",")))) for text in (one, other))
    assert a == b


def test_usual_codes_are_short():
    assert len(codes.of(stamp.stamp(brachial(), Spec(forms=24)), 24)) <= 10
    assert len(codes.of(stamp.stamp(brachial(), Spec(kind="choice", page=paper("letter"), forms=24)), 24)) <= 12


def test_any_wrong_character_and_any_two_that_changed_places_are_told():
    code = codes.of(stamp.stamp(brachial(), Spec(seed=7)), 3)
    wrong = {code[:i] + c + code[i + 1 :] for i in range(len(code)) for c in codes.ALPHABET if code[i] != "-"}
    wrong |= {
        code[:i] + code[j] + code[i + 1 : j] + code[i] + code[j + 1 :]
        for i, j in combinations(range(8), 2)
        if "-" not in code[i] + code[j]
    }
    assert [text for text in wrong - {code} if codes.is_code(text)] == []
    assert codes.is_code(code)


def test_a_code_is_read_as_a_hand_writes_it():
    assert codes.parted(" 8kw2m-o1" + codes.of("8KW2M", 1)[-1].lower()) == ("8KW2M", 1)


@pytest.mark.parametrize("text", ["", "x", "-01A", "8KW2M-0A", "8KW2M-²2X", "-", "é-01A", "8KW2M-00A"])
def test_what_is_no_code_is_told(text):
    with pytest.raises(SheetError, match=r"no code of a form|wrong character"):
        codes.parted(text)


@pytest.mark.parametrize(
    "words",
    [
        ("--kind", "label", "--ask", "cords,nerves", "--level", "1"),
        ("--kind", "choice", "--ask", "roots"),
        ("--kind", "match", "--kind", "table", "--paper", "letter"),
        ("--kind", "site"),
        ("--kind", "limb", "--ask", "dermatomes,skin", "--side", "right"),
    ],
    ids=lambda words: words[1],
)
def test_a_form_made_again_is_the_same(tmp_path, words):
    call("-o", str(tmp_path / "set"), "--forms", "2", "--seed", "9", "--key", *words)
    code = sorted(path.stem.removeprefix("form-") for path in (tmp_path / "set").glob("form-*"))[1]
    done = call("-o", str(tmp_path / "again"), "--form", code.lower(), "--key")
    assert "has changed" not in done.stderr
    for what in ("form", "key"):
        one, two = ((tmp_path / place / f"{what}-{code}.pdf").read_bytes() for place in ("set", "again"))
        assert one == two


def test_a_model_that_has_changed_is_told(tmp_path):
    path = tmp_path / "fin.yaml"
    text = (Path(__file__).parent.parent / "models" / "two-stages.yaml").read_text()
    path.write_text(text)
    call(str(path), "-o", str(tmp_path / "set"), "--kind", "table")
    (form,) = (tmp_path / "set").glob("form-*")
    words = ("-o", str(tmp_path / "b.pdf"), "--form", form.stem.removeprefix("form-"))
    path.write_text(f"# a remark\n{text}")
    assert "has changed" not in call(str(path), *words).stderr
    path.write_text(re.sub(r", minor: \[[^\]]*\]", "", text, count=1))
    assert path.read_text() != text
    assert "the model has changed" in call(str(path), *words).stderr


@pytest.mark.parametrize("words", [("--level", "2"), ("--kind", "label"), ("--seed", "1"), ("--all",)])
def test_a_code_leaves_nothing_to_choose(tmp_path, words):
    code = codes.of(stamp.stamp(brachial(), Spec()), 1)
    done = call("-o", str(tmp_path / "a.pdf"), "--form", code, *words)
    assert done.exit_code == 2
    assert words[0] in done.stderr
