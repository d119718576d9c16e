"""The referee on every kind: what is made is accepted, and no kind is made so that a fault in it goes unseen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from layout.building.rebuild import CUT_IN, faults
from layout.model.building import Batten, Hardware
from layout.model.cutting import Grain
from layout.model.panel import Panel
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from tests.building.kinds import units
from tests.building.made import gone, shifted, spoilt

_OTHER: dict[str, Grain] = {"along": "across", "across": "along", "free": "along"}
_HOLDS_NOTHING = ("loose", "hinge")
Mutant = tuple[str, Thing]


@pytest.mark.parametrize("name", units())
def test_what_a_kind_makes_is_accepted(name: str) -> None:
    """Every unit of the examples and the test projects goes together as it promises."""
    assert faults(units()[name]) == ()


@pytest.mark.parametrize("name", units())
def test_no_fault_goes_unseen(name: str) -> None:
    """Each spoilt copy of a unit is refused: pieces gone, doubled, off their joints or cut loose, false depths and sizes."""
    thing = units()[name]
    mutants = [mutant for make in _MUTANTS for mutant in make(thing)]
    unseen = [word for word, mutant in mutants if not faults(mutant)]

    assert len({word for word, _ in mutants}) > 10
    assert unseen == []


def _pieces(thing: Thing) -> Iterator[tuple[str, int, Panel | Batten]]:
    """Yield the first and the last piece of each name, with its place among those of the name."""
    of_name: dict[str, list[Panel | Batten]] = {}
    for piece in (*thing.panels, *thing.battens):
        of_name.setdefault(piece.name, []).append(piece)
    for name, pieces in of_name.items():
        for nth in sorted({0, len(pieces) - 1}):
            yield name, nth, pieces[nth]


def _missing(thing: Thing) -> Iterator[Mutant]:
    for name, nth, _ in _pieces(thing):
        if len(thing.panels) + len(thing.battens) > 1:
            yield f"{name} {nth} missing", spoilt(thing, name, gone, nth)


def _doubled(thing: Thing) -> Iterator[Mutant]:
    for name, nth, piece in _pieces(thing):
        key = "panels" if isinstance(piece, Panel) else "battens"
        yield f"{name} {nth} twice", replace(thing, **{key: (*getattr(thing, key), piece)}, mass_kg=thing.mass_kg + 100)


def _off_joints(thing: Thing) -> Iterator[Mutant]:
    """Yield units with a piece a millimetre off one of its joints, either way."""
    for name, nth, piece in _pieces(thing):
        if isinstance(piece, Panel):
            held = [j for j in piece.joints if j.kind not in _HOLDS_NOTHING]
            ways = [piece.through if j.side is None else piece.along if j.side in ("left", "right") else piece.across
                    for j in held]  # fmt: skip
            for axis in sorted(set(ways)):
                for by in (1.0, -1.0):
                    yield f"{name} {nth} {by:+g} along {axis}", spoilt(thing, name, shifted(axis, by), nth)


def _joints(thing: Thing) -> Iterator[Mutant]:
    for name, nth, piece in _pieces(thing):
        for i, joint in enumerate(piece.joints if isinstance(piece, Panel) else ()):
            spoils: list[dict[str, Any]] = [{"to": "nowhere"}]
            if joint.kind in CUT_IN:
                spoils += [{"depth": 0.0}, {"depth": joint.depth + 1}, {"depth": 500.0}]
            for spoil in spoils:
                joints = [replace(j, **spoil) if at == i else j for at, j in enumerate(piece.joints)]
                change = lambda p, joints=joints: replace(p, joints=tuple(joints))  # noqa: E731 (one use)
                yield f"{name} {nth}: {joint.kind} to {joint.to} with {spoil}", spoilt(thing, name, change, nth)


def _cut_loose(thing: Thing) -> Iterator[Mutant]:
    """Yield units in which no joint ties the pieces of one name to others."""
    names = {piece.name: (piece.name, piece.role) for _, _, piece in _pieces(thing)}
    for name, words in names.items() if len(thing.panels) + len(thing.battens) > 1 else ():
        panels = tuple(
            replace(p, joints=() if p.name == name else tuple(j for j in p.joints if j.to not in words))
            for p in thing.panels
        )
        yield f"{name} cut loose", replace(thing, panels=panels)


def _longer(thing: Thing) -> Iterator[Mutant]:
    """Yield units with a batten sawn longer than its place, and a panel of another sheet's thickness."""
    for name, nth, piece in _pieces(thing):
        if isinstance(piece, Batten):
            change = lambda b: replace(b, length=b.length + b.bar.section[0])  # noqa: E731 (one use)
            yield f"{name} {nth} too long", spoilt(thing, name, change, nth)
        elif sum(p.sheet.material == piece.sheet.material for p in thing.panels) > 1:
            sheet = replace(piece.sheet, thickness=piece.sheet.thickness + 0.4)
            change = lambda p, sheet=sheet: replace(p, sheet=sheet)  # noqa: E731 (one use)
            yield f"{name} {nth} of another thickness", spoilt(thing, name, change, nth)


def _promises(thing: Thing) -> Iterator[Mutant]:
    promise = thing.promise
    assert promise is not None
    (x0, y0, x1, y1), z0, z1 = promise.outside.bounds, promise.outside.z0, promise.outside.z1
    for i in range(6):
        for by in (1.0, -1.0):
            ends = [v + by * (i == at) for at, v in enumerate((x0, x1, y0, y1, z0, z1))]
            outside: Solid = box("outside", (ends[0], ends[1]), (ends[2], ends[3]), (ends[4], ends[5]))
            yield f"outside {i} {by:+g}", replace(thing, promise=replace(promise, outside=outside))
    for role, _ in promise.grains:
        for name, nth, piece in _pieces(thing):
            if isinstance(piece, Panel) and (piece.role or piece.name) == role:
                change = lambda p: replace(p, grain=_OTHER[p.grain])  # noqa: E731 (one use)
                yield f"grain of {name} {nth}", spoilt(thing, name, change, nth)
    for item, count in promise.hardware:
        more = Hardware(item=item, count=1, why="one too many")
        fewer = tuple(replace(h, count=h.count - 1) if h.item == item else h for h in thing.hardware)
        yield f"{item} not {count}", replace(thing, hardware=fewer if count else (*thing.hardware, more))


_MUTANTS = (_missing, _doubled, _off_joints, _joints, _cut_loose, _longer, _promises)
