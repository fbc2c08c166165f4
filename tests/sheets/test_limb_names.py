"""Name what is numbered on the limb: what is asked, where its number stands, what a form must not tell."""

from __future__ import annotations

import csv
import io
import re
from functools import cache
from pathlib import Path

import pytest
from formpages import PRINT, says
from night import by_day

from plexusdraw import charts
from plexusdraw.errors import ModelError, SheetError, UnknownNameError
from plexusdraw.layout import checks
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model import load
from plexusdraw.scene import Area, Label, Note, Shape
from plexusdraw.sheets.worksheet import class_set, export, stamp
from plexusdraw.sheets.worksheet.registry import ON_LIMB, REGISTRY
from plexusdraw.sheets.worksheet.spec import Spec

MODELS = ("brachial", "lumbosacral", "cervical")
PAPERS = ("a4", "a4 portrait", "letter", "letter portrait")
LEAST_LIMB_MM = 75.0


@cache
def model(name):
    return load(name)


@cache
def made(name="brachial", **choices):
    return tuple(class_set.forms(model(name), Spec(kind="limb", **choices)))


def words(page):
    return [p.text.string for p in page.scene.parts if isinstance(p, Note)]


def drawn(plexus, ask):
    """All of a model that its chart shows, from the chart itself."""
    chart = charts.of(plexus)
    if ask == "muscles":
        return {muscle.id for muscle in chart.muscles} & set(plexus.muscles)
    return {patch.id for tiling in chart.tilings[ask].values() for patch in tiling.patches} & set(plexus.skin)


@pytest.mark.parametrize("ask", ON_LIMB)
@pytest.mark.parametrize("name", MODELS)
def test_a_form_asks_all_of_the_model_that_is_drawn(name, ask):
    (form,) = made(name, ask=(ask,))
    assert {q.key[0] for q in form.questions} == drawn(model(name), ask)
    assert len({q.key for q in form.questions}) == len(form.questions)


@pytest.mark.slow
@pytest.mark.parametrize("size", by_day(PAPERS, ["a4", "letter portrait"]))
@pytest.mark.parametrize("ask", ON_LIMB)
@pytest.mark.parametrize("name", [MODELS[0], *(pytest.param(name, marks=pytest.mark.nightly) for name in MODELS[1:])])
def test_figures_and_lines_share_a_page(name, ask, size):
    """One page, of muscles one for each layer; nothing collides, and the limb is large enough."""
    (form,) = made(name, ask=(ask,), page=paper(size))
    assert len(form.pages) == (2 if ask == "muscles" else 1)
    for page in form.pages:
        assert checks.faults(page.scene) == []
        bodies = [p.curve for p in page.scene.parts if isinstance(p, Shape) and p.role == "body"]
        assert max(max(y for _, y in c) - min(y for _, y in c) for c in bodies) > LEAST_LIMB_MM
        said = words(page)
        own = {str(n) for n in page.view.blanks.values()}
        assert own & set(said)
    said = [text for page in form.pages for text in words(page)]
    assert all(said.count(str(q.number)) == 1 for q in form.questions)


def test_a_muscle_seen_in_both_layers_has_one_number_and_no_name_anywhere():
    (form,) = made(ask=("muscles",))
    front, back = (page.view.blanks for page in form.pages)
    both = front.keys() & back.keys()
    assert both
    assert all(front[key] == back[key] for key in both)
    for page in form.pages:
        labels = {(p.entity, "name") for p in page.scene.parts if isinstance(p, Label)}
        assert {key for key in labels if key[0] in model("brachial").muscles} == set(page.view.blanks)


def test_answers_stand_where_the_chart_has_them():
    """The leader of each number ends on its own area."""
    (form,) = made(ask=("dermatomes",))
    answers = {q.number: q.answers[0] for q in form.questions}
    (page,) = form.pages
    assert {answers[n]: id for (id, _), n in page.view.blanks.items()} == {
        f"{root}": f"{root.lower()}-dermatome" for root in ("C5", "C6", "C7", "C8", "T1")
    }


def test_what_no_nerve_of_the_plexus_supplies_keeps_its_name():
    (form,) = made()
    (page,) = form.pages
    labels = {p.entity for p in page.scene.parts if isinstance(p, Label)}
    outside = labels - {key[0] for key in page.view.blanks}
    assert outside == {"top-of-shoulder", "axilla-and-upper-medial-arm"}


def test_the_legend_names_no_nerve_that_tells_an_answer():
    (form,) = made("brachial", ask=("muscles",))
    spelled = {s for q in form.questions for s in q.spellings()}
    legend = [t for page in form.pages for t in words(page)]
    assert not [(s, t) for s in spelled for t in legend if says(t, s)]
    assert "axillary n." in legend
    assert any("subclavius" in t for page in form.key for t in words(page))


def test_no_colour_tells_the_nerve_at_the_last_level():
    for ask in ON_LIMB:
        for level, told in ((2, True), (4, False)):
            (form,) = made(ask=(ask,), level=level)
            areas = [p for page in form.pages for p in page.scene.parts if isinstance(p, Area) and not p.outside]
            assert any(p.tone >= 0 or p.roots for p in areas) is told
            assert ("radial n." in [t for page in form.pages for t in words(page)]) is (told and ask != "dermatomes")


def test_the_first_level_asks_half_and_gives_the_words():
    (full,), (form,) = made(), made(level=1)
    assert len(form.questions) == -(-len(full.questions) // 2)
    said = " ".join(" ".join(t.split("\u00a0\u00a0·")).strip() for t in words(form.pages[0]))
    assert "all are used" in said
    assert all(q.answers[0] in " ".join(said.split()) for q in form.questions)


def test_one_thing_alone_takes_the_picture_and_the_page_on_which_it_is():
    for only, picture, answer in (
        ("deltoid", "muscle", "deltoid"),
        ("badge area", "skin area", "upper lateral arm"),
        ("C7 dermatome", "dermatome", "C7"),
    ):
        (form,) = made(only=only)
        (question,) = form.questions
        assert question.prompt == f"Name the {picture} at 1."
        assert question.answers == (answer,)
        assert len(form.pages) == 1


def test_other_spellings_are_right():
    found = {q.answers[0]: q.spellings() for q in made()[0].questions}
    assert "badge area" in found["upper lateral arm"]
    assert "dorsolateral hand and first web" in found["dorsolateral hand"]


def test_names_in_latin_and_of_ones_own():
    (form,) = made(ask=("muscles",), wording=Wording("latin"))
    found = {q.key[0]: q for q in form.questions}
    assert found["deltoid"].answers == (model("brachial").muscles["deltoid"].latin,)
    assert "deltoid" in found["deltoid"].spellings()
    (form,) = made(wording=Wording(own=(("medial-arm", "inner side"),)))
    assert "inner side" in {q.answers[0] for q in form.questions}


def test_a_right_limb_is_mirrored():
    pins = {}
    for side in ("left", "right"):
        (page,) = made(side=side)[0].pages
        assert page.scene.side == side
        assert f"{side} upper limb" in words(page)
        found = (p for p in page.scene.parts if isinstance(p, Shape) and p.role == "pin")
        pins[side] = {p.entity: p.curve[0][0] for p in found}
    assert pins["left"] != pins["right"]


def test_exports_name_the_picture_on_which_a_number_stands():
    made_forms = made(ask=("muscles",))
    rows = list(csv.DictReader(io.StringIO(export.write(made_forms, Path("week.csv"), PRINT).decode())))
    files = {path.name for path, _ in export.pictures(made_forms, Path("week.csv"), PRINT)}
    assert len(files) == 2
    assert len(rows) == len(made_forms[0].questions)
    assert {name for row in rows for name in row["picture"].split("; ")} == files


def test_a_key_holds_each_name_and_its_number():
    for ask in ON_LIMB:
        (form,) = made(ask=(ask,))
        answers = {key: n for page in form.key for key, n in page.view.answers.items()}
        assert answers == {q.key: q.number for q in form.questions}
        said = " ".join(t for page in form.key for t in words(page))
        assert all(re.search(rf"(?<!\w){re.escape(q.answers[0].split()[0])}", said) for q in form.questions)


def test_what_cannot_be_asked_is_told():
    with pytest.raises(UnknownNameError, match="choose from skin, muscles, dermatomes"):
        made(ask=("roots",))
    with pytest.raises(SheetError, match="diaphragm is not drawn"):
        made(only="diaphragm")
    path = Path(__file__).parent.parent / "models" / "two-stages.yaml"
    with pytest.raises(ModelError, match="no chart of a limb"):
        class_set.maker(load(path), Spec(kind="limb")).form(1)


def test_codes_that_were_printed_before_this_kind_say_the_same():
    """Kinds and words count by their places, so new ones stand last."""
    assert list(REGISTRY)[-1] == "limb"
    assert stamp.every_word(model("brachial"))[-1] == "dermatomes"
