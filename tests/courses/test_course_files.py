"""A course file: what it keeps and leaves out, what still counts, words of one's own, and its faults."""

from __future__ import annotations

import random
import re

import pytest
from click.testing import CliRunner
from night import first
from randoms import MODELS, brachial

from plexusdraw.api import figure, fitting, scenes
from plexusdraw.cli.main import cli
from plexusdraw.clinic.compare import drawn_otherwise
from plexusdraw.clinic.injury import injure
from plexusdraw.courses import load, template
from plexusdraw.errors import ModelError, UnknownNameError
from plexusdraw.layout.fit import Options
from plexusdraw.model import load as load_model
from plexusdraw.names import accepted, sites
from plexusdraw.routes import fibres
from plexusdraw.scene import Strand


@pytest.fixture
def course(tmp_path):
    """Makes the plexus of a course."""

    def made(text, variants=()):
        path = tmp_path / "course.yaml"
        path.write_text(f"course: 1\nname: First year\n{text}\n", "utf-8")
        return load(path, variants)

    return made


def test_what_is_kept_brings_its_nerves_and_their_way_up(course):
    plexus = course("keep: [deltoid]")
    assert list(plexus.muscles) == ["deltoid"]
    assert {"axillary-nerve", "posterior-cord", "middle-trunk", "C5", "T1"} - {"T1"} <= set(plexus.segments)
    assert "radial-nerve" not in plexus.segments
    assert plexus.is_selection


def test_stages_groups_kinds_and_skin_may_be_kept(course):
    plexus = course("keep: [terminal branches, rotator cuff, upper lateral arm, dermatomes]")
    assert {"ulnar-nerve", "median-nerve"} <= set(plexus.segments)
    assert set(plexus.groups["rotator-cuff"].members) == set(plexus.muscles)
    assert [area.id for area in plexus.skin.values() if not area.dermatome] == ["upper-lateral-arm"]
    assert len(plexus.skin) == 6


def test_what_needs_something_left_out_goes_with_it(course):
    plexus = course("leave-out: [radial nerve, deltoid]")
    assert not {"radial-nerve", "posterior-interosseous-nerve", "brachioradialis", "deltoid"} & {
        entity.id for entity in plexus.entities()
    }
    assert "teres-minor" in plexus.muscles


def test_nothing_left_out_is_the_model_itself(course):
    plexus = course("")
    assert not plexus.is_selection
    assert [entity.id for entity in plexus.entities()] == [entity.id for entity in brachial().entities()]


@pytest.mark.parametrize("kept", ["[deltoid, biceps brachii]", "[terminal branches, rotator cuff, thenar muscles]"])
def test_an_injury_means_the_same_for_what_is_kept(course, kept):
    """States of muscles, skin, reflexes and movements are those of the whole plexus, wherever one cuts."""
    plexus, whole = course(f"keep: {kept}"), brachial()
    for site in sites.all_sites(plexus):
        ours, theirs = injure(plexus, [site]), injure(whole, [sites.parse(whole, site.name)])
        for table in ("muscles", "skin", "reflexes"):
            for id, outcome in getattr(ours, table).items():
                assert outcome.loss == getattr(theirs, table)[id].loss, (site.name, id)
                assert outcome.disputed == getattr(theirs, table)[id].disputed
        for name, movement in ours.movements.items():
            assert movement.loss == theirs.movements[name].loss, (site.name, name)
        assert {sign.id for sign in ours.signs} == {sign.id for sign in theirs.signs} & set(plexus.signs), site.name


def test_a_movement_is_still_done_by_another_muscle(course):
    plexus = course("keep: [biceps brachii]")
    flexion = injure(plexus, ["musculocutaneous nerve"]).movements["elbow flexion"]
    assert flexion.state == "weak"
    assert {plexus.entity(id).name for id in flexion.able} == {"another muscle"}
    assert not any(plexus.has(id) for id in flexion.able)


def test_what_is_left_out_is_not_known_by_name(course):
    plexus = course("keep: [deltoid]")
    with pytest.raises(UnknownNameError) as caught:
        sites.parse(plexus, "ulnar nerve")
    assert "ulnar" not in str(caught.value).partition('called "ulnar nerve"')[2]


def test_minor_shares_are_counted_and_not_drawn(course):
    hidden, shown = course("minor: hidden"), brachial()
    assert (
        injure(hidden, ["C7"]).muscles["biceps-brachii"].state == injure(shown, ["C7"]).muscles["biceps-brachii"].state
    )
    assert fibres.of(hidden).carried == fibres.of(shown).carried
    assert not any(minor for shares in fibres.of(hidden).shown.values() for minor in shares.values())
    assert "C5" in fibres.of(hidden).carried["median-nerve"]
    assert "C5" not in fibres.of(hidden).shown["median-nerve"]
    for plexus, some in ((hidden, False), (shown, True)):
        text = figure(plexus, detail="muscles", paper="a3").render("svg").decode()
        assert [word in text for word in ("(minor)", "minor share", "ring, minor")] == [some] * 3


@pytest.mark.parametrize("detail", ["framework", "nerves"])
def test_a_picture_that_may_not_fit_draws_no_minor_share_either(course, detail):
    plexus = course("minor: hidden")
    found = fitting(plexus, Options(detail))
    assert found == scenes(plexus, Options(detail))
    assert {part.minor for part in found[0].parts if isinstance(part, Strand)} == {False}


def test_own_words_stand_everywhere_and_the_usual_ones_are_understood(course):
    plexus = course("names: {long thoracic nerve: nerve of Bell, radial: big back nerve, deltoid: shoulder cap}")
    bell = plexus.entity("long-thoracic-nerve")
    assert bell.name == "nerve of Bell"
    assert "long thoracic nerve" in accepted.accepted(plexus, bell, [])
    assert sites.parse(plexus, "radial nerve at spiral groove").name == "big back nerve at spiral groove"
    assert sites.parse(plexus, "big back nerve at spiral groove") == sites.parse(
        plexus, "radial nerve at spiral groove"
    )
    text = figure(plexus, paper="a3", naming="english", injure="long thoracic nerve").render("svg").decode()
    assert "nerve of Bell" in text
    assert "big back nerve" in text
    assert not re.search(r"long thoracic n|(?<!superficial branch of )radial n", text)


def test_own_words_change_no_place(course):
    from plexusdraw.clinic import places

    plain, own = brachial(), course("names: {ulnar nerve: elbow nerve}")
    judged = [{site.id: places.of(p).plausible(site) for site in sites.all_sites(p)} for p in (plain, own)]
    assert judged[0] == judged[1]


def test_the_convention_draws_and_the_course_keeps_both(course):
    plexus = course("variants: [axillary-from-radial]\nkeep: [deltoid]")
    assert "radial-nerve" in plexus.segments, "as drawn, the axillary nerve needs it"
    assert plexus.drawn.segments["axillary-nerve"].parents == ("radial-nerve",)
    assert drawn_otherwise(plexus) == ()
    assert injure(plexus, ["radial nerve"]).muscles["deltoid"].state == "spared"
    assert injure(plexus, ["posterior cord"]).muscles["deltoid"].state == "paralysed"


def test_a_variant_may_be_added_where_the_course_is_used(course):
    plexus = course("keep: [deltoid]", ["prefixed"])
    assert plexus.applied == ("prefixed",)
    assert "C4" in plexus.roots
    with pytest.raises(UnknownNameError, match="no variant"):
        course("keep: [deltoid]", ["prefix"])


def test_all_unknown_names_are_told_at_once_with_their_lines(course):
    with pytest.raises(ModelError) as caught:
        course("variants: [prefixd]\nkeep:\n  - deltoyd\n  - biceps brachii\n  - rotator cuf\nnames: {ulnr nerve: x}")
    lines = str(caught.value).splitlines()
    assert [line.partition("course.yaml:")[2].partition(":")[0] for line in lines] == ["3", "5", "7", "8"]
    assert all("Did you mean" in line for line in lines)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("based-on: brachal", r':3: based-on: no built-in model "brachal"\. Did you mean brachial\?'),
        ("based-on: ../other.yaml", ":3: based-on: .* must lie beside the course"),
        ("keep: [deltoid]\nleave-out: [deltoid]", ":4: keep and leave-out stand in one course"),
        ("leave-out: [roots]", ":3: leave-out: no nerve is left"),
        ("kept: [deltoid]", ':3: unknown key "kept". Did you mean keep'),
        ("minor: hide", ":3: minor: "),
        ("variants: [prefixed]\nnames: {deltoid: a, deltoideus: b}", ':4: "deltoideus" has a word already'),
    ],
)
def test_a_fault_of_a_course_is_told_with_its_line(course, text, told):
    with pytest.raises(ModelError, match=told):
        course(text)


def test_a_course_may_be_based_on_a_file_beside_it(course, tmp_path):
    (tmp_path / "two.yaml").write_bytes((MODELS / "two-part.yaml").read_bytes())
    assert course("based-on: two.yaml").name == load_model(MODELS / "two-part.yaml").name
    (tmp_path / "two.yaml").write_text("plexusdraw: 1\nid: x\n")
    with pytest.raises(ModelError, match=r"course.yaml:3: based-on(?s:.*)two.yaml:1: "):
        course("based-on: two.yaml")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("names: {suprascapular nerve: deltoid}", r':3: "deltoid" would mean both suprascapular nerve and deltoid\.'),
        ("names:\n  C5: five\n  C6: Five", r':4: "five" would mean both C5 and C6\. Choose another word'),
        ("worksheet: {title: ''}", r":3: worksheet, title: is empty: give it a value, or leave it out"),
        ("worksheet: {ask: ','}", r":3: worksheet, ask: is empty"),
    ],
)
def test_a_word_means_one_thing_and_a_default_says_something(course, text, told, tmp_path):
    (tmp_path / "my.yaml").write_text(f"course: 1\nname: X\n{text}\n", "utf-8")
    done = CliRunner().invoke(cli, ["check", str(tmp_path / "my.yaml")])
    assert isinstance(done.exception, ModelError)
    assert re.search(told, str(done.exception)), done.exception


@pytest.mark.parametrize("name", ["brachial", "lumbosacral", "cervical"])
def test_the_template_keeps_the_whole_model(name, tmp_path):
    (tmp_path / "my.yaml").write_text(template.written(load_model(name), name), "utf-8")
    made = load(tmp_path / "my.yaml")
    assert not made.is_selection
    assert made.taught is not None
    assert set(made.taught.defaults) == {"worksheet", "slides"}


@pytest.mark.parametrize("seed", first(range(12), 5))
def test_courses_and_variants_combine_at_random(seed, tmp_path):
    """Two courses and two variants of a model, chosen at random: a plexus that draws and injures, or a plain word."""
    dice = random.Random(seed)
    name = dice.choice(["brachial", "lumbosacral", "cervical"])
    base = load_model(name)
    things = [
        e.id for e in (*base.muscles.values(), *base.skin.values(), *base.segments.values(), *base.groups.values())
    ]
    for number in range(2):
        key, many = dice.choice([("keep", 12), ("leave-out", 4)])
        chosen = dice.sample(list(base.variants), min(2, len(base.variants)))
        words = dice.sample(things, 2)
        path = tmp_path / f"{number}.yaml"
        path.write_text(
            f"course: 1\nname: c\nbased-on: {name}\nvariants: [{', '.join(chosen)}]\n"
            f"minor: {dice.choice(['shown', 'hidden'])}\n"
            f"{key}: [{', '.join(dice.sample(things, many))}]\nnames: {{{words[0]}: one, {words[1]}: two}}\n",
            "utf-8",
        )
        try:
            plexus = load(path)
        except ModelError as error:
            assert f"{path}:" in str(error), error
            continue
        for site in sites.all_sites(plexus):
            result = injure(plexus, [site])
            assert all(outcome.state for outcome in (*result.muscles.values(), *result.movements.values()))
        assert figure(plexus, detail="framework", paper="fit").render("svg")
        assert not {e.id for e in plexus.entities()} & set(plexus.taught.left_out)
