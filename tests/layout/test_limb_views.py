"""States of muscles and areas on a limb: highlit, injured, blank."""

from __future__ import annotations

import pytest

import plexusdraw
from plexusdraw.clinic.injury import injure
from plexusdraw.errors import UnknownNameError
from plexusdraw.layout.checks import texts
from plexusdraw.scene import Label
from plexusdraw.views.limb import STATE

PLEXUS = plexusdraw.load("brachial")


def view(**choices):
    return plexusdraw.figure(PLEXUS, **choices).pages()[0].view


@pytest.mark.parametrize("partial", [False, True])
@pytest.mark.parametrize("sites", [["upper trunk"], ["radial nerve at spiral groove", "ulnar nerve"], ["C8", "T1"]])
@pytest.mark.parametrize("limb", ["skin", "muscles", "dermatomes"])
def test_states_are_those_of_the_injury(limb, sites, partial):
    figure = plexusdraw.figure(PLEXUS, limb=limb, injure=sites, partial=partial)
    injury = injure(PLEXUS, sites, partial)
    drawn = {p.entity for page in figure.pages() for p in page.scene.parts if isinstance(p, Label)}
    for page in figure.pages():
        for id in drawn & {*PLEXUS.muscles, *PLEXUS.skin}:
            here = id in {getattr(p, "entity", "") for p in page.scene.parts}
            if here:
                assert page.view.entity(id) == STATE.get(injury.outcome(id).state, "plain")


def test_the_lines_under_the_limb_count_all_muscles():
    notes = view(limb="muscles", injure="upper trunk").notes
    injury = injure(PLEXUS, ["upper trunk"])
    counts = [
        sum(1 for o in injury.muscles.values() if o.state == s) for s in ("paralysed", "weak", "slight", "spared")
    ]
    paralysed, weak, slight, spared = counts
    assert sum(counts) == len(PLEXUS.muscles)
    assert notes["legend"] == (
        f"Of {len(PLEXUS.muscles)} muscles: {paralysed} paralysed, {weak} weak, {slight} slightly weak, "
        f"{spared} spared."
    )
    assert "deltoid" in notes["legend-1"]


@pytest.mark.parametrize(
    ("naming", "paralysed", "undrawn"),
    [
        ("latin", "Paralysed: diaphragma.", "Not drawn: diaphragma."),
        ("short", "Paralysed: diaphragm.", "Not drawn: diaphragm."),
    ],
)
def test_lists_under_the_limb_name_muscles_as_the_picture_does(naming, paralysed, undrawn):
    (page,) = plexusdraw.figure("cervical", limb="muscles", injure="phrenic nerve", naming=naming).pages()
    assert page.view.notes["legend-1"] == paralysed
    assert undrawn in {text.string for text in texts(page.scene)}


def test_the_caution_stands_under_an_injury():
    scene = plexusdraw.figure(PLEXUS, limb="skin", injure="C5").pages()[0].scene
    assert any(getattr(p, "role", "") == "caution" for p in scene.parts)


def test_highlighting_a_nerve_lights_what_it_reaches():
    found = view(limb="skin", highlight="median nerve").entities
    lit = {id for id, state in found.items() if state == "highlit" and PLEXUS.has(id)}
    assert lit == {"thenar-eminence-and-central-palm", "palmar-lateral-three-and-a-half-digits"}
    assert found["upper-lateral-arm"] == "dimmed"


def test_highlighting_a_root_lights_its_dermatome():
    found = view(limb="dermatomes", highlight="C6").entities
    assert {id for id, state in found.items() if state == "highlit" and PLEXUS.has(id)} == {"c6-dermatome"}


def test_blanks_are_numbered_once_for_each_name():
    figure = plexusdraw.figure(PLEXUS, limb="muscles", hide="labels", key=True)
    blanks = figure.pages()[0].view.blanks
    assert sorted(blanks.values()) == list(range(1, len(blanks) + 1))
    assert figure.key_pages()[0].view.answers == blanks
    assert (
        len({(round(p.blank.w, 6), round(p.blank.h, 6)) for p in figure.pages()[0].scene.parts if isinstance(p, Label)})
        == 1
    )


@pytest.mark.parametrize(
    ("choices", "said"), [({"hide": "trunks"}, "choose from labels"), ({"upto": "trunks"}, "no stages")]
)
def test_what_a_limb_does_not_have_is_said(choices, said):
    with pytest.raises(UnknownNameError, match=said):
        plexusdraw.figure(PLEXUS, limb="skin", **choices).pages()
