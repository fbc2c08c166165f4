"""Match, choice and cards on paper, and the marking grid."""

from __future__ import annotations

import io

import pypdf
import pytest
from formpages import brachial, forms, pdf, save, says
from randoms import small

from plexusdraw.clinic.deficits import Loss
from plexusdraw.clinic.injury import Injury
from plexusdraw.errors import SheetError
from plexusdraw.layout import checks
from plexusdraw.layout.limb.options import PICTURES
from plexusdraw.layout.paper import paper
from plexusdraw.names import sites
from plexusdraw.scene import Leader, Note
from plexusdraw.sheets.worksheet import cards, class_set, codes, grid, match, pool
from plexusdraw.sheets.worksheet.registry import REGISTRY
from plexusdraw.sheets.worksheet.spec import Spec, letter

PAPERS = ("a4", "a4 portrait", "letter", "letter portrait")


def texts_of(page):
    return [p.text.string for p in page[0].parts if isinstance(p, Note)]


def made(**choices):
    return list(class_set.forms(brachial(), Spec(**choices)))


# --- match ---


@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_each_nerve_has_one_partner_and_each_partner_one_nerve(level):
    """By injury: a cut of the nerve takes its partner wholly, and leaves what stands for the others untouched."""
    plexus = brachial()
    nerves = {s.name: s.id for s in plexus.segments.values()}
    things = {e.name: e.id for e in (*plexus.muscles.values(), *plexus.skin.values())}
    for form in made(kind="match", forms=8, level=level, seed=level):
        for question in form.questions:
            pairs = question.pairs
            assert len(set(pairs.partner)) == len(pairs.left) >= 3
            for i, left in enumerate(pairs.left):
                injury = Injury(plexus, [sites.start(plexus, nerves[left])])
                for at, right in enumerate(pairs.right):
                    known = right in injury.movements
                    outcome = injury.movements[right] if known else injury.outcome(things[right])
                    if at == pairs.partner[i]:
                        assert outcome.loss is Loss.WHOLE, (left, right)
                    else:
                        assert outcome.loss is Loss.NONE, (left, right)
                        assert known or not outcome.disputed, (left, right)


def test_the_letters_stand_in_the_key_and_not_on_the_form():
    for form in forms("match"):
        on_lines = [
            [p for p in scene.parts if isinstance(p, Note) and p.text.x < 16.0 and len(p.text.string) == 1]
            for scene, _ in (form.pages[0], form.key[0])
        ]
        blocks = [q.pairs for q in form.questions]
        assert not [p for p in on_lines[0] if p.text.string.isalpha()]
        assert len([p for p in on_lines[1] if p.text.string.isalpha()]) >= len(blocks[0].left)


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_a_form_to_match_or_to_choose_is_one_page(size, level):
    for kind in ("match", "choice"):
        for form in made(kind=kind, level=level, page=paper(size), forms=3):
            assert len(form.pages) == 1
            for scene, _ in (*form.pages, *form.key):
                assert checks.faults(scene) == []


def test_a_plexus_of_few_nerves_cannot_be_matched():
    with pytest.raises(SheetError, match="too few nerves"):
        class_set.maker(small("one-root"), Spec(kind="match")).form(1)


# --- choice ---


def test_a_form_holds_no_reason_and_its_key_all_of_them():
    for form in forms("choice"):
        said, told = (" ".join(pdf_text(pages).split()) for pages in (form.pages, form.key))
        for question in form.questions:
            for option in question.choice.options:
                if option.why:
                    assert not says(said, option.why)
                    assert " ".join(option.why.split()) in told


def pdf_text(pages):
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf(pages))).pages)


def test_the_right_answer_looks_like_the_others():
    for form in forms("choice"):
        answers = {o.text for q in form.questions for o in q.choice.options}
        shown = [p for p in form.pages[0][0].parts if isinstance(p, Note) and p.text.string[2:].strip() in answers]
        assert len(shown) > 20
        assert {(p.text.bold, p.role) for p in shown} == {(False, "table-heading")}


def test_letters_count_on_past_z():
    assert [letter(i) for i in (0, 25, 26, 27)] == ["A", "Z", "AA", "AB"]


# --- cards ---


@pytest.mark.parametrize("size", PAPERS)
def test_fronts_and_backs_meet_when_the_sheet_is_turned_on_its_long_edge(size):
    page = paper(size)
    for place in range(8):
        x, y, w, h = cards._place(page, place, False)
        bx, by, bw, bh = cards._place(page, place, True)
        assert (w, h) == pytest.approx((bw, bh))
        if page.height > page.width:  # turned like the page of a book
            assert (page.width - x - w, y) == pytest.approx((bx, by))
        else:  # turned like the page of a calendar
            assert (x, page.height - y - h) == pytest.approx((bx, by))


@pytest.mark.parametrize("size", PAPERS)
def test_each_card_has_its_answer_on_its_back(size):
    page = paper(size)
    (form,) = made(kind="cards", page=page)
    assert len(form.pages) == 2 * -(-len(form.questions) // 8)
    for at, card in enumerate(form.questions):
        front, back = form.pages[at // 8 * 2], form.pages[at // 8 * 2 + 1]
        assert card.prompt in on_card(front, cards._place(page, at % 8, False))
        assert card.answers[0] in on_card(back, cards._place(page, at % 8, True))
        assert card.answers[0] not in on_card(front, cards._place(page, at % 8, False))


def on_card(page, place):
    x, y, w, h = place
    notes = [p for p in page[0].parts if isinstance(p, Note) and p.text.box.y > y and p.text.box.bottom < y + h]
    return " ".join(p.text.string for p in notes if x < p.text.box.x and p.text.box.right < x + w)


def test_marks_stand_in_the_margin_and_where_cuts_meet():
    page = forms("cards")[0].pages[0][0]
    marks = [p.curve for p in page.parts if isinstance(p, Leader) and p.entity.startswith("cut")]
    assert len(marks) == 2 * (5 + 3)
    for curve in marks:
        assert all(v >= 5.0 for point in curve for v in point)
        assert any(x <= 10.0 or y <= 10.0 or x >= page.width - 10.0 or y >= page.height - 10.0 for x, y in curve)


def test_a_long_list_is_whole_on_its_back():
    (form,) = made(kind="cards", ask=("supply",))
    said = " ".join(text for page in form.pages for text in texts_of(page))
    assert " more" not in said
    assert "skin of the hypothenar palm" in said


def test_cards_need_no_key(tmp_path):
    for key in ("file", "grid"):
        made_files = save(forms("cards"), tmp_path / f"{key}.pdf", key, False)
        assert [p.name for p in made_files] == [f"{key}.pdf"]
    folder = save(forms("cards"), tmp_path / "set", "file", False)
    assert [p.name for p in folder] == [f"form-{forms('cards')[0].code}.pdf"]


# --- grid ---


@pytest.mark.parametrize("name", ["label", "injury", "table", "choice", "match"])
def test_the_grid_holds_every_answer_of_every_form(name):
    kept = [grid.marks(form) for form in forms(name)]
    shown = grid.pages(kept)
    said = " ".join(" ".join(texts_of(page)) for page in shown)
    for form in forms(name):
        assert form.code in said
        for question in form.questions:
            words = grid.answer(question).split()
            assert all(word in said for word in words)
    for scene, _ in shown:
        assert checks.faults(scene) == []


def test_letters_to_choose_and_to_match():
    assert all(len(grid.answer(q)) == 1 for q in forms("choice")[0].questions)
    question = forms("match")[0].questions[0]
    told = dict(part.split() for part in grid.answer(question).split(", "))
    assert {int(n): question.pairs.right.index(question.answers[int(n) - 1].split(": ")[1]) for n in told} == {
        int(n): ord(told[n]) - ord("A") for n in told
    }


def test_a_class_of_choice_forms_is_one_page_of_grid():
    kept = [grid.marks(form) for form in made(kind="choice", forms=24)]
    assert len(grid.pages(kept)) == 1


def test_a_large_class_takes_several_pages_and_each_form_its_row():
    kept = [grid.marks(form) for form in made(kind="choice", forms=60)]
    shown = grid.pages(kept)
    assert len(shown) > 1
    found = [text for page in shown for text in texts_of(page) if codes.is_code(text)]
    assert found == [form.code for form in kept]


def test_the_grid_lies_beside_the_forms(tmp_path):
    files = save(forms("choice"), tmp_path / "week.pdf", "grid", False)
    assert [p.name for p in files] == ["week.pdf", "week-grid.pdf"]
    files = save(forms("choice"), tmp_path / "set", "grid", False)
    assert [p.name for p in files] == [*(f"form-{form.code}.pdf" for form in forms("choice")), "grid.pdf"]


# --- topics ---


def test_the_registry_names_the_topics_of_each_kind():
    assert REGISTRY["choice"].topics == tuple(pool.TOPICS)
    assert REGISTRY["limb"].topics == PICTURES
    assert REGISTRY["match"].topics == tuple(match.ASKED)
    for kind in ("match", "choice", "cards"):
        for topic in REGISTRY[kind].topics:
            assert class_set.maker(brachial(), Spec(kind=kind, ask=(topic,))).form(1).questions
