"""Doors in plan: the opening in the wall, and how the leaves move outside it."""

from __future__ import annotations

from collections.abc import Callable

from layout.drawing.lines import arc_points, line
from layout.drawing.model import MEDIUM, NARROW, Dash, Mark, Pen, Point
from layout.drawing.text_width import Box
from layout.space.parts import Door
from layout.views.figure import Window

LAYER = "doors"
Track = tuple[tuple[Point, ...], Dash]

# A sliding leaf runs this far outside the wall and is drawn this thick, mm.
_SLIDE_GAP, _SLIDE_LEAF = 40.0, 40.0
_LOWEST_NAME = 150.0


def door_tracks(door: Door, bounds: Box) -> tuple[Track, ...]:
    """Return what the door's leaves draw on the ground, as lines (x, y in mm) with their dash.

    `bounds` is the floor's x0, y0, x1, y1 in mm; the door lies in its edge on the door's side.
    """
    place = _placer(door, bounds)
    local = _TRACKS[door.kind](door)
    return tuple((tuple(place(along, out) for along, out in points), dash) for points, dash in local)


def door_marks(door: Door, bounds: Box, window: Window) -> tuple[Mark, ...]:
    """Return the gap in the wall and the leaves' tracks."""
    place = _placer(door, bounds)
    ends = window.ring((place(door.low, 0.0), place(door.high, 0.0)))
    gap = line(LAYER, *ends, pen=Pen(width=0.8, grey=1.0))
    sill = line(LAYER, *ends, pen=Pen(width=NARROW), id=door.name)
    tracks = [
        line(LAYER, *window.ring(points), pen=Pen(width=NARROW if dash != "solid" else MEDIUM / 1.4, dash=dash))
        for points, dash in door_tracks(door, bounds)
    ]
    return (gap, sill, *tracks)


def door_area(door: Door, bounds: Box) -> Box:
    """Return the box (mm) around everything that the door's leaves draw."""
    points = [point for track, _ in door_tracks(door, bounds) for point in track]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def name_area(door: Door, bounds: Box) -> Box:
    """Return the box (mm) outside the opening where the door's name belongs, clear of the leaf's tip."""
    deep = _LOWEST_NAME if door.kind == "sliding" else door.width / 2
    tip = 3 * _SLIDE_LEAF if door.kind == "sliding" else 0.0
    near = _SLIDE_GAP + _SLIDE_LEAF if door.kind == "sliding" else 0.0
    place = _placer(door, bounds)
    (ax, ay), (bx, by) = place(door.low + tip, near), place(door.high, near + deep)
    return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def _placer(door: Door, bounds: Box) -> Callable[[float, float], Point]:
    """Return the way from (along the opening, outward) to (x, y), mm."""
    x0, y0, _, y1 = bounds
    if door.side == "rear":
        return lambda along, out: (x0 - out, along)
    if door.side == "left":
        return lambda along, out: (along, y1 + out)
    return lambda along, out: (along, y0 - out)


def _two_leaves(door: Door) -> tuple[Track, ...]:
    leaf = door.width / 2
    low, high = (door.low, 0.0), (door.high, 0.0)
    return (
        ((low, (door.low, leaf)), "solid"),
        (arc_points(low, leaf, 90, 0), "dashed"),
        ((high, (door.high, leaf)), "solid"),
        (arc_points(high, leaf, 90, 180), "dashed"),
    )


def _one_leaf(door: Door) -> tuple[Track, ...]:
    low = (door.low, 0.0)
    return ((low, (door.low, door.width)), "solid"), (arc_points(low, door.width, 90, 0), "dashed")


def _lift_up(door: Door) -> tuple[Track, ...]:
    return ((_rectangle(door.low, door.high, 0.0, door.top - door.sill), "dashed"),)


def _sliding(door: Door) -> tuple[Track, ...]:
    near, far = _SLIDE_GAP, _SLIDE_GAP + _SLIDE_LEAF
    middle, head = (near + far) / 2, door.low
    closed = ((door.high, middle), (head, middle))
    tip = ((head + far, middle + far / 2), (head, middle), (head + far, middle - far / 2))
    return (_rectangle(door.low - door.width, door.low, near, far), "solid"), (closed, "dashed"), (tip, "solid")


def _ramp(door: Door) -> tuple[Track, ...]:
    out = door.top - door.sill
    wedge = ((door.low, 0.0), ((door.low + door.high) / 2, out), (door.high, 0.0))
    return (_rectangle(door.low, door.high, 0.0, out), "solid"), (wedge, "dashed")


def _rectangle(low: float, high: float, near: float, far: float) -> tuple[Point, ...]:
    return (low, near), (low, far), (high, far), (high, near), (low, near)


_TRACKS: dict[str, Callable[[Door], tuple[Track, ...]]] = {
    "two leaves": _two_leaves,
    "one leaf": _one_leaf,
    "lift up": _lift_up,
    "sliding": _sliding,
    "ramp": _ramp,
}
