"""Files into a folder, all of them or none."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from layout.errors import OutputError


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write `files` (bytes by file name) into `folder`, making it if need be; whole or not at all.

    A regular file of the same name is replaced.

    Raises
    ------
    OutputError
        When the folder cannot be made or written to, a name is not a plain file name, or it is taken by
        something that is no regular file. What was there before is then there again.
    """
    for name in files:
        _refuse_bad_name(name)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"cannot make the folder {folder}: {error.strerror}") from error
    for name in files:
        _refuse_taken(folder / name)
    _write_all(folder, files)


def _refuse_bad_name(name: str) -> None:
    if not name or name in (".", "..") or "/" in name or "\\" in name or "\0" in name:
        raise OutputError(f"{name!r} is not a plain file name")


def _refuse_taken(path: Path) -> None:
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise OutputError(f"{path} is not a regular file; remove it or choose another folder")


def _write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    moved: list[str] = []
    try:
        for name, content in files.items():
            _store(_aside(folder, name, "new"), content)
        for name in files:
            moved.append(name)
            _swap_in(folder, name)
    except OSError as error:
        _undo(folder, moved)
        raise OutputError(f"cannot write into {folder}: {error.strerror}") from error
    finally:
        for name in files:
            _aside(folder, name, "new").unlink(missing_ok=True)
    for name in files:
        _aside(folder, name, "old").unlink(missing_ok=True)


def _aside(folder: Path, name: str, what: str) -> Path:
    return folder / f".{name}.{os.getpid()}.{what}"


def _store(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _swap_in(folder: Path, name: str) -> None:
    if (folder / name).exists():
        (folder / name).rename(_aside(folder, name, "old"))
    _aside(folder, name, "new").rename(folder / name)


def _undo(folder: Path, moved: list[str]) -> None:
    """Put back what was moved aside, and take away what had not been there."""
    for name in moved:
        with suppress(OSError):
            if _aside(folder, name, "old").exists():
                _aside(folder, name, "old").replace(folder / name)
            elif not _aside(folder, name, "new").exists():
                (folder / name).unlink(missing_ok=True)
