"""A way on the plan through a region: straight, round one corner, or along the corners of the region."""

from __future__ import annotations

from heapq import heappop, heappush
from math import dist

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

Point2 = tuple[float, float]
_HAIR = 1e-4  # mm beyond the region's edge that count as on it, so that ways along edges survive rounding


def route(region: Polygon, start: Point2, end: Point2) -> list[Point2]:
    """Return the corners of a way from `start` to `end` (mm), both in `region`, without `start`.

    Straight if that stays inside, otherwise level and square round one corner, otherwise the shortest way.
    """
    inside = region.buffer(_HAIR, join_style="mitre")
    shapely.prepare(inside)
    for between in ([], [(start[0], end[1])], [(end[0], start[1])]):
        if inside.covers(LineString([start, *between, end])):
            return [*between, end]
    return _shortest(inside, region, start, end)


def _shortest(inside: Polygon, region: Polygon, start: Point2, end: Point2) -> list[Point2]:
    """Return the shortest way: its bends are corners of the region (Dijkstra with the bee line as the bound)."""
    corners = [(float(x), float(y)) for x, y in shapely.get_coordinates(region)]
    points = list(dict.fromkeys([start, end, *corners]))
    known, came, todo = {0: 0.0}, {0: 0}, [(dist(start, end), 0)]
    done: set[int] = set()
    while todo:
        _, here = heappop(todo)
        if here == 1:
            break
        if here in done:
            continue
        done.add(here)
        for there in _seen(inside, points, here):
            length = known[here] + dist(points[here], points[there])
            if length < known.get(there, np.inf):
                known[there], came[there] = length, here
                heappush(todo, (length + dist(points[there], end), there))
    return _back(came, points)


def _seen(inside: Polygon, points: list[Point2], here: int) -> list[int]:
    lines = shapely.linestrings([[points[here], other] for other in points])
    return [int(i) for i in np.flatnonzero(shapely.covers(inside, lines)) if i != here]


def _back(came: dict[int, int], points: list[Point2]) -> list[Point2]:
    way = [1]
    while way[-1] in came and came[way[-1]] != 0:
        way.append(came[way[-1]])
    return [points[i] for i in reversed(way)]
