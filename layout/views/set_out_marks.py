"""What stands on the floor, mark by mark: the outlines that are taped, from the cross line and the centreline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import shapely
from shapely.geometry import Polygon

from layout.drawing.labels import key
from layout.model.layout import Placed
from layout.model.solid import Point

# A solid whose foot is no higher than this stands on the floor, mm.
_ON_FLOOR = 0.5
_GRAIN = 2  # digits of a mm: what is nearer is one corner
# Things by what is done with them: what is built is taped first, what rolls or is lifted out last.
_LOOSE = ("box", "bicycle", "wheel", "bin")
_LAID_ON_TOP = ("mattress",)
# A corner cut out of an outline counts when the outline fills less than this share of its box.
_FULL = 0.995


@dataclass(frozen=True, kw_only=True, slots=True)
class FloorMark:
    """One outline to tape: its letter, whose it is, its corners in order (mm), how far above the floor it is (mm).

    An outline above 0 hangs: the thing has no foot there, and its outline is that of all of it.
    """

    letter: str
    name: str
    corners: tuple[Point, ...]
    above: float = 0.0

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return x of the rear edge, y of the right, x of the front, y of the left; mm."""
        xs, ys = zip(*self.corners, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def across(self) -> float:
        """Return the way from one corner of the box to the opposite one, mm."""
        x0, y0, x1, y1 = self.box
        return hypot(x1 - x0, y1 - y0)

    @property
    def is_box(self) -> bool:
        """Return whether the outline is that box."""
        x0, y0, x1, y1 = self.box
        return bool(Polygon(self.corners).area >= _FULL * (x1 - x0) * (y1 - y0))


def floor_marks(placed: tuple[Placed, ...]) -> tuple[FloorMark, ...]:
    """Return the marks of all things of one state: first what is built, then the rest, each rear to front."""
    wanted = [p for p in placed if p.thing.kind not in _LAID_ON_TOP]
    ordered = sorted(wanted, key=lambda p: (_rank(p), p.box.bounds, p.name))
    found = [(p.name, corners, above) for p in ordered for corners, above in _outlines(p)]
    return tuple(
        FloorMark(letter=key(i, letters=True), name=name, corners=corners, above=above)
        for i, (name, corners, above) in enumerate(found)
    )


def _rank(placed: Placed) -> int:
    kind = placed.thing.kind
    return _LOOSE.index(kind) + 1 if kind in _LOOSE else 0


def _outlines(placed: Placed) -> Iterator[tuple[tuple[Point, ...], float]]:
    """Yield the outlines of what the thing has on the floor; of what is built and hangs, its box."""
    feet = [Polygon(s.outline) for s in placed.solids if abs(s.z0) <= _ON_FLOOR]
    if feet:
        parts = shapely.get_parts(shapely.unary_union(feet).simplify(0.0))
        yield from ((_corners(part), 0.0) for part in sorted(parts, key=lambda p: p.bounds))
    elif placed.thing.panels:
        yield placed.box.outline, min(s.z0 for s in placed.solids)


def _corners(part: Polygon) -> tuple[Point, ...]:
    """Return the corners in order, anticlockwise from the rear right one."""
    ring = [(round(x, _GRAIN), round(y, _GRAIN)) for x, y in shapely.geometry.polygon.orient(part).exterior.coords[:-1]]
    first = min(range(len(ring)), key=lambda i: (round(ring[i][0] + ring[i][1], _GRAIN), ring[i]))
    return (*ring[first:], *ring[:first])
