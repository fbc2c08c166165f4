"""Injury cases and tables have one right answer by the model, and do not rest on what the sources dispute."""

from __future__ import annotations

from dataclasses import replace

import pytest
from formpages import SETS, brachial, forms

from plexusdraw.clinic import report
from plexusdraw.clinic.findings import finding
from plexusdraw.clinic.injury import injure
from plexusdraw.clinic.localise import localise
from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.names.sites import all_sites
from plexusdraw.scene import Note, Panel, Row
from plexusdraw.sheets.worksheet import case_mix, class_set
from plexusdraw.sheets.worksheet.cases import MOST, Cases
from plexusdraw.sheets.worksheet.spec import Spec
from plexusdraw.sheets.worksheet.tables import COLUMNS, Tables

PARTS = {"Paralysed": "paralysed", "Full strength": "spared", "No feeling": "numb", "Normal feeling": "feels"}


@pytest.fixture(scope="module")
def every_case():
    """A case for each fair site, and the sites."""
    made = Cases(brachial(), Spec(kind="site", forms=60))
    return made, [made.form(i) for i in range(1, len(made.sites) + 1)]


def told(form):
    """The findings of a case, read back from its page."""
    text = " ".join(p.text.string for p in form.pages[0][0].parts if getattr(p, "role", "") == "orientation")
    text = text.split("Invented case: ")[1].split(" Name one place")[0]
    found = []
    for part in text.split(". ")[1:]:
        word, _, names = part.partition(": ")
        found += [finding(brachial(), PARTS[word], name.rstrip(".")) for name in names.split("; ")]
    return found


def does_all(cuts, found):
    """Whether ``injure`` at a place says each finding, or that the sources differ on it."""
    said = report.injury(injure(brachial(), [site.name for site in cuts]))
    states = {one["name"]: (one["state"], one["disputed"]) for one in (*said["muscles"], *said["skin"])}
    wanted = {"paralysed": {"paralysed"}, "numb": {"lost"}, "spared": {"slight"}, "feels": {"slight"}}
    for one in found:
        state, disputed = states.get(one.name, ("spared", False))
        if not (disputed or state in wanted[one.kind] | ({"spared"} if one.kind in ("spared", "feels") else set())):
            return False
    return True


def test_many_sites_make_a_case(every_case):
    made, _ = every_case
    names = {site.name for (site,) in made.sites}
    assert len(names) >= 25
    # Common practice, no source: the injuries that every course of the plexus discusses.
    assert {"ulnar nerve", "axillary nerve", "long thoracic nerve", "radial nerve at spiral groove"} <= names


def test_the_site_explains_all_findings_of_its_case(every_case):
    made, cases = every_case
    for site, form in zip(made.sites, cases, strict=True):
        best = localise(brachial(), told(form), top=60).answers
        whole = [a for a in best if not a.unexplained and not a.contradicted and len(a.cuts) == 1]
        right = [a for a in whole if does_all(a.cuts, told(form))]
        assert set(form.questions[0].answers) == {a.name for a in right}
        assert site in {cuts for a in right for cuts in a.alike}
        spelled = {text for texts in form.questions[0].accepted for text in texts} | {a.name for a in right}
        assert site[0].name in spelled


def test_most_cases_have_one_place_and_the_rest_say_how_many(every_case):
    _, cases = every_case
    many = [len(form.questions[0].answers) for form in cases]
    assert many.count(1) > 0.7 * len(many)
    for form, n in zip(cases, many, strict=True):
        assert ("the place" if n == 1 else f"one of the {n} places") in form.questions[0].prompt


def test_listed_losses_are_complete_losses():
    for form in class_set.forms(brachial(), replace(SETS["injury"], forms=40)):
        cut = next(view.cuts for _, view in form.key if view.cuts)
        muscles = {m.name: m for m in brachial().muscles.values()}
        for name in form.questions[0].answers:
            for nerve in brachial().nerves_of[muscles[name].id]:
                assert brachial().segments[nerve].kind != "root"
        assert len(cut) == 1


def told_by_injure(site):
    """What ``injure --json`` says, read as a marker reads it: state and whether the sources differ."""
    said = report.injury(injure(brachial(), [site]))
    return {m["name"]: (m["state"], m["disputed"]) for m in (*said["muscles"], *said["movements"], *said["skin"])}


@pytest.mark.parametrize("site", all_sites(brachial()), ids=lambda site: site.id)
def test_the_key_says_what_injure_says(site):
    """Required is what is surely so, and all of it; disputed is accepted either way; nothing else is right."""
    case = Cases(brachial(), Spec(kind="injury", only=site.name)).case(1)
    said = told_by_injure(site)
    assert case.questions
    for q in case.questions:
        lists = {*(m.name for m in brachial().muscles.values())} & set(said)
        if q.prompt.startswith("Movements"):
            lists = set(brachial_movements())
        elif q.prompt.startswith("Skin"):
            lists = {s.name for s in brachial().skin.values() if not s.dermatome}
        worst = {"paralysed": {"paralysed"}, "lost:": {"lost"}, "without": {"lost"}}
        states = next((s for word, s in worst.items() if word in q.prompt and "weak" not in q.prompt), None)
        states = states or ({"slight"} if "slightly" in q.prompt else {"paralysed", "weak", "lost", "reduced"})
        required = {a for i, a in enumerate(q.answers) if i not in q.either}
        either = {a for i, a in enumerate(q.answers) if i in q.either}
        if states != {"slight"}:
            assert required == {name for name in lists if said[name][0] in states and not said[name][1]}
            assert either >= {name for name in lists if said[name][0] in states and said[name][1]}
            assert all(said[name][1] for name in either)
        assert q.wanted <= len(required)


def brachial_movements():
    return [m["name"] for m in report.injury(injure(brachial(), ["C5"]))["movements"]]


@pytest.mark.parametrize(
    ("site", "muscle", "differ"),
    [
        ("medial cord", "flexor carpi ulnaris", True),  # C7 by way of the lateral cord [jkms-2010, hur-2013]
        ("C5", "rhomboid major", True),  # C4 variable [ballesteros-2007, nguyen-2016]
        ("ulnar nerve", "flexor carpi ulnaris", False),  # whatever comes, comes by this nerve
        ("lower trunk", "first dorsal interosseous", False),  # common practice, no source
    ],
)
def test_what_the_sources_dispute_is_marked(site, muscle, differ):
    assert told_by_injure(site)[muscle] == ("paralysed", differ)


def test_a_lower_trunk_has_all_that_injure_says():
    (form,) = class_set.forms(brachial(), Spec(kind="injury", only="lower trunk"))
    muscles = form.questions[0]
    told = told_by_injure("lower trunk")
    assert {name for name, (state, _) in told.items() if state == "paralysed"} <= set(muscles.answers)
    assert "flexor carpi ulnaris" in muscles.answers
    spelled = {text for group in muscles.together for text in group.spellings}
    assert {"interossei", "hypothenar muscles"} <= spelled


def test_wanted_is_never_more_than_there_is():
    for form in forms("injury"):
        for q in form.questions:
            assert 1 <= q.wanted <= len(q.answers) == len(set(q.answers))
            assert f"name {q.wanted}." in q.prompt or (q.wanted == 1 and "name one." in q.prompt)


def test_a_form_asks_what_its_case_asks():
    """So what the key of a case says is what the key of its form says."""
    made = Cases(brachial(), SETS["injury"])
    for number, form in enumerate(forms("injury"), start=1):
        assert form.questions == made.case(number).questions


@pytest.mark.parametrize("level", [2, 4])
def test_no_form_says_how_many_answers_there_are(level):
    """An injury of few losses and one of many ask alike; from level 4 on there are as many lines for both."""
    made = Cases(brachial(), Spec(kind="injury", level=level, forms=8))
    for number in range(1, 9):
        for q in made.case(number).questions:
            assert str(len(q.answers)) not in q.prompt or len(q.answers) == q.wanted
            assert level < 4 or (q.lines in MOST.values() and not any(c.isdigit() for c in q.prompt))


def test_a_row_tells_its_nerve():
    made = Tables(brachial(), Spec(kind="table", level=3))
    rows = {e.nerve.name: e for e in made.entries}
    for number in range(1, 12):
        form = made.form(number)
        for q in form.questions:
            if "nerve of this row" in q.prompt:
                given = rows[q.answers[0]]
                same = [e for e in rows.values() if e.muscles == given.muscles and e.roots == given.roots]
                assert same == [given]


def test_disputed_roots_are_no_cell_of_a_table():
    made = Tables(brachial(), Spec(kind="table", level=4, count=20))
    disputed = {e.roots for e in made.entries if e.nerve.variable} - {
        e.roots for e in made.entries if not e.nerve.variable
    }
    asked = {q.answers for n in range(1, 8) for q in made.form(n).questions if "roots" in q.prompt}
    assert asked
    assert not asked & disputed


def test_at_least_one_cell_of_a_row_is_given():
    made = Tables(brachial(), Spec(kind="table", level=3))
    for number in range(1, 8):
        assert len(made.form(number).questions) <= 8 * (len(COLUMNS) - 1)


DEFAULT = Spec(kind="injury", forms=40)


def test_the_default_mix_has_every_sort_of_site_and_only_what_can_be_examined():
    """The first four cases are of four sorts; each has a muscle that is surely weak and can well be examined."""
    made = Cases(brachial(), DEFAULT)
    kinds = [case_mix.source(brachial(), site) for (site,) in made.sites]
    assert {"roots", "trunks", "cords", "branches", "places"} <= set(kinds)
    assert len(set(kinds[:4])) == 4
    for number in range(1, len(made.sites) + 1):
        muscles = made.case(number).questions[0]
        tested = [m for m in brachial().muscles.values() if m.testable and m.name in muscles.answers]
        assert "uscle" in muscles.prompt
        assert muscles.wanted <= len(tested)


@pytest.mark.parametrize("word", ["roots", "trunks", "cords", "nerves", "places", "divisions"])
def test_cases_come_from_where_they_are_asked_from(word):
    made = Cases(brachial(), replace(DEFAULT, sources=(word,)))
    kinds = {case_mix.source(brachial(), site) for (site,) in made.sites}
    assert kinds <= ({"nerves", "branches"} if word == "nerves" else {word})


def test_a_source_that_is_none_is_an_error():
    with pytest.raises(UnknownNameError, match='no cases come from "toes"; choose from roots, trunks'):
        Cases(brachial(), replace(DEFAULT, sources=("toes",))).sites  # noqa: B018


@pytest.mark.parametrize(
    ("site", "course"), [("ulnar nerve", False), ("radial nerve at spiral groove", True), ("C5", False)]
)
@pytest.mark.parametrize("level", [1, 3])
def test_a_site_is_named_and_marked_where_it_can_be_told(site, course, level):
    """What the plexus shows is marked on it, what lies beyond on the course of the nerve; no muscle is named there."""
    form = class_set.maker(brachial(), Spec(kind="injury", only=site, level=level)).form(1)
    ((scene, view),) = form.pages
    said = " ".join(p.text.string for p in scene.parts if isinstance(p, Note) and p.role == "orientation")
    assert f"Site of the one injury: {site}." in said
    assert view.cuts
    assert any(isinstance(p, Panel) and p.entity.startswith("course") for p in scene.parts) == course
    assert not any(isinstance(p, Row) for p in scene.parts)


@pytest.mark.parametrize("site", ["medial cord", "C7", "axillary nerve", "nerve to subclavius"])
def test_a_bank_of_an_injury_has_words_for_every_list_and_others(site):
    form = class_set.maker(brachial(), Spec(kind="injury", only=site, level=1)).form(1)
    notes = [p.text.string for p in form.pages[0].scene.parts if isinstance(p, Note) and p.role == "legend"]
    words = {word.strip() for word in " ".join(notes).split("One strand")[0].split(":")[1].split("·")}
    assert all(len(words & set(q.answers)) >= q.wanted for q in form.questions)
    assert words - {answer for q in form.questions for answer in q.answers}


def test_a_site_that_no_examination_finds_is_refused():
    with pytest.raises(SheetError, match="no examination finds an injury of nerve to subclavius"):
        Cases(brachial(), Spec(kind="site", only="nerve to subclavius")).case(1)


def test_no_count_in_a_table_gives_the_answer_away():
    for form in forms("table"):
        said = [p.text.string for page in form.pages for p in page.scene.parts if isinstance(p, Note)]
        assert not [text for text in said if text.startswith("(") and text.endswith(")")]
        assert not [q.prompt for q in form.questions if f" {len(q.answers)} " in q.prompt and len(q.answers) != 4]
