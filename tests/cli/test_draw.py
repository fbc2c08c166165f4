"""``plexusdraw draw``: every option, and what it says when it cannot."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from drawn import CAUDAL, draw, process, run, spelt, texts

from plexusdraw import output
from plexusdraw.errors import PlexusdrawError

pytestmark = pytest.mark.usefixtures("folder")


# --- options


@pytest.mark.parametrize(
    ("words", "shown", "absent"),
    [
        ((), "suprascapular n.", "deltoid"),
        (("--detail", "framework"), "radial n.", "suprascapular n."),
        (("--detail", "nerves"), "suprascapular n.", "MUSCLES"),
        (("--detail", "muscles"), "deltoid", "deltoideus"),
        (("--highlight", "C7"), "Brachial plexus: C7", "Brachial plexus"),
        (("--highlight", "C7", "--highlight", "ulnar nerve"), "Brachial plexus: C7, ulnar nerve", "Brachial plexus"),
        (("--injure", "upper trunk"), "Brachial plexus: injury of upper trunk", "Brachial plexus"),
        (("--injure", "C5", "--injure", "C6"), "Brachial plexus: injury of C5, C6", "Brachial plexus"),
        (("--injure", "C5", "--partial"), "Brachial plexus: partial injury of C5", "Brachial plexus: injury of C5"),
        (("--hide", "labels"), "Brachial plexus: fill in the names", "radial n."),
        (("--hide", "cords"), "radial n.", "lateral"),
        (("--hide", "trunks,cords"), "radial n.", "upper"),
        (("--hide", "trunks", "--hide", "cords"), "radial n.", "lateral"),
        (("--upto", "trunks"), "upper", "lateral"),
        (("--side", "right"), "right upper limb, seen from the front", "left upper limb, seen from the front"),
        (("--title", "Monday"), "Monday", "Brachial plexus"),
        (("--names", "english"), "upper trunk", "middle"),
        (("--names", "latin", "--paper", "a3"), "truncus superior", "upper"),
        (("--show-roots", "--detail", "framework"), "axillary n. (C5, C6)", "axillary n."),
        (("--detail", "framework"), "axillary n.", "axillary n. (C5, C6)"),
    ],
    ids=spelt,
)
def test_option(words, shown, absent):
    said = texts(draw(*words))
    assert shown in said
    assert absent not in said


@pytest.mark.parametrize(
    ("words", "size"),
    [
        (("--paper", "a4"), ("297mm", "210mm")),
        (("--paper", "letter"), ("279.4mm", "215.9mm")),
        (("--paper", "a3 portrait"), ("297mm", "420mm")),
        (("--paper", "16:9"), ("338.67mm", "190.5mm")),
        (("--paper", "square", "--detail", "framework"), ("210mm", "210mm")),
        (("--paper", "250x180"), ("250mm", "180mm")),
    ],
    ids=spelt,
)
def test_paper(words, size):
    root = ElementTree.fromstring(draw(*words))
    assert (root.get("width"), root.get("height")) == size


def test_paper_that_fits_takes_what_it_needs():
    assert draw("--paper", "fit", "--detail", "muscles")
    refused = run("--paper", "60x60", "-o", "y.svg")
    assert isinstance(refused.exception, PlexusdrawError)
    assert "--paper" in str(refused.exception)
    assert not Path("y.svg").exists()


def test_theme_by_name_and_by_file():
    Path("mine.yaml").write_text('theme: 1\nname: mine\npage: "#fff0e0"\n', encoding="utf-8")
    assert b'fill="#fff0e0"' in draw("--theme", "mine.yaml")
    assert draw("--theme", "lecture") != draw("--theme", "grayscale")


def test_own_texts():
    Path("words.yaml").write_text("radial nerve: the radial\nupper trunk: top\n", encoding="utf-8")
    assert {"the radial", "top"} <= set(texts(draw("--names", "words.yaml")))


def test_key_goes_to_a_second_file():
    blank = draw("--hide", "labels", "--key")
    assert "radial n." in texts(Path("x-key.svg").read_bytes())
    assert "radial n." not in texts(blank)


def test_ppi_is_the_size_of_a_png():
    def width(data: bytes) -> int:
        return int.from_bytes(data[16:20])

    framework = ("--detail", "framework")
    assert width(draw(*framework, "--ppi", "72", to="a.png")) == pytest.approx(297 / 25.4 * 72, abs=1)
    assert width(draw(*framework, "--ppi", "144", to="b.png")) == pytest.approx(297 / 25.4 * 144, abs=1)


@pytest.mark.parametrize(
    "words",
    [
        (CAUDAL, "--detail", "framework", "-o", "x.svg"),
        ("--detail", "framework", "-o", "x.svg", CAUDAL),
        ("--detail", "framework", CAUDAL, "-o", "x.svg"),
        ("--model", CAUDAL, "--detail", "framework", "-o", "x.svg"),
    ],
    ids=["before", "after", "between", "option"],
)
def test_the_model_may_stand_before_or_after_the_options(words):
    assert run(*words).exit_code == 0
    assert "Caudal plexus" in texts(Path("x.svg").read_bytes())


def test_no_model_is_the_brachial_plexus():
    assert draw() == draw("brachial")


# --- what cannot be done


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("-o", "-"), "-o - needs --format"),
        ((), "Missing option '-o'"),
        (("-o", "x.svg", "--detail", "all"), "'framework', 'nerves', 'muscles'"),
        (("-o", "x.svg", "--side", "top"), "'left', 'right'"),
        (("-o", "x.svg", "--format", "gif"), "'svg', 'pdf', 'png', 'dot'"),
        (("-o", "x.svg", "--names", "greek"), "none of short, english, latin"),
        (("-o", "x.svg", "--ppi", "1"), "is not in the range"),
        (("-o", "x.svg", "lumbar"), "lumbar"),
        (("-o", "x.svg", "--colour", "red"), "No such option"),
    ],
    ids=spelt,
)
def test_wrong_usage_is_exit_code_2(words, message):
    result = run(*words)
    assert result.exit_code == 2
    assert message in result.output
    assert list(Path().iterdir()) == []


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--highlight", "C9"), "C9"),
        (("--highlight", "radail nerve"), "radial nerve"),
        (("--injure", "upper tronk"), "upper trunk"),
        (("--hide", "bones"), "bones"),
        (("--upto", "fingers"), "fingers"),
        (("--paper", "b7"), "a4"),
        (("--theme", "printt"), "Did you mean print?"),
        (("--names", "none.yaml"), "none.yaml"),
        (("none.yaml",), "none.yaml"),
        (("--model", "lumbar"), "lumbar"),
    ],
    ids=spelt,
)
def test_wrong_input_is_one_message_and_exit_code_1(words, message):
    result = run(*words, "-o", "x.svg")
    assert isinstance(result.exception, PlexusdrawError)
    assert result.exception.exit_code == 1
    assert message in str(result.exception)
    assert list(Path().iterdir()) == []


def test_the_process_shows_a_message_and_no_traceback():
    done = process("--highlight", "C9", "-o", "x.svg")
    assert done.returncode == 1
    assert done.stderr.startswith(b"plexusdraw: ")
    assert b"Traceback" not in done.stderr
    assert done.stdout == b""


@pytest.mark.parametrize(
    ("path", "message"),
    [
        ("none/x.svg", "no folder"),
        ("there", "no ending"),
        ("there.svg", "this is a folder"),
        ("file/x.svg", "is a file, not a folder"),
        ("x.gif", "svg"),
    ],
)
def test_places_that_cannot_be_written(path, message):
    Path("there.svg").mkdir()
    Path("file").touch()
    result = run("-o", path)
    assert isinstance(result.exception, PlexusdrawError)
    assert message in str(result.exception)
    assert sorted(p.name for p in Path().iterdir()) == ["file", "there.svg"]


def test_a_read_only_folder(monkeypatch):
    """The system's answer is imitated, since the owner of the machine may write everywhere."""
    real = os.open

    def refuse(path, flags, *rest, **more):
        if flags & os.O_CREAT:
            raise PermissionError(errno.EACCES, "Permission denied", path)
        return real(path, flags, *rest, **more)

    monkeypatch.setattr(output.os, "open", refuse)
    result = run("-o", "x.svg")
    assert "no permission to write" in str(result.exception)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_is_really_read_only(folder):
    folder.chmod(0o500)
    assert "no permission to write" in str(run("-o", "x.svg").exception)
    folder.chmod(0o700)


def test_an_interrupted_write_leaves_the_old_file():
    Path("x.svg").write_text("old", encoding="utf-8")
    code = (
        "import os, signal\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a job in the background ignores it
        "from plexusdraw.cli.main import run\n"
        "os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGINT)\n"
        "run()"
    )
    done = subprocess.run([sys.executable, "-c", code, "draw", "-o", "x.svg"], capture_output=True, check=False)
    assert done.returncode != 0
    assert [p.name for p in Path().iterdir()] == ["x.svg"]
    assert Path("x.svg").read_text("utf-8") == "old"


def test_a_killed_write_leaves_the_old_file():
    Path("x.svg").write_text("old", encoding="utf-8")
    code = "import os\nfrom plexusdraw.cli.main import run\nos.fsync = lambda handle: os._exit(9)\nrun()"
    assert subprocess.run([sys.executable, "-c", code, "draw", "-o", "x.svg"], check=False).returncode == 9
    assert Path("x.svg").read_text("utf-8") == "old"
