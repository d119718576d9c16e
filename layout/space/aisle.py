"""Ways for a person, in plan: the widest disc that comes from one zone to another over the free floor.

A disc stands for a person seen from above, who may turn on the spot: its diameter is the width that a way offers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import shapely
from shapely.geometry import MultiPoint
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.erosion import Ground, Probe, ground
from layout.space.floor import free_floor
from layout.space.pinch import Segment, gap_across, nearest_names
from layout.space.route import SLACK, rough_route, tight_route
from layout.space.space import TOUCH
from layout.space.straight import longest_straight

__all__ = ["Limit", "Segment", "Way", "free_floor", "longest_straight", "nearest_names", "passes", "widest_way"]

Limit = Literal["most", "gap", "start", "goal", "closed"]
_PRECISION = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """The widest way between two zones: `width` mm, 0 if there is none.

    `limit` says what keeps it from being wider: nothing up to the ``most`` that was asked for, a ``gap`` (then
    `pinch` has its two ends), that a wider disc does not come near enough to the ``start`` or the ``goal``; or
    the way is ``closed``. `route` is a line for the middle of the disc.
    """

    width: float
    limit: Limit
    pinch: Segment | None = None
    route: tuple[Point, ...] = ()


def widest_way(
    free: BaseGeometry, start: BaseGeometry, goal: BaseGeometry, *, most: float, precision: float = _PRECISION
) -> Way:
    """Return the widest way over `free`, up to `most` mm, for a disc from touching `start` to touching `goal`.

    A disc touches a zone when the zone meets the closed disc. The width is never more than the truth, but for
    rounding of some `TOUCH`. Where a gap limits it, it is the size of that gap, to rounding; only where ways with
    two gaps compete that differ less than twice `ARC_ERROR` may it be that of the narrower. Where a zone limits it,
    it is at most `precision` + twice `ARC_ERROR` less than the truth; a way narrower than `precision` is none.
    What is not in `free` bars the way, so an opening in a wall counts only if `free` has it.

    Parameters
    ----------
    free
        Where a body may be: a polygon or multipolygon, mm.
    start, goal
        Zones of any kind, inside `free` or not: points, lines, areas, mm.
    most
        The width beyond which nobody asks, mm, above 0.
    precision
        How near the width is sought, mm, above 0.
    """
    land = ground(free, start, goal, most)
    high = land.probe(most)
    if high.joined:
        return Way(width=most, limit="most", route=_drawn(land, high))
    low = land.probe(min(precision, most / 2))
    if not low.joined:
        return Way(width=0.0, limit="closed")
    return _capped(_between(land, *_bracket(land, low, high, precision)), most)


def passes(free: BaseGeometry, start: BaseGeometry, goal: BaseGeometry, width: float) -> bool:
    """Return whether a disc of `width` mm comes from touching `start` to touching `goal` over `free`.

    A gap of just `width` lets it pass. The answer is never yes where more than some `TOUCH` is wanting; it may be no
    where a zone is only just reached, with less than twice `ARC_ERROR` to spare.
    """
    land = ground(free, start, goal, width)
    high = land.probe(width)
    if high.joined:
        return True
    low = land.probe(max(width - _PRECISION, width / 2))
    return low.joined and _between(land, low, high).width >= width - TOUCH


def _capped(way: Way, most: float) -> Way:
    """Return the way, no wider than was asked for: what bars wider discs is then no pinch."""
    return way if way.width < most + TOUCH else replace(way, width=most, limit="most", pinch=None)


def _bracket(land: Ground, low: Probe, high: Probe, precision: float) -> tuple[Probe, Probe]:
    """Return the widest disc that passes and the narrowest that does not, at most `precision` mm apart."""
    while high.width - low.width > precision:
        middle = land.probe((low.width + high.width) / 2)
        low, high = (middle, high) if middle.joined else (low, middle)
    return low, high


def _between(land: Ground, low: Probe, high: Probe) -> Way:
    """Return the way whose width is between that of a disc that passes and of one that does not.

    The gap that the narrower disc goes through may have a way round it that is hardly wider: then that is taken.
    """
    path = rough_route(low, land.start, land.goal)
    gap = gap_across(land.free, path, low, high)
    if gap is None:
        return Way(width=low.width, limit=_short_zone(high, path), route=tight_route(path, low.way))
    if gap.width + TOUCH < high.width and (wider := land.probe(gap.width + TOUCH)).joined:
        return _between(land, wider, high)
    through = rough_route(low, land.start, land.goal, via=MultiPoint(gap.ends).centroid)
    width = max(gap.width, low.width)
    return Way(width=width, limit="gap", pinch=gap.ends, route=tight_route(through, low.way))


def _short_zone(high: Probe, path: BaseGeometry) -> Limit:
    """Return the zone that the wider disc does not touch from the way that the narrower one takes."""
    near = shapely.dwithin(high.parts, path, SLACK)
    at_start, at_goal = (bool((near & at).any()) for at in (high.at_start, high.at_goal))
    return "start" if at_goal > at_start or not high.at_start.any() else "goal"


def _drawn(land: Ground, probe: Probe) -> tuple[Point, ...]:
    return tight_route(rough_route(probe, land.start, land.goal), probe.way)
