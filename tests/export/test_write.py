"""Files into a folder: all or none."""

from __future__ import annotations

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


@pytest.mark.parametrize("name", ["", ".", "..", "../a", "a/b", "a\\b", "a\0b"])
def test_names_stay_in_the_folder(tmp_path: Path, name: str) -> None:
    """Protects files outside the folder."""
    with pytest.raises(OutputError, match="not a plain file name"):
        write_files(tmp_path, {name: b""})


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    """Protects from a traceback where a file stands in the way of the folder."""
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError, match="cannot make the folder"):
        write_files(tmp_path / "file" / "out", {"a": b""})


def test_a_failure_midway_puts_everything_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects yesterday's drawings when the disk gives up between two files."""
    write_files(tmp_path, {"a": b"old a", "b": b"old b"})
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if target.name == "b":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(OutputError, match="Input/output error"):
        write_files(tmp_path, {"a": b"new", "n": b"new", "b": b"new"})
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"a": b"old a", "b": b"old b"}
