"""The page on agreement is up to date, and says what it must."""

from __future__ import annotations

import sys

import pytest
from scripts import GALLERY, script

agreement = script("agreement")
PAGE = (GALLERY / "AGREEMENT.md").read_text("utf-8")


def run(monkeypatch, *words):
    monkeypatch.setattr(sys, "argv", ["agreement.py", *words])
    return agreement.main()


def test_the_page_is_not_stale(monkeypatch):
    assert run(monkeypatch, "--check") == 0


def test_check_writes_nothing_and_fails_when_stale(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(agreement, "PAGE", tmp_path / "AGREEMENT.md")
    assert run(monkeypatch, "--check") == 1
    assert "stale" in capsys.readouterr().out
    assert not list(tmp_path.iterdir())
    assert run(monkeypatch) == 0
    assert run(monkeypatch, "--check") == 0


def test_every_disagreement_has_its_reason():
    assert "(open)" not in PAGE
    for because in agreement.reasons().values():
        assert because.split(":")[0] in ("facts", "rule", "sources")
        assert because in PAGE


@pytest.mark.parametrize("name", ["vignettes", "pairs"])
def test_every_injury_is_on_the_page(name):
    for case in agreement.document("vignettes")[name]:
        assert f"| {case['id'] if name == 'vignettes' else ' or '.join(case['cut'])}" in PAGE


def test_every_question_and_muscle_is_on_the_page():
    for case in agreement.document("inverse")["questions"]:
        assert f"| {case['id']} |" in PAGE
    for row in agreement.table("muscle_supply"):
        assert f"| {row['muscle']} | {row['nerve']} | {row['source']} | {row['seen']} |" in PAGE


def test_a_claim_that_is_wrong_is_told():
    told = {"cut": ["C8"], "paralysed": ["deltoid"], "reflexes": {"biceps-reflex": ["absent"]}, "horner": True}
    assert [claim.text for claim in agreement.claims(told) if not claim.agrees] == [
        "paralysed deltoid",
        "biceps reflex absent",
        "sign horner-syndrome",
    ]


def test_a_row_of_supply_that_is_wrong_is_told():
    row = {"muscle": "deltoid", "nerve": "axillary-nerve", "roots": "C5 C6", "minor": "", "relation": "same"}
    assert agreement.muscle_row_agrees(row)
    assert not agreement.muscle_row_agrees(row | {"nerve": "radial-nerve"})
    assert not agreement.muscle_row_agrees(row | {"roots": "C5 C7"})
