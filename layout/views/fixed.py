"""What belongs to the space itself, in plan: walls, obstacles, holes, tie-down points, the way to the front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, cross, hatch, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, WIDE, Mark, Pen, Text
from layout.views.doors import door_area, door_marks
from layout.views.figure import Window
from layout.views.shapes import shape_marks

if TYPE_CHECKING:
    from layout.space.space import Space

_DASHED = Pen(width=NARROW, dash="dashed")
_HATCH = 2.5


def wall_marks(space: Space, window: Window, shoulder: float) -> tuple[Mark, ...]:
    """Return the walls at the floor, thick, and at the shoulder's height (mm), thin and dashed."""
    return (
        *shape_marks("walls at shoulder height", space.shell(shoulder), window, pen=_DASHED),
        *shape_marks("walls", space.shell(0.0), window, pen=Pen(width=WIDE)),
    )


def obstacle_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return obstacles on grey, wheel wells hatched, and holes in the floor dashed."""
    marks: list[Mark] = []
    for obstacle in space.obstacles:
        ring = window.ring(obstacle.outline)
        marks.append(
            polygon("obstacles", ring, pen=Pen(width=MEDIUM / 1.4), fill=0.9, id=obstacle.name)
        )
        if obstacle.name.startswith("wheel well"):
            marks += hatch("obstacles", ring, _HATCH, grey=0.4)
    for hole in space.holes:
        marks.append(polygon("holes", window.ring(hole.outline), pen=_DASHED, id=hole.name))
    return tuple(marks)


def all_door_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return every door's gap and tracks."""
    floor = space.shell(0.0).bounds
    return tuple(mark for door in space.doors for mark in door_marks(door, floor, window))


def tie_down_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return a small cross for every tie-down point."""
    return tuple(m for t in space.tie_downs for m in cross("tie-down points", window.at(t.at[:2]), 2.0))


def front_arrow(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return an arrow toward the front, outside the left wall, with the word."""
    x0, _, x1, y1 = space.bounds
    tail, head = window.at((x1 - (x1 - x0) * 0.2, y1)), window.at((x1, y1))
    upright = abs(head[1] - tail[1]) > abs(head[0] - tail[0])
    dx, dy = (-4.0, 0.0) if upright else (0.0, 4.0)
    shifted = (tail[0] + dx, tail[1] + dy), (head[0] + dx, head[1] + dy)
    at = (shifted[0][0] - 1, shifted[0][1] - 1.2) if not upright else (shifted[0][0] + 1.2, shifted[0][1] - 4)
    word = Text(layer="front", at=at, text="front", height=SMALL_TEXT, anchor="middle" if upright else "end")
    return (*arrow("front", *shifted), word)


def name_fixed(space: Space, window: Window, labels: Labels) -> None:
    """Write the names of obstacles, holes and doors."""
    for part in (*space.obstacles, *space.holes):
        labels.name(part.name, window.box(Polygon(part.outline).bounds), id=part.name)
    floor = space.shell(0.0).bounds
    for door in space.doors:
        labels.name(door.name, window.box(door_area(door, floor)), id=door.name)
