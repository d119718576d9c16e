"""Whether hardware that says where it sits sits right: counted, on its piece, clear of edges and other holes.

Written apart from the kinds: it reads the pieces and the places, in space, and nothing of how they were chosen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely

from layout.building.fixings import Fixing, joint_fixings
from layout.building.pieces import Piece, pieces_of
from layout.building.prism import HAIR
from layout.model.building import BODY, Place
from layout.model.motion import Face
from layout.model.rule import Rule
from layout.model.thing import Thing

_ENDS: dict[Face, tuple[int, int]] = {
    "rear": (0, 0), "front": (0, 1), "right": (1, 0), "left": (1, 1), "bottom": (2, 0), "top": (2, 1),
}  # fmt: skip
_NUTS, _HEADS = ("insert-", "tee-nut-"), ("bolt-",)
_LONG = ("screw-", "bolt-")  # items whose names end in their length
_SAME_LINE = 0.05  # mm
Point3 = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Hole:
    """A hole that is drilled: what for, where it begins, how far it goes `by` an axis, how wide it is `across`, mm."""

    item: str
    on: str
    start: Point3
    axis: int
    by: float
    across: float
    fixed: bool = True  # has a place of its own; a screw of a joint may be shifted along it

    @property
    def low(self) -> Point3:
        """Return the low corner of the box round it."""
        return self._corner(min(0.0, self.by), -self.across / 2)

    @property
    def high(self) -> Point3:
        """Return the high corner of the box round it."""
        return self._corner(max(0.0, self.by), self.across / 2)

    def _corner(self, along: float, aside: float) -> Point3:
        x, y, z = (value + (along if i == self.axis else aside) for i, value in enumerate(self.start))
        return x, y, z


def place_faults(thing: Thing, rules: Mapping[str, Rule], drills: Mapping[str, float]) -> tuple[str, ...]:
    """Return what does not hold of the places of a unit's hardware, in words; nothing where it tells no place.

    Parameters
    ----------
    thing
        The unit.
    rules
        The numbers of building, ``places`` and ``screws`` among them.
    drills
        How wide the hole for an item is, mm; what is not in it is not drilled for.
    """
    if not any(hardware.places for hardware in thing.hardware):
        return ()
    pieces, edge = pieces_of(thing), rules["places"]["edge"]
    found = [
        *_counts(thing),
        *(
            fault
            for hardware in thing.hardware
            for place in hardware.places
            if place.on != BODY
            for fault in _sits(hardware.item, place, pieces, edge if hardware.item in drills else 0.0)
        ),
        *_meeting(tuple(_holes(thing, pieces, rules, drills)), rules["places"]["between"]),
        *_nutless(thing),
    ]
    return tuple(dict.fromkeys(found))


def _counts(thing: Thing) -> Iterator[str]:
    for hardware in thing.hardware:
        if hardware.places and len(hardware.places) != hardware.count:
            yield f"{hardware.count} {hardware.item} ({hardware.why}), but {len(hardware.places)} places"


def _sits(item: str, place: Place, pieces: Sequence[Piece], edge: float) -> Iterator[str]:
    """Yield a place on no piece of its name, or nearer than `edge` to its border or to a hole that is sawn."""
    named = [piece for piece in pieces if piece.called(place.on)]
    if not named:
        yield f"{item} on {place.on}, which is not there"
        return
    wood = [left for piece in named if (left := _wood_round(place, piece)) is not None]
    if not wood:
        yield f"{item} at {_said(place.at)} is not on the {place.face} of any {place.on}"
    elif max(wood) < edge - HAIR:
        yield f"{item} at {_said(place.at)} is {max(wood):.1f} from an edge of {place.on}, at least {edge:g}"


def _wood_round(place: Place, piece: Piece) -> float | None:
    """Return how far a place on a face of a piece is from the border of that face; None if it is not on it."""
    axis, end = _ENDS[place.face]
    if abs(piece.prism.box[axis][end] - place.at[axis]) > HAIR:
        return None
    flat = [i for i in range(3) if i != axis]
    spot = shapely.Point(*(place.at[i] for i in flat))
    if axis == piece.prism.axis:
        face = piece.prism.face
    else:
        face = shapely.box(*(piece.prism.box[i][0] for i in flat), *(piece.prism.box[i][1] for i in flat))
    return float(face.boundary.distance(spot)) if face.buffer(HAIR).covers(spot) else None


def _said(at: Point3) -> str:
    return ", ".join(f"{value:.1f}" for value in at)


def _holes(
    thing: Thing, pieces: Sequence[Piece], rules: Mapping[str, Rule], drills: Mapping[str, float]
) -> Iterator[_Hole]:
    """Yield every hole: of hardware, right through the piece, and of the screws along joints, as long as the screw."""
    for hardware in thing.hardware:
        for place in hardware.places if hardware.item in drills else ():
            for piece in pieces:
                if piece.called(place.on) and _wood_round(place, piece) is not None:
                    axis, end = _ENDS[place.face]
                    by = (1 - 2 * end) * piece.size(axis)
                    across = drills[hardware.item]
                    yield _Hole(item=hardware.item, on=piece.name, start=place.at, axis=axis, by=by, across=across)
    for fixing in joint_fixings(thing, rules["screws"]):
        if fixing.item in drills and fixing.item.startswith(_LONG):
            yield from _screwed(fixing, drills[fixing.item])


def _screwed(fixing: Fixing, across: float) -> Iterator[_Hole]:
    """Yield the holes of the screws of a joint, each as long as its screw, along the longer way of what it joins."""
    contact = fixing.contact
    through, into, axis = contact.through, contact.into, contact.axis
    shared = [(max(a[0], b[0]), min(a[1], b[1])) for a, b in zip(through.prism.box, into.prism.box, strict=True)]
    up = sum(into.prism.box[axis]) > sum(through.prism.box[axis])
    line = max((i for i in range(3) if i != axis), key=lambda i: shared[i][1] - shared[i][0])
    long = float(fixing.item.rpartition("x")[2])
    for k in range(fixing.count):
        at = [(low + high) / 2 for low, high in shared]
        at[axis] = through.prism.box[axis][0 if up else 1]
        at[line] = shared[line][0] + fixing.end + k * fixing.apart
        yield _Hole(
            item=fixing.item, on=through.name, start=(at[0], at[1], at[2]), axis=axis, by=long if up else -long,
            across=across, fixed=False,
        )  # fmt: skip


def _meeting(holes: Sequence[_Hole], least: float) -> Iterator[str]:
    """Yield pairs of holes with less wood between them than `least`; a bolt and its own nut share one."""
    if not holes:
        return
    low, high = np.array([hole.low for hole in holes]), np.array([hole.high for hole in holes])
    for i, j in combinations(range(len(holes)), 2):
        apart = np.maximum(0.0, np.maximum(low[i] - high[j], low[j] - high[i]))
        gap = float(np.hypot(np.hypot(apart[0], apart[1]), apart[2]))
        one, other = holes[i], holes[j]
        if gap < least - HAIR and (one.fixed or other.fixed) and not _one_hole(one, other):
            both = f"{one.item} in {one.on} and {other.item} in {other.on}"
            yield f"the holes of {both} at {_said(other.start)} have {gap:.1f} between them"


def _one_hole(a: _Hole, b: _Hole) -> bool:
    """Return whether a bolt and what holds it share a hole: their axes are one line."""
    kinds = {item.startswith(_HEADS) for item in (a.item, b.item)}, {i.startswith(_NUTS) for i in (a.item, b.item)}
    same = a.axis == b.axis and all(abs(a.start[i] - b.start[i]) <= _SAME_LINE for i in range(3) if i != a.axis)
    return kinds == ({True, False}, {True, False}) and same


def _nutless(thing: Thing) -> Iterator[str]:
    """Yield a placed M6 bolt without exactly one nut or insert on its line, and a nut without a bolt."""
    heads = [place for h in thing.hardware if h.item.startswith("bolt-m6") for place in h.places]
    nuts = [place for h in thing.hardware if h.item in ("insert-m6", "tee-nut-m6") for place in h.places]
    for word, ones, others in (("bolt", heads, nuts), ("nut", nuts, heads)):
        for one in ones:
            axis = _ENDS[one.face][0]
            same = [o for o in others if _ENDS[o.face][0] == axis and _on_line(one, o, axis)]
            if len(same) != 1:
                yield f"{len(same)} on the line of a {word} at {_said(one.at)} in {one.on}"


def _on_line(one: Place, other: Place, axis: int) -> bool:
    near = abs(one.at[axis] - other.at[axis]) < _LONGEST
    return near and all(abs(one.at[i] - other.at[i]) <= _SAME_LINE for i in range(3) if i != axis)


_LONGEST = 100.0  # mm: no bolt is longer
