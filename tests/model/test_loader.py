from __future__ import annotations

import json
import os
import random
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from randoms import MODELS, brachial, small, write

from plexusdraw.clinic import deficits
from plexusdraw.errors import ModelError
from plexusdraw.model import Exit, load, loader, models
from plexusdraw.model.schema import json_schema
from plexusdraw.yamlfile.document import parse

CAUDAL = (MODELS / "caudal.yaml").read_text("utf-8")


def test_the_built_in_model_has_the_form_of_any_other():
    """A built-in file is trusted at start, so its form is checked here."""
    for name in models():
        assert load(loader._FOLDER / f"{name}.yaml").id == load(name).id


def test_every_entry_of_the_built_in_model_has_a_source():
    for entity in brachial().entities():
        assert entity.sources, entity.id


def test_ids_stages_and_parents():
    plexus = small("caudal")
    assert plexus.roots == ("L3", "L4", "L5", "S1", "S2")
    assert plexus.segments["thigh-nerve"].kind == "branch"
    assert plexus.segments["hip-nerve"].parents == ("front-band",)
    assert plexus.segments["groin-nerve"].parents == ("L3", "L4")
    assert plexus.segments["shin-nerve"].parents == ("rear-half", "joining-root")
    assert plexus.segments["thigh-nerve"].position_of("thigh-nerve-at-knee") == 2
    assert plexus.nerves_of["knee-flexor"] == ("shin-nerve", "deep-branch-of-shin-nerve")
    assert plexus.exit_of("front-band", "front-half") == 1
    assert plexus.children["front-band"] == ("hip-nerve", "front-half"), "in the order in which they leave"


def test_lines_lead_to_the_entry():
    lines = CAUDAL.splitlines()
    for entity in small("caudal").entities():
        assert entity.name in "".join(lines[entity.line - 1 : entity.line + 1]), entity.id


def test_the_graph_has_an_edge_for_each_branch():
    plexus = small("caudal")
    assert plexus.graph.edges["front-band", "hip-nerve"]["at"] == 0
    assert plexus.graph.edges["front-band", "front-half"]["at"] == 1
    exits = sum(isinstance(item, Exit) for s in plexus.segments.values() for item in s.course)
    staged = sum(len(s.parents) for s in plexus.segments.values() if s.stage or s.id == "joining-root")
    assert plexus.graph.number_of_edges() == exits + staged


def test_entity_knows_every_id_and_no_other():
    plexus = small("caudal")
    assert plexus.entity("thigh-nerve-at-knee").kind == "place"
    assert plexus.entity("back-muscle").kind == "muscle"
    with pytest.raises(KeyError):
        plexus.entity("none")


def test_unknown_model_names_those_that_exist():
    with pytest.raises(ModelError, match=r'no built-in model "none".*brachial'):
        load("none")


def test_same_text_same_plexus():
    assert load("brachial") is load("brachial")


def test_json_schema_takes_the_test_models_keys():
    schema = json_schema()
    assert schema["additionalProperties"] is False
    assert {"segments", "muscles", "stages"} <= set(schema["properties"])
    assert "from" in schema["$defs"]["SegmentRow"]["properties"]


def test_loading_is_less_work_than_importing_the_graph_library():
    """In fresh processes; how long both take is for the benchmarks to say."""

    def work(code):
        words = [sys.executable, "-c", f"from effort import calls; print(calls(lambda: exec({code!r})))"]
        env = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
        return int(subprocess.run(words, check=True, capture_output=True, env=env).stdout)

    assert work("from plexusdraw.model import load; load()") < work("import networkx")


def survives(path):
    """Whatever the file holds: a plexus that can be worked with, or a ModelError whose lines name the file."""
    try:
        plexus = load(path)
        deficits.of(plexus).broken([(root, 0) for root in plexus.roots])
        message = ""
    except ModelError as error:
        message = str(error)
    assert all(line.startswith(str(path)) for line in message.splitlines()), message


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_a_damaged_file_gives_a_model_error_at_worst(tmp_path, data):
    lines = CAUDAL.splitlines()
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        line = lines[at]
        cut = data.draw(st.integers(0, len(line)))
        kind = data.draw(st.sampled_from(["drop", "twice", "cut", "insert", "swap"]))
        if kind == "drop":
            lines[at] = ""
        elif kind == "twice":
            lines.insert(at, line)
        elif kind == "cut":
            lines[at] = line[:cut]
        elif kind == "insert":
            lines[at] = line[:cut] + data.draw(st.text(max_size=4)) + line[cut:]
        else:
            other = data.draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
    path = tmp_path / "damaged.yaml"
    path.write_text("\n".join(lines), "utf-8", errors="surrogatepass")
    survives(path)


VALUES = [
    None,
    True,
    0,
    -1,
    1.5,
    "",
    " ",
    "x",
    "L3",
    "knee-flexor",
    [],
    ["L3"],
    [["L3"]],
    {},
    {"to": "L3"},
    {"place": "x"},
]


def _holders(value):
    """Every mapping and list in a value."""
    found = [value] if isinstance(value, dict | list) and value else []
    children = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return found + [holder for child in children for holder in _holders(child)]


@pytest.mark.parametrize("seed", range(200))
def test_a_wrong_value_anywhere_gives_a_model_error_at_worst(tmp_path, seed):
    dice = random.Random(seed)
    model = json.loads(json.dumps(parse(CAUDAL, "caudal").value))
    holder = dice.choice(_holders(model))
    key = dice.choice(list(holder) if isinstance(holder, dict) else range(len(holder)))
    if dice.random() < 0.3:
        del holder[key]
    elif dice.random() < 0.2 and isinstance(holder, dict):
        holder["unknown"] = 1
    else:
        holder[key] = dice.choice(VALUES)
    survives(write(tmp_path, model))
