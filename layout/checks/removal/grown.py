"""Plans grown or shrunk by a body: where its low corner may not be, or may be.

A body is a box that keeps its orientation, so its place on the plan is that of its rear right corner. It is taken
`TOUCH` mm smaller on every side, so that things which stand exactly against each other can slide.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.space.space import TOUCH

Size = tuple[float, float, float]
Floats = NDArray[np.float64]


def grown(outline: BaseGeometry, size: Size) -> BaseGeometry:
    """Return the places of the corner at which a body of `size` (mm) reaches into `outline`.

    The Minkowski sum of the outline and the mirrored body: the outline moved to one corner of it, and the strip that
    the mirrored body sweeps along each edge. Exact for any outline.
    """
    corners = _corners(size)
    moved = shapely.transform(outline, lambda points: points - corners[0])
    return shapely.union_all([moved, *_strips(outline, corners)])


def eroded(room: BaseGeometry, size: Size) -> BaseGeometry:
    """Return the places of the corner at which a body of `size` (mm) lies wholly in `room`.

    Those at which one of its corners is inside and its inside meets no edge of the room: exact for any room.
    """
    corners = _corners(size)
    moved = shapely.transform(room, lambda points: points - corners[0])
    return moved.difference(shapely.union_all(_strips(room, corners)))


def _corners(size: Size) -> Floats:
    """Return the four corners of the body on the plan, (4, 2), counted from its low corner."""
    x, y = size[0] - TOUCH, size[1] - TOUCH
    return np.array([[TOUCH, TOUCH], [x, TOUCH], [x, y], [TOUCH, y]])


def _strips(plan: BaseGeometry, corners: Floats) -> NDArray[np.object_]:
    """Return what the mirrored body sweeps along each edge of the plan: convex, for edge and body are."""
    points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(plan)), return_index=True)
    starts = np.flatnonzero(ring[:-1] == ring[1:])
    edges = np.stack([points[starts], points[starts + 1]], axis=1)
    swept = (edges[:, :, None, :] - corners[None, None, :, :]).reshape(-1, 8, 2)
    hulls: NDArray[np.object_] = shapely.convex_hull(shapely.multipoints(swept))
    return hulls
