"""Files come out whole or not at all."""

import errno
import io
import os
import stat
import subprocess
import sys
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from plexusdraw import output
from plexusdraw.errors import OutputError


@pytest.fixture
def folder(tmp_path):
    """A folder that must hold only what the test says."""
    return tmp_path


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_new_file(folder):
    output.write(folder / "a.svg", b"<svg/>")
    assert (folder / "a.svg").read_bytes() == b"<svg/>"
    assert names(folder) == ["a.svg"]


def test_new_file_has_the_permissions_of_any_new_file(folder):
    (folder / "other").write_bytes(b"")
    output.write(str(folder / "a.svg"), b"x")
    assert (folder / "a.svg").stat().st_mode == (folder / "other").stat().st_mode


def test_replaced_file_keeps_its_permissions(folder):
    path = folder / "a.svg"
    path.write_bytes(b"old")
    path.chmod(0o640)
    output.write(path, b"new")
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_link_stays_a_link(folder):
    (folder / "real.svg").write_bytes(b"old")
    (folder / "link.svg").symlink_to("real.svg")
    output.write(folder / "link.svg", b"new")
    assert (folder / "link.svg").is_symlink()
    assert (folder / "real.svg").read_bytes() == b"new"


def test_device_is_written_not_replaced():
    output.write(os.devnull, b"x")
    assert stat.S_ISCHR(Path(os.devnull).stat().st_mode)


@pytest.mark.parametrize("failing", ["write", "fsync", "replace"])
@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "No space left on device"), KeyboardInterrupt()])
def test_failure_leaves_the_old_file_and_nothing_else(folder, monkeypatch, failing, error):
    path = folder / "a.svg"
    path.write_bytes(b"old")

    def fail(*_, **__):
        raise error

    if failing == "write":
        monkeypatch.setattr(output.os, "fdopen", lambda handle, _: _Full(handle, error))
    else:
        monkeypatch.setattr(*((output.os, "fsync") if failing == "fsync" else (Path, "replace")), fail)
    with pytest.raises((OutputError, KeyboardInterrupt)) as caught:
        output.write(path, b"new")
    assert caught.type is (OutputError if isinstance(error, OSError) else KeyboardInterrupt)
    assert path.read_bytes() == b"old"
    assert names(folder) == ["a.svg"]


class _Full(io.FileIO):
    """A file on a disk that is full."""

    def __init__(self, handle, error):
        super().__init__(handle, "wb")
        self.error = error

    def write(self, _):
        raise self.error


def test_full_disk_says_so(folder, monkeypatch):
    monkeypatch.setattr(output.os, "fdopen", lambda handle, _: _Full(handle, OSError(errno.ENOSPC, "")))
    with pytest.raises(OutputError, match=r"a\.svg: no room left in .*Free some"):
        output.write(folder / "a.svg", b"new")


def test_folder_as_output(folder):
    with pytest.raises(OutputError, match=r"this is a folder\. Give the name of a file in it"):
        output.write(folder, b"x")


def test_missing_folder(folder):
    with pytest.raises(OutputError, match=r'there is no folder ".*nowhere"\. Make it first'):
        output.write(folder / "nowhere" / "a.svg", b"x")


def test_file_as_folder(folder):
    (folder / "a").write_bytes(b"")
    with pytest.raises(OutputError, match="is a file, not a folder"):
        output.write(folder / "a" / "b.svg", b"x")


@pytest.mark.parametrize("code", [errno.EACCES, errno.EROFS])
def test_read_only_folder(folder, monkeypatch, code):
    def refuse(*_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(output.os, "open", refuse)
    with pytest.raises(OutputError, match=r"a\.svg: no permission to write in "):
        output.write(folder / "a.svg", b"x")
    assert names(folder) == []


def test_protected_file(folder, monkeypatch):
    (folder / "a.svg").write_bytes(b"old")
    monkeypatch.setattr(output.os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="protected against writing"):
        output.write(folder / "a.svg", b"x")


@pytest.mark.parametrize("name", ["a" * 300 + ".svg", "a\0b.svg"])
def test_impossible_name(folder, name):
    with pytest.raises(OutputError, match=r"too long|cannot be the name"):
        output.write(folder / name, b"x")
    assert names(folder) == []


def test_a_stale_temporary_file_is_no_obstacle(folder):
    (folder / f".plexusdraw-{os.getpid()}-0.part").write_bytes(b"stale")
    output.write(folder / "a.svg", b"x")
    assert (folder / "a.svg").read_bytes() == b"x"


def test_dash_is_standard_output():
    code = "from plexusdraw import output; output.write('-', b'\\x00\\xff\\r\\n')"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert run.stdout == b"\x00\xff\r\n"


def test_closed_standard_output_is_told(monkeypatch):
    class Closed:
        class buffer:  # noqa: N801
            @staticmethod
            def write(_):
                raise BrokenPipeError(errno.EPIPE, "Broken pipe")

    monkeypatch.setattr(output.sys, "stdout", Closed)
    with pytest.raises(OutputError, match="standard output cannot be written to: Broken pipe"):
        output.write("-", b"x")


@pytest.mark.parametrize(
    ("path", "what", "made"),
    [
        (PureWindowsPath(r"C:\Kurs 1\quiz.pdf"), "-key", r"C:\Kurs 1\quiz-key.pdf"),
        (PureWindowsPath(r"D:quiz.pdf"), "-grid", r"D:quiz-grid.pdf"),
        (PureWindowsPath(r"\\server\share\a.b.svg"), "-2", r"\\server\share\a.b-2.svg"),
        (PurePosixPath("/a/C:\\b.svg"), "-key", "/a/C:\\b-key.svg"),
    ],
)
def test_names_that_belong_together_stand_in_one_folder(path, what, made):
    found = output.beside(path, what)
    assert str(found) == made
    assert found.parent == path.parent


DEVICES = ["CON", "con.svg", "C:\\kurs\\aux.pdf", "lpt1.tar.gz", "NUL .svg", "a.svg:hidden", r"C:\a:b.svg"]
FILES = ["C:\\kurs\\console.svg", "C:a.svg", "com.svg", "COM10.svg", "a con.svg", r"\\server\share\a.svg", "con/a.svg"]


@pytest.mark.parametrize("name", [*DEVICES, *FILES])
def test_names_that_windows_keeps_are_told(name):
    assert output.refused_by_windows(name) == (name in DEVICES)


def test_on_windows_such_a_name_is_refused_and_elsewhere_it_is_a_file(folder, monkeypatch):
    output.write(folder / "con.svg", b"x")
    monkeypatch.setattr(output, "WINDOWS", True)
    with pytest.raises(OutputError, match=r"con\.svg: on Windows this cannot be the name of a file"):
        output.write(folder / "con.svg", b"y")
    assert (folder / "con.svg").read_bytes() == b"x"


def test_a_folder_whose_name_a_file_has_is_told(tmp_path):
    (tmp_path / "taken").write_text("mine", "utf-8")
    with pytest.raises(OutputError, match="taken: this is a file"):
        output.make_folder(tmp_path / "taken")
    output.make_folder(tmp_path / "new" / "inner")
    assert (tmp_path / "new" / "inner").is_dir()
