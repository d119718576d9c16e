"""Panels of any outline: from a shape in the room to a panel, and from panels to a unit that knows its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Literal

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from layout.model.panel import Axis, Joint, Panel, Sheet, Side
from layout.model.solid import Point
from layout.model.thing import Thing

Plane = Literal["x", "y", "z"]
_AXES: dict[Plane, tuple[Axis, Axis]] = {"x": ("y", "z"), "y": ("x", "z"), "z": ("x", "y")}
_DIGITS = 6
_STRAIGHT = 1e-7
_SHARED = 1.0  # mm of edge that two panels share, or none


def shaped(
    name: str, sheet: Sheet, shape: Polygon, at: float, plane: Plane, *, along: Axis | None = None, **more: Any
) -> Panel:
    """Return the panel of a shape that lies in a plane across one axis, its low face at `at` mm on it.

    Parameters
    ----------
    name, sheet
        Of the panel.
    shape
        The outline with its holes, mm, in the axes of the plane: (y, z) across x, (x, z) across y, (x, y) across z.
    at
        Where its low face lies along the third axis, mm.
    plane
        The axis that it stands across.
    along
        The axis of its length; without it the longer side is the length.
    more
        Further fields of the panel.
    """
    first, second = _AXES[plane]
    x0, y0, x1, y1 = shape.bounds
    turned = along == second if along else y1 - y0 > x1 - x0
    rings = [_ring(ring.coords[:-1], (x0, y0), turned=turned) for ring in _rings(shape)]
    low = {first: round(x0, _DIGITS), second: round(y0, _DIGITS), plane: at}
    return Panel(
        name=name, sheet=sheet, at=(low["x"], low["y"], low["z"]), along=second if turned else first,
        across=first if turned else second, outline=rings[0], holes=tuple(rings[1:]), **more,
    )  # fmt: skip


def _rings(shape: Polygon) -> Iterator[Any]:
    turned = orient(shape)
    yield turned.exterior
    yield from sorted(turned.interiors, key=lambda ring: ring.bounds)


def _ring(ring: Sequence[Any], low: Point, *, turned: bool) -> tuple[Point, ...]:
    """Return the ring from the panel's corner, without corners that it passes straight through; its lowest first."""
    points = [(round(float(p[0]) - low[0], _DIGITS), round(float(p[1]) - low[1], _DIGITS)) for p in ring]
    points = [(p[1] + 0.0, p[0] + 0.0) if turned else (p[0] + 0.0, p[1] + 0.0) for p in points]
    corners = _corners(points)
    if turned:
        corners.reverse()
    start = corners.index(min(corners, key=lambda p: (p[1], p[0])))
    return tuple(corners[start:] + corners[:start])


def _corners(points: Sequence[Point]) -> list[Point]:
    """Return the corners of a ring at which it turns."""
    apart = [p for p, after in zip(points, [*points[1:], points[0]], strict=True) if _distance(p, after) > _STRAIGHT]
    count = len(apart)
    return [apart[i] for i in range(count) if _turns(apart[i - 1], apart[i], apart[(i + 1) % count])]


def _turns(a: Point, b: Point, c: Point) -> bool:
    """Return whether b lies off the straight line from a to c by more than rounding does."""
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return bool(abs(cross) > max(_distance(a, c), 1.0) * 2e-6)


def _distance(a: Point, b: Point) -> float:
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)


def beside(panel: Panel, shape: Polygon, others: Sequence[Polygon], to: str) -> Panel:
    """Return a level panel of that shape with loose joints to panels called `to` along the edges that they share."""
    sides: dict[Side, None] = {}
    for other in others:
        for edge in shapely.get_parts(shape.boundary.intersection(other.boundary)):
            if edge.length > _SHARED:
                sides[_side(panel, edge, other)] = None
    return replace(panel, joints=(*panel.joints, *(Joint(kind="loose", to=to, side=side) for side in sorted(sides))))


def _side(panel: Panel, edge: BaseGeometry, other: Polygon) -> Side:
    """Return which side of the panel an edge shared with another is."""
    x0, y0, x1, y1 = edge.bounds
    over_x = x1 - x0 < y1 - y0
    axis = 0 if over_x else 1
    middle = (x0 + x1, y0 + y1)[axis] / 2
    high = other.centroid.coords[0][axis] > middle
    first, second = _AXES["z"]
    if panel.along == (first if over_x else second):
        return "right" if high else "left"
    return "top" if high else "bottom"


def unit(thing: Thing) -> Thing:
    """Return a thing made of panels and battens in the room's axes as one in its own, that knows where it stands.

    Its origin is below the middle of its rear edge, at its foot; solids and mass are those of its pieces.
    """
    solids = (*(s for panel in thing.panels for s in panel.solids), *(batten.solid for batten in thing.battens))
    mass = sum(panel.mass_kg for panel in thing.panels) + sum(batten.mass_kg for batten in thing.battens)
    promise = thing.promise
    whole = replace(thing, solids=solids, mass_kg=mass)
    outside = promise.outside if promise else whole.box
    (x0, y0, _, y1), z0 = outside.bounds, outside.z0
    return _moved(whole, (-x0, -(y0 + y1) / 2, -z0))


def _moved(thing: Thing, by: tuple[float, float, float]) -> Thing:
    promise = thing.promise and replace(
        thing.promise, outside=thing.promise.outside.moved(*by),
        openings=tuple(opening.moved(*by) for opening in thing.promise.openings),
    )  # fmt: skip
    return replace(
        thing, solids=tuple(solid.moved(*by) for solid in thing.solids), promise=promise,
        panels=tuple(replace(p, at=(p.at[0] + by[0], p.at[1] + by[1], p.at[2] + by[2])) for p in thing.panels),
        battens=tuple(replace(b, solid=b.solid.moved(*by)) for b in thing.battens),
        home=(-by[0], -by[1], -by[2]),
    )  # fmt: skip
