"""The axonometric sheet: the space and its things from above a rear corner, hidden lines taken away."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, line
from layout.drawing.model import NARROW, SMALL_TEXT, Drawing, Mark, Pen, Point, Text
from layout.drawing.text_width import overlap, text_box
from layout.model.layout import Layout
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.marks import area_marks, segment_marks, stroke_marks
from layout.views.axonometric.naming import name_shown
from layout.views.axonometric.picture import Picture, picture
from layout.views.axonometric.room import Point3, floor_ring
from layout.views.axonometric.scale import composed
from layout.views.figure import PLAIN, Figure, Margins, Window
from layout.views.options import ViewOptions

if TYPE_CHECKING:
    from layout.space.space import Space

_TICK = 1.2
# How far from the floor's edge names of doors and dimensions stand, mm of paper along the other edge.
_DOOR, _SIZE, _FRONT, _LIFT = 4.5, 11.0, 19.0, 0.9
# Where along a line its text is tried.
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
_TO_SCALE = "along, across and up: lengths are to scale; in no other direction"


def axonometric(
    space: Space,
    layout: Layout,
    state: str,
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
    *,
    camera: Camera = Camera(),  # noqa: B008 (frozen)
) -> Drawing:
    """Return the space and its things in `state` as seen by `camera`, near walls and roof taken away.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    view = _View(
        space=space,
        camera=camera,
        options=options,
        seen=picture(space, layout.placed.get(state, ()), camera),
    )
    return composed(view.figure(state), options)


@dataclass(frozen=True, kw_only=True, eq=False)
class _View:
    space: Space
    camera: Camera
    options: ViewOptions
    seen: Picture

    def figure(self, state: str) -> Figure:
        return Figure(
            name=f"view-{state}",
            title=f"seen from the rear {self.camera.side}, {self.options.said_state(state)}",
            extent=self.seen.extent,
            margins=Margins(left=18, bottom=6, right=18, top=4),
            axes=PLAIN,
            draw=self.draw,
            outside=4.0,
        )

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        edges = tuple(self._edges(window, labels))
        self._names(window, labels)
        doors = [s for _, each in self.seen.openings for s in each]
        return (
            *segment_marks("room", self.seen.room, window),
            *segment_marks("doors", doors, window, "chain"),
            *area_marks(self.seen.areas, self.seen.groups, window),
            *stroke_marks(self.seen.strokes, self.seen.groups, window),
            *edges,
        )

    def _names(self, window: Window, labels: Labels) -> None:
        areas = [[s for s in self.seen.areas if s.group == i] for i in range(len(self.seen.groups))]
        smallest_first = sorted(range(len(areas)), key=lambda i: (sum(s.area.area for s in areas[i]), i))
        hidden = [i for i in smallest_first if not name_shown(self.seen.groups[i].name, areas[i], window, labels)]
        names = [self.seen.groups[i].name for i in sorted(hidden) if i < self.seen.things]
        if names:
            labels.notes.append(("", f"hidden behind others: {', '.join(names)}"))
        labels.notes.append(("", _TO_SCALE))

    def _edges(self, window: Window, labels: Labels) -> Iterator[Mark]:
        """Yield the sizes of the room beside its floor and up its far corner, doors by name, the way to the front."""
        x0, y0, x1, y1, top = self._box()
        near, far = (y0, y1) if self.camera.side == "right" else (y1, y0)
        out, back = (0.0, -1.0 if near == y0 else 1.0, 0.0), (-1.0, 0.0, 0.0)
        beside = _Beside(camera=self.camera, window=window, labels=labels, said=self.options.said)
        for door in self.space.doors:
            if door.side == "rear":
                yield from beside.word(door.name, (x0, door.low, 0.0), (x0, door.high, 0.0), back)
            elif door.side == self.camera.side:
                yield from beside.word(door.name, (door.low, near, 0.0), (door.high, near, 0.0), out)
        yield from beside.front((x0 + (x1 - x0) * 0.55, near, 0.0), (x0 + (x1 - x0) * 0.8, near, 0.0), out)
        yield from beside.size((x0, near, 0.0), (x1, near, 0.0), out)
        yield from beside.size((x0, near, 0.0), (x0, far, 0.0), back)
        yield from beside.size((x0, far, 0.0), (x0, far, top), back, (x0, self._far_top(x0, far, top), top))

    def _box(self) -> tuple[float, float, float, float, float]:
        xs, ys, _ = zip(*floor_ring(self.space), strict=True)
        return min(xs), min(ys), max(xs), max(ys), self.space.roof_at(min(xs))

    def _far_top(self, x: float, far: float, top: float) -> float:
        """Return where the far wall, which may lean, has its top rear corner: its y, mm."""
        return (1.0 if far > 0 else -1.0) * self.space.half_width(x, top, left=far > 0)


@dataclass(frozen=True, kw_only=True, eq=False)
class _Beside:
    """What stands beside the floor's edges: each `out` is the way along an axis by which it stands off."""

    camera: Camera
    window: Window
    labels: Labels
    said: Callable[[float], str]

    def _at(self, point: Point3, out: Point3, by: float) -> Point:
        """Return the place on paper of a point, shifted by `by` mm of paper in the direction of `out`."""
        shifted = np.array(point) + np.array(out) * by * self.window.scale
        u, v, _ = self.camera.seen(shifted).tolist()
        return self.window.at((u, v))

    def size(self, a: Point3, b: Point3, out: Point3, reached: Point3 | None = None) -> Iterator[Mark]:
        """Yield the dimension from a to b; `reached` is the point that is measured at b, where it lies elsewhere."""
        pen = Pen(width=NARROW)
        p, q = (self._at(end, out, _SIZE) for end in (a, b))
        for end, start, at in ((a, a, p), (b, reached or b, q)):
            yield line("dimensions", self._at(start, out, 1.0), self._at(end, out, _SIZE + 1.5), pen=pen)
            yield line("dimensions", (at[0] - _TICK, at[1] - _TICK), (at[0] + _TICK, at[1] + _TICK), pen=pen)
        yield line("dimensions", p, q, pen=pen)
        yield self._text("dimensions", self.said(float(np.linalg.norm(np.array(b) - np.array(a)))), p, q)

    def word(self, text: str, a: Point3, b: Point3, out: Point3) -> Iterator[Mark]:
        """Yield a word beside the floor's edge from a to b, along it."""
        p, q = (self._at(end, out, _DOOR) for end in (a, b))
        yield self._text("doors", text, p, q)

    def front(self, a: Point3, b: Point3, out: Point3) -> Iterator[Mark]:
        """Yield an arrow toward the front, with the word."""
        tail, head = (self._at(end, out, _FRONT) for end in (a, b))
        yield from arrow("front", tail, head)
        yield self._text("front", "front", tail, head)

    def _text(self, layer: str, text: str, p: Point, q: Point) -> Text:
        """Return a text along the line from p to q, at its middle or wherever else on it is free."""
        tried = [_along(layer, text, p, q, share) for share in _SHARES]
        free = (t for t in tried if not any(overlap(text_box(t), box) for box in self.labels.taken))
        made = next(free, tried[0])
        self.labels.taken.append(text_box(made))
        return made


def _along(layer: str, text: str, p: Point, q: Point, share: float) -> Text:
    """Return a text over a place of the line from p to q, turned with it, so that it is read from below or right."""
    angle = float(np.degrees(np.arctan2(q[1] - p[1], q[0] - p[0])))
    angle = angle - 180 if angle > 90.1 else angle + 180 if angle <= -90 else angle  # noqa: PLR2004 (a right angle)
    way = np.radians(angle)
    x, y = p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share
    at = (float(x - _LIFT * np.sin(way)), float(y + _LIFT * np.cos(way)))
    return Text(layer=layer, at=at, text=text, height=SMALL_TEXT, anchor="middle", angle=angle)
