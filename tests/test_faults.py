"""What a full disk, a vanishing folder, a signal, a rival or a closed pipe does to a command and to its files."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from faulty import (
    JOBS,
    MODEL,
    OLD,
    TALK,
    batch,
    environment,
    faults,
    full,
    in_turn,
    killed,
    laid,
    run,
    stopped_at,
)
from formpages import PRINT
from night import first
from randoms import small

from plexusdraw import output
from plexusdraw.cli.main import cli
from plexusdraw.errors import OutputError
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Form, Spec

MOST_CALLS = 1_000_000
"""About as many as the longest of these jobs makes."""
pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals, shell and disks of POSIX")


@pytest.fixture
def folder(tmp_path):
    """A folder within that of the test, so that a command can also write elsewhere."""
    (tmp_path / "in").mkdir()
    return tmp_path / "in"


def said_once(done: subprocess.CompletedProcess[str], message: str) -> bool:
    """Whether a command failed with this message and nothing else."""
    return done.returncode == 1 and done.stderr.count("\n") == 1 and message in done.stderr


# --- a full disk


@pytest.mark.parametrize("job", JOBS)
def test_no_room_at_all_changes_nothing(folder, job):
    with full(folder, job, 0) as shell:
        done = run(JOBS[job][0], folder, shell)
        assert said_once(done, "no room left in"), done
        assert faults(folder) == []
        assert all((folder / name).read_bytes() == OLD for name in JOBS[job][1])


@pytest.mark.parametrize(("job", "room"), [("key", 50_000), ("pictures", 100_000), ("grid", 90_000)])
def test_room_for_some_of_the_files_of_a_set_changes_none(folder, job, room):
    with full(folder, job, room) as shell:
        done = run(JOBS[job][0], folder, shell)
        assert said_once(done, "no room left in"), done
        assert faults(folder) == []
        assert all((folder / name).read_bytes() == OLD for name in JOBS[job][1])


def test_room_for_some_forms_of_a_set_lays_none_down(folder):
    with full(folder, "forms", 100_000) as shell:
        done = run(JOBS["forms"][0], folder, shell)
        assert said_once(done, "no room left in"), done
        assert [path.name for path in folder.glob("set/*")] == ["grid.pdf"]
        assert (folder / "set/grid.pdf").read_bytes() == OLD


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has /dev/full")
@pytest.mark.parametrize("words", [["list"], ["--help"], ["draw", MODEL, "-o", "-", "--format", "svg"]])
def test_full_standard_output(folder, words):
    assert said_once(run(words, folder, 'exec "$@" > /dev/full'), "standard output cannot be written to: No space left")


# --- a folder that goes or is closed


def test_folder_that_vanishes_between_two_forms(folder, monkeypatch):
    real, made = os.fsync, []

    def vanishing(handle: int) -> None:
        real(handle)
        made.append(handle)
        if len(made) == 2:
            shutil.rmtree(folder / "x")

    monkeypatch.setattr(output.os, "fsync", vanishing)
    words = ["worksheet", MODEL, "--kind", "table", "--forms", "20", "-o", str(folder / "x")]
    with pytest.raises(OutputError, match=r"there is no folder|cannot be written: No such file"):
        CliRunner().invoke(cli, words, catch_exceptions=False, standalone_mode=False)
    assert len(made) < 20
    assert list(folder.iterdir()) == []


def test_folder_that_vanishes_once_the_file_is_laid_down(folder, monkeypatch):
    monkeypatch.setattr(output.os, "fsync", lambda _: shutil.rmtree(folder))
    with pytest.raises(OutputError, match=r"x\.svg: cannot be written: No such file"):
        output.write(folder / "x.svg", b"new")


def test_read_only_folder_for_someone_who_is_not_root():
    code = (
        "import os, sys; from plexusdraw import figure; from plexusdraw.errors import OutputError\n"
        "made = figure(sys.argv[1], detail='framework'); made.render('svg')\n"
        "if os.geteuid() == 0: os.setgroups([]); os.setgid(65534); os.setuid(65534)\n"
        "try: made.save('x.svg')\n"
        "except OutputError as error: print(error)"
    )
    with tempfile.TemporaryDirectory() as name:  # no folder above it is closed to others
        Path(name).chmod(0o555)
        command = [sys.executable, "-c", code, MODEL]
        done = subprocess.run(command, cwd=name, env=environment(), capture_output=True, text=True, check=False)
        Path(name).chmod(0o755)
        assert list(Path(name).iterdir()) == []
    assert "x.svg: no permission to write in" in done.stdout, done.stderr


# --- signals


@pytest.mark.parametrize("seed", first(range(10), 5))
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_stopped_at_any_moment(folder, number, seed):
    job = ["svg", "pdf", "key", "forms", "grid"][seed % 5]
    words, names = JOBS[job]
    code, said = stopped_at(words, laid(folder, job), number, random.Random(seed).randrange(1, MOST_CALLS))
    assert code in (0, -number)
    assert said == "" or said.startswith("wrote ")
    assert faults(folder) == []
    assert all((folder / name).read_bytes() != OLD for name in names) or code != 0


def test_stopped_between_making_the_file_and_hearing_of_it(folder, monkeypatch):
    real = os.open

    def interrupted(*words: object) -> int:
        os.close(real(*words))
        raise KeyboardInterrupt

    monkeypatch.setattr(output.os, "open", interrupted)
    with pytest.raises(KeyboardInterrupt):
        output.write(folder / "x.svg", b"new")
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("file", [1, 2, 20, 40])
def test_killed_while_it_writes_forms_leaves_whole_ones_and_the_next_run_works(folder, file):
    assert killed(batch(40, "set"), folder, file) == -signal.SIGKILL
    assert [name for name in faults(folder) if not name.endswith(".part")] == []
    assert run(batch(4, "set"), folder).returncode == 0


# --- rivals


@pytest.mark.parametrize("many", first([4, 8], 1))
def test_the_same_file_by_many_at_once_is_that_of_one(folder, many):
    words = [*JOBS["svg"][0], "--title"]
    rivals = [threading.Thread(target=run, args=([*words, f"rival {n}"], folder)) for n in range(many)]
    for rival in rivals:
        rival.start()
    for rival in rivals:
        rival.join()
    assert [path.name for path in folder.iterdir()] == ["x.svg"]
    assert ElementTree.parse(folder / "x.svg").getroot()[0].text in {f"rival {n}" for n in range(many)}


def test_two_batches_of_forms_into_one_folder(folder):
    """Made at once, both stand whole side by side; one that begins when they have ended replaces them, and says so."""

    def forms(seed: int) -> Iterator[Form]:
        return class_set.forms(small("two-stages"), Spec(kind="table", forms=4, choosing="same", seed=seed))

    def save(made: Iterable[Form]) -> int:
        _, left = class_set.save(made, folder / "set", class_set.Plan(PRINT, "none"))
        return len(left.removed)

    def with_a_rival() -> Iterator[Form]:
        for number, form in enumerate(forms(1)):
            if number == 2:
                assert save(forms(2)) == 0
            yield form

    assert save(with_a_rival()) == 0
    assert len(list(folder.glob("set/*"))) == 8
    assert save(forms(3)) == 8
    assert faults(folder) == []
    assert len(list(folder.glob("set/*"))) == 4


# --- standard output


@pytest.mark.parametrize("words", [["list", "sites", "--json"], ["--help"], ["draw", "-o", "-", "--format", "svg"]])
def test_reader_who_has_read_enough(folder, words):
    done = run(words, folder, '{ "$@"; echo "ended with $?" >&2; } | head -c 10')
    assert len(done.stdout) == 10
    assert "Traceback" not in done.stderr
    assert "Exception" not in done.stderr
    assert "ended with 1" in done.stderr or "ended with 0" in done.stderr


def test_standard_output_and_messages_closed_from_the_start(folder):
    assert run(["list"], folder, 'exec "$@" >&-').returncode == 0
    assert run(batch(8, "set"), folder, 'exec "$@" >&- 2>&-').returncode == 0
    assert said_once(run(["draw", MODEL, "-o", "-", "--format", "svg"], folder, 'exec "$@" >&-'), "it is closed")


def test_a_terminal_that_knows_only_ascii(folder):
    drawn = ["draw", MODEL, "--title", "Plexus → nœud", "--highlight", "C5", "-o", "ü.svg"]
    asked = ["worksheet", MODEL, "--kind", "table", "--title", "Übung", "--export", "ü.csv", "-o", "ü.pdf"]
    done = in_turn([*TALK, drawn, asked], folder, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert done.returncode == 0, done.stderr
    assert "C7 (" in done.stdout.decode()
    (shown,) = folder.glob("ü-*.svg")
    assert {path.name for path in folder.iterdir()} == {"ü.svg", "ü.csv", "ü.pdf", shown.name}
    assert shown.name in (folder / "ü.csv").read_text("utf-8")


@pytest.mark.parametrize("word", [b"\xff", b"\x01"])
def test_a_title_of_which_nothing_can_be_shown_is_empty(folder, word):
    done = run(["draw", MODEL, "--title", os.fsdecode(word), "-o", "x.pdf"], folder)
    assert done.returncode == 2
    assert "--title is empty" in str(done.stderr)
    assert not (folder / "x.pdf").exists()
