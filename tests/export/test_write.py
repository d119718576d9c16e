"""Files into a folder: all or none."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from layout.errors import OutputError
from layout.export.write import write_files


def test_files_are_written_and_replaced(tmp_path: Path) -> None:
    """Protects the plain case: the folder is made, an older file replaced, nothing else left behind."""
    folder = tmp_path / "out" / "deep"
    write_files(folder, {"a.svg": b"1", "b.pdf": b"2"})
    write_files(folder, {"a.svg": b"3"})
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {"a.svg": b"3", "b.pdf": b"2"}


def test_a_taken_name_stops_everything(tmp_path: Path) -> None:
    """Protects against half a set of drawings, and folders and links from being replaced."""
    (tmp_path / "b.pdf").mkdir()
    (tmp_path / "c.csv").symlink_to(tmp_path / "elsewhere")
    for name in ("b.pdf", "c.csv"):
        with pytest.raises(OutputError, match=name):
            write_files(tmp_path, {"a.svg": b"1", name: b"2"})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.pdf", "c.csv"]


@pytest.mark.parametrize("name", ["", ".", "..", "../a", "a/b", "a\\b", "a\0b", "c:a", "a\nb"])
def test_names_stay_in_the_folder(tmp_path: Path, name: str) -> None:
    """Protects files outside the folder."""
    with pytest.raises(OutputError, match="not a plain file name"):
        write_files(tmp_path, {name: b""})


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    """Protects from a traceback where a file stands in the way of the folder."""
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError, match="cannot make the folder"):
        write_files(tmp_path / "file" / "out", {"a": b""})


def _failing(name: str, error: BaseException) -> Callable[[Path, Path], Path]:
    """Return what stands in for Path.replace, once failing with `error` where a new file is to be called `name`."""
    replace, left = Path.replace, [error]

    def failing(self: Path, target: Path) -> Path:
        if target.name == name and self.suffix == ".new" and left:
            raise left.pop()
        return replace(self, target)

    return failing


def _state(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()}


def test_what_is_the_same_is_left_alone(tmp_path: Path) -> None:
    """Protects the dates of files, by which a person sees what a change of the project changed."""
    write_files(tmp_path, {"a": b"1", "b": b"2"})
    os.utime(tmp_path / "a", (1, 1))
    done = write_files(tmp_path, {"a": b"1", "b": b"3", "c": b"4"})
    assert (done.written, done.unchanged) == (("b", "c"), ("a",))
    assert (tmp_path / "a").stat().st_mtime == 1
    assert _state(tmp_path) == {"a": b"1", "b": b"3", "c": b"4"}


def test_a_full_disk_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects yesterday's book when the disk fills up in the middle of the second file."""
    write_files(tmp_path, {"a": b"old a", "b": b"old b"})
    sync, calls = os.fsync, []

    def full(fd: int) -> None:
        calls.append(fd)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        sync(fd)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left on device; nothing was changed") as caught:
        write_files(tmp_path, {"a": b"new", "b": b"new", "c": b"new"})
    assert caught.value.exit_code == 2
    assert _state(tmp_path) == {"a": b"old a", "b": b"old b"}


def test_a_file_held_open_is_told_and_nothing_changes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects from half a book where a system does not let a file be replaced while a program shows it."""
    write_files(tmp_path, {"a": b"old a", "b": b"old b"})
    monkeypatch.setattr(Path, "replace", _failing("b", PermissionError(13, "Permission denied")))
    with pytest.raises(OutputError, match="Permission denied; is a file of it open in another program"):
        write_files(tmp_path, {"a": b"new", "b": b"new"})
    assert _state(tmp_path) == {"a": b"old a", "b": b"old b"}


def test_a_folder_that_may_not_be_written_to_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects from a traceback in a folder that is read-only."""

    def refused(self: Path, mode: str = "r") -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(OutputError, match="cannot write into"):
        write_files(tmp_path, {"a": b"new"})
    assert _state(tmp_path) == {}


def test_being_stopped_in_the_middle_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the folder of a person who stops the program while it puts the files in place."""
    write_files(tmp_path, {"a": b"old a", "b": b"old b"})
    monkeypatch.setattr(Path, "replace", _failing("b", KeyboardInterrupt()))
    with pytest.raises(KeyboardInterrupt):
        write_files(tmp_path, {"a": b"new", "n": b"new", "b": b"new"})
    assert _state(tmp_path) == {"a": b"old a", "b": b"old b"}


def test_without_second_names_files_are_moved_aside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects memory sticks, whose file systems know no second name for a file."""

    def none(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", none)
    write_files(tmp_path, {"a": b"old"})
    assert write_files(tmp_path, {"a": b"new"}).written == ("a",)
    assert _state(tmp_path) == {"a": b"new"}


def test_a_failure_midway_puts_everything_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects yesterday's drawings when the disk gives up between two files."""
    write_files(tmp_path, {"a": b"old a", "b": b"old b"})
    monkeypatch.setattr(Path, "replace", _failing("b", OSError(5, "Input/output error")))
    with pytest.raises(OutputError, match="Input/output error"):
        write_files(tmp_path, {"a": b"new", "n": b"new", "b": b"new"})
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"a": b"old a", "b": b"old b"}
