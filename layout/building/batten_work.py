"""Battens on the bench: how each is sawn, where it lies in its unit, and which holes come where along it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from layout.building.fixings import Fixing, joint_fixings
from layout.building.pieces import Piece, pieces_of
from layout.building.prism import AXES
from layout.model.building import Batten
from layout.model.rule import Rule
from layout.model.thing import Thing

_DIGITS = 1
_LOOKS = (("rear", "front"), ("right", "left"), ("lower", "upper"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Drilled:
    """A row of holes along a batten: for which item, what it joins, on which of its sides, at which distances, mm.

    Distances are from the end at the rear, at the right or at the foot, whichever way it lies. `way` tells whether the
    item goes ``through`` the batten, comes ``into`` it, or sits ``on`` it, and then `to` is what for.
    """

    item: str
    to: str
    side: str
    at: tuple[float, ...]
    way: Literal["through", "into", "on"]


@dataclass(frozen=True, kw_only=True, slots=True)
class BattenWork:
    """Battens of a unit that are sawn and drilled alike: their `name`, `count`, section and length in mm.

    `low` are their low corners in the unit's own axes, `along` the axis that they lie along.
    """

    name: str
    count: int
    material: str
    section: tuple[float, float]
    length: float
    along: str
    low: tuple[tuple[float, float, float], ...]
    holes: tuple[Drilled, ...]


def batten_works(thing: Thing, rules: Mapping[str, Rule]) -> tuple[BattenWork, ...]:
    """Return the battens of a unit, those that are made alike together, in the order of the first of each."""
    holes: dict[int, list[Drilled]] = defaultdict(list)
    for fixing in joint_fixings(thing, rules["screws"]):
        for piece in (fixing.contact.piece, fixing.contact.to):
            if isinstance(piece.made_of, Batten):
                holes[id(piece.made_of)].append(_drilled(fixing, piece))
    alike: dict[tuple[object, ...], list[Piece]] = {}
    for piece in pieces_of(thing):
        if isinstance(piece.made_of, Batten):
            one = piece.made_of
            own = _together([*holes[id(one)], *_placed(thing, piece)])
            key = one.name, one.bar.material, round(one.length, _DIGITS), own
            alike.setdefault(key, []).append(piece)
    return tuple(_work(pieces, key[3]) for key, pieces in alike.items())  # type: ignore[arg-type]  # as made above


def _together(holes: Sequence[Drilled]) -> tuple[Drilled, ...]:
    """Return holes of a kind as one row of them."""
    rows: dict[tuple[object, ...], list[Drilled]] = defaultdict(list)
    for hole in holes:
        rows[hole.item, hole.to, hole.side, hole.way].append(hole)
    return tuple(replace(ones[0], at=tuple(sorted({mm for one in ones for mm in one.at}))) for ones in rows.values())


def _work(pieces: list[Piece], holes: tuple[Drilled, ...]) -> BattenWork:
    one = pieces[0].made_of
    assert isinstance(one, Batten)
    return BattenWork(
        name=one.name, count=len(pieces), material=one.bar.material, section=one.bar.section, length=one.length,
        along=AXES[_along(pieces[0])], low=tuple(_low(piece) for piece in pieces), holes=holes,
    )  # fmt: skip


def _low(piece: Piece) -> tuple[float, float, float]:
    x, y, z = (low for low, _ in piece.prism.box)
    return x, y, z


def _along(piece: Piece) -> int:
    return max(range(3), key=piece.size)


def _drilled(fixing: Fixing, piece: Piece) -> Drilled:
    """Return the holes of a joint in one batten of it: along the joint's line, told along the batten."""
    contact, axis = fixing.contact, _along(piece)
    other = contact.to if piece is contact.piece else contact.piece
    shared = [(max(a[0], b[0]), min(a[1], b[1])) for a, b in zip(piece.prism.box, other.prism.box, strict=True)]
    line = max((i for i in range(3) if i != contact.axis), key=lambda i: shared[i][1] - shared[i][0])
    middle = sum(shared[axis]) / 2
    steps = [shared[axis][0] + fixing.end + k * fixing.apart for k in range(fixing.count)]
    places = steps if line == axis else [middle] * fixing.count
    start = piece.prism.box[axis][0]
    up = sum(other.prism.box[contact.axis]) > sum(piece.prism.box[contact.axis])
    return Drilled(
        item=fixing.item, to=other.name, side=_LOOKS[contact.axis][up],
        at=tuple(sorted({round(mm - start, _DIGITS) for mm in places})),
        way="through" if contact.through is piece else "into",
    )  # fmt: skip


def _placed(thing: Thing, piece: Piece) -> Iterator[Drilled]:
    """Yield the hardware that has its place on a batten."""
    axis, box = _along(piece), piece.prism.box
    for hardware in thing.hardware:
        for place in hardware.places:
            inside = all(low - _HAIR <= at <= high + _HAIR for at, (low, high) in zip(place.at, box, strict=True))
            if piece.called(place.on) and inside:
                side = {"top": "upper", "bottom": "lower"}.get(place.face, place.face)
                at = (round(place.at[axis] - box[axis][0], _DIGITS),)
                yield Drilled(item=hardware.item, to=hardware.why, side=side, at=at, way="on")


_HAIR = 0.02
