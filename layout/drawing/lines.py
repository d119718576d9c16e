"""Builders of simple marks: lines, boxes, circles, crosses, arrows, hatching; all in paper mm."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, ceil, cos, floor, radians, sin

from layout.drawing.model import NARROW, Path, Pen, Point
from layout.drawing.text_width import Box

_SQRT_HALF = 0.5**0.5


def line(layer: str, *points: Point, pen: Pen = Pen(), id: str = "") -> Path:  # noqa: A002, B008 (the mark's own word; frozen)
    """Return an open line through the points."""
    return Path(layer=layer, points=points, pen=pen, id=id)


def box_points(box: Box) -> tuple[Point, ...]:
    """Return the corners of a box, anticlockwise from the low left one."""
    x0, y0, x1, y1 = box
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def polygon(
    layer: str,
    points: tuple[Point, ...],
    *,
    pen: Pen = Pen(),  # noqa: B008 (frozen)
    fill: float | None = None,
    id: str = "",  # noqa: A002 (the mark's own word)
) -> Path:
    """Return a closed outline."""
    return Path(layer=layer, points=points, closed=True, pen=pen, fill=fill, id=id)


def mask(layer: str, box: Box) -> Path:
    """Return a white patch without outline, so that what is written on it can be read."""
    return polygon(layer, box_points(box), pen=Pen(width=0.0), fill=1.0)


def arc_points(centre: Point, radius: float, start_deg: float, end_deg: float) -> tuple[Point, ...]:
    """Return points on an arc, one for every 6 degrees at most."""
    steps = max(1, ceil(abs(end_deg - start_deg) / 6))
    angles = [radians(start_deg + (end_deg - start_deg) * i / steps) for i in range(steps + 1)]
    return tuple((centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles)


def circle(layer: str, centre: Point, radius: float, *, fill: float | None = 1.0) -> Path:
    """Return a narrow circle as a polygon, filled white if not said otherwise."""
    return polygon(layer, arc_points(centre, radius, 0, 360)[:-1], pen=Pen(width=NARROW), fill=fill)


def cross(layer: str, at: Point, size: float) -> tuple[Path, Path]:
    """Return an upright cross, `size` mm wide and high."""
    (x, y), h, pen = at, size / 2, Pen(width=NARROW)
    return line(layer, (x - h, y), (x + h, y), pen=pen), line(layer, (x, y - h), (x, y + h), pen=pen)


def arrow(layer: str, tail: Point, head: Point, *, size: float = 2.0, width: float = NARROW) -> tuple[Path, Path]:
    """Return a line, `width` mm wide, from `tail` to `head` with a filled head of `size` mm."""
    angle = atan2(head[1] - tail[1], head[0] - tail[0])
    wings = [(head[0] - size * cos(angle + turn), head[1] - size * sin(angle + turn)) for turn in (0.25, -0.25)]
    pen = Pen(width=width)
    # A wide line ends inside the head, so that the head keeps its point.
    end = (head[0] - size / 2 * cos(angle), head[1] - size / 2 * sin(angle)) if width > NARROW else head
    return line(layer, tail, end, pen=pen), polygon(layer, (head, *wings), pen=Pen(width=NARROW), fill=0.0)


def hatch(layer: str, ring: tuple[Point, ...], spacing: float, *, grey: float = 0.0) -> tuple[Path, ...]:
    """Return lines at 45 degrees, `spacing` mm apart, that fill the outline `ring`."""
    pen = Pen(width=NARROW, grey=grey)
    return tuple(line(layer, a, b, pen=pen) for a, b in _hatch_lines(ring, spacing))


def _hatch_lines(ring: tuple[Point, ...], spacing: float) -> Iterator[tuple[Point, Point]]:
    # In turned axes u along the hatching and v across it, each line is a level v.
    turned = [((x + y) * _SQRT_HALF, (y - x) * _SQRT_HALF) for x, y in ring]
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    for i in range(floor(low / spacing) + 1, ceil(high / spacing)):
        v = i * spacing
        us = sorted(_crossings(turned, v))
        for u0, u1 in zip(us[::2], us[1::2], strict=False):
            yield _back(u0, v), _back(u1, v)


def _crossings(turned: list[Point], v: float) -> Iterator[float]:
    for (ua, va), (ub, vb) in zip(turned, [*turned[1:], turned[0]], strict=True):
        if (va <= v) != (vb <= v):
            yield ua + (ub - ua) * (v - va) / (vb - va)


def _back(u: float, v: float) -> Point:
    return (u - v) * _SQRT_HALF, (u + v) * _SQRT_HALF
