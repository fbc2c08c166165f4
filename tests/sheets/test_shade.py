"""Shade what an injury takes: only what the limb shows is asked, and its key shows all of it."""

from __future__ import annotations

import pytest

from plexusdraw.errors import SheetError
from plexusdraw.layout.labels import Wording
from plexusdraw.model import load
from plexusdraw.scene import Area, Heading
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Spec


@pytest.mark.parametrize("name", ["brachial", "lumbosacral", "cervical"])
def test_every_answer_is_an_area_that_the_key_fills(name):
    plexus = load(name)
    for form in class_set.forms(plexus, Spec(kind="shade", forms=12)):
        key = form.key[0]
        drawn = {part.entity for part in key.scene.parts if isinstance(part, Area)}
        filled = {plexus.entity(id).name for id in drawn if plexus.has(id) and key.view.entity(id) != "plain"}
        assert form.questions, form.code
        for question in form.questions:
            assert set(question.answers) <= filled, form.stem


def test_where_no_muscle_makes_a_case_skin_without_feeling_does():
    found = tuple(class_set.forms(load("cervical"), Spec(kind="shade", forms=4)))
    assert len({form.stem for form in found}) == 4
    assert all(any("Skin areas without feeling" in q.prompt for q in form.questions) for form in found)


def test_a_site_that_takes_nothing_of_the_limb_is_refused():
    """The diaphragm is on no picture of the neck."""
    with pytest.raises(SheetError, match="shows no muscle or skin that an injury of phrenic nerve takes"):
        tuple(class_set.forms(load("cervical"), Spec(kind="shade", only="phrenic nerve")))


def test_words_over_the_figures_are_in_the_language_of_the_names():
    (form,) = class_set.forms(load("cervical"), Spec(kind="shade", wording=Wording("latin")))
    heads = {part.text.string for part in form.pages[0].scene.parts if isinstance(part, Heading)}
    assert {"Lateralis, superficialis", "Lateralis, profundus", "Lateralis, cutis"} == heads
