"""Pieces of a human outline: tapered limbs and ellipses, joined into one closed line."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cos, pi, sin

import shapely
from shapely.geometry import MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point as Place

_QUARTER = 6  # chords to a quarter of a circle
_ROUND = 24


def limb(a: Place, b: Place, thick_a: float, thick_b: float) -> BaseGeometry:
    """Return a limb from `a` to `b`, rounded at both ends and `thick_a`, `thick_b` mm thick there."""
    ends = [Point(p).buffer(thick / 2, quad_segs=_QUARTER) for p, thick in ((a, thick_a), (b, thick_b))]
    return shapely.union_all(ends).convex_hull


def chain(*joints: tuple[Place, float]) -> BaseGeometry:
    """Return limbs from joint to joint, each joint with its thickness in mm."""
    return shapely.union_all([limb(a, b, thick_a, thick_b) for (a, thick_a), (b, thick_b) in pairwise(joints)])


def ellipse(centre: Place, width: float, height: float) -> Polygon:
    """Return an ellipse of that width and height, mm."""
    turns = [2 * pi * i / _ROUND for i in range(_ROUND)]
    return Polygon([(centre[0] + width / 2 * cos(t), centre[1] + height / 2 * sin(t)) for t in turns])


def hull(*points: Place) -> BaseGeometry:
    """Return the convex outline round the points."""
    return MultiPoint(points).convex_hull


def box_between(a: Place, b: Place) -> Polygon:
    """Return the upright box with two opposite corners at `a` and `b`."""
    return box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def joined(parts: Sequence[BaseGeometry], rounding: float) -> BaseGeometry:
    """Return parts that touch as one outline without holes, its inner corners rounded over `rounding` mm."""
    body = shapely.union_all(list(parts))
    smooth = body.buffer(rounding, quad_segs=_QUARTER).buffer(-rounding, quad_segs=_QUARTER)
    return Polygon(shapely.union_all([smooth, body]).exterior).simplify(1.0)
