"""Ways over a floor from which what is too narrow for anybody is taken off once: many times quicker to ask.

Where the middle of a disc of radius r may be is where that of a disc of radius r - t may be on the floor eroded by t.
So slots and corners too small for a thin disc are lost once, for all widths and goals. Gaps are measured on the true
floor.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import cos, pi

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPoint
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.aisle import Limit, Way
from layout.space.erosion import Probe, enlarged, only_areas, whiskered
from layout.space.pinch import Gap, gap_across
from layout.space.route import SLACK, rough_route, tight_route
from layout.space.space import TOUCH

_ARC = 16  # chords to a quarter turn
_CHORD = 1.5  # a chord may span so many of the steps that are asked for
_SHORT = 1 / 85  # of the radius: the buffer may leave out corners at edges shorter than a hundredth of it
_SAFE = 1.0  # mm: more than by which chords for arcs make a way too narrow
_COARSE = 20.0  # mm between a width that passes and one that does not, before gaps are looked at
_FINE = 0.5  # the same where no gap decides
_LARGE = 250  # corners of a floor from which on it is asked roughly first
_ROUGHLY = 0.98  # of the radius, with chords that take too little off: what does not pass then surely does not
NOWHERE = Way(width=0.0, limit="closed")


@dataclass(frozen=True, kw_only=True, slots=True)
class _Left:
    """An eroded floor, its parts, and how near to a zone a middle must come to touch it, mm."""

    room: BaseGeometry
    parts: NDArray[np.object_]
    reach: float


@dataclass(frozen=True, kw_only=True, slots=True)
class _Gone:
    """What is taken off a core: a place where no body may be, or (`middles`) only no middle of one."""

    plan: BaseGeometry
    middles: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Core:
    """Where the middle of a disc `thin` mm wide may be: the floor eroded by `taken` mm, chords outside arcs.

    `make` works that out, which takes a while, and is not asked before it must be.
    """

    make: Callable[[], BaseGeometry]
    thin: float
    taken: float
    #: The core that this is a part of: what does not pass there does not pass here.
    whole: Core | None = None
    #: The true floor that the whole core is of, where it is large.
    floor: BaseGeometry | None = None
    #: What the whole core has that this has not.
    gone: tuple[_Gone, ...] = ()
    _made: list[BaseGeometry] = field(default_factory=list, init=False, repr=False, compare=False)
    # What is left for wider discs, by their width: worked out when first asked for, whatever way it is asked for.
    _left: dict[float, _Left] = field(default_factory=dict, init=False, repr=False, compare=False)
    _rough: dict[float, NDArray[np.object_]] = field(default_factory=dict, init=False, repr=False, compare=False)
    #: The widest ways found, by their zones and up to which width they were sought.
    ways: dict[tuple[bytes, bytes, float, bool], Way] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    @property
    def room(self) -> BaseGeometry:
        """Return where the middle of the thin disc may be."""
        if not self._made:
            self._made.append(self.make())
        return self._made[0]

    def left(self, width: float) -> _Left:
        """Return what is left for the middle of a disc of `width` mm, at least as wide as the thin one."""
        if width not in self._left:
            more = (width - self.thin) / 2
            if more <= TOUCH:
                room, by = self.room, self.taken
            else:
                radius, quarter = enlarged(more)
                room, by = self._eroded(width, radius, quarter), self.taken + radius
            self._left[width] = _Left(room=room, parts=shapely.get_parts(room), reach=by + TOUCH)
        return self._left[width]

    def _eroded(self, width: float, radius: float, quarter: int) -> BaseGeometry:
        if self.whole is not None:
            return self._of_whole(self.whole.left(width).room, radius)
        return only_areas(shapely.buffer(self.room, -radius, quad_segs=quarter))

    def _of_whole(self, room: BaseGeometry, radius: float) -> BaseGeometry:
        """Return of what is left of the whole core what is left of this: not what is near to what it has not.

        Eroding a floor without something is eroding the floor and taking off that something, grown by as much.
        """
        for gone in self.gone:
            grown, quarter = enlarged(radius if gone.middles else radius + self.taken)
            room = shapely.difference(room, shapely.buffer(gone.plan, grown, quad_segs=quarter))
        return only_areas(room)

    def rough(self, width: float) -> NDArray[np.object_] | None:
        """Return parts that hold all that is left for a disc of `width` mm, and a little more; None if not quickly."""
        whole, radius = self.whole or self, _ROUGHLY * width / 2 - _SAFE
        if whole.floor is None or radius <= self.thin:
            return None
        if width not in self._rough:
            if self.whole is None:
                room = shapely.buffer(whole.floor, -radius, quad_segs=2)
            else:
                near = [shapely.buffer(gone.plan, radius - self.thin * gone.middles) for gone in self.gone]
                room = shapely.difference(shapely.multipolygons(whole.rough(width)), shapely.union_all(near))
            self._rough[width] = shapely.get_parts(only_areas(room))
        return self._rough[width]

    def less(self, solid: BaseGeometry) -> Core:
        """Return the core of the floor without `solid`."""
        return self._part(_Gone(plan=solid, middles=False))

    def shut(self, yard: BaseGeometry) -> Core:
        """Return the core without the middles that are in `yard`."""
        return self._part(_Gone(plan=yard, middles=True))

    def _part(self, gone: _Gone) -> Core:
        def make() -> BaseGeometry:
            taken = gone.plan if gone.middles else shapely.buffer(gone.plan, self.taken, quad_segs=_ARC)
            return only_areas(shapely.difference(self.room, taken))

        return Core(
            make=make, thin=self.thin, taken=self.taken, whole=self.whole or self, gone=(*self.gone, gone)
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Trip:
    """A core, the true floor that it is of, and the zones to go between."""

    free: BaseGeometry
    core: Core
    start: BaseGeometry
    goal: BaseGeometry

    @property
    def nowhere(self) -> bool:
        """Return whether there is nothing to ask."""
        return bool(self.start.is_empty or self.goal.is_empty)

    def probe(self, width: float) -> Probe:
        """Return what is left for the middle of a disc of `width` mm, at least as wide as the thin one."""
        left = self.core.left(width)
        at = [shapely.dwithin(left.parts, zone, left.reach) for zone in (self.start, self.goal)]
        return Probe(
            width=width, reach=left.reach, room=left.room, parts=left.parts, at_start=at[0], at_goal=at[1]
        )  # fmt: skip

    def bars(self, width: float) -> list[tuple[float, float]]:
        """Return spans of x between the zones that no part of what is left for somebody `width` mm wide reaches across.

        Each rests on the floor within half that width of it only: what stands farther away does not open it.
        """
        low = self.probe(max(width - _SAFE, self.core.thin))
        if low.joined or self.nowhere or not len(low.parts):
            return []
        extents = shapely.bounds(low.parts)[:, (0, 2)]
        extents = extents[np.argsort(extents[:, 0])]
        # Just before a part begins, all that began earlier has ended by the farthest of their ends.
        ends = np.maximum.accumulate(extents[:-1, 1])
        (s0, _, s1, _), (g0, _, g1, _) = self.start.bounds, self.goal.bounds
        first, last = (s1, g0) if s1 < g0 else (g1, s0)
        found = zip((extents[1:, 0] - TOUCH).tolist(), (ends + TOUCH).tolist(), strict=True)
        spans = ((min(begin, end), max(begin, end)) for begin, end in found)
        return [(a, b) for a, b in spans if a > first + low.reach and b < last - low.reach]

    def is_barred(self, width: float) -> bool:
        """Return whether it is certain at little cost that nothing `width` mm wide passes, nor anything wider.

        What is a millimetre narrower does not pass even in the whole core, which is asked once for all its parts.
        """
        whole = replace(self, core=self.core.whole or self.core)
        narrower = max(width - _SAFE, self.core.thin)
        return whole.fails(narrower) or not whole.probe(narrower).joined

    def fails(self, width: float) -> bool:
        """Return whether a rough look is enough to tell that nothing `width` mm wide passes."""
        parts = self.core.rough(width)
        if parts is None:
            return False
        at = [shapely.dwithin(parts, zone, width / 2 + _SAFE) for zone in (self.start, self.goal)]
        return not bool((at[0] & at[1]).any())


def core(free: BaseGeometry, thin: float, most: float) -> Core:
    """Return the floor eroded for a disc `thin` mm wide, ready for discs of up to `most` mm."""
    taken = thin / 2 / cos(_CHORD * pi / 4 / _ARC)
    areas = only_areas(free)

    def make() -> BaseGeometry:
        room = only_areas(shapely.buffer(_ready(areas, thin / 2), -taken, quad_segs=_ARC))
        return _ready(room, most / 2)

    large = shapely.get_num_coordinates(areas) > _LARGE
    return Core(make=make, thin=thin, taken=taken, floor=areas if large else None)


def _ready(free: BaseGeometry, radius: float) -> BaseGeometry:
    """Return the floor made ready for erosion; mostly it has no edge so short that it need be."""
    edges = np.diff(shapely.get_coordinates(free), axis=0)
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    return whiskered(free, radius) if ((lengths > 0) & (lengths < radius * _SHORT)).any() else free


def goes(trip: Trip, width: float) -> bool:
    """Return whether a disc of `width` mm comes from one zone to the other; a gap of just `width` lets it pass."""
    if trip.nowhere or width < trip.core.thin:
        return False
    if trip.fails(width - _SAFE) or (trip.core.whole is not None and trip.is_barred(width)):
        return False
    high = trip.probe(width)
    if high.joined:
        return True
    low = trip.probe(max(width - _SAFE, trip.core.thin))
    return low.joined and _limited(trip, low, high, routed=False).width >= width - TOUCH


def widest(trip: Trip, most: float, *, routed: bool = True) -> Way:
    """Return the widest way, up to `most` mm, if need be without its route; one no wider than the thin disc is none.

    Never more than the truth, but for rounding. Where a gap limits it, it is that gap; where the reach of a zone does,
    it is up to a millimetre less.
    """
    if trip.nowhere or most <= trip.core.thin:
        return NOWHERE
    key = (trip.start.wkb, trip.goal.wkb, most, routed)
    if key not in trip.core.ways:
        trip.core.ways[key] = _widest(trip, most, routed=routed)
    return trip.core.ways[key]


def _widest(trip: Trip, most: float, *, routed: bool) -> Way:
    if not trip.fails(most) and (high := trip.probe(most)).joined:
        route = tight_route(rough_route(high, trip.start, trip.goal), high.way) if routed else ()
        return Way(width=most, limit="most", route=route)
    low = trip.probe(trip.core.thin)
    if not low.joined:
        return NOWHERE
    return _limited(trip, *_bracket(trip, low, most, _COARSE), routed=routed)


def _bracket(trip: Trip, low: Probe, high: float, apart: float) -> tuple[Probe, Probe]:
    """Return the widest disc that passes and the narrowest that does not, at most so far `apart`; at first `high`."""
    while high - low.width > apart:
        width = (low.width + high) / 2
        middle = None if trip.fails(width) else trip.probe(width)
        low, high = (middle, high) if middle is not None and middle.joined else (low, width)
    return low, trip.probe(high)


def _limited(trip: Trip, low: Probe, high: Probe, *, routed: bool) -> Way:
    """Return the way between a width that passes and one that does not: from gap to wider gap until none is passed."""
    while True:
        path = rough_route(low, trip.start, trip.goal)
        gap = gap_across(trip.free, path, low, high)
        if gap is None and high.width - low.width > _FINE:
            low, high = _bracket(trip, low, high.width, (high.width - low.width) / 2)
        elif gap is None:
            route = tight_route(path, low.way) if routed else ()
            return Way(width=low.width, limit=_short_zone(path, high), route=route)
        elif gap.width + TOUCH < high.width and (wider := trip.probe(max(gap.width, low.width) + TOUCH)).joined:
            low = wider
        else:
            width = min(max(gap.width, low.width), high.width)
            return Way(width=width, limit="gap", pinch=gap.ends, route=_through(trip, low, gap) if routed else ())


def _through(trip: Trip, low: Probe, gap: Gap) -> tuple[Point, ...]:
    """Return the route that passes a gap."""
    return tight_route(rough_route(low, trip.start, trip.goal, via=MultiPoint(gap.ends).centroid), low.way)


def _short_zone(path: BaseGeometry, high: Probe) -> Limit:
    """Return the zone that a wider disc does not touch from the way that the narrower one takes."""
    near = shapely.dwithin(high.parts, path, SLACK)
    at_start, at_goal = (bool((near & at).any()) for at in (high.at_start, high.at_goal))
    return "start" if at_goal > at_start or not high.at_start.any() else "goal"
