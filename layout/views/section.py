"""Sections: the space and its things where an upright plane cuts them, and what is seen beyond it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import shapely
from shapely.geometry.base import BaseGeometry

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.labels import Labels
from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, WIDE, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, text_box
from layout.drawing.title_block import sheet_room
from layout.model.layout import Layout, Placed
from layout.views.figure import MIRRORED, PLAIN, Axes, Figure, Margins, Window, compose, larger, span_on
from layout.views.options import ViewOptions
from layout.views.people import Figure as Body
from layout.views.people import lines_of
from layout.views.section_heights import PITCH, WIDTH, Heights, chain_marks
from layout.views.section_marks import beyond_marks, cut_marks, hatched_marks
from layout.views.section_names import name_scene
from layout.views.section_plane import Plane
from layout.views.section_room import RoomCut, areas, room_cut
from layout.views.section_seen import Scene, scene
from layout.views.shapes import shape_marks

if TYPE_CHECKING:
    from layout.space.space import Space

Toward = Literal["front", "rear", "left", "right"]

_ROWS = 3
# Things that are cut longer or higher than this (mm) get dimensions, the largest few of them.
_LARGE = 300.0
_MOST_LARGE = 4
_ABOVE = 7.5  # mm of paper over the figure, for the mark of the place whose heights are told
_DOOR = Pen(width=NARROW)
_OPENING = Pen(width=NARROW, dash="chain")


def section(
    space: Space,
    layout: Layout,
    state: str,
    *,
    x: float | None = None,
    y: float | None = None,
    toward: Toward | None = None,
    people: Sequence[Body] = (),
    heights: Heights | None = None,
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> Drawing:
    """Return the section across at `x` or along at `y` (mm, exactly one of the two) in `state`.

    Parameters
    ----------
    space, layout, state
        What is cut.
    x, y
        Where the plane lies, mm.
    toward
        Which way is looked: across toward the front (as from behind) or the rear, along toward the left or the right
        wall. Without it, toward the front, or toward the nearer wall.
    people
        Who is there; the plane draws those whom it crosses, and those beyond it as far as they are seen.
    heights
        The stack of heights to tell beside the section (None: none).
    options
        Paper, scale, units.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    plane = plane_at(x, y, toward)
    cut = room_cut(space, plane)
    things = layout.placed.get(state, ())
    fixed = shapely.union_all([shape for _, shape in cut.fixed])
    seen = scene(plane, things, people, fixed=cut.beyond, room=cut.room, hidden_by=fixed)
    view = _Section(
        space=space, things=things, plane=plane, cut=cut, seen=seen, heights=heights, options=options, state=state
    )
    # One row of dimensions less where that allows a larger scale.
    return compose(larger(view.figure(_ROWS), view.figure(_ROWS - 1), options), options)


def plane_at(x: float | None, y: float | None, toward: Toward | None = None) -> Plane:
    """Return the plane of a section; exactly one of `x` and `y` is given."""
    if x is not None:
        return Plane(axis="x", at=x, toward=-1 if toward == "rear" else 1)
    at = y or 0.0
    way = toward or ("left" if at >= 0 else "right")
    return Plane(axis="y", at=at, toward=1 if way == "left" else -1)


def title_of(plane: Plane, options: ViewOptions, state: str) -> str:
    """Return the words for the section: where it is cut, in which states, which way is looked."""
    said = options.said(plane.at)
    where = f"section across at x = {said}" if plane.axis == "x" else f"section along at y = {said}"
    looks = {
        ("x", 1): "seen from behind", ("x", -1): "seen from the front",
        ("y", 1): "toward the left, front to the right", ("y", -1): "toward the right, front to the left",
    }[plane.axis, plane.toward]  # fmt: skip
    return f"{where}, {options.said_state(state)}, {looks}"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Section:
    space: Space
    things: tuple[Placed, ...]
    plane: Plane
    cut: RoomCut
    seen: Scene
    heights: Heights | None
    options: ViewOptions
    state: str
    rows: int = _ROWS

    def figure(self, rows: int) -> Figure:
        plane = self.plane
        name = f"section-{plane.axis}{plane.at:.0f}-{self.state}"
        way = {("x", -1): "-rearward", ("y", 1 if plane.at < 0 else -1): "-other-way"}.get(
            (plane.axis, plane.toward), ""
        )
        return Figure(
            name=name + way, title=title_of(plane, self.options, self.state), extent=self._extent(),
            margins=Margins(
                left=depth(_ROWS) + 1, bottom=max(depth(rows) + 1, 2.5 * PITCH), right=WIDTH if self.heights else 6.0,
                top=_ABOVE,
            ),
            axes=self._axes(), draw=replace(self, rows=rows).draw, beside=WIDTH if self.heights else 0.0,
        )  # fmt: skip

    def _axes(self) -> Axes:
        return PLAIN if (self.plane.axis == "y") == (self.plane.toward == 1) else MIRRORED

    def _extent(self) -> Box:
        shapes = [self.cut.outer, *(piece.shape for piece in self.seen.cut)]
        shapes += [one.body[0] for one in self.seen.beyond if one.body]
        x0, y0, x1, y1 = shapely.union_all([shapely.envelope(shape) for shape in shapes if not shape.is_empty]).bounds
        return float(x0), float(y0), float(x1), float(y1)

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        heights = tuple(self._heights_marks(window, labels))
        name_scene(self.seen, self.cut.fixed, window, labels)
        labels.notes += self.options.said_people() if any(one.body for one in self.seen.beyond) else ()
        return (
            *(mark for _, shape in self.cut.openings for mark in _opening(shape, self.cut.room, window)),
            *(mark for one in self.seen.beyond if not one.body for mark in beyond_marks(one, window)),
            *self._space_marks(window),
            *(mark for piece in self.seen.cut for mark in cut_marks(piece, window)),
            *(mark for one in self.seen.beyond if one.body for mark in beyond_marks(one, window)),
            *heights,
            *self._dimensions(window),
        )

    def _space_marks(self, window: Window) -> Iterator[Mark]:
        doors = shapely.union_all([shape for _, shape in self.cut.doors])
        yield from hatched_marks("linings", areas(self.cut.lining.difference(doors)), "lining", window)
        for part in lines_of(areas(self.cut.room).boundary.difference(doors)):
            yield line("walls", *window.ring(part.coords), pen=Pen(width=WIDE))
        for name, shape in self.cut.fixed:
            yield from hatched_marks("obstacles", shape, "fixed", window, id=name)
        for name, shape in self.cut.doors:
            walls = areas(self.cut.outer).boundary.union(areas(self.cut.room).boundary)
            for part in lines_of(walls.intersection(shape)):
                yield line("doors", *window.ring(part.coords), pen=_DOOR, id=name)

    def _heights_marks(self, window: Window, labels: Labels) -> Iterator[Mark]:
        if self.heights is None:
            return
        terms = self.heights.terms
        at = self.heights.at[1 if self.plane.axis == "x" else 0]
        ends = [window.at((at, z))[1] for z in (terms[0].z0, *(term.z1 for term in terms))]
        u = window.at((at, 0.0))[0]
        edge = window.box(self._extent())
        yield line("heights", (u, ends[0] - 3), (u, edge[3] + 2.0), pen=Pen(width=NARROW, dash="chain"))
        word = Text(layer="heights", at=(u, edge[3] + 3), text="heights", height=SMALL_TEXT, anchor="middle")
        labels.taken.append(text_box(word))
        yield word
        room = sheet_room(self.options.page)
        limits = (max(room[1], edge[1] - depth(_ROWS)), edge[3] + _ABOVE)
        yield from chain_marks(self.heights, ends, edge[2], limits, self.options)

    def _dimensions(self, window: Window) -> tuple[Mark, ...]:
        # Where the plane is outside the room, what stands there is all that can be told a size of.
        edge, room = window.box(self._extent()), self._extent() if self.cut.room.is_empty else self.cut.room.bounds
        boxes: dict[str, list[BaseGeometry]] = {}
        for piece in self.seen.cut:
            boxes.setdefault(piece.thing, []).append(piece.shape)
        bounds = [shapely.union_all(shapes).bounds for shapes in boxes.values()]
        large = [b for b in bounds if max(b[2] - b[0], b[3] - b[1]) >= _LARGE]
        long = sorted(large, key=lambda b: (-(b[2] - b[0]), b))[:_MOST_LARGE]
        tops = sorted({b[3] for b in large}, reverse=True)[: _ROWS - 1]
        flat = self._rows(
            [(b[0], b[2]) for b in long if b[2] - b[0] >= _LARGE], (room[0], room[2]), window, 0, self.rows
        )
        high = self._rows([(0.0, top) for top in tops], (max(room[1], 0.0), room[3]), window, 1, _ROWS)
        return (*dimension_marks(flat, "bottom", edge[1]), *dimension_marks(high, "left", edge[0]))

    def _rows(
        self, spans: list[tuple[float, float]], whole: tuple[float, float], window: Window, axis: int, rows: int
    ) -> tuple[tuple[Dimension, ...], ...]:
        inner = tuple(self._span(span, window, axis) for span in spans if span != whole)
        return (*in_rows(inner, rows - 1, span_on(self.options.page, axis)), (self._span(whole, window, axis),))

    def _span(self, span: tuple[float, float], window: Window, axis: int) -> Dimension:
        low, high = sorted(window.at((at, at))[axis] for at in span)
        return Dimension(low=low, high=high, text=self.options.said(span[1] - span[0]))


def _opening(shape: BaseGeometry, room: BaseGeometry, window: Window) -> Iterator[Mark]:
    yield from shape_marks("doors", shape.intersection(room), window, pen=_OPENING)
