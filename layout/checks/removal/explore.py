"""Where a body gets from where it is, with others in its way, and what bounds that.

The places at one lift fall into regions; the body goes up or down where a region at the next lift shares places with
it over the whole span between. Where a lift offers no more than the span that led to it, its region is known already.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.removal.aside import aside_out
from layout.checks.removal.body import Body, Doors, Place
from layout.checks.removal.pieces import Bools
from layout.checks.removal.regions import Found, Region, nearest_exit, path_through
from layout.checks.removal.room import polygons
from layout.checks.removal.route import Point2
from layout.checks.removal.straight import straight_out

_BESIDE = 1e-3  # mm within which a piece bounds a region; more than rounding, less than TOUCH
_NEAR = (150.0, 600.0, 2400.0)  # mm round the start that are looked at first, since most things are held tightly
Window = tuple[float, float, float, float]


def explore(body: Body, start: Place, present: Bools, doors: Doors, *, shortcut: bool = True) -> Found:
    """Return whether the body gets out from `start` past the pieces `present`.

    Rooms round the start are looked at first, larger and larger ones. What is shut in within one of them is shut in. A
    way that leaves one of them is a way out if it goes straight on to a door from there; else the next is looked at.
    Where a shortcut will do, a way aside, up and out is tried before all that.

    Parameters
    ----------
    start
        A place where it fits, mm.
    present
        Which pieces are there, (n,).
    doors
        By which doors it is to get out; None: by any.
    shortcut
        Whether the first way that is found will do. Otherwise it is that through the fewest regions, to the nearest of
        several doors.
    """
    told = aside_out(body, start, present, doors) if shortcut else None
    if told is not None and told.door is not None:
        return Found(door=told.door.name, path=told.path, bounds=np.zeros_like(present))
    (x, y), far = start[:2], told.far if told is not None else 0.0
    # What is known to get farther than that is not shut in there.
    for near in (size for size in _windows(body) if size > far):
        walk = _Walk(body, present, (x - near, y - near, x + near, y + near))
        found = walk.run(start, doors, shortcut=shortcut)
        if found.door is not None or not walk.cut:
            return found
    return _Walk(body, present, None).run(start, doors, shortcut=False)


def _windows(body: Body) -> Iterator[float]:
    """Yield how far round the start to look, as far as that is less than the whole room."""
    x0, _, x1, _ = body.room.space.bounds
    return (near for near in _NEAR if 2 * near < x1 - x0)


class _Walk:
    """One search; `cut` tells that a region reached the edge of the window, so that the answer may be wrong."""

    def __init__(self, body: Body, present: Bools, window: Window | None) -> None:
        self.body, self.present, self.window = body, present, window
        self.cut = False
        self._seen: dict[int, list[Polygon]] = {}
        self._parts: dict[int, list[Polygon]] = {}
        self._bounds = np.zeros_like(present)
        self._queue: deque[Region] = deque()
        self._steps = (1, -1)
        here = body.meets & present
        #: For each span between two lifts: is in its way only what is in the way at the lower, or the upper, one?
        self._like_lower = [not more.any() for more in here[1::2] & ~here[:-1:2]]
        self._like_upper = [not more.any() for more in here[1::2] & (~here[2::2] | body.pieces.rounded)]

    def run(self, start: Place, doors: Doors, *, shortcut: bool) -> Found:
        """Return where the search from `start` ends; a `shortcut` goes on straight from anywhere in the window."""
        self._enter(self.body.level(start[2]), start[:2], None, None)
        left: list[Region] = []
        self._steps = (-1, 1) if shortcut else (1, -1)
        while self._queue and (shortcut or not self.cut):
            # Upward first is the shortest way to where nothing is in the way any more.
            region = self._queue.pop() if shortcut else self._queue.popleft()
            out = straight_out(self.body, region, self.present, doors) if shortcut else None
            out = out or nearest_exit(self.body, region, doors)
            if out is not None:
                path = path_through(self.body, start, region, out.points)
                return Found(door=out.door.name, path=path, bounds=self._bounds)
            self._leave(region)
            left.append(region)
        if not self.cut:
            for region in left:
                self._note(region)
        return Found(door=None, path=(), bounds=self._bounds)

    def _enter(self, span: int, at: Point2, parent: Region | None, known: Polygon | None) -> None:
        """Queue the region round `at` at a lift, which may be known, unless it was met before."""
        point = Point(at)
        if any(plan.covers(point) for plan in self._seen.get(span, [])):
            return
        plan = known or min(self._regions(span), key=lambda part: part.distance(point), default=None)
        if plan is not None:
            self.cut = self.cut or self._at_edge(plan)
            shapely.prepare(plan)
            self._seen.setdefault(span, []).append(plan)
            self._queue.append(Region(span, plan, at, parent))

    def _leave(self, region: Region) -> None:
        """Go on up and down from a region; what is queued last comes first where a shortcut is sought."""
        for step in self._steps:
            between = region.span + step
            if 0 <= between < len(self.body.meets):
                whole = self._is_like(between, between + step)
                for part in self._slab(region, between):
                    at = part.representative_point()
                    self._enter(between + step, (at.x, at.y), region, part if whole else None)

    def _is_like(self, between: int, span: int) -> bool:
        """Return whether the places of the lift `span` are just those of the span `between` beside it."""
        like = self._like_lower if span < between else self._like_upper
        return like[between // 2] and self.body.shared(between) is self.body.shared(span)

    def _slab(self, region: Region, between: int) -> list[Polygon]:
        """Return the parts of a region from which the body may be lifted or lowered through a span."""
        room = self.body.places(between)
        plan = region.plan if room is self.body.places(region.span) else region.plan.intersection(room)
        newly = ~self.body.meets[region.span] | self.body.pieces.rounded
        return self._less(plan, between, newly & self.body.meets[between])

    def _regions(self, span: int) -> list[Polygon]:
        """Return all regions at a lift, within the window."""
        if span not in self._parts:
            room = self.body.places(span)
            plan = room if self.window is None else room.intersection(shapely.box(*self.window))
            self._parts[span] = self._less(plan, span, self.body.meets[span])
        return self._parts[span]

    def _less(self, plan: BaseGeometry, span: int, pieces: Bools) -> list[Polygon]:
        """Return the parts of `plan` that are left when `pieces`, as far as they are present, are taken off."""
        if plan.is_empty:
            return []
        chosen = self._close(pieces, plan.bounds)
        if chosen.size:
            plan = plan.difference(shapely.union_all(self.body.plans(self.body.levels[span // 2], chosen)))
        return polygons(plan)

    def _close(self, pieces: Bools, bounds: Window) -> NDArray[np.intp]:
        """Return which of the `pieces` that are present come near these bounds, as numbers."""
        x0, y0, x1, y1 = bounds
        boxes = self.body.boxes
        apart = (boxes[:, 0] > x1) | (boxes[:, 3] < x0) | (boxes[:, 1] > y1) | (boxes[:, 4] < y0)
        return np.flatnonzero(pieces & self.present & ~apart)

    def _note(self, region: Region) -> None:
        """Mark what is beside the region, or bars the way up or down from it."""
        first = max(region.span - 1, 0)
        pieces: Bools = np.logical_or.reduce(self.body.meets[first : region.span + 2], axis=0)
        x0, y0, x1, y1 = region.plan.bounds
        chosen = self._close(pieces, (x0 - _BESIDE, y0 - _BESIDE, x1 + _BESIDE, y1 + _BESIDE))
        plans = self.body.plans(self.body.levels[first // 2], chosen)
        self._bounds[chosen] |= shapely.dwithin(region.plan, plans, _BESIDE)

    def _at_edge(self, plan: Polygon) -> bool:
        if self.window is None:
            return False
        x0, y0, x1, y1 = plan.bounds
        return bool(x0 <= self.window[0] or y0 <= self.window[1] or x1 >= self.window[2] or y1 >= self.window[3])
