"""A view moves nothing, and says what was asked."""

from __future__ import annotations

import pytest

import plexusdraw
from plexusdraw import api
from plexusdraw.errors import UnknownNameError
from plexusdraw.layout.checks import worded
from plexusdraw.layout.labels import supplied
from plexusdraw.scene import Row, Scene, Strand

CHOICES = [
    {"highlight": "C7"},
    {"hide": "labels"},
    {"hide": "labels", "key": True},
    {"injure": "upper trunk"},
    {"injure": ["radial nerve at spiral groove", "T1"], "partial": True},
    {"upto": "trunks"},
]


@pytest.mark.parametrize("choice", CHOICES, ids=str)
@pytest.mark.parametrize("detail", ["nerves", "muscles"])
def test_no_coordinate_changes(brachial, choice, detail):
    plain = plexusdraw.figure(brachial, detail=detail).pages()[0].scene
    other = plexusdraw.figure(brachial, detail=detail, **choice).pages()[0].scene
    assert other == plain


@pytest.mark.parametrize("nerve", ["", "radial nerve"])
def test_a_plexus_laid_out_is_laid_out_once_for_all_that_is_asked_of_it(brachial, nerve, monkeypatch):
    calls = []
    lay_out = api.layout
    monkeypatch.setattr(api, "layout", lambda *given: calls.append(given) or lay_out(*given))
    api.scenes.cache_clear()
    for choice in (
        {},
        {"highlight": "C7"},
        {"injure": "radial nerve at spiral groove"},
        {"title": "Mine"},
        *CHOICES[:4],
    ):
        plexusdraw.figure(brachial, nerve=nerve, **choice).render("svg")
    assert len(calls) == 1


def test_the_title_says_what_is_asked_and_where_the_table_stands(brachial):
    pages = plexusdraw.figure(brachial, detail="muscles", paper="a4 portrait", highlight="C7").pages()
    assert [page.scene.table for page in pages] == ["none", "alone"]
    assert [page.view.title for page in pages] == ["Brachial plexus: C7", "Brachial plexus: C7: supply"]


@pytest.mark.parametrize(("paper", "medium", "margin"), [("a4", "paper", 10.0), ("16:9", "slide", 6.0)])
def test_a_page_says_its_medium_and_its_margin(brachial, paper, medium, margin):
    """Nothing stands in the margin but what the page says of itself at its edge."""
    scene = plexusdraw.figure(brachial, paper=paper, detail="framework").pages()[0].scene
    assert (scene.medium, scene.margin) == (medium, margin)
    boxes = [w.box for w in worded(scene) if w.what]
    assert min(b.x for b in boxes) == pytest.approx(margin, abs=0.5)
    assert max(b.right for b in boxes) <= scene.width - margin + 0.5


def test_rows_say_under_which_nerve_they_stand(brachial):
    """Brachialis has a row under each of its two nerves: tests/published/muscle_supply.csv."""
    scene = plexusdraw.figure(brachial, detail="muscles").pages()[0].scene
    rows = [p for p in scene.parts if isinstance(p, Row)]
    assert {p.nerve for p in rows if p.entity == "brachialis"} == {"musculocutaneous-nerve", "radial-nerve"}
    assert all(p.entity in {t.id for t in supplied(brachial, p.nerve)} for p in rows)


def states(figure, entity):
    page = figure.pages()[0]
    return {
        (p.root, page.view.strand((p.entity, p.root, p.source, p.at)))
        for p in page.scene.parts
        if isinstance(p, Strand) and p.entity == entity
    }


def test_a_root_lights_its_fibres_from_end_to_end(brachial):
    figure = plexusdraw.figure(brachial, highlight="C7")
    for entity in ("C7", "middle-trunk", "posterior-cord", "radial-nerve", "median-nerve", "thoracodorsal-nerve"):
        assert ("C7", "highlit") in states(figure, entity), entity
        assert not any(root != "C7" and state == "highlit" for root, state in states(figure, entity))
    assert states(figure, "ulnar-nerve") == {("C8", "dimmed"), ("T1", "dimmed")}


def test_a_trunk_lights_only_what_passes_through_it(brachial):
    figure = plexusdraw.figure(brachial, highlight="upper trunk")
    assert {("C5", "highlit"), ("C6", "highlit")} == states(figure, "axillary-nerve")
    assert states(figure, "dorsal-scapular-nerve") == {("C5", "dimmed")}
    assert {state for _, state in states(figure, "medial-cord")} == {"dimmed"}


def test_a_muscle_lights_its_routes_back_to_its_roots(brachial):
    """Biceps brachii by the lateral cord from C5, C6 (C7 minor): tests/published/muscle_supply.csv."""
    figure = plexusdraw.figure(brachial, highlight="biceps brachii", detail="muscles")
    lit = {
        p.entity
        for p in figure.pages()[0].scene.parts
        if isinstance(p, Strand) and figure.pages()[0].view.strand((p.entity, p.root, p.source, p.at)) == "highlit"
    }
    assert {
        "C5",
        "C6",
        "upper-trunk",
        "anterior-division-of-upper-trunk",
        "lateral-cord",
        "musculocutaneous-nerve",
    } <= lit
    assert not lit & {"posterior-cord", "median-nerve", "suprascapular-nerve", "T1"}
    assert figure.pages()[0].view.entity("biceps-brachii") == "highlit"
    assert figure.pages()[0].view.entity("deltoid") == "dimmed"


def test_an_injury_is_lost_downstream_only(brachial):
    figure = plexusdraw.figure(brachial, injure="upper trunk")
    assert {state for _, state in states(figure, "C5")} == {"plain"}
    assert states(figure, "axillary-nerve") == {("C5", "lost"), ("C6", "lost")}
    assert ("C7", "plain") in states(figure, "musculocutaneous-nerve")
    assert ("C5", "lost") in states(figure, "musculocutaneous-nerve")
    assert {state for _, state in states(figure, "dorsal-scapular-nerve")} == {"plain"}
    assert figure.pages()[0].view.cuts == (("upper-trunk", 0),)


def test_a_cut_after_a_branch_spares_it(brachial):
    figure = plexusdraw.figure(brachial, injure="upper trunk after suprascapular nerve")
    assert {state for _, state in states(figure, "suprascapular-nerve")} == {"plain"}
    assert states(figure, "axillary-nerve") == {("C5", "lost"), ("C6", "lost")}


def test_a_cut_of_a_link_spares_the_other_root_of_its_nerve(brachial):
    figure = plexusdraw.figure(brachial, injure="lateral root of median nerve")
    arrived = {(root, state) for root, state in states(figure, "median-nerve")}
    assert {("C6", "lost"), ("C7", "lost"), ("C8", "plain"), ("T1", "plain")} <= arrived
    assert figure.pages()[0].view.cuts == (("lateral-root-of-median-nerve", 0),)


def test_rows_say_the_state_in_words(brachial):
    page = plexusdraw.figure(brachial, injure="axillary nerve", detail="muscles").pages()[0]
    assert page.view.words["deltoid"] == "paralysed"
    assert "biceps-brachii" not in page.view.words
    assert {p.entity for p in page.scene.parts if isinstance(p, Row)} >= set(page.view.words)


def test_upto_hides_later_stages_and_keeps_their_place(brachial):
    page = plexusdraw.figure(brachial, upto="trunks").pages()[0]
    assert page.view.entity("lateral-cord") == "hidden"
    assert page.view.entity("upper-trunk") == "plain"
    assert page.view.entity("suprascapular-nerve") == "plain"
    assert page.view.entity("lateral-pectoral-nerve") == "hidden"


def test_blanks_are_numbered_in_reading_order_without_gaps(brachial):
    view = plexusdraw.figure(brachial, hide=["trunks", "cords"]).pages()[0].view
    assert sorted(view.blanks.values()) == list(range(1, 7))
    assert (
        view.blanks["upper-trunk", "name"] < view.blanks["middle-trunk", "name"] < view.blanks["lateral-cord", "name"]
    )


@pytest.mark.parametrize("side", ["left", "right"])
def test_the_table_beside_a_drawing_is_numbered_after_the_drawing(brachial, side):
    page = plexusdraw.figure(brachial, hide="labels", detail="muscles", side=side).pages()[0]
    rows = {p.entity for p in page.scene.parts if isinstance(p, Row)}
    drawn = [n for (id, _), n in page.view.blanks.items() if id not in rows]
    assert sorted(drawn) == list(range(1, len(drawn) + 1))
    under = {s.id for s in brachial.skin.values()}  # the skin stands under the drawing, read after the muscles
    heights = {p.entity: p.name.y for p in reversed(page.scene.parts) if isinstance(p, Row)}
    numbered = [id for id, _ in sorted(page.view.blanks, key=page.view.blanks.__getitem__) if id in rows]
    muscles = [id for id in numbered if id not in under]
    assert numbered[: len(muscles)] == muscles == sorted(muscles, key=heights.__getitem__)


def test_numbers_run_through_the_pages_and_the_key_has_the_same(brachial):
    figure = plexusdraw.figure(brachial, hide="labels", detail="muscles", paper="a4 portrait", key=True)
    blanks = [page.view.blanks for page in figure.pages()]
    assert blanks[0] == blanks[1]
    assert [page.view.answers for page in figure.key_pages()] == blanks


@pytest.mark.parametrize(("choice", "message"), [({"hide": "trees"}, "cannot hide"), ({"upto": "twigs"}, "no stage")])
def test_unknown_kinds_are_named(brachial, choice, message):
    with pytest.raises(UnknownNameError, match=message):
        plexusdraw.figure(brachial, **choice).pages()


def test_nerves_are_side_branches_and_the_last_column_alike(brachial):
    asked = {id for id, _ in plexusdraw.figure(brachial, hide="nerves").pages()[0].view.blanks}
    assert {"radial-nerve", "thoracodorsal-nerve"} <= asked
    alone = {id for id, _ in plexusdraw.figure(brachial, hide="side branches").pages()[0].view.blanks}
    assert asked - alone == {s.id for s in brachial.staged("branches")}


@pytest.mark.parametrize("partial", [False, True])
@pytest.mark.parametrize("detail", ["nerves", "muscles"])
def test_the_legend_speaks_of_what_the_picture_shows(brachial, detail, partial):
    view = plexusdraw.figure(brachial, injure="C8", partial=partial, detail=detail).pages()[0].view
    legend = view.notes["legend"]
    assert ("cross" in legend) == (detail == "muscles")
    assert ("grey" in legend.lower()) == (not partial)
    assert "in part" in legend or not partial


def _said(model: str, **choices) -> list[tuple[Scene, str]]:
    """The pages of a picture and their legends as laid out."""
    scenes = [page.scene for page in plexusdraw.figure(model, **choices).pages()]
    return [(s, " ".join(p.text.string for p in s.parts if getattr(p, "role", "") == "legend")) for s in scenes]


@pytest.mark.parametrize(
    ("model", "choices"),
    [
        ("lumbosacral", {"detail": "framework"}),
        ("lumbosacral", {"detail": "nerves"}),
        ("lumbosacral", {"detail": "muscles"}),
        ("lumbosacral", {"detail": "muscles", "paper": "a3"}),
        ("lumbosacral", {"detail": "muscles", "paper": "a1 portrait"}),
        ("cervical", {"detail": "muscles", "paper": "legal portrait"}),
        ("cervical", {"nerve": "phrenic nerve"}),
        ("lumbosacral", {"nerve": "obturator nerve"}),
    ],
)
def test_strands_and_dots_are_explained_where_they_are_and_minor_shares_alike(model, choices):
    for scene, legend in _said(model, **choices):
        drawn = [p for p in scene.parts if isinstance(p, Strand)]
        dots = [d for p in scene.parts if isinstance(p, Row) for d in p.dots]
        assert ("One strand" in legend) == bool(drawn)
        assert ("hollow" in legend) == any(p.minor for p in drawn)
        assert ("One dot" in legend) == bool(dots)
        assert ("ring" in legend) == any(d.minor for d in dots)
