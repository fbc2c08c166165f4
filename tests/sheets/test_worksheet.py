"""Forms: numbers, levels, word banks, keys, the order of pages, the same bytes for the same seed."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pytest
from formpages import SETS, brachial, forms, pdf, save

from plexusdraw.errors import FitError, PlexusdrawError, SheetError, UnknownNameError
from plexusdraw.layout.paper import paper
from plexusdraw.model import load
from plexusdraw.names.spelling import exact
from plexusdraw.scene import Label, Note, Strand
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.labelling import Labelling
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.shared_answers import helpful
from plexusdraw.sheets.worksheet.spec import Spec, points


def first(**choices):
    return class_set.maker(brachial(), Spec(**choices)).form(1)


def bank(form):
    notes = [p.text.string for p in form.pages[0][0].parts if isinstance(p, Note) and p.role == "legend"]
    words = " ".join(notes).split("One strand")[0].removeprefix("Word bank (not all are used):")
    return [w.strip() for w in words.split("·")]


def asked(form):
    return {q.key: q.number for q in form.questions if q.key}


def test_every_label_of_the_kinds_is_blank():
    form = first()
    ids = {id for id, _ in asked(form)}
    wanted = [s.id for s in brachial().segments.values() if s.kind in ("trunk", "cord", "branch")]
    assert set(wanted) < ids
    assert "dorsal-scapular-nerve" in ids
    assert not any(brachial().segments[id].kind in ("root", "division") for id in ids)


def test_numbers_run_through_and_match_the_blanks():
    form = first(ask=("muscles",))
    seen = {n for _, view in form.pages for n in view.blanks.values()}
    assert seen == set(range(1, len(form.questions) + 1))
    assert [q.number for q in form.questions] == sorted(seen)


def test_forms_that_ask_all_differ_in_their_numbers_only():
    a, b = forms("label")
    assert a.code != b.code
    assert set(asked(a)) == set(asked(b))
    assert asked(a) != asked(b)
    assert [p for p in a.pages[0][0].parts if isinstance(p, Strand)] == [
        p for p in b.pages[0][0].parts if isinstance(p, Strand)
    ]


def test_count_draws_other_blanks_on_each_form():
    made = list(class_set.forms(brachial(), Spec(count=6, forms=5)))
    assert {len(form.questions) for form in made} == {6}
    assert len({frozenset(asked(form)) for form in made}) == 5


def test_only_asks_about_one_part():
    (question,) = first(only="fasciculus posterior").questions
    assert question.answers == ("posterior cord",)


def test_bank_is_alphabetical_holds_the_answers_and_others_of_their_kinds():
    form = first(level=1)
    words, right = bank(form), {q.answers[0] for q in form.questions}
    assert words == sorted(words, key=str.casefold)
    assert right < set(words)
    kinds = {e.kind for e in brachial().entities() if e.name in words}
    assert kinds <= {"trunk", "cord", "nerve", "branch"}


def test_no_distractor_is_right():
    form = first(level=1)
    right = {q.answers[0] for q in form.questions}
    spelled = {exact(s) for q in form.questions for s in q.spellings()}
    assert not spelled & {exact(w) for w in bank(form) if w not in right}


def test_a_bank_stands_below_the_drawing():
    scene = first(level=2, word_bank=True).pages[0][0]
    words = [p.text.box.y for p in scene.parts if isinstance(p, Note) and p.role == "legend"]
    drawn = [y for p in scene.parts if isinstance(p, Strand) for _, y in p.curve]
    labels = [p.blank.bottom for p in scene.parts if isinstance(p, Label)]
    assert min(words) > max(*drawn, *labels)


def test_level_4_leaves_strands_out_and_asks_for_them():
    form = first(level=4)
    assert form.questions[-1].drawn
    assert set(form.pages[0][1].strands.values()) == {"hidden"}
    assert form.key[0][1].strands == {}


def test_key_has_the_layout_of_its_form():
    form = first()
    (scene, view), (whole, answers) = form.pages[0], form.key[0]
    drawn = [p for p in scene.parts if not isinstance(p, Note) and p.kind != "rule"]
    assert drawn == [p for p in whole.parts if not isinstance(p, Note) and p.kind != "rule"]
    assert view.blanks == answers.answers


def test_the_same_short_answer_is_right_either_way_round():
    form = first(ask=("divisions",))
    upper = next(q for q in form.questions if q.answers == ("anterior division of upper trunk",))
    others = [q.number for q in form.questions if q.answers[0].startswith("anterior") and q is not upper]
    assert dict(upper.shared)["anterior division"] == tuple(others)
    assert "anterior" not in upper.spellings()


def test_synonyms_are_accepted():
    spelled = {q.answers[0]: q.spellings() for q in first().questions}
    assert {"circumflex nerve", "nervus axillaris", "axillary"} <= set(spelled["axillary nerve"])


def test_paper_names_few_spellings_and_none_that_only_shortens():
    """The axillary nerve is also called circumflex (names of the built-in model); "axillary" needs no word."""
    others = [s for q in first().questions if q.answers == ("axillary nerve",) for s in q.spellings()[1:]]
    shown = helpful("axillary nerve", others)
    assert "circumflex nerve" in shown
    assert not {"axillary", "axillary n."} & set(shown)
    assert len(shown) <= 3 < len(others)
    assert helpful("anterior division of upper trunk", ["anterior division", "division, anterior"]) == (
        "division, anterior",
    )


def test_points_are_on_the_form():
    form = first(ask=("supply", "cords"))
    score = [p.text.string for p in form.pages[0][0].parts if isinstance(p, Note)]
    assert f"/ {points(form.questions)}" in score


@pytest.mark.parametrize("name", ["label", "table", "injury", "site"])
def test_same_seed_same_bytes(name):
    spec = replace(SETS[name], forms=2)
    one, two = (list(class_set.forms(brachial(), spec)) for _ in range(2))
    assert pdf([p for f in one for p in (*f.pages, *f.key)]) == pdf([p for f in two for p in (*f.pages, *f.key)])


@pytest.mark.parametrize("name", ["some", "table", "injury"])
def test_another_seed_another_form(name):
    questions = {tuple(q.answers for q in first_of(replace(SETS[name], seed=s, forms=1)).questions) for s in range(4)}
    assert len(questions) > 1


def first_of(spec):
    return class_set.maker(brachial(), spec).form(1)


def test_duplex_starts_every_form_on_an_odd_page(tmp_path):
    made = save(forms("label"), tmp_path / "a.pdf", "after", True)
    texts = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made[0].read_bytes())).pages]
    starts = [i for i, text in enumerate(texts, start=1) if "Name" in text and "Score" in text]
    assert starts == [1, 5]
    assert sum("left empty" in text for text in texts) == 4


def test_keys_follow_each_form_or_have_a_file(tmp_path):
    after = save(forms("label"), tmp_path / "a.pdf", "after", False)
    own = save(forms("label"), tmp_path / "b.pdf", "file", False)
    assert [p.name for p in after] == ["a.pdf"]
    assert [p.name for p in own] == ["b.pdf", "b-key.pdf"]
    assert [len(pypdf.PdfReader(p).pages) for p in (*after, *own)] == [4, 2, 2]


def test_interrupted_leaves_no_broken_file(tmp_path):
    def stop():
        yield forms("label")[0]
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        save(stop(), tmp_path / "a.pdf", "file", False)
    assert list(tmp_path.iterdir()) == []


def test_boxes_that_do_not_fit_say_what_would_do():
    spec = Spec(page=paper("a5"), writing="boxes")
    with pytest.raises(FitError, match=r"30 x 7 mm .* do not fit a5 .*--paper a4 would do"):
        class_set.maker(brachial(), spec).form(1)


def test_numbers_and_lines_where_boxes_do_not_fit():
    """A nerve of 33 letters has no room in a box of the drawing, a trunk has."""
    made = Labelling(brachial(), Spec(page=paper("letter")))
    assert not made.drawing.in_place
    assert len(made.form(1).pages) == 1
    assert Labelling(brachial(), Spec(ask=("trunks",))).drawing.in_place


@pytest.mark.parametrize(
    ("choices", "message"),
    [
        ({"ask": ("toes",)}, 'cannot ask about "toes"; choose from roots, trunks'),
        ({"ask": ("muscles",), "detail": "framework"}, "nothing of muscles is drawn"),
        ({"kind": "injury", "only": "C5 after nonsense"}, "no such place|is called"),
        ({"kind": "draw", "only": "dorsal scapular nerve"}, "take --detail nerves"),
        ({"kind": "table", "only": "medial cutaneous nerve of arm"}, "is no row of the table"),
        ({"only": "posterior chord of X"}, "nothing in the brachial plexus"),
    ],
)
def test_what_cannot_be_asked_is_said(choices, message):
    with pytest.raises((SheetError, UnknownNameError), match=message) as caught:
        first(**choices)
    assert isinstance(caught.value, PlexusdrawError)


@pytest.mark.parametrize("name", sorted(REGISTRY))
def test_every_kind_of_the_registry_makes_forms(name):
    assert next(class_set.forms(brachial(), Spec(kind=name))).questions


def test_a_kind_that_is_not_in_the_registry_is_an_error():
    with pytest.raises(SheetError, match='no worksheet of the kind "riddle"; choose from label, draw'):
        class_set.maker(brachial(), Spec(kind="riddle"))


def test_the_legend_of_a_form_speaks_of_hollow_strands_where_it_has_some():
    found = set()
    for detail in ("framework", "nerves"):
        form = class_set.maker(load("lumbosacral"), Spec(kind="label", detail=detail)).form(1)
        scene = form.pages[0][0]
        said = " ".join(p.text.string for p in scene.parts if getattr(p, "role", "") == "legend")
        minor = any(p.minor for p in scene.parts if isinstance(p, Strand))
        assert ("hollow" in said) == minor
        found.add(minor)
    assert found == {False, True}
