"""The plan at any height: what a level plane cuts, what is below it in narrow lines, what is above it dashed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.labels import Labels
from layout.drawing.lines import line
from layout.drawing.model import NARROW, WIDE, Drawing, Mark, Pen
from layout.drawing.text_width import Box
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.space.parts import Door
from layout.views.doors import door_area, door_marks, name_area
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger, span_on
from layout.views.findings import finding_marks
from layout.views.fixed import front_arrow
from layout.views.options import ViewOptions
from layout.views.people import Figure as Body
from layout.views.people import lines_of
from layout.views.section_marks import beyond_marks, cut_marks, hatched_marks
from layout.views.section_names import name_scene
from layout.views.section_plane import Plane
from layout.views.section_room import areas, bare_space
from layout.views.section_seen import Scene, scene
from layout.views.section_zones import Zone, zone_marks, zones
from layout.views.shapes import ABOVE, shape_marks

if TYPE_CHECKING:
    from layout.space.space import Space

_ROWS = 3
_LARGE = 300.0
_MOST_LARGE = 4
_EVERYWHERE = box(-1e6, -1e6, 1e6, 1e6)
_BESIDE = 0.4  # mm of paper: a dashed line nearer than this to a drawn one is left out
_THIN = Pen(width=NARROW)
_OVERHEAD = Pen(width=NARROW, dash="dashed")


def level_plan(
    space: Space,
    layout: Layout,
    state: str,
    at_height: float,
    *,
    people: Sequence[Body] = (),
    with_zones: bool = True,
    findings: tuple[Finding, ...] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> Drawing:
    """Return the plan in `state`, cut at `at_height` mm above the finished floor.

    What the plane cuts is drawn wide and hatched by its material, what is below in narrow lines as far as nothing
    higher hides it, what is above dashed. `with_zones` shows what must stay free at that height.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    plane = Plane(axis="z", at=at_height, toward=-1)
    things = layout.placed.get(state, ())
    fixed = tuple(
        (o.name, _within(space, Polygon(s), at_height)) for o in space.obstacles if (s := o.section(plane.knife))
    )
    below = [
        (o.name, at_height - o.z1, _within(space, Polygon(o.outline), o.z0))
        for o in space.obstacles
        if o.z1 <= at_height
    ]
    view = _Level(
        space=space, things=things, state=state, plane=plane, fixed=fixed, options=options, findings=findings,
        seen=scene(
            plane, things, people, fixed=below, room=_EVERYWHERE,
            hidden_by=shapely.union_all([shape for _, shape in fixed]),
        ),
        free=zones(space, things, state, options, at_height) if with_zones else (),
    )  # fmt: skip
    return compose(larger(view.figure(PLAIN), view.figure(UPRIGHT), options), options)


def _within(space: Space, shape: BaseGeometry, z: float) -> BaseGeometry:
    inside = areas(shape.intersection(space.shell(max(z, 0.0))))
    return inside if inside.area > 0 else shape


@dataclass(frozen=True, kw_only=True, slots=True)
class _Level:
    space: Space
    things: tuple[Placed, ...]
    state: str
    plane: Plane
    fixed: tuple[tuple[str, BaseGeometry], ...]
    seen: Scene
    free: tuple[Zone, ...]
    findings: tuple[Finding, ...]
    options: ViewOptions
    axes: Axes = PLAIN

    def figure(self, axes: Axes) -> Figure:
        row = depth(_ROWS) + 1
        margins = (
            Margins(left=8, bottom=row, right=row, top=10)
            if axes == PLAIN
            else Margins(left=row, bottom=6, right=10, top=row)
        )
        said = self.options.said(self.plane.at)
        return Figure(
            name=f"plan-z{self.plane.at:.0f}-{self.state}",
            title=f"plan cut at {said} above the floor, {self.options.said_state(self.state)}",
            extent=self._extent(), margins=margins, axes=axes, draw=replace(self, axes=axes).draw,
        )  # fmt: skip

    @property
    def _has_people(self) -> bool:
        return any(one.body for one in self.seen.beyond)

    @property
    def _doors(self) -> tuple[Door, ...]:
        return tuple(door for door in self.space.doors if door.sill <= self.plane.at <= door.top)

    @property
    def _room(self) -> BaseGeometry:
        return self.space.shell(self.plane.at)

    @property
    def _lining(self) -> BaseGeometry:
        return areas(bare_space(self.space).shell(self.plane.at).difference(self._room))

    def _extent(self) -> Box:
        floor = self.space.shell(0.0).bounds
        boxes = [self.space.bounds, *(door_area(door, floor) for door in self._doors)]
        boxes += [name_area(door, floor) for door in self._doors]
        boxes += [placed.box.bounds for placed in self.things]
        boxes += [one.body[0].bounds for one in self.seen.beyond if one.body]
        boxes += [self._lining.bounds] if self._lining.area else []
        x0, y0, x1, y1 = zip(*boxes, strict=True)
        return min(x0), min(y0), max(x1), max(y1)

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        front = front_arrow(self._extent(), window, labels)
        failing = finding_marks(self.findings, self.state, ABOVE, window, labels, self.things)
        name_scene(self.seen, self.fixed, window, labels)
        floor = self.space.shell(0.0).bounds
        for door in self._doors:
            labels.name(door.name, window.box(name_area(door, floor)), id=door.name)
        over = tuple(self._over(window))
        free = zone_marks(self.free, window, labels)
        labels.notes += self._said_lines()
        labels.notes += self.options.said_people() if self._has_people else ()
        return (
            *shape_marks("floor", self.space.shell(0.0), window, pen=Pen(width=NARROW)),
            *(m for hole in self.space.holes for m in shape_marks("holes", Polygon(hole.outline), window, pen=_THIN)),
            *(mark for one in self.seen.beyond if not one.body for mark in beyond_marks(one, window)),
            *hatched_marks("linings", self._lining, "lining", window),
            *shape_marks("walls", self._room, window, pen=Pen(width=WIDE)),
            *(mark for door in self._doors for mark in door_marks(door, floor, window)),
            *(m for name, shape in self.fixed for m in hatched_marks("obstacles", shape, "fixed", window, id=name)),
            *(mark for piece in self.seen.cut for mark in cut_marks(piece, window)),
            *(mark for one in self.seen.beyond if one.body for mark in beyond_marks(one, window)),
            *over, *free, *failing, *front, *self._dimensions(window),
        )  # fmt: skip

    def _over(self, window: Window) -> Iterator[Mark]:
        """Yield what hangs above the plane, dashed, but for lines that are drawn already."""
        drawn = [piece.shape.boundary for piece in self.seen.cut] + [p for one in self.seen.beyond for p in one.lines]
        near = shapely.union_all(drawn).buffer(_BESIDE * window.scale)
        for name, shape in self._above:
            for part in lines_of(shape.boundary.difference(near)):
                yield line("above", *window.ring(part.coords), pen=_OVERHEAD, id=name)

    @property
    def _above(self) -> list[tuple[str, BaseGeometry]]:
        things = [(p.name, [s for s in p.solids if s.z0 > self.plane.knife]) for p in self.things]
        found = [(name, shapely.union_all([Polygon(s.outline) for s in solids])) for name, solids in things if solids]
        return found + [(o.name, Polygon(o.outline)) for o in self.space.obstacles if o.z0 > self.plane.knife]

    def _said_lines(self) -> list[tuple[str, str]]:
        """Return the words for the foot of the sheet: what the lines mean, and what hangs above."""
        above = ", ".join(name for name, _ in self._above)
        said = ["hatched: cut at this height", "narrow lines: below it", f"dashed, above it: {above}" if above else ""]
        return [("", words) for words in said if words]

    def _dimensions(self, window: Window) -> tuple[Mark, ...]:
        edge = window.box(self._extent())
        room = self._room.bounds if not self._room.is_empty else self.space.bounds
        cut: dict[str, list[BaseGeometry]] = {}
        for piece in self.seen.cut:
            cut.setdefault(piece.thing, []).append(piece.shape)
        boxes = [shapely.union_all(shapes).bounds for shapes in cut.values()]
        large = sorted((b for b in boxes if max(b[2] - b[0], b[3] - b[1]) >= _LARGE), key=_by_size)[:_MOST_LARGE]
        along = self._rows(window, 0, [(b[0], b[2]) for b in large], (room[0], room[2]))
        across = self._rows(window, 1, [(b[1], b[3]) for b in large], (room[1], room[3]))
        if self.axes == PLAIN:
            return (*dimension_marks(along, "bottom", edge[1]), *dimension_marks(across, "right", edge[2]))
        return (*dimension_marks(along, "left", edge[0]), *dimension_marks(across, "top", edge[3]))

    def _rows(
        self, window: Window, axis: int, spans: Sequence[tuple[float, float]], whole: tuple[float, float]
    ) -> tuple[tuple[Dimension, ...], ...]:
        on_paper = axis if self.axes == PLAIN else 1 - axis
        inner = tuple(self._span(window, axis, on_paper, span) for span in spans if span != whole)
        rows = in_rows(inner, _ROWS - 1, span_on(self.options.page, on_paper))
        return (*rows, (self._span(window, axis, on_paper, whole),))

    def _span(self, window: Window, axis: int, on_paper: int, span: tuple[float, float]) -> Dimension:
        low, high = sorted(window.at((at, 0.0) if axis == 0 else (0.0, at))[on_paper] for at in span)
        return Dimension(low=low, high=high, text=self.options.said(span[1] - span[0]))


def _by_size(bounds: Box) -> tuple[float, Box]:
    return -(bounds[2] - bounds[0]) * (bounds[3] - bounds[1]), bounds
