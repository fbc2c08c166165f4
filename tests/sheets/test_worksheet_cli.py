"""The command: files, course file, messages, exit codes."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from plexusdraw.cli.worksheet import command
from plexusdraw.errors import ModelError, OutputError
from plexusdraw.model import load
from plexusdraw.sheets.worksheet import course


def call(*words):
    return CliRunner().invoke(command, words, catch_exceptions=False)


def test_one_form(tmp_path):
    result = call("-o", str(tmp_path / "sheet.pdf"), "--kind", "recall")
    assert result.exit_code == 0
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")


def test_key_alone_is_a_second_file(tmp_path):
    call("-o", str(tmp_path / "sheet.pdf"), "--kind", "table", "--key")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["sheet-key.pdf", "sheet.pdf"]


def test_same_command_same_bytes(tmp_path):
    for name in ("a", "b"):
        call("-o", str(tmp_path / f"{name}.pdf"), "--kind", "table", "--forms", "3", "--seed", "7", "--key", "after")
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_folder_and_exports(tmp_path):
    call("-o", str(tmp_path / "set"), "--kind", "site", "--forms", "2", "--export", str(tmp_path / "q.csv"))
    codes = [p.stem.removeprefix("form-") for p in sorted((tmp_path / "set").iterdir())]
    assert len(codes) == 2
    assert (tmp_path / f"q-{codes[1]}.svg").exists()


@pytest.mark.parametrize("words", [("--level", "5"), ("--forms", "0"), ("--kind", "quiz"), ("brachial", "extra")])
def test_wrong_usage(words, tmp_path):
    result = call("-o", str(tmp_path / "a.pdf"), *words)
    assert result.exit_code == 2
    assert list(tmp_path.iterdir()) == []


def test_an_ending_that_is_no_format(tmp_path):
    with pytest.raises(OutputError, match=r"a .pdf file, or a folder"):
        call("-o", str(tmp_path / "a.docx"), "--kind", "recall")


def test_course_file_gives_way_to_what_is_typed(tmp_path):
    (tmp_path / "course.yaml").write_text("kind: recall\ntitle: Week 3\ncourse: Anatomy 2\nforms-of-no-kind: 1\n")
    with pytest.raises(ModelError, match=r'unknown key "forms-of-no-kind"'):
        call("-o", str(tmp_path / "a.pdf"), "--course", str(tmp_path / "course.yaml"))
    (tmp_path / "course.yaml").write_text("kind: recall\ntitle: Week 3\ncourse: Anatomy 2\n")
    call("-o", str(tmp_path / "a.pdf"), "--course", str(tmp_path / "course.yaml"))
    call("-o", str(tmp_path / "b.pdf"), "--course", str(tmp_path / "course.yaml"), "--title", "Week 4")
    import pypdf

    said = [pypdf.PdfReader(tmp_path / name).pages[0].extract_text() for name in ("a.pdf", "b.pdf")]
    assert "Anatomy 2" in said[0]
    assert ["Week 3" in said[0], "Week 4" in said[1], "Week 3" in said[1]] == [True, True, False]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("title: 3", "title: must be text, not 3. Put it in quotes."),
        ("level: 9", "level: must be a whole number from 1 to 4, not 9."),
        ("level: true", "level: must be a whole number from 1 to 4, not true."),
        ("count: 0", "count: must be a whole number of 1 or more, not 0."),
        (
            "kind: recal",
            'kind: "recal" is not label, draw, table, injury, site, recall, match',
        ),
        ("word-bank: 1", "word-bank: must be true or false, not 1."),
        ("wordbank: true", 'unknown key "wordbank". Did you mean word-bank?'),
        ("ask: [trunks, crods]", 'cannot ask about "crods"; choose from roots, trunks, divisions, cords, branches'),
        ("ask: roots,3rd", 'cannot ask about "3rd"; choose from'),
        ("paper: a9", 'unknown paper "a9"; try a5, a4'),
        ("theme: prnt", 'unknown theme "prnt". Did you mean'),
        ("side: {}", "side: a mapping is not left or right."),
    ],
)
def test_a_fault_of_a_course_file_is_told_with_its_line(tmp_path, line, told):
    path = tmp_path / "course.yaml"
    path.write_text(f"course: Anatomy\n{line}\n")
    with pytest.raises(ModelError) as caught:
        call("-o", str(tmp_path / "a.pdf"), "--course", str(path))
    assert str(caught.value).startswith(f"{path}:2: {told}")
    assert not (tmp_path / "a.pdf").exists()


def test_all_faults_of_a_course_file_are_told_at_once(tmp_path):
    path = tmp_path / "course.yaml"
    path.write_text("title: 3\nlevel: 9\nask: [trunks, crods]\npaper: a9\n")
    with pytest.raises(ModelError) as caught:
        course.read(load("brachial"), path)
    assert [line.split(":")[1] for line in str(caught.value).splitlines()] == ["1", "2", "3", "4"]
