from __future__ import annotations

from randoms import MODELS, brachial, small

from plexusdraw.clinic import report
from plexusdraw.clinic.compare import compare, compare_models
from plexusdraw.clinic.injury import injure
from plexusdraw.model import load


def test_what_tells_two_injuries_apart():
    result = compare(injure(brachial(), ["C8"]), injure(brachial(), ["ulnar nerve at elbow"]))
    apart = {row.id: (row.a, row.b) for row in result.differ}
    assert apart["extensor-indicis"] == ("weak", "spared")
    assert apart["triceps-brachii-long-head"][1] == "spared"
    assert apart["flexor-carpi-ulnaris"] == ("weak", "paralysed")
    assert "wrist ulnar deviation" in {row.id for row in result.same}
    assert not {row.id for row in result.same} & set(apart)


def test_the_same_injury_differs_in_nothing():
    result = compare(injure(brachial(), ["C5"]), injure(brachial(), ["C5 preganglionic"]))
    assert result.differ == ()
    assert {row.a for row in result.same} <= {"paralysed", "weak", "slight", "lost", "reduced", "present"}
    assert report.comparison(result)["differ"] == []


def test_two_models(tmp_path):
    text = (MODELS / "caudal.yaml").read_text("utf-8")
    text = text.replace("{name: toe lifter, synonyms: [TL], roots: [L5]", "{name: toe lifter, roots: [L5, S2]")
    text = text.replace("- {name: back muscle,", "- {name: other muscle,")
    path = tmp_path / "other.yaml"
    path.write_text(text, "utf-8")
    changes = {(c.id, c.what): (c.a, c.b) for c in compare_models(small("caudal"), load(path)).differ}
    assert changes["toe-lifter", "roots"] == ("L5, (S1)", "L5, S2, (S1)")
    assert changes["back-muscle", "entry"] == ("present", "")
    assert changes["other-muscle", "entry"] == ("", "present")
    assert len(changes) == 3


def test_a_model_is_like_itself():
    assert compare_models(brachial(), brachial()).differ == ()
