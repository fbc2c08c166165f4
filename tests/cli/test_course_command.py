"""Course files on the command line: one file for every command, defaults of options, the template."""

from __future__ import annotations

import json

import pypdf
import pytest
import staged
from click.testing import CliRunner
from randoms import MODELS

from plexusdraw.cli import defaults
from plexusdraw.cli.main import cli
from plexusdraw.courses import load
from plexusdraw.errors import FitError, ModelError, OutputError, UnknownNameError
from plexusdraw.yamlfile.document import parse

HEAD = "course: 1\nname: First year\n"


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words], catch_exceptions=False)


def said(path):
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def test_the_template_is_whole_and_no_file_is_lost(folder):
    assert run("course", "cervical", "-o", "my.yaml").exit_code == 0
    assert "no fault found" in run("check", "my.yaml").output
    (folder / "my.yaml").write_text("mine", "utf-8")
    with pytest.raises(OutputError, match="there already"):
        run("course", "-o", "my.yaml")
    assert (folder / "my.yaml").read_text("utf-8") == "mine"
    assert run("course", "-o", "my.yaml", "--force", "--variant", "prefixed").exit_code == 0
    assert load("my.yaml").applied == ("prefixed",)


@pytest.mark.parametrize("odd", ["a\nb", "a\u2028b", "a\u0085b", "a # b", "a: [b", "é\u200bb", 'it\'s "x"'])
def test_the_template_of_a_model_with_odd_names_is_read_as_it_was_meant(folder, odd):
    """A comment ends with its line, and some signs are the end of one only to YAML."""
    rows = parse((MODELS / "two-stages.yaml").read_text("utf-8"), "a model").value
    rows["segments"][-1] |= {"id": "main-nerve", "name": odd}
    rows["muscles"][1] |= {"id": "first-muscle", "name": f"{odd} muscle"}
    rows["groups"] = [{"name": f"{odd} group", "members": ["first-muscle", "second-muscle"]}]
    rows["variants"] = [{"id": f"v,{odd}", "name": "other", "changes": [{"set": "C6", "note": "x"}]}]
    (folder / "own.yaml").write_text(json.dumps(rows), "utf-8")
    for words in ((), ("--variant", "other")):
        assert run("course", "own.yaml", "-o", "my.yaml", "--force", *words).exit_code == 0
        course, model = load("my.yaml"), load("own.yaml", words[1:])
        assert [entity.name for entity in course.entities()] == [entity.name for entity in model.entities()]
        assert course.applied == model.applied


@pytest.mark.parametrize("words", [("course",), ("course", "nothing", "-o", "a.yaml"), ("course", "-o", "a.txt")])
def test_wrong_usage(folder, words):
    assert run(*words).exit_code == 2
    assert list(folder.iterdir()) == []


def test_a_course_stands_where_a_model_does(folder):
    (folder / "c.yaml").write_text(f"{HEAD}keep: [deltoid]\nnames: {{deltoid: shoulder cap}}\n", "utf-8")
    assert run("list", "c.yaml", "muscles").output.splitlines()[2].startswith("shoulder cap")
    assert run("trace", "c.yaml", "shoulder cap").output.startswith("shoulder cap")
    assert run("injure", "c.yaml", "axillary nerve").output.count("shoulder cap")
    assert json.loads(run("localise", "c.yaml", "--weak", "deltoid", "--json").output)["sites"]
    assert run("compare", "c.yaml", "C5", "axillary nerve").exit_code == 0
    assert run("draw", "c.yaml", "-o", "a.svg").exit_code == 0
    assert "A selection" in (folder / "a.svg").read_text("utf-8")
    assert "1 muscles" in run("check", "c.yaml").output


def test_the_course_gives_way_to_what_is_typed(folder):
    (folder / "c.yaml").write_text(f"{HEAD}worksheet: {{kind: recall, title: Week 3, key: true}}\n", "utf-8")
    run("worksheet", "c.yaml", "-o", "a.pdf")
    assert "Week 3" in said("a.pdf")
    assert "First year" in said("a.pdf")
    assert (folder / "a-key.pdf").exists()
    run("worksheet", "c.yaml", "-o", "b.pdf", "--title", "Week 4", "--key", "none")
    assert "Week 4" in said("b.pdf")
    assert not (folder / "b-key.pdf").exists()


def test_slides_take_an_outline_beside_the_course(folder):
    (folder / "part").mkdir()
    (folder / "part" / "week.yaml").write_text(
        "outline: 1\ntitle: Week 3\nsteps:\n  - {section: One, title: Roots alone, show: [roots]}\n", "utf-8"
    )
    (folder / "part" / "c.yaml").write_text(f"{HEAD}slides: {{outline: week.yaml, detail: nerves}}\n", "utf-8")
    run("slides", "part/c.yaml", "-o", "a.pdf")
    assert "Roots alone" in said("a.pdf")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("level: 9", "worksheet, level: 9 is not in the range 1<=x<=4."),
        ("kind: recal", "worksheet, kind: 'recal' is not one of 'label'"),
        ("wordbank: true", 'worksheet: no option "wordbank". Did you mean word-bank?'),
        ("word-bank: 1", "worksheet, word-bank: must be true or false, not 1."),
        ("output: a.pdf", 'worksheet: no option "output".'),
        ("ask: [trunks, crods]", 'worksheet, ask: cannot ask about "crods"'),
        ("paper: a9", 'worksheet, paper: unknown paper "a9"'),
        ("theme: prnt", 'worksheet, theme: unknown theme "prnt". Did you mean'),
        ("only: nothing here", "worksheet, only: "),
        ("side: {}", "worksheet, side: must be text or a number, not a mapping."),
        ("title: [a, [b]]", "worksheet, title: must be text or a number, not a list."),
    ],
)
def test_a_fault_of_a_default_is_told_with_its_line(folder, line, told):
    (folder / "c.yaml").write_text(f"{HEAD}worksheet:\n  seed: 3\n  {line}\n", "utf-8")
    for words in (("worksheet", "c.yaml", "-o", "a.pdf"), ("check", "c.yaml")):
        with pytest.raises(ModelError) as caught:
            run(*words)
        assert str(caught.value).startswith(f"c.yaml:5: {told}")
    assert not (folder / "a.pdf").exists()


def test_what_is_no_number_is_no_default(folder):
    (folder / "c.yaml").write_text(f"{HEAD}slides: {{ppi: nan}}\n", "utf-8")
    with pytest.raises(ModelError, match=r"c\.yaml:3: slides, ppi: nan is no number"):
        run("check", "c.yaml")


def test_all_faults_of_defaults_are_told_at_once(folder):
    (folder / "c.yaml").write_text(f"{HEAD}worksheet:\n  level: 9\n  ask: [crods]\n  papr: a4\n", "utf-8")
    with pytest.raises(ModelError) as caught:
        defaults.check(load("c.yaml"))
    assert [line.split(":")[1] for line in str(caught.value).splitlines()] == ["4", "5", "6"]


def test_two_are_compared_as_pictures(folder):
    told = run("compare", "brachial", "--variant", "prefixed", "-o", "a.svg")
    assert "upper trunk" in told.output  # facts too
    _, plain, varied = (folder / "a.svg").read_text("utf-8").split("<g font-family")
    assert "prefixed" in varied
    assert "prefixed" not in plain
    told = run("compare", "axillary nerve", "C5", "-o", "b.pdf", "--json")
    assert json.loads(told.stdout)["b"]
    assert len(pypdf.PdfReader("b.pdf").pages) == 1
    assert "injury of axillary nerve" in said("b.pdf")


def test_what_fits_no_usual_paper_is_compared_on_one_as_large_as_it_needs(folder):
    (folder / "m.yaml").write_text(staged.model(1, roots=6, stages=3, width=5, branches=24), "utf-8")
    with pytest.raises(FitError):
        run("draw", "m.yaml", "--detail", "muscles", "-o", "a.svg")
    assert run("compare", "m.yaml", "R1", "R2", "-o", "b.svg").exit_code == 0


def test_localise_names_the_variant_that_would_explain_what_speaks_against_a_site(folder):
    words = ["localise", "--weak", "flexor carpi ulnaris", "--weak", "abductor digiti minimi"]
    words += ["--spared", "first dorsal interosseous", "--allow-variants"]
    assert "ulnar nerve: Martin-Gruber explains in part spared first dorsal interosseous" in run(*words).output
    found = json.loads(run(*words, "--json").output)["variants"]
    assert ("ulnar-nerve", "martin-gruber") in {(row["site"], row["variant"]) for row in found}
    plain = run("localise", "--weak", "deltoid", "--allow-variants").output
    assert "No variant of the model explains more" in plain


def test_what_a_course_asks_of_one_kind_is_not_asked_of_another(folder):
    (folder / "c.yaml").write_text(f"{HEAD}worksheet: {{kind: label, ask: [roots], level: 1}}\n", "utf-8")
    assert run("worksheet", "c.yaml", "-o", "a.pdf", "--kind", "match").exit_code == 0
    with pytest.raises(UnknownNameError, match='cannot ask about "roots"'):
        run("worksheet", "c.yaml", "-o", "a.pdf", "--kind", "match", "--ask", "roots")


@pytest.mark.parametrize("key", ['"course": 1\n"name": First year', "'course': 1\nname: First year"])
def test_the_keys_of_a_course_may_stand_in_quotes(key, folder):
    (folder / "c.yaml").write_text(f"{key}\n", "utf-8")
    assert "no fault found" in run("check", "c.yaml").output


def test_check_tells_what_is_wrong_with_a_variant_of_the_model(folder):
    """--variant adds it to the course."""
    model = (MODELS / "two-stages.yaml").read_text("utf-8")
    (folder / "own.yaml").write_text(f"{model}variants: [{{name: none, changes: [{{remove: C6}}]}}]\n", "utf-8")
    (folder / "c.yaml").write_text(f"{HEAD}based-on: own.yaml\n", "utf-8")
    with pytest.raises(ModelError, match="so it is with none"):
        run("check", "c.yaml")
    (folder / "c.yaml").write_text(f"{HEAD}based-on: brachial\nvariants: [prefixed]\n", "utf-8")
    assert "no fault found" in run("check", "c.yaml").output


def test_the_endings_of_files_may_be_capitals(folder):
    """As some systems write them; what holds of one kind of file holds of all."""
    (folder / "OWN.YAML").write_text((MODELS / "two-stages.yaml").read_text("utf-8"), "utf-8")
    (folder / "C.YML").write_text(f"{HEAD}based-on: OWN.YAML\n", "utf-8")
    (folder / "LOOK.YAML").write_text("theme: 1\nname: own\nbased-on: print\n", "utf-8")
    (folder / "WORDS.YML").write_text("C5: fifth\n", "utf-8")
    assert "no fault found" in run("check", "OWN.YAML").output
    assert "no fault found" in run("check", "C.YML").output
    words = ("draw", "C.YML", "--theme", "LOOK.YAML", "--names", "WORDS.YML", "-o", "a.svg")
    assert run(*words).exit_code == 0
    assert "fifth" in (folder / "a.svg").read_text("utf-8")


def test_a_course_may_be_json(folder):
    (folder / "c.yaml").write_text(json.dumps({"course": 1, "name": "First year"}), "utf-8")
    assert "no fault found" in run("check", "c.yaml").output
