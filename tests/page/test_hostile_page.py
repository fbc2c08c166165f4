"""The page of a model whose names are markup and code: they are shown, and nothing of them runs."""

from __future__ import annotations

import hostile
import pytest
from hostile import NAMES, TITLE

from plexusdraw.model import load
from plexusdraw.page import Choices, build

STATES = [
    "",
    "show=nerve-0",
    "show=muscle-4&detail=muscles",
    "mode=injure&cut=nerve-0",
    "mode=find&weak=muscle-0",
    "mode=test",
]


@pytest.fixture(scope="module")
def hostile_file(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    path = folder / "hostile.html"
    path.write_bytes(build(load(hostile.model(folder, NAMES)), Choices(naming="english")))
    return path


@pytest.mark.parametrize("state", STATES)
def test_nothing_of_a_name_runs(chromium, hostile_file, state):
    chromium.log()
    page = chromium.open(hostile_file, state)
    chromium.requests()
    assert page.run("return document.title") == TITLE
    assert page.run("return typeof window.run") == "undefined"
    assert page.run("return document.querySelectorAll('image, img, iframe, svg a, svg script').length") == 0
    assert page.run("return document.scripts.length") == 2
    assert page.run("return [...document.querySelectorAll('*')].filter(e => e.hasAttribute('onerror')).length") == 0
    assert page.log() == []


def test_names_and_notes_are_shown_as_they_are(chromium, hostile_file):
    for i, name in enumerate(NAMES):
        page = chromium.open(hostile_file, f"show=nerve-{i}")
        assert page.text("#content h2").lower() == name.lower()


def test_a_link_with_code_in_it_is_only_a_link(chromium, hostile_file):
    page = chromium.open(
        hostile_file, "show=%3Cscript%3Ewindow.run%3D1%3C/script%3E&cut=%22%3E%3Cimg%20onerror%3Drun%3D1%3E"
    )
    assert page.run("return typeof window.run") == "undefined"
    assert page.run("return document.querySelectorAll('img, #content script').length") == 0
