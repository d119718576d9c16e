"""The straight line that a body lies on: how long a strip of a body's breadth is free along a mattress."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan, cos, degrees, sin

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from layout.checks.peak import highest
from layout.model.layout import Placed
from layout.model.solid import Point, Solid, outer_box

Span = tuple[float, float]
Edge = tuple[Point, Point]
_HAIR = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Bed:
    """A mattress as it lies, from where to where `along` and `across`, mm, in directions turned by `turn_deg`."""

    along: Span
    across: Span
    z: Span
    turn_deg: float

    @property
    def length(self) -> float:
        """Return how long it is, mm."""
        return self.along[1] - self.along[0]

    @property
    def width(self) -> float:
        """Return how wide it is, mm."""
        return self.across[1] - self.across[0]

    @property
    def thickness(self) -> float:
        """Return how thick it is, mm."""
        return self.z[1] - self.z[0]

    def shares(self, sleepers: int) -> tuple[Span, ...]:
        """Return the equal widths that it has for each of so many."""
        each = self.width / sleepers
        return tuple((self.across[0] + i * each, self.across[0] + (i + 1) * each) for i in range(sleepers))

    def quarter(self) -> Bed:
        """Return the same mattress seen from its side: what was across is along."""
        (a0, a1), (b0, b1) = self.along, self.across
        return replace(self, along=(b0, b1), across=(-a1, -a0), turn_deg=self.turn_deg + 90)

    def line(self, strip: Strip) -> tuple[tuple[float, float, float], ...]:
        """Return the middle line of a strip at the top of the mattress, in the axes of the space."""
        middle = strip.at + strip.breadth / 2
        ends = Solid(name="", outline=((strip.along[0], middle), (strip.along[1], middle)), z0=0.0, z1=1.0)
        return tuple((round(x, 3), round(y, 3), self.z[1]) for x, y in ends.turned(self.turn_deg).outline)


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """A free strip of `breadth` mm, its right side at `at`, from where to where along the bed, mm."""

    at: float
    breadth: float
    along: Span

    @property
    def length(self) -> float:
        """Return how long it is, mm."""
        return self.along[1] - self.along[0]


def bed_of(placed: Placed) -> Bed:
    """Return the mattress as it lies."""
    turned = tuple(solid.turned(-placed.turn_deg) for solid in placed.solids)
    x0, y0, x1, y1 = outer_box(turned).bounds
    return Bed(along=(x0, x1), across=(y0, y1), z=(placed.box.z0, placed.box.z1), turn_deg=placed.turn_deg)


def edges_of(room: BaseGeometry, turn_deg: float) -> tuple[Edge, ...]:
    """Return the edges of a room (polygons) in the directions of a bed that is turned by `turn_deg`."""
    turned = rotate(room, -turn_deg, origin=(0, 0))
    rings = [
        ring
        for part in shapely.get_parts(turned)
        if part.geom_type == "Polygon" and not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]
    return tuple(edge for ring in rings for edge in pairwise((float(x), float(y)) for x, y in ring.coords))


def longest_strip(edges: Sequence[Edge], bed: Bed, across: Span, breadth: float, *, beyond: bool = False) -> Strip:
    """Return the longest free strip within `across`: what of it lies on the mattress, or all of it with `beyond`.

    Parameters
    ----------
    edges
        The room's borders, by `edges_of`.
    bed
        The mattress; a strip counts only where it meets it.
    across
        Between which lines along the bed the strip lies, mm.
    breadth
        How wide it is, mm; at most as wide as `across`.
    beyond
        Whether the strip may reach beyond the mattress's ends.

    Returns
    -------
    A strip of length 0 where none is free. Its place is the best of all: see `highest`.
    """
    low, high = across
    breadth = min(breadth, high - low)
    corners = {v for edge in edges for _, v in edge}
    marks = {low, high - breadth, *(v for c in corners for v in (c, c - breadth) if low < v < high - breadth)}
    at, _ = highest(lambda v: _length(_best(edges, bed, (v, v + breadth), beyond=beyond)), marks)
    along = _best(edges, bed, (at, at + breadth), beyond=beyond)
    return Strip(at=at, breadth=breadth, along=along)


def _length(span: Span) -> float:
    return span[1] - span[0]


def _best(edges: Sequence[Edge], bed: Bed, across: Span, *, beyond: bool) -> Span:
    """Return the longest stretch over exactly that breadth."""
    (u0, u1), best = bed.along, (bed.along[0], bed.along[0])
    for low, high in free_stretches(edges, across):
        on_it = max(low, u0), min(high, u1)
        if _length(on_it) > _HAIR:
            best = max(best, (low, high) if beyond else on_it, key=_length)
    return best


def free_stretches(edges: Sequence[Edge], across: Span) -> Iterator[Span]:
    """Yield from where to where a strip between two lines is free over its whole breadth.

    On the strip's middle line the room lies between an odd crossing of its border and the next. Whatever of the border
    is within the strip takes its own length off that; a border that the strip only touches takes nothing.
    """
    low, high = across[0] + _HAIR, across[1] - _HAIR
    middle = (low + high) / 2
    crossings = sorted(_at(edge, middle) for edge in edges if (edge[0][1] <= middle) != (edge[1][1] <= middle))
    walls = sorted(_cut(edge, low, high) for edge in edges if _reaches(edge, low, high))
    for start, end in zip(crossings[::2], crossings[1::2], strict=False):
        free = start
        for near, far in walls:
            if near < end:
                if near > free:
                    yield free, near
                free = max(free, far)
        if end > free:
            yield free, end


def _reaches(edge: Edge, low: float, high: float) -> bool:
    (_, a), (_, b) = edge
    return max(a, b) > low and min(a, b) < high


def _cut(edge: Edge, low: float, high: float) -> Span:
    """Return from where to where along the bed the part of the edge between two lines lies."""
    (ua, va), (ub, vb) = edge
    if va == vb:
        return min(ua, ub), max(ua, ub)
    ends = [_at(edge, min(max(v, low), high)) for v in (va, vb)]
    return min(ends), max(ends)


def _at(edge: Edge, v: float) -> float:
    (ua, va), (ub, vb) = edge
    return ua + (ub - ua) * (v - va) / (vb - va)


def longest_body(length: float, width: float, breadth: float) -> tuple[float, float]:
    """Return the longest body of that breadth that lies in a rectangle, mm, and the angle off its length, degrees.

    A body L long and b broad, turned by t, takes L cos t + b sin t of the length and L sin t + b cos t of the
    width. As t grows, the longest L that either of the two leaves falls first and rises then, so the longest of all
    lies straight, square, or where both are used up: (length) sin t - (width) cos t + b cos 2t = 0, which is of the
    fourth degree in tan(t/2). 0 where the body is broader than the rectangle.
    """
    if breadth > min(length, width):
        return (length, 0.0) if breadth <= width else (width, 90.0) if breadth <= length else (0.0, 0.0)
    roots = np.roots([width + breadth, 2 * length, -6 * breadth, 2 * length, breadth - width])
    turns = [2 * atan(root.real) for root in roots if abs(root.imag) < _HAIR and 0 < root.real < 1]
    aslant = [((length - breadth * sin(t)) / cos(t), degrees(t)) for t in turns]
    return max([(length, 0.0), (width, 90.0), *aslant], key=lambda found: (found[0], -found[1]))
