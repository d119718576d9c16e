"""The roof plan: ribs, panels, fans, feet and glands from above on one sheet, and what is under each hole inside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon, box

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.labels import Labels
from layout.drawing.lines import line
from layout.drawing.model import MEDIUM, NARROW, WIDE, Drawing, Mark, Pen
from layout.drawing.text_width import Box
from layout.model.layout import Layout
from layout.model.roof_top import RoofThing, RoofTop
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger, span_on
from layout.views.fixed import front_arrow
from layout.views.options import ViewOptions
from layout.views.section_marks import hatching
from layout.views.shapes import shape_marks

if TYPE_CHECKING:
    from layout.space.space import Space

_ROWS = 3
_INSIDE = Pen(width=NARROW, dash="dashed", grey=0.45)
_CLEAR = Pen(width=NARROW, dash="dotted")
_CENTRE = Pen(width=NARROW, dash="chain")
_PAST = 60.0  # mm that the centre line runs beyond the roof
_LINES_SAID = (
    "a cross: the roof is cut through here",
    "dotted: room to leave round it",
    "dashed: what stands inside under the roof",
)


def roof_plan(
    space: Space,
    layout: Layout,
    state: str,
    *,
    roof: RoofTop,
    clear: Mapping[str, float],
    notes: Sequence[str] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> Drawing:
    """Return the roof from above, with what stands inside under it in `state` dashed.

    Parameters
    ----------
    space, layout, state
        What is under the roof.
    roof
        What is on it.
    clear
        How much to leave round a thing of the roof, by its name, mm.
    notes
        Lines for the foot of the sheet, such as what was found.
    options
        Paper, scale, units.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    view = _Roof(space=space, layout=layout, state=state, roof=roof, clear=clear, notes=tuple(notes), options=options)
    return compose(larger(view.figure(PLAIN), view.figure(UPRIGHT), options), options)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Roof:
    space: Space
    layout: Layout
    state: str
    roof: RoofTop
    clear: Mapping[str, float]
    notes: tuple[str, ...]
    options: ViewOptions
    axes: Axes = PLAIN

    def figure(self, axes: Axes) -> Figure:
        row = depth(_ROWS) + 1
        margins = (
            Margins(left=8, bottom=row, right=row, top=10)
            if axes == PLAIN
            else Margins(left=row, bottom=6, right=10, top=row)
        )
        return Figure(
            name="roof-plan", title=f"roof plan, seen from above, {self.options.said_state(self.state)} under it",
            extent=self._extent(), margins=margins, axes=axes, draw=replace(self, axes=axes).draw,
        )  # fmt: skip

    def _extent(self) -> Box:
        boxes = [Polygon(self.roof.outline).bounds, *(thing.bounds for thing in self.roof.things)]
        x0, y0, x1, y1 = zip(*boxes, strict=True)
        return min(x0) - _PAST, min(y0), max(x1) + _PAST, max(y1)

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        front = front_arrow(self._extent(), window, labels)
        for thing in sorted(self.roof.things, key=lambda t: (t.length * t.width, t.name)):
            smaller = tuple(
                window.box(o.bounds) for o in self.roof.things if o.length * o.width < thing.length * thing.width
            )
            labels.name(thing.name, window.box(thing.bounds), smaller, id=thing.name)
        labels.notes += [("", said) for said in (*self._places(), *self.notes, *_LINES_SAID)]
        return (
            *self._ribs(window),
            *self._inside(window),
            *shape_marks("roof", Polygon(self.roof.outline), window, pen=Pen(width=WIDE)),
            *self._centre(window),
            *(mark for thing in self.roof.things for mark in self._thing(thing, window)),
            *front,
            *self._dimensions(window),
        )

    def _ribs(self, window: Window) -> Iterator[Mark]:
        x0, y0, x1, y1 = Polygon(self.roof.outline).bounds
        for low, high in self.roof.ribs:
            if x0 < high and low < x1:
                rib = box(low, y0, high, y1).intersection(Polygon(self.roof.outline))
                yield from hatching("ribs", rib, window, 2.0, grey=0.45)
                yield from shape_marks("ribs", rib, window, pen=Pen(width=NARROW))

    def _inside(self, window: Window) -> Iterator[Mark]:
        for placed in self.layout.placed.get(self.state, ()):
            plan = shapely.union_all([Polygon(solid.outline) for solid in placed.solids])
            yield from shape_marks("inside", plan, window, pen=_INSIDE, id=placed.name)

    def _centre(self, window: Window) -> Iterator[Mark]:
        x0, _, x1, _ = self._extent()
        yield line("centre line", *window.ring(((x0, 0.0), (x1, 0.0))), pen=_CENTRE)

    def _thing(self, thing: RoofThing, window: Window) -> Iterator[Mark]:
        away = self.clear.get(thing.name, 0.0)
        x0, y0, x1, y1 = thing.bounds
        if away:
            round_it = box(x0 - away, y0 - away, x1 + away, y1 + away)
            yield from shape_marks("clearances", round_it, window, pen=_CLEAR, id=thing.name)
        pen = Pen(width=WIDE if thing.hole else MEDIUM)
        yield from shape_marks("on the roof", box(*thing.bounds), window, pen=pen, id=thing.name)
        if thing.hole:
            for ends in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0))):
                yield line("holes", *window.ring(ends), pen=Pen(width=NARROW), id=thing.name)

    def _places(self) -> Iterator[str]:
        """Yield how large each hole is, and where its middle is from the rear edge and from the centre line."""
        said, rear = self.options.said, min(x for x, _ in self.roof.outline)
        for thing in self.roof.things:
            if thing.hole:
                (x, y), size = thing.at, f"{said(thing.length)} × {said(thing.width)}"
                aside = (
                    f"{said(abs(y))} {'left' if y > 0 else 'right'} of the centre line" if y else "on the centre line"
                )
                yield f"{thing.name}: hole {size}, its middle {said(x - rear)} from the rear edge, {aside}"

    def _dimensions(self, window: Window) -> tuple[Mark, ...]:
        edge = window.box(self._extent())
        x0, y0, x1, y1 = Polygon(self.roof.outline).bounds
        holes = [thing for thing in self.roof.things if thing.hole]
        along = self._rows(window, 0, [(x0, thing.at[0]) for thing in holes], (x0, x1))
        across = self._rows(
            window, 1, sorted({(min(0.0, t.at[1]), max(0.0, t.at[1])) for t in holes if t.at[1]}), (y0, y1)
        )
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
