"""The command: files, messages, exit codes."""

from __future__ import annotations

import pytest
from formpages import call


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
    result = call("-o", str(tmp_path / "a.docx"), "--kind", "recall")
    assert result.exit_code == 2
    assert "a worksheet, if no folder, ends in .pdf" in result.output
