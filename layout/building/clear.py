"""The largest clear rectangle in an area with notches, holes and slanting edges."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from layout.model.solid import Point

_LEVEL = 1e-6  # mm: an edge that rises less is level
_SLANT_STEPS = 8  # how finely a slanting edge is followed by a rectangle
_SPECK = 1e-6  # mm² that rounding leaves
Rect = tuple[float, float, float, float]


def largest_rectangle(free: shapely.Geometry) -> Rect:
    """Return the largest rectangle inside an area, along its axes: of cells of a grid through all of its corners."""
    if free.is_empty:
        return 0.0, 0.0, 0.0, 0.0
    us, vs = (np.array(sorted({round(p[i], 6) for p in _corners(free)})) for i in (0, 1))
    inside = _inside(free, us, vs)
    best, most = (0.0, 0.0, 0.0, 0.0), _SPECK
    for low in range(len(vs) - 1):
        open_ = np.ones(len(us) - 1, dtype=bool)
        for high in range(low + 1, len(vs)):
            open_ &= inside[:, high - 1]
            for start, end in _stretches(open_):
                area = (us[end] - us[start]) * (vs[high] - vs[low])
                if area > most + _SPECK:
                    best, most = (float(us[start]), float(vs[low]), float(us[end]), float(vs[high])), area
    return best


def _corners(free: shapely.Geometry) -> Iterator[Point]:
    """Yield the corners of an area, and points on its slanting edges."""
    for part in shapely.get_parts(free):
        for ring in (part.exterior, *part.interiors) if part.geom_type == "Polygon" else ():
            for p, q in pairwise(ring.coords):
                steps = _SLANT_STEPS if min(abs(p[0] - q[0]), abs(p[1] - q[1])) > _LEVEL else 1
                for i in range(steps):
                    yield p[0] + (q[0] - p[0]) * i / steps, p[1] + (q[1] - p[1]) * i / steps


def _inside(free: shapely.Geometry, us: NDArray[np.float64], vs: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return, for each cell of a grid, whether it lies in an area."""
    low_u, low_v = np.meshgrid(us[:-1], vs[:-1], indexing="ij")
    high_u, high_v = np.meshgrid(us[1:], vs[1:], indexing="ij")
    cells = shapely.box(low_u, low_v, high_u, high_v)
    grown = free.buffer(1e-4, join_style="mitre")
    shapely.prepare(grown)
    return np.asarray(shapely.covers(grown, cells), dtype=bool)


def _stretches(open_: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """Yield from where to where cells in a row are all open."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], open_.astype(np.int8), [0]))))
    yield from ((int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True))
