"""Where units are held to the body of the vehicle, as they stand: measured from the cross line and the centreline."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from layout.model.building import BODY, Place
from layout.model.layout import Layout, Placed
from layout.model.motion import Face

_DIGITS = 3
_TURNS: tuple[Face, ...] = ("front", "left", "rear", "right")
_QUARTER = 90.0


@dataclass(frozen=True, kw_only=True, slots=True)
class BodyPoint:
    """One fastening of a unit to the body: `at` in the axes of the space, mm, and the way that the body looks there.

    `face` is ``top`` on a floor, else the way out of the wall into the room; a unit turned by other than quarters has
    the nearest one.
    """

    unit: str
    item: str
    why: str
    at: tuple[float, float, float]
    face: Face


def body_points(layout: Layout, states: Sequence[str]) -> tuple[BodyPoint, ...]:
    """Return every fastening to the body that has a place, unit after unit, where it stands in the first such state."""
    stood: dict[str, Placed] = {}
    for state in states:
        for placed in layout.placed.get(state, ()):
            stood.setdefault(placed.name, placed)
    return tuple(point for thing in layout.things if thing.name in stood for point in _points(stood[thing.name]))


def _points(placed: Placed) -> Iterator[BodyPoint]:
    for hardware in placed.thing.hardware:
        for place in hardware.places:
            if place.on == BODY and hardware.item.startswith("insert-"):
                yield BodyPoint(
                    unit=placed.name, item=hardware.item, why=hardware.why, at=stands(placed, place.at),
                    face=_turned(place, placed.turn_deg),
                )  # fmt: skip


def stands(placed: Placed, point: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return a point of a thing's own axes in those of the space."""
    (x, y, z), (dx, dy, dz) = point, placed.at
    c, s = cos(radians(placed.turn_deg)), sin(radians(placed.turn_deg))
    return round(x * c - y * s + dx, _DIGITS), round(x * s + y * c + dy, _DIGITS), round(z + dz, _DIGITS)


def _turned(place: Place, turn_deg: float) -> Face:
    if place.face not in _TURNS:
        return place.face
    return _TURNS[(_TURNS.index(place.face) + round(turn_deg / _QUARTER)) % len(_TURNS)]


def by_unit(points: Sequence[BodyPoint]) -> Mapping[str, list[BodyPoint]]:
    """Return points by the name of their unit."""
    found: dict[str, list[BodyPoint]] = {}
    for point in points:
        found.setdefault(point.unit, []).append(point)
    return found
