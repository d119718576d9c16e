"""The least by which one bicycle must stand further along, or higher, to be free of another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

import shapely

from layout.checks.context import shared_box
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

_FAR = 100_000.0
_LEAST_GAP = 2.0  # mm: a free stretch shorter than this is none, since what is told is rounded up
_CLOSE = TOUCH / 2  # solids meet when more than a touch in each other; half of it keeps clear of rounding
Span = tuple[float, float]


def free_shift(solids: Sequence[Solid], others: Sequence[Solid], way: tuple[float, float]) -> float:
    """Return how far `solids` must go along the unit vector `way` at least to meet none of `others`, mm.

    A pair of outlines meets at a shift if that is in the sum of the other outline and the mirrored one (Minkowski's):
    for convex outlines, as a bicycle's are, the hull of the differences of their corners. Exact for those.
    """
    level = ((a, b) for a, b in product(solids, others) if min(a.z1, b.z1) - max(a.z0, b.z0) > TOUCH)
    return _first_free(span for a, b in level if (span := _meeting(a, b, way)) is not None)


def free_rise(solids: Sequence[Solid], others: Sequence[Solid]) -> float:
    """Return how much higher `solids` must stand at least to meet none of `others`, mm: exact."""
    pairs = ((a, b) for a, b in product(solids, others) if _above_each_other(a, b))
    return _first_free((b.z0 - a.z1 + _CLOSE, b.z1 - a.z0 - _CLOSE) for a, b in pairs)


def turned_round(placed: Placed) -> tuple[Solid, ...]:
    """Return the solids of a thing that is turned by half a turn where it stands."""
    x0, y0, x1, y1 = placed.box.bounds
    return tuple(solid.turned(180.0).moved(x0 + x1, y0 + y1, 0.0) for solid in placed.solids)


def _meeting(a: Solid, b: Solid, way: tuple[float, float]) -> Span | None:
    """Return between which shifts of `a` the two outlines meet."""
    apart = [(bx - ax, by - ay) for (ax, ay), (bx, by) in product(a.outline, b.outline)]
    meet = shapely.MultiPoint(apart).convex_hull.buffer(-_CLOSE, join_style="mitre")
    line = shapely.LineString([(-_FAR * way[0], -_FAR * way[1]), (_FAR * way[0], _FAR * way[1])])
    ends = [x * way[0] + y * way[1] for x, y in shapely.get_coordinates(line.intersection(meet))]
    return (min(ends), max(ends)) if ends and max(ends) > min(ends) else None


def _above_each_other(a: Solid, b: Solid) -> bool:
    x0, y0, x1, y1 = b.bounds
    if a.bounds[2] < x0 or a.bounds[0] > x1 or a.bounds[3] < y0 or a.bounds[1] > y1:
        return False
    raised = Solid(name=a.name, outline=a.outline, z0=b.z0, z1=b.z1)
    return shared_box(raised, b) is not None


def _first_free(spans: Iterable[Span]) -> float:
    """Return the least number from 0 up that is inside none of the spans, nor in a narrow gap between two."""
    free = 0.0
    for low, high in sorted(spans):
        if low > free + _LEAST_GAP:
            break
        free = max(free, high)
    return free
