"""What a flat leaf sweeps as it turns on an edge: laid round with flats that lie outside it, so that none is too small.

Both drawings keep the same flats whatever the angle, so that what a part sweeps as it opens less far lies wholly
within what it sweeps as it opens further.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import asin, cos, pi, radians, sin, sqrt

from layout.model.solid import Point

_CHORD = 7.5  # degrees a flat in plan: the corners stand 0.22 % of the radius outside the arc
_SLAB = 1.0  # degrees a slab upright: the corners stand at most 0.9 % of the radius outside the arc, 1.8 % at the leaf
_HAIR = 1e-9
_THIN = 1e-6


def fan(radius: float, angle_deg: float) -> tuple[Point, ...]:
    """Return the corners, but for the hinge, of what a leaf sweeps in plan: along it when closed, and out of it, mm.

    The arc is drawn by flats that touch it at 0, 7.5, 15 ... degrees, so that their corners stand outside it by
    radius (1 / cos 3.75° - 1) = 0.0022 radius.
    """
    half = _CHORD / 2
    corners = [half * (2 * i + 1) for i in range(round(360 / _CHORD)) if half * (2 * i + 1) < angle_deg]
    touched = round(angle_deg / _CHORD) * _CHORD
    outer = [(radius / cos(radians(half)), at) for at in corners]
    ends = [(radius, 0.0), *outer, (radius / cos(radians(angle_deg - touched)), angle_deg)]
    return tuple((r * cos(radians(at)), r * sin(radians(at))) for r, at in ends)


def slabs(radius: float, start_deg: float, end_deg: float) -> Iterator[tuple[float, float, float, float]]:
    """Yield level slabs that hold what a leaf sweeps upright: near, far, low, high, mm from its hinge.

    The leaf turns between two angles above the level, at most three quarters of a turn. Slabs end at the heights
    radius sin 0, 1, 2 ... degrees. A corner of a slab is then off the arc by no more than radius sin 1° / 2 = 0.009
    radius, and off the leaf itself by no more than the height of one slab, 0.018 radius.
    """
    start, end = radians(start_deg), radians(end_deg)
    low, high = (radius * side for side in _heights(start, end))
    levels = [radius * sin(radians(i * _SLAB)) for i in range(-round(90 / _SLAB), round(90 / _SLAB) + 1)]
    edges = [low, *(z for z in levels if low + _THIN < z < high - _THIN), high]
    for z0, z1 in pairwise(edges):
        if z1 - z0 > _THIN:
            places = list(_places(radius, (start, end), z0, z1))
            yield min(places), max(places), z0, z1


def _heights(start: float, end: float) -> tuple[float, float]:
    """Return the lowest and the highest place of the sector of radius 1."""
    ends = (0.0, sin(start), sin(end))
    return -1.0 if _within(-pi / 2, start, end) else min(ends), 1.0 if _within(pi / 2, start, end) else max(ends)


def _within(angle: float, start: float, end: float) -> bool:
    turned = (angle - start) % (2 * pi)
    return turned <= end - start + _HAIR or turned >= 2 * pi - _HAIR


def _places(radius: float, sector: tuple[float, float], low: float, high: float) -> Iterator[float]:
    """Yield how far out the corners of the sector lie that are between two heights, and where it is cut at them.

    Between two such corners both the arc and the leaf go one way, so that nothing lies further out or in.
    """
    slack = radius * _HAIR
    if low - slack <= 0 <= high + slack:
        yield 0.0
    for angle in sector:
        tip = radius * sin(angle)
        if low - slack <= tip <= high + slack:
            yield radius * cos(angle)
        for z in (low, high):
            if abs(tip) > slack and 0 <= z / tip <= 1:
                yield z * cos(angle) / sin(angle)
    for z in (low, high):
        level = asin(max(-1.0, min(1.0, z / radius)))
        out = sqrt(max(radius**2 - z**2, 0.0))
        for angle, far in ((level, out), (pi - level, -out)):
            if _within(angle, *sector):
                yield far
