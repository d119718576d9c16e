"""Shapes that several kinds of DXF files share: boxes, rings of areas, arrows, circles found in polygons."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import dist

import shapely
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import box_points
from layout.drawing.text_width import Box
from layout.export.dxf_model import Line
from layout.model.solid import Point

# A polygon of fewer corners than this is meant as one, not as a circle.
_ROUND = 12
_SAME = 1e-3
_HEAD = 0.35


def frame(layer: str, box: Box, shows: str = "", view: str = "") -> Line:
    """Return the outline of an upright box."""
    return Line(layer=layer, points=tuple(box_points(box)), shows=shows, view=view)


def rings(layer: str, area: BaseGeometry, shows: str = "", view: str = "") -> tuple[Line, ...]:
    """Return the outlines of an area, inner ones too; idle corners left out."""
    found = []
    for part in shapely.get_parts(area):
        if part.geom_type == "Polygon" and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                points = tuple((float(x), float(y)) for x, y in ring.simplify(0).coords[:-1])
                found.append(Line(layer=layer, points=points, shows=shows, view=view))
    return tuple(found)


def double_arrow(layer: str, middle: Point, half: float, *, upright: bool) -> tuple[Line, ...]:
    """Return an arrow with two heads, `half` mm long each way from its middle."""
    x, y = middle
    head = _HEAD * half
    flat = [
        ((-half, 0.0), (half, 0.0)),
        ((half - head, head / 2), (half, 0.0), (half - head, -head / 2)),
        ((head - half, head / 2), (-half, 0.0), (head - half, -head / 2)),
    ]
    turned = [[(x - b, y + a) if upright else (x + a, y + b) for a, b in stroke] for stroke in flat]
    return tuple(Line(layer=layer, points=tuple(stroke), closed=False) for stroke in turned)


def as_circle(ring: Sequence[Point]) -> tuple[Point, float] | None:
    """Return centre and radius of the circle that a ring of many equal sides stands for, None if it is none.

    The corners lie on the circle, so that it is as large as the ring at its corners.
    """
    if len(ring) < _ROUND:
        return None
    xs, ys = zip(*ring, strict=True)
    centre = (sum(xs) / len(ring), sum(ys) / len(ring))
    radii = [dist(centre, point) for point in ring]
    sides = [dist(a, b) for a, b in pairwise((*ring, ring[0]))]
    if max(radii) - min(radii) > _SAME or max(sides) - min(sides) > _SAME:
        return None
    return centre, max(radii)
