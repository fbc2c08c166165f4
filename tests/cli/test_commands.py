from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest
from click.testing import CliRunner
from randoms import MODELS, brachial

from plexusdraw.cli import main
from plexusdraw.errors import PlexusdrawError

CAUDAL = str(MODELS / "caudal.yaml")


def call(*words: str) -> str:
    """Output of a command that works."""
    result = CliRunner(env={"COLUMNS": "160"}).invoke(main.cli, words, catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def as_json(*words: str):
    return json.loads(call(*words, "--json"))


def process(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    """The command as a user runs it."""
    code = "from plexusdraw.cli.main import run; run()"
    return subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, env={**os.environ, **env}, check=False
    )


def test_help_imports_no_command_and_nothing_heavy():
    code = (
        "import sys; from plexusdraw.cli.main import run\n"
        "try: run()\nexcept SystemExit: pass\n"
        "heavy = ('pydantic', 'rich', 'ruamel.yaml', 'networkx', 'plexusdraw.model', 'typst')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code, "--help"], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
    for name in main.COMMANDS:
        assert name in done.stdout


@pytest.mark.parametrize("name", list(main.COMMANDS))
def test_each_command_explains_itself(name):
    assert "Usage:" in call(name, "-h")


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        (["injure", "nowhere"], 1, "nothing in the brachial plexus"),
        (["trace", "elbow"], 1, "Say which"),
        (["check", "none.yaml"], 1, "cannot be read"),
        (["injure", "--model", "none", "C5"], 1, 'no built-in model "none"'),
        (["localise", "--weak", "nobody"], 1, "nothing in the brachial plexus"),
        (["localise", "--grade", "biceps=9"], 1, "strength from 0 to 5"),
        (["localise", "--weak", "biceps", "--spared", "biceps"], 1, "cannot both be true"),
        (["injure"], 2, "Missing argument"),
        (["injure", "brachial"], 2, "say where"),
        (["list", "nothing"], 2, "Known: roots"),
        (["lst"], 2, "Did you mean list?"),
        (["localise"], 2, "at least one finding"),
        (["localise", "C5"], 2, "is not a model"),
        (["compare", "C5"], 2, "give two injuries"),
        (["check"], 2, "which file"),
        (["injure", "--nothing"], 2, "No such option"),
    ],
)
def test_exit_codes_and_one_message(words, code, message):
    done = process(*words)
    assert done.returncode == code
    assert message in done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr


def test_a_wrong_model_is_told_with_file_and_line(tmp_path):
    path = tmp_path / "wrong.yaml"
    path.write_text((MODELS / "caudal.yaml").read_text("utf-8").replace("from: [L3, L4]", "from: [L3, L44]"), "utf-8")
    done = process("check", str(path))
    assert done.returncode == 1
    assert f"{path}:20: front band" in done.stderr


def test_json_of_injure_has_every_muscle():
    found = as_json("injure", "upper trunk")
    assert found["sites"] == [{"id": "upper-trunk", "name": "upper trunk", "partial": False}]
    assert [m["id"] for m in found["muscles"]] == list(brachial().muscles)
    deltoid = next(m for m in found["muscles"] if m["id"] == "deltoid")
    assert deltoid == {
        "id": "deltoid",
        "name": "deltoid",
        "nerve": "posterior branch of axillary nerve, anterior branch of axillary nerve",
        "state": "paralysed",
        "disputed": False,
        "remaining": 0.0,
        "mrc_estimate": "0",
        "roots_lost": ["C5", "C6"],
        "roots_left": [],
    }
    losses = {"variants", "sites", "muscles", "skin", "movements", "reflexes", "signs", "notably_spared", "caution"}
    assert set(found) == losses | {"scenarios", "outside", "remarks", "unsure", "sources"}
    assert {"id": "serratus-anterior", "name": "serratus anterior"} in found["notably_spared"]
    assert {"id": "c5-dermatome", "name": "C5 dermatome", "state": "lost", "disputed": False} in found["skin"]


def test_partial_is_never_paralysed():
    states = {m["state"] for m in as_json("injure", "upper trunk", "--partial")["muscles"]}
    assert states == {"weak", "slight", "spared"}


@pytest.mark.parametrize("words", [[CAUDAL, "hip nerve"], ["hip nerve", CAUDAL], ["hip nerve", "--model", CAUDAL]])
def test_the_model_may_stand_anywhere(words):
    assert as_json("injure", *words)["sites"] == [{"id": "hip-nerve", "name": "hip nerve", "partial": False}]
    assert as_json("trace", *words)["id"] == "hip-nerve"


def test_several_sites_and_a_site_without_quotes():
    assert [s["id"] for s in as_json("injure", "C5", "C6")["sites"]] == ["C5", "C6"]
    assert [s["id"] for s in as_json("injure", "upper", "trunk")["sites"]] == ["upper-trunk"]


def test_json_of_trace():
    found = as_json("trace", "ulnar nerve")
    known = ["id", "name", "kind", "variants", "roots", "roots_minor", "routes", "muscles", "skin", "note", "sources"]
    assert list(found) == known
    assert all(source["title"] for source in found["sources"])
    assert ["C8", "lower-trunk", "anterior-division-of-lower-trunk", "medial-cord", "ulnar-nerve"] in found["routes"]
    assert as_json("trace", "rhomboids")["kind"] == "group"


def test_trace_says_how_to_examine_and_what_deceives():
    found = as_json("trace", "adductor pollicis")
    assert "paper" in found["examine"]
    assert "Froment" in found["trick"]
    text = call("trace", "adductor pollicis")
    assert "How to examine: A paper" in text
    assert "What deceives: The long flexor" in text
    assert "Not told alone at the bedside" in call("trace", "pronator quadratus")


@pytest.mark.parametrize("words", [["trace", "deltoid"], ["trace", "radial nerve"], ["injure", "C7 avulsion"]])
def test_sources_are_titles(words):
    text = call(*words)
    plexus = brachial()
    assert "Sources" in text
    assert [id for id in plexus.sources if "-" in id and re.search(rf"(?<![\w-]){id}(?![\w-])", text)] == []


def test_a_named_injury():
    text = call("injure", "carpal tunnel syndrome")
    assert "Injury: median nerve at carpal tunnel\nCarpal tunnel syndrome: " in text
    assert "Usually partial: add --partial." in text
    assert "Usually partial" not in call("injure", "carpal", "tunnel", "syndrome", "--partial")
    assert "may also mean" in call("injure", "Saturday night palsy")
    found = as_json("injure", "Klumpke palsy + axillary nerve")
    assert [s["id"] for s in found["sites"]] == ["lower-trunk", "axillary-nerve"]
    assert [s["id"] for s in found["scenarios"]] == ["klumpke-palsy"]
    listed = {row["name"]: row for row in as_json("list", "scenarios")}
    assert listed["thoracic outlet syndrome"]["usually"] == "partial"
    assert listed["Narakas group IV"]["sites"][-1] == "T1 preganglionic"


def test_what_tells_the_level_of_a_root():
    before, beyond = call("injure", "C7 avulsion"), call("injure", "C7")
    assert "sensory nerve conduction stays normal" in before
    assert "cervical paraspinals" in before
    assert "sensory nerve conduction is lost" in beyond
    assert "Outside this plexus" not in beyond
    assert "Caution" in before


def test_json_of_localise():
    found = as_json("localise", "--weak", "deltoid", "--spared", "triceps", "--numb", "upper lateral arm")
    assert set(found) == {"sites", "unexplained", "variants_applied", "next_tests", "caution"}
    keys = {"id", "name", "cuts", "places", "explained", "unexplained", "contradicted", "score", "plausible", "partial"}
    assert set(found["sites"][0]) == keys
    assert found["sites"][0]["id"] == "axillary-nerve"
    assert found["sites"][0]["places"] == ["axillary nerve", "axillary nerve at quadrangular space"]
    assert found["sites"][0]["plausible"] == "usual"
    assert set(found["next_tests"][0]) == {"id", "name", "kind", "tells", "word", "normal", "changed"}
    scores = [site["score"] for site in found["sites"]]
    assert scores == sorted(scores, reverse=True)


def test_every_kind_of_finding_is_an_option():
    text = call(
        "localise",
        "--paralysed",
        "deltoid",
        "--sign",
        "wrist drop",
        "--no-sign",
        "Horner",
        "--feels",
        "medial arm",
        "--reflex-lost",
        "triceps reflex",
        "--reflex-kept",
        "biceps reflex",
        "--grade",
        "ECRL=2",
        "--top",
        "3",
    )
    assert "Sites, best first" in text
    assert "no Horner syndrome" in text
    assert "Caution:" in text


def test_localise_says_in_words_what_splits_the_answers_and_what_no_site_explains():
    text = call("localise", "--weak", "triceps", "--weak", "trapezius")
    assert "No single site of the brachial plexus explains: weak trapezius (accessory nerve)." in text
    assert "splits the leading answers best" in text
    assert "bits" not in text
    assert "usual place" in text
    assert "middle trunk" in next(line for line in text.splitlines() if "not told apart at the bedside" in line)
    assert "Sites, best first" not in call("localise", "--weak", "trapezius")
    assert "No abnormal finding" in call("localise", "--spared", "deltoid")


def test_json_of_compare():
    found = as_json("compare", "C8", "ulnar nerve at elbow")
    assert set(found) == {"a", "b", "variants", "differ", "same", "caution"}
    assert {
        "id": "extensor-indicis",
        "name": "extensor indicis",
        "kind": "muscle",
        "a": "weak",
        "b": "spared",
    } in found["differ"]
    assert as_json("compare", "C5 + C6", "upper trunk")["a"][1]["id"] == "C6"
    assert as_json("compare", CAUDAL, CAUDAL)["differ"] == []


@pytest.mark.parametrize(
    "words",
    [
        ["injure", "C5"],
        ["localise", "--weak", "deltoid"],
        ["compare", "C5", "upper trunk"],
        ["compare", CAUDAL, CAUDAL],
    ],
)
def test_the_caution_is_never_missing(words):
    assert "Caution: " in call(*words)
    assert as_json(*words)["caution"]


def test_why_shows_the_cut_on_its_route():
    text = call("injure", "suprascapular nerve at spinoglenoid notch", "--why")
    assert "C5 → upper trunk → suprascapular nerve × → infraspinatus" in text
    found = as_json("injure", "suprascapular nerve at spinoglenoid notch", "--why")["why"]
    assert found["infraspinatus"]["broken"][0] == ["C5", "upper-trunk", "suprascapular-nerve", "infraspinatus"]


def test_every_line_has_its_reason():
    text = call("injure", "C5", "--why")
    why = text[text.index("Why\n") :]
    for line in (
        "rhomboid major: paralysed",
        "deltoid: weak",
        "(minor)",
        "left: C3, C4",
        "shoulder abduction: weak",
        "biceps reflex: reduced",
        "source: ",
        "posterior interosseous",
    ):
        assert line.replace("left: C3, C4", "left: C3 by the cervical plexus, C4") in why


def test_a_sign_has_its_reason():
    assert "flattened shoulder: lost: deltoid" in call("injure", "axillary nerve", "--why")


def test_what_is_left_is_said_beside_the_state():
    text = call("injure", "C5")
    rows = [" ".join(line.split()) for line in text.splitlines()]
    assert "spinati suprascapular n. 20 % 2-3 C5 (C6)" in rows
    assert "Muscle Nerve Fibres remaining MRC, estimate Roots lost Roots left" in rows
    assert text.count("no principal root still has a way") == 1
    assert "a trace of power may remain" in text
    assert "a trace" not in call("injure", "ulnar nerve at elbow")


def test_one_cut_of_several_may_be_partial():
    text = call("injure", "C6:partial", "ulnar nerve at wrist")
    assert text.startswith("Injury: C6 (partial); ulnar nerve at wrist\n")
    sites = as_json("injure", "C6:partial", "ulnar nerve at wrist")["sites"]
    assert [site["partial"] for site in sites] == [True, False]
    grades = {m["id"]: m["mrc_estimate"] for m in as_json("injure", "C6:partial", "ulnar nerve at wrist")["muscles"]}
    assert (grades["adductor-pollicis"], grades["pronator-teres"], grades["rhomboid-minor"]) == ("0", "3-4", "5")


def test_a_partial_injury_hits_roots():
    assert "Roots hit" in call("injure", "C8", "--partial")
    assert "Roots lost" not in call("injure", "C8", "--partial")


def test_sites_in_one_text():
    text = call("injure", "C8-T1 preganglionic")
    assert text.startswith("Injury: C8 preganglionic; T1 preganglionic")
    assert "Horner syndrome" in text


@pytest.mark.parametrize("width", ["40", "60", "80"])
@pytest.mark.parametrize(
    "words", [["injure", "C8", "--why"], ["compare", "C7", "spiral groove"], ["localise", "--weak", "deltoid"]]
)
def test_no_word_is_broken(words, width):
    result = CliRunner(env={"COLUMNS": width}).invoke(main.cli, words, catch_exceptions=False)
    wide = set(call(*words).split())
    assert max(map(len, result.output.splitlines())) <= int(width)
    assert {word for word in result.output.split() if len(word) > 3} <= wide


def test_compare_puts_the_surest_first():
    lines = call("compare", "C7", "radial nerve at spiral groove").splitlines()
    first = lines.index("What tells them apart: muscles") + 2
    rows = [line.split("  ")[0] for line in lines[first:]]
    assert rows.index("elbow extensors") < rows.index("biceps brachii")
    assert "triceps reflex" in rows


@pytest.mark.parametrize(
    "what",
    [
        "roots",
        "trunks",
        "divisions",
        "cords",
        "branches",
        "terminal branches",
        "nerve",
        "muscles",
        "skin",
        "groups",
        "places",
        "sites",
        "reflexes",
        "signs",
        "outside",
        "sources",
        "models",
        "themes",
    ],
)
def test_list(what):
    text = call("list", what)
    rows = as_json("list", what)
    assert len(rows) >= 1
    first = rows[0]
    name = first if isinstance(first, str) else str(first.get("name", first.get("id")))
    assert name.split(" ")[0] in text


def test_list_of_a_model_alone_counts():
    counts = {row["what"]: row["number"] for row in as_json("list", CAUDAL)}
    assert counts["roots"] == 5
    assert counts["muscles"] == 5
    assert counts["bands"] == 2


def test_check_and_the_schema():
    assert "no fault found" in call("check", CAUDAL)
    assert json.loads(call("check", "--schema"))["title"] == "ModelFile"
    assert as_json("check", CAUDAL)["segments"] == 15


@pytest.mark.parametrize(
    "env", [{"COLUMNS": "30"}, {"COLUMNS": "60"}, {"TERM": "dumb"}, {"NO_COLOR": "1"}, {"PYTHONIOENCODING": "ascii"}]
)
def test_any_terminal(env):
    done = process("injure", "upper trunk", "--why", **env)
    assert done.returncode == 0
    assert "\x1b" not in done.stdout
    lines = done.stdout.splitlines()
    assert all(line == line.rstrip() for line in lines)
    if "COLUMNS" in env:
        assert max(map(len, lines)) <= int(env["COLUMNS"])


def test_a_library_error_becomes_its_message(monkeypatch, capsys):
    def fail(**_: object) -> None:
        raise PlexusdrawError("what went wrong")

    monkeypatch.setattr(main, "cli", fail)
    with pytest.raises(SystemExit) as caught:
        main.run()
    assert caught.value.code == 1
    assert capsys.readouterr().err == "plexusdraw: what went wrong\n"
