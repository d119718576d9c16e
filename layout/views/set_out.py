"""The set-out sheet: every outline on the floor in plan with its letter, and where its edges are, to be taped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shapely.geometry import Polygon

from layout.drawing.labels import Labels
from layout.drawing.lines import line, mask, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, TEXT, WIDE, Drawing, Mark, Pen, Point, Text
from layout.drawing.scales import SCALES, fits
from layout.drawing.text_width import Box, shorten, text_box, text_width, wrap
from layout.drawing.title_block import sheet_room
from layout.model.layout import Layout
from layout.views.doors import door_marks
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger
from layout.views.fixed import front_arrow, obstacle_marks
from layout.views.options import ViewOptions
from layout.views.set_out_marks import FloorMark, floor_marks
from layout.views.shapes import shape_marks
from layout.views.tables import table_pages

if TYPE_CHECKING:
    from layout.space.space import Space

HEADER = ("mark", "what", "rear edge", "front edge", "right edge", "left edge", "corner to corner")
_TAPE = 25.0  # mm wide, as drawn
_CHAIN = Pen(width=NARROW, dash="chain")
_GREY = 0.72
_PITCH = 1.75  # of the letters' height, between two rows
_GAP = 4.0
_NAME = 42.0
_OUT = 7.0  # mm of paper that the cross line and the centreline reach beyond the floor
HOW = (
    "Snap the centreline on the floor, and the cross line square to it where x is 0. Lay the tape on the grey side of "
    "each line: its edge toward the thing is the line. x is forward of the cross line, y is left or right of the "
    "centreline. Then measure each outline from corner to corner: it is square only if that agrees. The same at 1:1 is "
    "in set-out-full-size.pdf."
)
_READABLE = 20  # the 20 of 1:20, at which a plan is still read at arm's length
_SAME_LINE = 0.05
_GAP_MARKS = 2  # of a door: the gap in the wall and its sill


def set_out(
    space: Space,
    layout: Layout,
    state: str,
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return the sheet of one state: plan and table, and pages for what the table has no room for.

    None when nothing stands on the floor in it.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    marks = floor_marks(layout.placed.get(state, ()))
    if not marks:
        return ()
    beside = _larger_way(space, marks, state, options, _table(marks, options))
    alone = _larger_way(space, marks, state, options, None)
    table, figure = beside if _has_room(beside[1], alone[1], options) else alone
    first = compose(figure, options)
    left_over = table.left_over if table else mark_rows(marks, options)
    if not left_over:
        return (first,)
    more = table_pages(f"set-out marks, {options.said_state(state)}", HEADER, left_over, options)
    return (first, *more)


def _larger_way(
    space: Space, marks: tuple[FloorMark, ...], state: str, options: ViewOptions, table: _Table | None
) -> tuple[_Table | None, Figure]:
    """Return the plan lying or upright, whichever is larger, with the table beside it if there is one."""
    lying, upright = (_Plan(space, marks, state, options, table, axes).figure() for axes in (PLAIN, UPRIGHT))
    return table, larger(lying, upright, options)


def _has_room(beside: Figure, alone: Figure, options: ViewOptions) -> bool:
    """Return whether the plan is large enough with the table beside it; else the table has pages of its own."""

    def scale(figure: Figure) -> int:
        return next((s for s in SCALES if fits(figure.size, figure.room(options.page), s)), SCALES[-1])

    if options.scale is not None:
        return fits(beside.size, beside.room(options.page), options.scale)
    return scale(beside) <= max(_READABLE, scale(alone))


def mark_rows(marks: Sequence[FloorMark], options: ViewOptions) -> tuple[tuple[str, ...], ...]:
    """Return the rows of the table: where the edges of each outline are; the corners of one that is no rectangle."""
    return tuple(row for mark in marks for row in _rows(mark, options))


def _rows(mark: FloorMark, options: ViewOptions) -> list[tuple[str, ...]]:
    x0, y0, x1, y1 = mark.box
    said = options.said
    what = mark.name if not mark.above else f"{mark.name}, {said(mark.above)} up"
    rows: list[tuple[str, ...]] = [
        (mark.letter, what, said(x0), said(x1), _side(y0, options), _side(y1, options), said(mark.across))
    ]
    if not mark.is_box:
        corners = [(f"{mark.letter}{i}", x, y) for i, (x, y) in enumerate(mark.corners, 1)]
        rows += [(name, "corner", said(x), "", _side(y, options), "", "") for name, x, y in corners]
    return rows


def _side(y: float, options: ViewOptions) -> str:
    """Return how far from the centreline, and to which side of it."""
    said = options.said(abs(y))
    if abs(y) < _SAME_LINE or not any(sign in "123456789" for sign in said):
        return options.said(0.0)
    return f"{said} {'left' if y > 0 else 'right'}"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Table:
    """The table beside the plan: rows that have room, column widths and letters in mm; the other rows."""

    rows: tuple[tuple[str, ...], ...]
    left_over: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    height: float

    @property
    def width(self) -> float:
        return sum(self.widths)


def _table(marks: Sequence[FloorMark], options: ViewOptions) -> _Table:
    rows = mark_rows(marks, options)
    room = sheet_room(options.page)
    wide = room[2] - room[0] > 300  # noqa: PLR2004 (mm: A3 and larger leave room for large letters)
    height = TEXT if wide else SMALL_TEXT
    said = [[*(row[i] for row in rows)] for i in range(len(HEADER))]
    widths = [max(text_width(text, height) for text in column) for column in said]
    heads = [max(text_width(word, height) for word in head.split()) for head in HEADER]
    widths = [max(pair) + _GAP for pair in zip(widths, heads, strict=True)]
    widths[1] = min(widths[1], _NAME * height / SMALL_TEXT)
    above = height * _PITCH * (3.2 + len(_how(sum(widths), height)))
    fits = max(1, int((room[3] - room[1] - above) / (height * _PITCH)))
    return _Table(rows=rows[:fits], left_over=rows[fits:], widths=tuple(widths), height=height)


def _how(width: float, height: float) -> tuple[str, ...]:
    return wrap(HOW, width - 2, min(height, 3.0))


@dataclass(frozen=True)
class _Plan:
    space: Space
    marks: tuple[FloorMark, ...]
    state: str
    options: ViewOptions
    table: _Table | None
    axes: Axes

    def figure(self) -> Figure:
        return Figure(
            name=f"set-out-{self.state}",
            title=f"set-out, {self.options.said_state(self.state)}",
            extent=self._extent(),
            margins=Margins(left=12, bottom=10, right=(self.table.width if self.table else 0) + 16, top=12),
            axes=self.axes,
            draw=self.draw,
            outside=9.0,
        )

    def _extent(self) -> Box:
        boxes = [self.space.shell(0.0).bounds, *(mark.box for mark in self.marks), (0.0, 0.0, 0.0, 0.0)]
        x0, y0, x1, y1 = zip(*boxes, strict=True)
        return min(x0), min(y0), max(x1), max(y1)

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        front = front_arrow(self._extent(), window, labels)
        datum = self._datum(window, labels)
        if self.table is None:
            labels.notes.append(("", HOW))
        return (
            *obstacle_marks(self.space, window),
            *shape_marks("walls", self.space.shell(0.0), window, pen=Pen(width=WIDE)),
            *self._doors(window),
            *self._outlines(window),
            *datum,
            *self._letters(window, labels),
            *front,
            *(_table_marks(self.table, self.options) if self.table else ()),
        )

    def _doors(self, window: Window) -> list[Mark]:
        """Return the gap of each door in the wall; how its leaves move matters elsewhere."""
        floor = self.space.shell(0.0).bounds
        return [mark for door in self.space.doors for mark in door_marks(door, floor, window)[:_GAP_MARKS]]

    def _outlines(self, window: Window) -> list[Mark]:
        """Return the tape, grey, on the outer side of each line; hanging outlines dashed."""
        tapes: list[Mark] = []
        lines: list[Mark] = []
        for mark in self.marks:
            shape, none = Polygon(mark.corners), Pen(width=0.0)
            if mark.above:
                dashed = Pen(width=MEDIUM, dash="dashed")
                lines.append(polygon("hanging", window.ring(mark.corners), pen=dashed, id=mark.name))
                continue
            tape = shape.buffer(_TAPE, join_style="mitre")
            tapes += shape_marks("tape", tape, window, pen=none, fill=_GREY)
            lines.append(polygon("outlines", window.ring(mark.corners), pen=Pen(width=MEDIUM), fill=1.0, id=mark.name))
        return [*tapes, *lines]

    def _datum(self, window: Window, labels: Labels) -> list[Mark]:
        """Return the cross line and the centreline with their names, beyond the floor so that they are seen."""
        x0, y0, x1, y1 = self._extent()
        ends = [_stretched(window.at(a), window.at(b)) for a, b in (((0.0, y0), (0.0, y1)), ((x0, 0.0), (x1, 0.0)))]
        marks: list[Mark] = [line("datum", *pair, pen=_CHAIN) for pair in ends]
        for (start, end), said in zip(ends, ("cross line, x 0", "centreline, y 0"), strict=True):
            marks += _named(start, end, said, labels)
        return marks

    def _letters(self, window: Window, labels: Labels) -> list[Mark]:
        marks: list[Mark] = []
        for mark in sorted(self.marks, key=lambda m: abs(Polygon(m.corners).area)):
            x0, y0, x1, y1 = window.box(mark.box)
            spot = Polygon(mark.corners).representative_point() if not mark.is_box else Polygon(mark.corners).centroid
            middle = window.at((spot.x, spot.y))
            marks += _letter(mark.letter, middle, (x1 - x0, y1 - y0), labels)
        for mark in self.marks:
            if not mark.is_box:
                for i, corner in enumerate(mark.corners, 1):
                    marks += _letter(f"{mark.letter}{i}", window.at(corner), (0.0, 0.0), labels, SMALL_TEXT)
        return marks


def _stretched(a: Point, b: Point) -> tuple[Point, Point]:
    run = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 or 1.0
    ux, uy = (b[0] - a[0]) / run * _OUT, (b[1] - a[1]) / run * _OUT
    return (a[0] - ux, a[1] - uy), (b[0] + ux, b[1] + uy)


def _named(start: Point, end: Point, said: str, labels: Labels) -> list[Mark]:
    """Return the name of a line, beside its far end, or where along it there is room."""
    upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
    half = text_width(said, SMALL_TEXT) / 2
    run = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 or 1.0
    for share in (0.5, 0.35, 0.65, 0.2, 0.8, half / run, 1 - half / run):
        x, y = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
        for off in (1.0, -SMALL_TEXT - 1.0):
            at = (x - off, y) if upright else (x, y + off)
            text = Text(layer="datum", at=at, text=said, anchor="middle", angle=90.0 if upright else 0.0)
            if labels.free(text_box(text)):
                labels.taken.append(text_box(text))
                return [mask("datum", text_box(text)), text]
    return []


def _letter(said: str, middle: Point, room: tuple[float, float], labels: Labels, height: float = TEXT) -> list[Mark]:
    """Return the letter in the outline if it has room there, else as near to it as it can stand, with a line to it."""
    size = min(height, max(SMALL_TEXT, min(room) * 0.7)) if min(room) > 0 else height
    inner = [(0.0, 0.0)] if not room[0] or min(room) >= size + 1.5 else []
    steps = [*inner, *((dx * r, dy * r) for r in (3.5, 5.0, 7.0, 9.0, 12.0, 16.0, 22.0) for dx, dy in _AROUND)]
    for dx, dy in steps:
        text = Text(layer="letters", at=(middle[0] + dx, middle[1] + dy - size / 2), text=said, height=size,
                    anchor="middle")  # fmt: skip
        box = text_box(text)
        if labels.free(box):
            labels.taken.append(box)
            away = abs(dx) * 2 > room[0] or abs(dy) * 2 > room[1]
            leader = [line("letters", middle, (middle[0] + dx, middle[1] + dy), pen=Pen(width=NARROW))] if away else []
            return [*leader, mask("letters", box), text]
    return []


_AROUND = ((1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))


def _table_marks(table: _Table, options: ViewOptions) -> list[Mark]:
    """Return how to tape and the table, at the right edge of the sheet."""
    room = sheet_room(options.page)
    x, y, pitch = room[2] - table.width - 2, room[3] - 2, table.height * _PITCH
    marks: list[Mark] = []
    small = min(table.height, 3.0)
    for said in _how(table.width, table.height):
        y -= pitch
        marks.append(Text(layer="table", at=(x + 1, y), text=said, height=small))
    y -= pitch * 0.6
    high = _heading(table, (x, y), marks)
    y -= high
    marks.append(line("table", (x, y), (x + table.width, y), pen=Pen(width=MEDIUM)))
    for row in table.rows:
        marks += _cells(table, row, (x, y - pitch * 0.75))
        y -= pitch
        marks.append(line("table", (x, y), (x + table.width, y), pen=Pen(width=NARROW, grey=0.5)))
    return marks


def _heading(table: _Table, at: Point, marks: list[Mark]) -> float:
    """Add the headings, each in as many lines as it has words to its width; return their height, mm."""
    pitch = table.height * 1.4
    broken = [wrap(head, wide - 2, table.height) for head, wide in zip(HEADER, table.widths, strict=True)]
    most = max(len(lines) for lines in broken)
    x = at[0]
    for i, (lines, wide) in enumerate(zip(broken, table.widths, strict=True)):
        for j, said in enumerate(lines):
            marks.append(_cell(said, x, wide, at[1] - (j + 1) * pitch, table.height, right=i > 1))
        x += wide
    return most * pitch + table.height * 0.6


def _cells(table: _Table, row: Sequence[str], at: Point) -> list[Mark]:
    marks: list[Mark] = []
    x = at[0]
    for i, (said, wide) in enumerate(zip(row, table.widths, strict=True)):
        if said:
            marks.append(_cell(shorten(said, wide - 2, table.height), x, wide, at[1], table.height, right=i > 1))
        x += wide
    return marks


def _cell(said: str, x: float, wide: float, y: float, height: float, *, right: bool) -> Text:
    at = (x + wide - 1, y) if right else (x + 1, y)
    return Text(layer="table", at=at, text=said, height=height, anchor="end" if right else "start")


def distinct(layout: Layout, states: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Return the states in groups in which the floor is marked alike; without those with nothing on it."""
    groups: dict[tuple[FloorMark, ...], list[str]] = {}
    for state in states:
        groups.setdefault(floor_marks(layout.placed.get(state, ())), []).append(state)
    return tuple(tuple(group) for marks, group in groups.items() if marks)
