"""The solids of a thing that stands in the room, as outlines between two heights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon

from layout.model.solid import Solid
from layout.space.carry_room import Outline
from layout.space.space import TOUCH

_SAME = 1e-7
_CORNERS = 4
_LARGEST = 40  # boxes that others are looked for in

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stood:
    """Outlines that stand in the room, each from a `low` to a `high` height, mm.

    `square` are those that are upright boxes, `convex` those that are convex; `bounds` has x0, y0, x1, y1 of each.
    """

    outlines: tuple[Outline, ...]
    low: Floats
    high: Floats
    bounds: Floats
    square: Flags
    convex: Flags

    def between(self, z0: float, z1: float) -> Flags:
        """Return which of them reach between two heights by more than a touch, less those that lie within others.

        What lies within another outline keeps nothing from where that does not keep it from.
        """
        flags: Flags = (self.low < z1 - TOUCH) & (self.high > z0 + TOUCH)
        return flags & ~covered(self.bounds, flags & self.square)


def covered(bounds: Floats, boxes: Flags) -> Flags:
    """Return which shapes, told by bounds, lie in one of the largest `boxes`; of equal ones all but the first."""
    x0, y0, x1, y1 = bounds.T
    order = np.argsort(np.where(boxes, -(x1 - x0) * (y1 - y0), 0.0), kind="stable")
    rank = np.empty(len(order), dtype=int)
    rank[order] = np.arange(len(order))
    found = np.zeros(len(order), dtype=bool)
    for i in order[: min(int(boxes.sum()), _LARGEST)]:
        if not found[i]:
            found |= (x0[i] <= x0) & (y0[i] <= y0) & (x1 <= x1[i]) & (y1 <= y1[i]) & (rank > rank[i])
    return found


def stood(solids: Sequence[Solid], plan: Polygon) -> Stood:
    """Return what of the solids is within a plan, which is an upright box."""
    parts = [(outline, solid) for solid in solids for outline in _within(solid, plan)]
    low, high = (np.array([getattr(solid, end) for _, solid in parts], dtype=float) for end in ("z0", "z1"))
    square, convex = (
        np.array([known(outline) for outline, _ in parts], dtype=bool) for known in (is_square, _is_convex)
    )
    outlines = tuple(outline for outline, _ in parts)
    bounds = np.array([(*one.min(axis=0), *one.max(axis=0)) for one in outlines], dtype=float).reshape(-1, 4)
    return Stood(outlines=outlines, low=low, high=high, bounds=bounds, square=square, convex=convex)


def is_square(corners: Outline) -> bool:
    """Return whether an outline is an upright box."""
    low, high = corners.min(axis=0), corners.max(axis=0)
    at_ends = (abs(corners - low) < _SAME) | (abs(corners - high) < _SAME)
    return len(corners) == _CORNERS and bool(at_ends.all() and (high > low).all())


def _is_convex(corners: Outline) -> bool:
    """Return whether an outline without crossings turns the same way at all its corners, but for a hair."""
    along = np.roll(corners, -1, axis=0) - corners
    after = np.roll(along, -1, axis=0)
    turns = along[:, 0] * after[:, 1] - along[:, 1] * after[:, 0]
    return bool((turns > -_SAME).all() or (turns < _SAME).all())


def _within(solid: Solid, plan: Polygon) -> Iterator[Outline]:
    """Yield the outline of a solid, or what of it is within the plan."""
    (a0, b0, a1, b1), (x0, y0, x1, y1) = solid.bounds, plan.bounds
    if x0 <= a0 and y0 <= b0 and a1 <= x1 and b1 <= y1:
        yield np.array(solid.outline, dtype=float)
        return
    for part in shapely.get_parts(Polygon(solid.outline).intersection(plan)):
        if part.area > 0:
            yield shapely.get_coordinates(part.exterior)[:-1]
