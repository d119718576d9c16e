"""What belongs to the space itself, in plan: walls, obstacles, holes, tie-down points, the way to the front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, cross, hatch, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, WIDE, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, text_box
from layout.space.parts import Obstacle
from layout.views.doors import door_marks, name_area
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
        ring = window.ring(within(space, obstacle))
        marks.append(polygon("obstacles", ring, pen=Pen(width=MEDIUM / 1.4), fill=0.9, id=obstacle.name))
        if obstacle.name.startswith("wheel well"):
            marks += hatch("obstacles", ring, _HATCH, grey=0.4)
    for hole in space.holes:
        marks.append(polygon("holes", window.ring(hole.outline), pen=_DASHED, id=hole.name))
    return tuple(marks)


def within(space: Space, obstacle: Obstacle) -> tuple[Point, ...]:
    """Return the obstacle's outline as far as it is inside the room at its own foot, mm."""
    part = Polygon(obstacle.outline).intersection(space.shell(obstacle.z0))
    if part.geom_type != "Polygon" or part.is_empty:
        return obstacle.outline
    return tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])


def hidden_obstacle_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return the obstacles' outlines again, dashed, to be drawn over what stands above them."""
    return tuple(polygon("hidden obstacles", window.ring(within(space, o)), pen=_DASHED) for o in space.obstacles)


def all_door_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return every door's gap and tracks."""
    floor = space.shell(0.0).bounds
    return tuple(mark for door in space.doors for mark in door_marks(door, floor, window))


def tie_down_marks(space: Space, window: Window) -> tuple[Mark, ...]:
    """Return a small cross for every tie-down point."""
    return tuple(m for t in space.tie_downs for m in cross("tie-down points", window.at(t.at[:2]), 2.0))


def front_arrow(extent: Box, window: Window, labels: Labels) -> tuple[Mark, ...]:
    """Return an arrow toward the front beside the figure's left edge, with the word, kept free of labels."""
    x0, _, x1, y1 = extent
    (tx, ty), (hx, hy) = window.ring(((x1 - (x1 - x0) * 0.2, y1), (x1, y1)))
    upright = abs(hy - ty) > abs(hx - tx)
    dx, dy = (-4.0, 0.0) if upright else (0.0, 4.0)
    at = (tx + dx + 1.2, ty - 4) if upright else (tx - 1, ty + dy - 1.2)
    word = Text(layer="front", at=at, text="front", height=SMALL_TEXT, anchor="middle" if upright else "end")
    labels.taken.append(text_box(word))
    return (*arrow("front", (tx + dx, ty + dy), (hx + dx, hy + dy)), word)


def name_fixed(space: Space, window: Window, labels: Labels) -> None:
    """Write the names of obstacles, holes and doors."""
    parts = [(o.name, o.outline) for o in space.obstacles] + [(h.name, h.outline) for h in space.holes]
    for name, outline in parts:
        labels.name(name, window.box(Polygon(outline).bounds), id=name)
    floor = space.shell(0.0).bounds
    for door in space.doors:
        labels.name(door.name, window.box(name_area(door, floor)), id=door.name)
