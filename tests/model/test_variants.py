"""Variants: applied by id, checked as any model, told with their lines; conventions change only what is drawn."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.cli.main import cli
from plexusdraw.errors import ModelError, UnknownNameError
from plexusdraw.model import load


@pytest.fixture
def model(tmp_path):
    """Writes the caudal model with a table of variants; returns its path."""

    def write(text: str) -> Path:
        path = tmp_path / "varied.yaml"
        path.write_text((MODELS / "caudal.yaml").read_text("utf-8") + text, "utf-8")
        return path

    return write


def first_line_of(path: Path, text: str) -> int:
    return next(i for i, line in enumerate(path.read_text("utf-8").splitlines(), 1) if text in line)


def test_entries_are_set_added_and_removed(model):
    muscle = next(iter(load(MODELS / "caudal.yaml").muscles.values()))
    path = model(f"""
variants:
  - name: renamed
    kind: convention
    changes: [{{set: {muscle.id}, name: other name, synonyms: [third name]}}]
""")
    varied = load(path, ["renamed"])
    assert varied.muscles[muscle.id].name == "other name"
    assert varied.applied == ("renamed",)
    assert varied.drawing is None  # a name holds in all that is computed
    assert load(path).muscles[muscle.id].name == muscle.name


def test_what_is_removed_is_nowhere_mentioned(model):
    plain = load(MODELS / "caudal.yaml")
    muscle = next(m for m in plain.muscles.values() if not any(m.id in g.members for g in plain.groups.values()))
    path = model(f"\nvariants:\n  - name: without\n    changes: [{{remove: {muscle.id}}}]\n")
    try:
        varied = load(path, ["without"])
    except ModelError as error:  # a sign or reflex may rest on it: then that is said
        assert muscle.id in str(error)
        return
    assert muscle.id not in varied.muscles
    assert all(muscle.id != getattr(item, "to", "") for s in varied.segments.values() for item in s.course)


def test_a_fault_in_a_change_names_its_line(model):
    path = model("\nvariants:\n  - name: wrong\n    changes:\n      - {set: hip-nervex, roots: [L3]}\n")
    with pytest.raises(ModelError, match=r"hip-nervex.*Did you mean hip-nerve") as caught:
        load(path, ["wrong"])
    assert f":{first_line_of(path, 'hip-nervex')}: " in str(caught.value)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("{turn: x}", "a change begins with set, add, remove"),
        ("{add: muscels, name: x}", "Did you mean muscles"),
        ("{remove: nothing-such}", 'the model has no "nothing-such"'),
        ("{set: hip-nerve, course: {remove: [nobody]}}", '"nobody" is not in that list of hip-nerve'),
        ("{set: hip-nerve, drawn: 7}", "true or false"),
    ],
)
def test_faults_of_changes(model, change, message):
    path = model(f"\nvariants:\n  - name: wrong\n    changes:\n      - {change}\n")
    with pytest.raises(ModelError, match=message):
        load(path, ["wrong"])


def test_two_that_set_the_same_do_not_combine(model):
    path = model("""
variants:
  - {name: one, changes: [{set: hip-nerve, label: one}]}
  - {name: two, changes: [{set: hip-nerve, label: two}]}
""")
    assert load(path, ["one"]).segments["hip-nerve"].label == "one"
    with pytest.raises(ModelError, match='two: "label" of hip-nerve is already set by one'):
        load(path, ["one", "two"])


def test_an_unknown_variant_says_which_there_are(model):
    with pytest.raises(UnknownNameError, match="Did you mean renamed"):
        load(model("\nvariants:\n  - {name: renamed, changes: [{set: hip-nerve, label: x}]}\n"), ["renamd"])
    with pytest.raises(UnknownNameError, match="It has none"):
        load(MODELS / "caudal.yaml", ["renamed"])


def test_a_convention_that_would_change_results_is_told(model):
    """The groin nerve drawn off the hip nerve would come from other roots: that is a variant of bodies."""
    path = model("""
variants:
  - name: drawn off
    kind: convention
    changes:
      - {set: groin-nerve, stage: null, from: [], offshoot: true}
      - set: hip-nerve
        course: {add: [groin-nerve], before: hip-muscle}
""")
    told = CliRunner().invoke(cli, ["check", str(path)])
    assert told.exit_code == 1
    assert "a convention changes only what is drawn" in str(told.exception or told.output) or "does not arrive" in str(
        told.exception or told.output
    )
