"""Which of many solids are inside: asked of all at once, and mostly of few rooms."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from math import ceil, floor

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Solid

Room = Callable[[float, float], BaseGeometry]
# Spans of heights are first widened to whole steps of this, mm: fewer rooms to work out, and none too large.
_STEP = 100.0


def are_inside(common_room: Room, solids: Sequence[Solid], touch: float) -> NDArray[np.bool_]:
    """Return which `solids` lie in the room common to all their heights, to within `touch` mm.

    `common_room` gives that room for two heights, mm. A room common to more heights is no larger: so what lies
    in the one for a widened span is inside, and only the rest is held against its own.
    """
    outlines = shrunk(solids, touch)
    found = np.zeros(len(solids), dtype=bool)
    for keys in ([_widened(s) for s in solids], [(s.z0, s.z1) for s in solids]):
        for (z0, z1), which in _by_key(keys, np.flatnonzero(~found)):
            found[which] = shapely.covers(common_room(z0, z1), outlines[which])
    return found


def _widened(solid: Solid) -> tuple[float, float] | None:
    """Return the span widened to whole steps; None below the floor, where holes end at their own depths."""
    return None if solid.z0 < 0 else (floor(solid.z0 / _STEP) * _STEP, ceil(solid.z1 / _STEP) * _STEP)


def _by_key(keys: Sequence[Hashable], which: Iterable[int]) -> list[tuple[tuple[float, float], list[int]]]:
    groups: dict[Hashable, list[int]] = {}
    for k in which:
        groups.setdefault(keys[k], []).append(int(k))
    return [(key, members) for key, members in groups.items() if isinstance(key, tuple)]


def shrunk(solids: Sequence[Solid], by: float) -> NDArray[np.object_]:
    """Return the outlines drawn in by `by` mm all round; nothing is left of what is thinner than twice that."""
    found = np.empty(len(solids), dtype=object)
    square = np.array([is_square(solid) for solid in solids], dtype=bool)
    bounds = np.array([solid.bounds for solid in solids], dtype=float).reshape(-1, 4)[square]
    # A rectangle is drawn in by its sides, which is many times quicker.
    found[square] = shapely.box(*(bounds[:, :2] + by).T, *(bounds[:, 2:] - by).T)
    found[np.flatnonzero(square)[(bounds[:, 2:] - bounds[:, :2] <= 2 * by).any(axis=1)]] = shapely.Polygon()
    rest = np.array([shapely.Polygon(s.outline) for s, flat in zip(solids, square, strict=True) if not flat])
    found[~square] = shapely.buffer(rest, -by, join_style="mitre") if len(rest) else rest
    return found


def is_square(solid: Solid) -> bool:
    """Return whether the outline is the rectangle of its bounds."""
    x0, y0, x1, y1 = solid.bounds
    corners = set(solid.outline)
    return len(solid.outline) == len(corners) == 4 and all(x in (x0, x1) and y in (y0, y1) for x, y in corners)  # noqa: PLR2004 (a box has four corners)
