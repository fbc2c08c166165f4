"""What must hold of every page: nothing collides, nothing leaves it, type stays readable."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from randoms import MODELS

import plexusdraw
from plexusdraw.api import Figure
from plexusdraw.errors import FitError
from plexusdraw.layout.checks import faults, texts

DETAILS = ("framework", "nerves", "muscles")
PAPERS = ("a4", "a4 portrait", "letter", "letter portrait", "16:9", "4:3", "square", "260x190", "a3", "a0", "fit")


def scenes(figure: Figure):
    return [page.scene for page in figure.pages()]


@pytest.mark.parametrize("detail", DETAILS)
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_collides_or_leaves_the_page(brachial, paper, detail):
    figure = plexusdraw.figure(brachial, paper=paper, detail=detail)
    assert [f for scene in scenes(figure) for f in faults(scene)] == []


@pytest.mark.parametrize("detail", DETAILS)
@pytest.mark.parametrize("paper", ["a4", "letter", "a4 portrait"])
def test_text_on_paper_is_at_least_6_pt(brachial, paper, detail):
    figure = plexusdraw.figure(brachial, paper=paper, detail=detail)
    assert min(text.size for scene in scenes(figure) for text in texts(scene)) >= 6


@pytest.mark.parametrize(("paper", "least"), [("16:9", 14.0), ("4:3", 10.5)])
def test_text_on_a_slide_is_read_from_the_back_row(brachial, paper, least):
    """14 pt on a slide 13.33 in wide, and the same share of a 10 in one."""
    page = plexusdraw.figure(brachial, paper=paper, detail="nerves", injure="upper trunk").pages()[0]
    assert min(text.size for text in texts(page.scene)) >= least


@pytest.mark.parametrize("naming", ["short", "english", "latin"])
@pytest.mark.parametrize("with_roots", [False, True])
@pytest.mark.parametrize("side", ["left", "right"])
def test_every_name_style_and_side_is_free_of_faults(brachial, naming, with_roots, side):
    figure = plexusdraw.figure(brachial, naming=naming, with_roots=with_roots, side=side, paper="a3")
    assert [f for scene in scenes(figure) for f in faults(scene)] == []


def test_the_supply_table_has_its_place_on_one_a4_page(brachial):
    assert len(plexusdraw.figure(brachial, detail="muscles", paper="a4").pages()) == 1


@pytest.mark.parametrize("path", sorted(MODELS.glob("*.yaml")), ids=lambda p: p.stem)
@pytest.mark.parametrize("detail", DETAILS)
def test_other_plexuses_hold_too(path, detail):
    figure = plexusdraw.figure(path, detail=detail, paper="fit")
    assert [f for scene in scenes(figure) for f in faults(scene)] == []


@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    seed=st.integers(0, 10_000),
    roots=st.integers(1, 12),
    stages=st.integers(2, 7),
    width=st.integers(1, 5),
    branches=st.integers(0, 8),
    long_names=st.booleans(),
    detail=st.sampled_from(DETAILS),
    paper=st.sampled_from(["fit", "a4", "a3 portrait"]),
)
def test_random_models_hold_or_are_refused(
    random_plexus, seed, roots, stages, width, branches, long_names, detail, paper
):
    plexus = random_plexus(seed, roots=roots, stages=stages, width=width, branches=branches, long_names=long_names)
    try:
        pages = scenes(plexusdraw.figure(plexus, detail=detail, paper=paper))
    except FitError as error:
        assert paper != "fit"
        assert "--paper" in str(error)
        return
    assert [f for scene in pages for f in faults(scene)] == []


def test_a_page_too_small_names_the_paper_that_would_do(brachial):
    with pytest.raises(FitError, match="it fits --paper a4"):
        plexusdraw.figure(brachial, paper="120x90").pages()


def test_the_same_choices_give_the_same_scene(brachial):
    from plexusdraw.layout.fit import Options, layout
    from plexusdraw.routes.fibres import of

    assert layout(brachial, of(brachial), Options()) == layout(brachial, of(brachial), Options())


def test_the_checks_see_a_fault(brachial):
    """A label moved onto another strand, and one moved off the page, are found."""
    from dataclasses import replace

    from plexusdraw.scene import Box, Label

    scene = scenes(plexusdraw.figure(brachial))[0]
    label = next(p for p in scene.parts if isinstance(p, Label) and p.entity == "ulnar-nerve")
    over = replace(label, blank=Box(20, scene.height / 2 - 40, 200, 80))
    away = replace(label, blank=Box(scene.width, 10, 20, 5))
    found = faults(replace(scene, parts=(*scene.parts, over)))
    assert any("stands on a strand" in f for f in found)
    assert any("meets" in f for f in found)
    assert any("leaves the page" in f for f in faults(replace(scene, parts=(*scene.parts, away))))
