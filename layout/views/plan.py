"""The plan: the space and its things from above, in one state."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.labels import Labels
from layout.drawing.model import Drawing, Mark
from layout.drawing.text_width import Box
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.views.doors import door_area, name_area
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger, span_on
from layout.views.findings import finding_marks
from layout.views.fixed import (
    all_door_marks,
    front_arrow,
    hidden_obstacle_marks,
    name_fixed,
    obstacle_marks,
    tie_down_marks,
    wall_marks,
)
from layout.views.options import ViewOptions
from layout.views.people import Figure as Body
from layout.views.people import people_marks
from layout.views.section_plan import level_plan
from layout.views.section_zones import Zone, zone_marks, zones
from layout.views.shapes import ABOVE, name_things, seen, thing_marks

if TYPE_CHECKING:
    from layout.space.space import Space

SHOULDER = 1100.0
_ROWS = 3
# Things whose plan is larger than this (mm²) get dimensions, the largest few of them.
_LARGE = 250_000.0
_MOST_LARGE = 5


def plan(
    space: Space,
    layout: Layout,
    state: str,
    findings: tuple[Finding, ...] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
    *,
    shoulder: float = SHOULDER,
    at_height: float | None = None,
    people: Sequence[Body] = (),
    with_zones: bool = False,
) -> Drawing:
    """Return the space and its things from above in `state`, with what fails.

    The front is to the right, or up where that allows a larger scale.

    Parameters
    ----------
    space, layout, state, findings, options
        What is drawn.
    shoulder
        The height in mm at which the walls are drawn a second time.
    at_height
        Where the plan is cut, mm above the finished floor: what is cut there is hatched, what is above it dashed.
        Without it nothing is cut, and all is seen from above.
    people
        Who is there.
    with_zones
        Whether to show what must stay free: what moving parts sweep, room to keep clear, openings of doors.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    if at_height is not None:
        return level_plan(
            space, layout, state, at_height, people=people, with_zones=with_zones, findings=findings, options=options
        )
    free = zones(space, layout.placed.get(state, ()), state, options) if with_zones else ()
    view = _Plan(
        space=space, layout=layout, state=state, findings=findings, options=options, shoulder=shoulder,
        people=tuple(people), free=free,
    )  # fmt: skip
    across, up = view.figure(PLAIN), view.figure(UPRIGHT)
    return compose(larger(across, up, options), options)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Plan:
    space: Space
    layout: Layout
    state: str
    findings: tuple[Finding, ...]
    options: ViewOptions
    shoulder: float
    people: tuple[Body, ...] = ()
    free: tuple[Zone, ...] = ()
    axes: Axes = PLAIN

    def figure(self, axes: Axes) -> Figure:
        row = depth(_ROWS) + 1
        margins = (
            Margins(left=8, bottom=row, right=row, top=10)
            if axes == PLAIN
            else Margins(left=row, bottom=6, right=10, top=row)
        )
        return Figure(
            name=f"plan-{self.state}",
            title=f"plan, {self.options.said_state(self.state)}",
            extent=self._extent(),
            margins=margins,
            axes=axes,
            draw=replace(self, axes=axes).draw,
        )

    @property
    def things(self) -> tuple[Placed, ...]:
        return self.layout.placed.get(self.state, ())

    def _extent(self) -> Box:
        floor = self.space.shell(0.0).bounds
        boxes = [self.space.bounds, *(door_area(door, floor) for door in self.space.doors)]
        boxes += [name_area(door, floor) for door in self.space.doors]
        boxes += [thing.box.bounds for thing in self.things]
        boxes += [person.seen("z")[0].bounds for person in self.people]
        x0, y0, x1, y1 = zip(*boxes, strict=True)
        return min(x0), min(y0), max(x1), max(y1)

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        things = seen(self.things, ABOVE)
        front = front_arrow(self._extent(), window, labels)
        failing = finding_marks(self.findings, self.state, ABOVE, window, labels, self.things)
        people = people_marks(self.people, "z", window, labels)
        name_things(things, window, labels)
        name_fixed(self.space, window, labels)
        free = zone_marks(self.free, window, labels)
        labels.notes += self.options.said_people() if self.people else ()
        return (
            *obstacle_marks(self.space, window),
            *wall_marks(self.space, window, self.shoulder),
            *all_door_marks(self.space, window),
            *tie_down_marks(self.space, window),
            *thing_marks(things, window),
            *hidden_obstacle_marks(self.space, window),
            *people,
            *free,
            *failing,
            *front,
            *self._dimensions(window),
        )

    def _dimensions(self, window: Window) -> tuple[Mark, ...]:
        edge = window.box(self._extent())
        along, across = self._along(window), self._across(window)
        if self.axes == PLAIN:
            return (*dimension_marks(along, "bottom", edge[1]), *dimension_marks(across, "right", edge[2]))
        return (*dimension_marks(along, "left", edge[0]), *dimension_marks(across, "top", edge[3]))

    def _along(self, window: Window) -> tuple[tuple[Dimension, ...], ...]:
        x0, _, x1, _ = self.space.shell(0.0).bounds
        things = [self._span(window, 0, (b[0], b[2])) for b in self._large()]
        whole = self._span(window, 0, (x0, x1))
        return (*in_rows(tuple(d for d in things if not _same(d, whole)), _ROWS - 1, self._reach(0)), (whole,))

    def _across(self, window: Window) -> tuple[tuple[Dimension, ...], ...]:
        _, y0, _, y1 = self.space.shell(0.0).bounds
        things = [self._span(window, 1, (b[1], b[3])) for b in self._large()]
        whole = self._span(window, 1, (y0, y1))
        wells = tuple(self._span(window, 1, gap) for gap in self._between_wells())
        others = tuple(d for d in (*wells, *things) if not _same(d, whole))
        return (*in_rows(others, _ROWS - 1, self._reach(1)), (whole,))

    def _span(self, window: Window, axis: int, span: tuple[float, float]) -> Dimension:
        ends = [window.at((at, 0.0) if axis == 0 else (0.0, at)) for at in span]
        on_paper = axis if self.axes == PLAIN else 1 - axis
        low, high = sorted(end[on_paper] for end in ends)
        return Dimension(low=low, high=high, text=self.options.said(span[1] - span[0]))

    def _reach(self, axis: int) -> tuple[float, float]:
        return span_on(self.options.page, axis if self.axes == PLAIN else 1 - axis)

    def _large(self) -> list[Box]:
        boxes = [thing.box.bounds for thing in self.things]
        sized = sorted(boxes, key=lambda b: (-(b[2] - b[0]) * (b[3] - b[1]), b))
        return [b for b in sized if (b[2] - b[0]) * (b[3] - b[1]) >= _LARGE][:_MOST_LARGE]

    def _between_wells(self) -> list[tuple[float, float]]:
        wells = [o for o in self.space.obstacles if o.name.startswith("wheel well")]
        ys = [[y for _, y in well.outline] for well in wells]
        left = [min(y) for y in ys if min(y) > 0]
        right = [max(y) for y in ys if max(y) < 0]
        return [(max(right), min(left))] if left and right else []


def _same(a: Dimension, b: Dimension) -> bool:
    return abs(a.low - b.low) < 0.1 and abs(a.high - b.high) < 0.1  # noqa: PLR2004 (mm of paper, not seen)
