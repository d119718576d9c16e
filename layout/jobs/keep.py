"""Choosing an arrangement: its positions and sizes written into the project file, nothing else touched."""

from __future__ import annotations

import os
from pathlib import Path
from stat import S_IMODE, S_IWGRP, S_IWOTH, S_IWUSR
from typing import Any

from layout.arrange.judge import failures
from layout.errors import Fault, InputError
from layout.files.editing.change import Change
from layout.files.editing.write import edited
from layout.jobs.arrange import Tried
from layout.jobs.ask import ask_of
from layout.model.layout import Placed
from layout.placing.position import Position
from layout.units.length import Unit

#: Figures after the point that keep a length to within a hundredth of a millimetre.
_ROUNDED = 0.1  # mm: what writing a length in the file's units may change
_PLACES: dict[str, tuple[float, int]] = {
    "mm": (1.0, 2),
    "cm": (10.0, 3),
    "m": (1000.0, 5),
    "in": (25.4, 4),
    "ft": (304.8, 5),
}


def keep_in_file(path: str, tried: Tried, name: str) -> str:
    """Write the arrangement of that name, or number, into the project file; return its name.

    Raises
    ------
    InputError
        As `kept` does, or when the file may not be written to; it is then as it was.
    OutputError
        When the file cannot be written; it is then as it was.
    """
    from layout.export.write import write_files
    from layout.jobs.load import read_file

    chosen = tried.named(name)
    # A link stays one: what it leads to is written.
    file = Path(path).resolve()
    refuse_read_only(path)
    data, _ = read_file(path)
    new = kept(data, tried, name)
    mode = file.stat().st_mode
    write_files(file.parent, {file.name: new})
    file.chmod(S_IMODE(mode))
    return next(known for known, one in zip(tried.names, tried.found.arrangements, strict=True) if one is chosen)


def refuse_read_only(path: str) -> None:
    """Refuse a file that nobody may write to: it could be replaced, but that is not what its owner wants.

    Raises
    ------
    InputError
        When it is read-only, or there is none.
    """
    file = Path(path)
    try:
        writable = file.stat().st_mode & (S_IWUSR | S_IWGRP | S_IWOTH) and os.access(file, os.W_OK)
    except OSError as error:
        text = f"cannot be read: {(error.strerror or 'unknown reason').lower()}"
        raise InputError([Fault(path, 0, 0, "--keep", text)]) from None
    if not writable:
        text = "is read-only, so nothing was written; allow writing to it, or copy it and keep into the copy"
        raise InputError([Fault(path, 0, 0, "--keep", text)])


def kept(data: bytes, tried: Tried, name: str) -> bytes:
    """Return the project file's bytes with the arrangement of that name, or number, in it.

    Raises
    ------
    InputError
        When there is no such arrangement, or the file says places in a way that cannot be edited.
    """
    chosen, units = tried.named(name), tried.project.said.units
    changes = [
        Change(path=("arrangement", key), value=as_said(position, units))
        for key, position in chosen.said.positions.items()
    ]
    # A group of which each thing now has its own place says no longer where all of them stand.
    for group in {t.group for t in tried.ask.things} & set(tried.project.said.arrangement):
        names = [t.name for t in tried.ask.things if t.group == group]
        if group not in chosen.said.positions and all(each in chosen.said.positions for each in names):
            changes.append(Change(path=("arrangement", group), value=None))
    changes += [
        Change(path=("things", group, key), value=_number(mm, units))
        for group, keys in chosen.said.sizes.items() for key, mm in keys.items()
    ]  # fmt: skip
    new = edited(data, changes, tried.project.file)
    _refuse_other(tried, name, new)
    return new


def _refuse_other(tried: Tried, name: str, data: bytes) -> None:
    """Refuse to write what does not read back as the arrangement that was chosen, or no longer passes the checks."""
    from layout.files.project import read_project
    from layout.jobs.load import layout_of_project

    file = tried.project.file
    project = read_project(data, file, Path(file).resolve().parent)
    again = project.placing_faults(lambda: layout_of_project(project))
    wanted = tried.named(name).layout
    for state, things in wanted.placed.items():
        there = {p.name: p for p in again.placed.get(state, ())}
        for p in things:
            if p.name not in there or _apart(p, there[p.name]) > _ROUNDED:
                text = f"{p.name} would not stand where it was found; write its place by hand: {_at(p)}"
                raise InputError([Fault(file, 0, 0, f"arrangement.{p.name}", text)])
        for more in there.keys() - {p.name for p in things}:
            text = f"{more} would be inside where it was outside; say so by hand, with outside: [{state}]"
            raise InputError([Fault(file, 0, 0, f"arrangement.{more}", text)])
    for finding in failures(ask_of(project), again):
        text = (
            f"it would not pass the checks any more ({finding.rule}: {finding.text}); was the file changed meanwhile?"
        )
        raise InputError([Fault(file, 0, 0, "--keep", text)])


def _apart(a: Placed, b: Placed) -> float:
    """Return by how much two boxes differ at most, mm."""
    pairs = zip((*a.box.bounds, a.box.z0, a.box.z1), (*b.box.bounds, b.box.z0, b.box.z1), strict=True)
    return max(abs(p - q) for p, q in pairs)


def _at(placed: Placed) -> str:
    x0, y0, _, y1 = placed.box.bounds
    return f"at: [{x0:.1f} mm, {(y0 + y1) / 2:.1f} mm, {placed.box.z0:.1f} mm]"


def as_said(position: Position, units: Unit = "mm") -> dict[str, Any]:
    """Return a position as the file says it, lengths as numbers in the file's units."""
    said: dict[str, Any] = {}
    if position.at is not None:
        said["at"] = [_number(v, units) for v in position.at]
    if position.turn:
        said["turn"] = _plain(round(position.turn, 3))
    if position.grid is not None:
        said["grid"] = list(position.grid)
        if position.gap:
            said["gap"] = _number(position.gap, units)
    if position.form is not None:
        said["form"] = position.form
    if position.outside:
        said["outside"] = list(position.outside)
    if position.states:
        said["states"] = {state: as_said(each, units) for state, each in position.states.items()}
    return said


def _number(mm: float, units: Unit) -> int | float:
    if isinstance(mm, int):
        # A count, such as the columns of a rack, is no length.
        return mm
    size, places = _PLACES[units]
    return _plain(round(mm / size, places) + 0.0)


def _plain(number: float) -> int | float:
    return int(number) if number == int(number) else number
