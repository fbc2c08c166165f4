"""Class sets: forms that differ, sections, files of a set that replace those before; codes are in `test_codes.py`."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import comb
from pathlib import Path
from random import Random
from statistics import mean

import pypdf
import pytest
from formpages import PRINT, brachial, call, model, save
from night import by_day

from plexusdraw.cli.worksheet_choices import option
from plexusdraw.layout.labels import Wording
from plexusdraw.model import load
from plexusdraw.scene import Note
from plexusdraw.sheets.worksheet import class_set, codes, different, export, grid, sections
from plexusdraw.sheets.worksheet.registry import CHOICES, REGISTRY, SETS
from plexusdraw.sheets.worksheet.spec import Spec, points

CLASS = 12
MOST_SHARED = 0.7


def made(**choices):
    return list(class_set.forms(brachial(), Spec(**choices)))


def structures(form):
    """What a form asks, without the numbers."""
    if form.questions[0].drawn:
        return {answer for q in form.questions for answer in q.answers}
    if form.questions[0].pairs:
        return {answer for q in form.questions for answer in q.answers}
    return {q.key or (q.prompt, q.answers) for q in form.questions}


# --- different forms


@pytest.mark.parametrize("kind", sorted(set(REGISTRY) - {"recall", "cards"}))
@pytest.mark.parametrize("model_name", ["brachial", pytest.param("lumbosacral", marks=pytest.mark.nightly)])
def test_two_forms_share_at_most_seven_tenths_of_what_they_ask(kind, model_name):
    if kind == "table":
        pytest.skip("rows are counted by the test of tables")
    if kind in ("shade", "limb") and not load(model_name).chart:
        pytest.skip("no chart of its limb")
    found = [structures(form) for form in class_set.forms(load(model_name), Spec(kind=kind, forms=CLASS))]
    shared = [len(a & b) / max(len(a), len(b)) for a, b in combinations(found, 2)]
    assert mean(shared) <= MOST_SHARED
    assert len({frozenset(one) for one in found}) == CLASS


def test_two_tables_share_at_most_seven_tenths_of_their_rows():
    spec = replace(Spec(kind="table", forms=CLASS))
    maker = class_set.maker(brachial(), spec)
    rows = [{e.nerve.id for e in maker.spec.chosen(maker.entries, n, "rows", 8)} for n in range(1, CLASS + 1)]
    assert mean(len(a & b) / len(a) for a, b in combinations(rows, 2)) <= MOST_SHARED


@pytest.mark.parametrize("kind", ["label", "draw"])
def test_all_asks_everything_and_same_one_choice(kind):
    every = [structures(form) for form in made(kind=kind, forms=3, choosing="all", level=2)]
    same = [structures(form) for form in made(kind=kind, forms=3, choosing="same", level=2)]
    assert every[0] == every[1] == every[2]
    assert same[0] == same[1] == same[2] < every[0]


def test_same_forms_have_other_numbers():
    a, b = ({q.key: q.number for q in form.questions} for form in made(forms=2, choosing="same"))
    assert a.keys() == b.keys()
    assert a != b


def test_a_form_alone_asks_all():
    assert structures(made()[0]) == structures(made(forms=2, choosing="all")[0])


@pytest.mark.parametrize(("many", "size"), [(1, 1), (4, 2), (6, 6), (9, 4)])
def test_no_choice_comes_again_before_all_have_come(many, size):
    found = [tuple(different.choice(many, size, n, Random(5))) for n in range(1, comb(many, size) + 1)]
    assert len(set(found)) == comb(many, size)
    assert all(list(one) == sorted(set(one)) and len(one) == size for one in found)


def test_too_few_different_forms_are_told(tmp_path):
    said = call("-o", str(tmp_path / "a.pdf"), "--kind", "draw", "--only", "upper trunk", "--forms", "3").stderr
    assert "only 1 of the 3 forms differ" in said
    assert "forms differ" not in call("-o", str(tmp_path / "b.pdf"), "--kind", "draw", "--forms", "3").stderr


# --- sections


@pytest.fixture(scope="module")
def mixed():
    return made(kind="label", more=("choice", "injury"), forms=2)


def test_sections_are_numbered_through_and_summed(mixed):
    for form in mixed:
        assert [q.number for q in form.questions] == list(range(1, len(form.questions) + 1))
        assert [len(s.questions) for s in form.sections] == [16, 12, len(form.sections[2].questions)]
        said = [p.text.string for scene, _ in form.pages for p in scene.parts if isinstance(p, Note)]
        assert said.count(f"/ {points(form.questions)}") == len(form.pages)
        heads = [p.text.string for scene, _ in form.key for p in scene.parts if isinstance(p, Note)]
        assert f"Key to form {form.code} ({points(form.questions)} points)" in heads


def test_numbers_on_the_drawing_are_those_of_the_questions(mixed):
    for form in made(kind="choice", more=("label",), forms=2):
        blanks = [n for _, view in form.sections[1].pages for n in view.blanks.values()]
        assert sorted(blanks) == [q.number for q in form.questions[12:]]


def test_exports_hold_all_sections(mixed):
    rows = export.write(mixed, Path("a.csv"), PRINT).decode().splitlines()
    assert len(rows) == 1 + sum(len(form.questions) for form in mixed)
    pictures = [path.name for path, _ in export.pictures(mixed, Path("a.csv"), PRINT)]
    assert len(pictures) == len(set(pictures))
    assert all(any(name in row for row in rows) for name in pictures)
    assert all(row.count("Invented case") == 0 for row in rows[1:15])


def test_the_grid_holds_all_sections(mixed):
    (marks, _) = (grid.marks(form) for form in mixed)
    assert len(marks.questions) == len(mixed[0].questions)


def test_two_pages_are_front_and_back(tmp_path):
    forms = made(kind="choice", more=("table",), forms=3)
    (path,) = save(forms, tmp_path / "a.pdf", duplex=True)
    texts = [page.extract_text() for page in pypdf.PdfReader(path).pages]
    assert len(texts) == 6
    assert all("choose the answer" in text for text in texts[::2])
    assert all("complete the table" in text for text in texts[1::2])


def test_words_to_ask_go_to_the_sections_that_know_them():
    form = made(kind="label", more=("choice",), ask=("cords", "skin"))[0]
    assert len(form.sections[0].questions) == 3
    assert all("skin" in q.prompt for q in form.sections[1].questions)


# --- options that cannot matter

SAMPLES = {
    "ask": {"": "muscles", "match": "skin", "choice": "roots", "cards": "skin"},
    "count": {"": "2"},
    "only": {"": "upper trunk", "choice": "deltoid", "cards": "deltoid", "limb": "deltoid", "table": "axillary nerve"},
    "level": {"": "1", "injury": "3", "match": "4", "site": "3", "recall": "3", "cards": "3"},
    "word_bank": {"": None},
    "detail": {"": "framework", "draw": "nerves", "recall": "nerves"},
    "writing": {"": "lines"},
    "side": {"": "right"},
    "naming": {"": "latin"},
    "instructions": {"": "Use a pencil."},
    "key": {"": None},
    "sources": {"": "trunks"},
    "prompt": {"": "columns"},
    "duplex": {"": None},
    "all": {"": None},
    "same": {"": None},
}
"""A value of each choice, by kind, that is not its default."""


def typed(name, kind):
    value = SAMPLES[name].get(kind, SAMPLES[name][""])
    more = ("--forms", "2") if name in SETS else ()
    return (option(name), *(() if value is None else (value,)), *more)


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """What forms of a kind show without further options, made once."""

    @cache
    def shown(kind, more):
        file = tmp_path_factory.mktemp("plain") / "b.pdf"
        call("--kind", kind, "-o", str(file), *more)
        return _shown(file)

    return shown


EACH = [(kind, name) for kind in sorted(REGISTRY) for name in (*CHOICES, *SETS)]
TURN = 3
REFUSED = [(kind, name) for kind, name in EACH if name not in REGISTRY[kind].takes]
TAKEN = {name: [pair for pair in EACH if pair[1] == name and pair not in REFUSED] for _, name in EACH}
IN_TURN = [pairs[i % min(len(pairs), TURN) :: TURN] for i, pairs in enumerate(TAKEN.values())]
BY_DAY = [*REFUSED, *(pair for pairs in IN_TURN for pair in pairs)]
"""Every pair that is refused, and each option with every third of the kinds that take it, in turn."""


@pytest.mark.parametrize("pair", by_day(EACH, BY_DAY), ids="-".join)
def test_an_option_changes_the_forms_or_is_refused(tmp_path, plain, pair):
    kind, name = pair
    words = ("--kind", kind, "-o", str(tmp_path / "a.pdf"), *typed(name, kind))
    done = call(*words)
    if name not in REGISTRY[kind].takes:
        assert done.exit_code == 2
        assert f"{option(name)} has nothing to do in --kind {kind}" in done.stderr
        assert not (tmp_path / "a.pdf").exists()
        return
    assert done.exit_code == 0, done.output
    if name == "key":
        assert (tmp_path / "a-key.pdf").exists()
    elif name == "duplex":
        assert len(pypdf.PdfReader(tmp_path / "a.pdf").pages) % 2 == 0
    else:
        assert _shown(tmp_path / "a.pdf") != plain(kind, ("--forms", "2") if name in SETS else ())


def _shown(path):
    """What a file shows, without its codes."""
    reader = pypdf.PdfReader(io.BytesIO(path.read_bytes()))
    words = [[w for w in page.extract_text().split() if not codes.is_code(w)] for page in reader.pages]
    return words, [len(page.get_contents().get_data()) for page in reader.pages]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--kind", "label", "--kind", "label"), "given twice"),
        (("--kind", "label", "--kind", "cards"), "no section of a form"),
        (("--all", "--same", "--forms", "2"), "contradict"),
        (("--all", "--count", "3", "--forms", "2"), "contradict"),
        (("--same",), "--forms 2 or more"),
        (("--only", "upper trunk", "--ask", "cords"), "leave --ask out"),
        (("--only", "upper trunk", "--count", "2"), "leave --count out"),
        (("--kind", "label", "--kind", "match", "--ask", "sites"), 'can ask about "sites"'),
        (("--kind", "table", "--kind", "match", "--side", "right"), "--side has nothing to do"),
        (("--ask", "muscles", "--writing", "boxes"), "muscles are named on lines"),
        (("--kind", "table", "--from", "roots"), "--from has nothing to do"),
        (("--kind", "site", "--prompt", "columns"), "--prompt has nothing to do"),
    ],
)
def test_choices_that_cannot_be_are_usage_errors(tmp_path, words, told):
    done = call("-o", str(tmp_path / "a.pdf"), *words)
    assert done.exit_code == 2
    assert told in " ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == []


# --- names


@pytest.mark.parametrize(("words", "shown"), [(("latin",), "nervus axillaris"), ((), "axillary nerve")])
def test_answers_are_in_the_words_of_the_drawing(words, shown):
    form = made(wording=Wording(*words))[0]
    (question,) = (q for q in form.questions if q.key[0] == "axillary-nerve")
    assert question.answers == (shown,)
    assert {"nervus axillaris", "axillary nerve", "circumflex nerve"} <= set(question.spellings())


def test_own_labels_are_answers_and_stand_in_the_key(tmp_path):
    (tmp_path / "own.yaml").write_text("axillary nerve: Achselnerv\n")
    call("-o", str(tmp_path / "a.pdf"), "--names", str(tmp_path / "own.yaml"), "--key")
    assert "Achselnerv" in pypdf.PdfReader(tmp_path / "a-key.pdf").pages[0].extract_text()
    assert "Achselnerv" not in pypdf.PdfReader(tmp_path / "a.pdf").pages[0].extract_text()


@pytest.mark.parametrize("kind", sorted(set(REGISTRY) - {"draw", "recall"}))
def test_every_kind_answers_in_the_words_of_names(kind):
    """Latin names are answers, and the usual ones are accepted."""
    ask = ("muscles",) if kind == "limb" else ()
    form = made(kind=kind, ask=ask, wording=Wording("latin"), only="axillary nerve" if kind == "site" else "")[0]
    latin = {e.latin: e.name for e in brachial().entities() if e.latin and e.latin != e.name}
    said = {answer for q in form.questions for answer in q.answers} | {
        word for q in form.questions if q.pairs for word in (*q.pairs.left, *q.pairs.right)
    }
    assert said & set(latin)
    spelled = [(q.answers[0], q.spellings()) for q in form.questions if q.answers[0] in latin and q.accepted]
    assert all(latin[answer] in found for answer, found in spelled)


def test_a_section_says_that_others_may_name_its_answers():
    form = made(kind="label", more=("choice",))[0]
    heads = [
        " ".join(p.text.string for p in s.pages[0].scene.parts if getattr(p, "role", "") == "orientation")
        for s in form.sections
    ]
    assert [sections.SAID_ELSEWHERE in head for head in heads] == [True, False]
    assert sections.SAID_ELSEWHERE not in " ".join(
        p.text.string for p in made()[0].pages[0].scene.parts if getattr(p, "role", "") == "orientation"
    )


# --- files


def test_a_set_replaces_the_one_before_and_says_what_it_left(tmp_path):
    folder = tmp_path / "set"
    call("-o", str(folder), "--kind", "table", "--forms", "3", "--key")
    (folder / "notes.txt").write_text("mine")
    (folder / "grid.pdf").write_bytes(b"of someone else")
    before = {path.name for path in folder.iterdir()}
    said = call("-o", str(folder), "--kind", "choice", "--forms", "2").stderr
    after = {path.name for path in folder.iterdir()}
    assert after & before == {"notes.txt", "grid.pdf"}
    assert len(after) == 4
    assert said.count("removed") == 6
    assert "notes.txt, not of this set" in said


def test_a_key_of_another_kind_does_not_stay_beside_a_form(tmp_path):
    call("-o", str(tmp_path / "a.pdf"), "--kind", "table", "--key")
    call("-o", str(tmp_path / "a.pdf"), "--kind", "choice", "--key", "grid")
    assert {path.name for path in tmp_path.iterdir()} == {"a.pdf", "a-grid.pdf"}


def test_nothing_is_removed_when_the_new_set_fails(tmp_path):
    call("-o", str(tmp_path / "set"), "--kind", "table", "--key")
    before = {path.name: path.read_bytes() for path in (tmp_path / "set").iterdir()}

    def stop():
        yield made(kind="choice")[0]
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        save(stop(), tmp_path / "set", "grid")
    assert {path.name: path.read_bytes() for path in (tmp_path / "set").iterdir()} == before


def test_progress_moves_while_pages_are_set(tmp_path):
    told = []
    plan = class_set.Plan(PRINT, "after", step=told.append)
    class_set.save(class_set.forms(brachial(), Spec(kind="table", forms=60)), tmp_path / "a.pdf", plan)
    assert len(told) > 2
    assert told == sorted(told)
    assert told[-1] == 60


def test_every_form_has_its_own_maker_once():
    """A model that is loaded anew gives the same set."""
    one, two = (next(class_set.forms(plexus, Spec(kind="table", forms=2))) for plexus in (brachial(), model()))
    assert one.code == two.code
    assert sections.distinct(one) == sections.distinct(two)
