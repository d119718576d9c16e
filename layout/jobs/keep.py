"""Choosing an arrangement: its positions and sizes written into the project file, nothing else touched."""

from __future__ import annotations

from typing import Any

from layout.errors import Fault, InputError
from layout.files.editing.change import Change
from layout.files.editing.write import edited
from layout.jobs.arrange import Tried
from layout.placing.position import Position
from layout.units.length import Unit

#: Figures after the point that keep a length to within a hundredth of a millimetre.
_PLACES: dict[str, tuple[float, int]] = {"mm": (1.0, 2), "cm": (10.0, 3), "m": (1000.0, 5), "in": (25.4, 4), "ft": (304.8, 5)}


def keep_in_file(path: str, tried: Tried, name: str) -> str:
    """Write the arrangement of that name, or number, into the project file; return its name.

    Raises
    ------
    InputError
        As `kept` does; the file is then as it was.
    OutputError
        When the file cannot be written; it is then as it was.
    """
    from pathlib import Path

    from layout.export.write import write_files
    from layout.jobs.load import read_file

    data, _ = read_file(path)
    file = Path(path)
    write_files(file.parent, {file.name: kept(data, tried, name)})
    chosen = tried.named(name)
    return next(known for known, one in zip(tried.names, tried.found.arrangements, strict=True) if one is chosen)


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
    """Refuse to write what does not read back as the arrangement that was chosen."""
    from pathlib import Path

    from layout.files.project import read_project
    from layout.jobs.load import layout_of_project

    folder = Path(tried.project.file).resolve().parent
    again = layout_of_project(read_project(data, tried.project.file, folder))
    wanted = tried.named(name).layout
    for state, things in wanted.placed.items():
        there = {p.name: p for p in again.placed[state]}
        for p in things:
            q = there.get(p.name)
            apart = 1.0 if q is None else max(abs(a - b) for a, b in zip(p.box.bounds, q.box.bounds, strict=True))
            if q is None or apart > 0.1 or abs(p.box.z0 - q.box.z0) > 0.1:  # noqa: PLR2004 (mm: what rounding may do)
                text = f"{p.name} would not stand where it was found; write its place by hand: {_at(p)}"
                raise InputError([Fault(tried.project.file, 0, 0, f"arrangement.{p.name}", text)])


def _at(placed: Any) -> str:
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
    size, places = _PLACES[units]
    return _plain(round(mm / size, places) + 0.0)


def _plain(number: float) -> int | float:
    return int(number) if number == int(number) else number
