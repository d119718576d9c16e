"""Erosion: where the middle of a disc may be, and whether it comes from one zone to another.

Straight borders move inward by exactly the radius. An arc about a corner is drawn as chords, which lie inside it; the
radius is therefore enlarged until the chords lie outside, so that what is left is never more than the truth and at
most `ARC_ERROR` less.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, ceil, cos, pi

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.space.space import TOUCH

#: By how much the radius is enlarged at most, mm; a width is then short by less than twice this.
ARC_ERROR = 0.09
# A chord may span one and a half of the steps that were asked for, since their number is rounded.
_WIDEST_CHORD = 1.5
# The buffer leaves out corners at the ends of edges shorter than a hundredth of its radius; a little more, to be sure.
_SKIPPED = 0.011
# How deep such a cut may be before it is prevented, and half the width of the slit that does so, mm.
_CUT = 0.01
_HAIR = 1e-3


@dataclass(frozen=True, kw_only=True, slots=True)
class Probe:
    """What is left of the floor for the middle of a disc of `width` mm, and which parts touch the two zones.

    `room` is the eroded floor and `parts` its polygons; `reach` is how near to a zone a middle must come, mm.
    """

    width: float
    reach: float
    room: BaseGeometry
    parts: NDArray[np.object_]
    at_start: NDArray[np.bool_]
    at_goal: NDArray[np.bool_]

    @property
    def joined(self) -> bool:
        """Return whether one part touches both zones."""
        return bool((self.at_start & self.at_goal).any())

    @property
    def way(self) -> BaseGeometry:
        """Return the largest part that touches both zones; only where they are joined."""
        both = self.parts[self.at_start & self.at_goal]
        return both[int(np.argmax(shapely.area(both)))]


@dataclass(frozen=True, kw_only=True, slots=True)
class Ground:
    """A floor, the same made ready for erosion, and the zones to go between."""

    free: BaseGeometry
    ready: BaseGeometry
    start: BaseGeometry
    goal: BaseGeometry

    def probe(self, width: float) -> Probe:
        """Return what is left for the middle of a disc of `width` mm."""
        radius, quarter = enlarged(width / 2)
        room = only_areas(shapely.buffer(self.ready, -radius, quad_segs=quarter))
        parts = shapely.get_parts(room)
        reach = radius + TOUCH
        return Probe(
            width=width, reach=reach, room=room, parts=parts,
            at_start=shapely.dwithin(parts, self.start, reach), at_goal=shapely.dwithin(parts, self.goal, reach),
        )  # fmt: skip


def ground(free: BaseGeometry, start: BaseGeometry, goal: BaseGeometry, most: float) -> Ground:
    """Return the floor made ready for discs of up to `most` mm."""
    floor = only_areas(free)
    return Ground(free=floor, ready=whiskered(floor, most / 2), start=start, goal=goal)


def enlarged(radius: float) -> tuple[float, int]:
    """Return the radius whose chords lie outside the arc of `radius` mm, and the chords to a quarter turn."""
    half = acos(radius / (radius + ARC_ERROR)) / _WIDEST_CHORD
    quarter = max(ceil(pi / 4 / half), 2)
    return radius / cos(_WIDEST_CHORD * pi / 4 / quarter), quarter


def only_areas(geometry: BaseGeometry) -> BaseGeometry:
    """Return the polygons of a geometry as one, without its lines and points."""
    parts = shapely.get_parts(geometry)
    return shapely.multipolygons(parts[(shapely.get_dimensions(parts) == 2) & ~shapely.is_empty(parts)])  # noqa: PLR2004 (an area has two dimensions)


def rings(free: BaseGeometry) -> list[NDArray[np.float64]]:
    """Return the corners of every border of `free`, the first repeated at the end, mm."""
    found = shapely.remove_repeated_points(shapely.get_rings(shapely.get_parts(free)))
    points, ring = shapely.get_coordinates(found, return_index=True)
    return np.split(points, np.flatnonzero(np.diff(ring)) + 1) if len(points) else []


def whiskered(free: BaseGeometry, radius: float) -> BaseGeometry:
    """Return `free` with a hair-thin slit, out of the floor, at each end of its very short edges.

    The buffer of the geometry engine leaves out corners of the floor at the ends of edges shorter than a
    hundredth of its radius, which would cost millimetres at small steps in a wall. It keeps them where a
    longer edge ends there. No disc gets into the slits.
    """
    slits = _slits(rings(free), _SKIPPED * radius)
    return only_areas(shapely.union_all([free, *slits])) if len(slits) else free


def _slits(borders: list[NDArray[np.float64]], length: float) -> NDArray[np.object_]:
    """Return slits `length` mm long at the ends of the edges shorter than that, away from the inside of the corner.

    At a corner that juts into the floor the slit lies on the floor, and is lost in it. A bend so slight that the
    engine's cut is no deeper than a hair needs none.
    """
    if not borders:
        return np.zeros(0, dtype=object)
    # Each ring's corners in turn, and the place of the one before in the same ring.
    corners = np.concatenate([ring[:-1] for ring in borders])
    sides = np.concatenate([np.diff(ring, axis=0) for ring in borders])
    firsts = np.cumsum([0, *(len(ring) - 1 for ring in borders)])
    last = np.arange(len(sides)) - 1
    last[firsts[:-1]] = firsts[1:] - 1
    size = np.hypot(*sides.T)
    steps = sides / size[:, None]
    before, brief = steps[last], np.minimum(size, size[last])
    bend = before - steps
    sharp = (brief < length) & (brief * np.hypot(*bend.T) > _CUT)
    at, away = corners[sharp], bend[sharp] / np.hypot(*bend[sharp].T)[:, None]
    wide = _HAIR * np.stack([-away[:, 1], away[:, 0]], axis=1)
    low, high = at - _HAIR * away, at + length * away
    return np.asarray(shapely.polygons(np.stack([low - wide, high - wide, high + wide, low + wide], axis=1)))
