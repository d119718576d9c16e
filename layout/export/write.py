"""Files into a folder, all of them or none; what is already there byte for byte is left alone."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from layout.errors import OutputError


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """What became of files that were to be written: names of those written, and of those already there as they are."""

    written: tuple[str, ...]
    unchanged: tuple[str, ...]


def write_files(folder: Path, files: Mapping[str, bytes]) -> Written:
    """Write `files` (bytes by file name) into `folder`, making it if need be; whole or not at all.

    A regular file of the same name is replaced, unless it holds the same bytes. When anything goes wrong, also when the
    person stops the program, what was there before is there again, and nothing else.

    Raises
    ------
    OutputError
        When the folder cannot be made or written to, a name is not a plain file name, or it is taken by
        something that is no regular file.
    """
    for name in files:
        if not is_plain(name):
            raise OutputError(f"{name!r} is not a plain file name")
    _make(folder)
    for name in files:
        _refuse_taken(folder / name)
    changed = {name: content for name, content in files.items() if not _holds(folder / name, content)}
    _write_all(folder, changed)
    return Written(written=tuple(changed), unchanged=tuple(name for name in files if name not in changed))


def is_plain(name: str) -> bool:
    """Return whether the name is one of a file in a folder, and leads nowhere else on any system."""
    return bool(name) and name not in (".", "..") and not any(sign in "/\\\0:" for sign in name) and name.isprintable()


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"cannot make the folder {folder}: {error.strerror}") from error


def _refuse_taken(path: Path) -> None:
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise OutputError(f"{path} is not a regular file; remove it or choose another folder")


def _holds(path: Path, content: bytes) -> bool:
    try:
        return path.stat().st_size == len(content) and path.read_bytes() == content
    except OSError:
        return False


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
        raise OutputError(_said(folder, error)) from error
    except BaseException:
        # The person stopped the program, or it is at fault: their files come first.
        _undo(folder, moved)
        raise
    finally:
        for name in files:
            with suppress(OSError):
                _aside(folder, name, "new").unlink(missing_ok=True)
    for name in files:
        with suppress(OSError):
            _aside(folder, name, "old").unlink(missing_ok=True)


def _said(folder: Path, error: OSError) -> str:
    hint = "; is a file of it open in another program?" if isinstance(error, PermissionError) else ""
    return f"cannot write into {folder}: {error.strerror or 'unknown reason'}{hint}; nothing was changed"


def _aside(folder: Path, name: str, what: str) -> Path:
    return folder / f".{name}.{os.getpid()}.{what}"


def _store(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _swap_in(folder: Path, name: str) -> None:
    path, old = folder / name, _aside(folder, name, "old")
    if path.exists():
        try:
            # A second name for the old file, so that there is always a whole file under the first.
            os.link(path, old)
        except OSError:
            path.rename(old)
    _aside(folder, name, "new").replace(path)


def _undo(folder: Path, moved: list[str]) -> None:
    """Put back what was there, and take away what had not been there."""
    for name in moved:
        with suppress(OSError):
            if _aside(folder, name, "old").exists():
                _aside(folder, name, "old").replace(folder / name)
                # Two names of one file stay two when the one is moved to the other.
                _aside(folder, name, "old").unlink(missing_ok=True)
            elif not _aside(folder, name, "new").exists():
                (folder / name).unlink(missing_ok=True)
