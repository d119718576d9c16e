"""Straight on from a region, level, out through a door: told from boxes, without searching the room.

Seen toward a door, `out` grows toward it and `side` along its wall.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString

from layout.checks.removal.body import Body, Doors
from layout.checks.removal.grown import Floats
from layout.checks.removal.pieces import Bools
from layout.checks.removal.regions import Exit, Region
from layout.checks.removal.route import Point2
from layout.space.parts import Door

_INSET = 0.25  # share of a gap by which its ends are kept clear of, so that rounding does no harm
Span = tuple[float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class _View:
    """Which axis leads out of a door, 0 or 1, whether toward higher numbers (1) or lower (-1)."""

    axis: int
    sign: int

    def out(self, bounds: tuple[float, ...], size: int) -> Span:
        """Return how far out something reaches; its bounds are `size` low and as many high numbers."""
        low, high = (self.sign * bounds[self.axis + k] for k in (0, size))
        return min(low, high), max(low, high)

    def side(self, bounds: tuple[float, ...], size: int) -> Span:
        """Return from where to where something reaches along the door's wall."""
        return bounds[1 - self.axis], bounds[1 - self.axis + size]

    def point(self, out: float, side: float) -> Point2:
        """Return the point so far out and along."""
        return (self.sign * out, side) if self.axis == 0 else (side, self.sign * out)


def straight_out(body: Body, region: Region, present: Bools, doors: Doors) -> Exit | None:
    """Return a way straight on from a region and out through a door; None where none is told, though one may be.

    What stands in the way counts as the box round it, so what is told is a way.
    """
    boxes = body.boxes[present & body.meets[region.span]]
    for door in body.doors(region.span, doors):
        for line in _lines(body, region, boxes, door):
            if body.places(region.span).covers(LineString(line)):
                return Exit(door=door, points=line)
    return None


def _lines(body: Body, region: Region, boxes: Floats, door: Door) -> Iterator[tuple[Point2, Point2]]:
    """Yield lines from a place in the region to one wholly outside the door, past the boxes of places."""
    view = _View(axis=0 if door.side == "rear" else 1, sign=1 if door.side == "left" else -1)
    beyond, plan = body.room.exit_of(door, body.size), region.plan.bounds
    end, entry = view.out(beyond, 2)[0], region.entry[1 - view.axis]
    out = np.sort(view.sign * boxes[:, (view.axis, view.axis + 3)], axis=1)
    side = boxes[:, (1 - view.axis, 4 - view.axis)]
    before = out[:, 0] < end
    lows, highs = zip(view.side(beyond, 2), view.side(plan, 2), strict=True)
    bars = side[before & (out[:, 1] > view.out(plan, 2)[1])]
    for at in _free((max(lows), min(highs)), bars, entry):
        start = _foremost(region, view, at)
        if start is not None and not (before & (out[:, 1] > start) & (side[:, 0] < at) & (at < side[:, 1])).any():
            yield view.point(start, at), view.point(max(end, start), at)


def _free(span: Span, bars: Floats, wish: float) -> Iterator[float]:
    """Yield a place in each stretch of `span` that no bar takes, as near to `wish` as is well clear of the ends."""
    edge = span[0]
    for low, high in (*sorted(map(tuple, bars.tolist())), (span[1], np.inf)):
        if min(low, span[1]) > edge:
            inset = _INSET * (min(low, span[1]) - edge)
            yield min(max(wish, edge + inset), min(low, span[1]) - inset)
        edge = max(edge, high)


def _foremost(region: Region, view: _View, at: float) -> float | None:
    """Return how far out the region reaches on the line out of the door; None if it is not met."""
    low, high = view.out(region.plan.bounds, 2)
    line = LineString([view.point(low - 1.0, at), view.point(high + 1.0, at)])
    met = shapely.intersection(region.plan, line)
    return None if met.is_empty else view.out(met.bounds, 2)[1]
