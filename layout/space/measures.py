"""Clear width, length and height at any height, at the narrowest place of a stretch: what a tape would find."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import shapely
from shapely.geometry.base import BaseGeometry

if TYPE_CHECKING:
    from layout.space.space import Space

_HAIR = 0.001


@dataclass(frozen=True, kw_only=True, slots=True)
class Measures:
    """The free room at height `z` mm over a stretch along x.

    `width` is the narrowest, found at `narrowest_at`; `between_ribs` the narrowest with the ribs taken away (None
    without ribs); `length` the longest line along through `length_at` (a y), `height` what is left up to the lowest
    roof, found at `lowest_at`. All in mm.
    """

    z: float
    stretch: tuple[float, float]
    width: float
    narrowest_at: float
    between_ribs: float | None
    length: float
    length_at: float
    height: float
    lowest_at: float


def measures(space: Space, z: float, stretch: tuple[float, float] | None = None, y: float = 0.0) -> Measures | None:
    """Return the clear measures at height `z` over `stretch` (None: the whole room), the length through `y`.

    None where the room has no such height. Between the corners of the free room the widths of its pieces change along
    straight lines, so the widest is narrowest at a corner, at an end, or where two are equal: exact for any outline.
    """
    room = space.region(z)
    if room.is_empty:
        return None
    x0, _, x1, _ = room.bounds
    low, high = stretch or (_inside_the_door(space, x0), x1)
    low, high = max(low, x0), min(high, x1)
    if low > high:
        return None
    width, at = _narrowest(space, z, low, high)
    bare = _narrowest(replace(space, ribs=None), z, low, high)[0] if space.ribs else None
    roof, lowest = min((space.roof_at(x), x) for x in (low, high, *(x for x, _ in space.roof if low < x < high)))
    return Measures(
        z=z, stretch=(low, high), width=width, narrowest_at=at, between_ribs=bare,
        length=space.clear_length(y, z), length_at=y, height=max(roof - z, 0.0), lowest_at=lowest,
    )  # fmt: skip


def _inside_the_door(space: Space, x0: float) -> float:
    """Return where the room begins that no closed rear door takes: the first few centimetres are told apart."""
    return max([x0, *(max(x for x, _ in o.outline) for o in space.obstacles if o.name == "closed rear door")])


def _narrowest(space: Space, z: float, low: float, high: float) -> tuple[float, float]:
    corners = {float(x) for x in shapely.get_coordinates(space.region(z))[:, 0]}
    marks = [low, *sorted(x for x in corners if low < x < high), high]
    tries = [x for a, b in pairwise(marks) for x in (a + _HAIR, *_crossings(space, z, a + _HAIR, b - _HAIR), b - _HAIR)]
    inside = [x for x in tries if low <= x <= high] or [(low + high) / 2]
    return min((space.clear_width(x, z), round(x, 2)) for x in inside)


def _crossings(space: Space, z: float, a: float, b: float) -> Iterator[float]:
    """Yield where two free pieces of the line across become equally wide: the wider of them is narrowest there."""
    at_a, at_b = ([part.length for part in shapely.get_parts(_across(space, z, x))] for x in (a, b))
    if len(at_a) != len(at_b):
        return
    for (p0, p1), (q0, q1) in combinations(zip(at_a, at_b, strict=True), 2):
        if (p0 - q0) * (p1 - q1) < 0:
            yield a + (b - a) * (p0 - q0) / ((p0 - q0) - (p1 - q1))


def _across(space: Space, z: float, x: float) -> BaseGeometry:
    _, y0, _, y1 = space.bounds
    return shapely.LineString([(x, y0 - 1.0), (x, y1 + 1.0)]).intersection(space.region(z))
