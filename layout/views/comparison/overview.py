"""The sheet that shows all at once: small pictures in a row, and the table of differences in the same columns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, TEXT, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.errors import ScaleError
from layout.views.comparison.heading import heading_height, heading_marks
from layout.views.comparison.large import union
from layout.views.comparison.look import LOOKS, legend
from layout.views.comparison.pictures import Sight, picture_marks, picture_window
from layout.views.comparison.plans import plan_marks
from layout.views.comparison.scales import largest
from layout.views.comparison.standing import standing_height, standing_marks, standing_room, standing_words
from layout.views.comparison.table import Table, first_width, table, table_marks
from layout.views.comparison.values import Column, Comparison
from layout.views.options import ViewOptions

_MOST = 5  # in a row
_WIDEST = 110.0
_FIRST = 48.0
_GAP = 3.0  # between pictures, mm
_NOTES = 20.0  # less room than this is not worth writing in, mm
_LINE = SMALL_TEXT * 1.6
_CAPTION = SMALL_TEXT * 1.6 + 1.5
_LEAST_FIRST = 46.0
TITLE = "which arrangement?"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Plan:
    """How a sheet is parted: the table, the heights of heading, picture and plan, mm, the scale."""

    table: Table
    head: float
    picture: float
    plan: float
    scale: int

    @property
    def high(self) -> float:
        """Return the whole height."""
        return self.head + self.picture + self.plan + 2 * _CAPTION + self.table.high + _GAP


def overview_sheets(comparison: Comparison, sights: Mapping[int, Sight], options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the sheets: one for up to five arrangements; `sights` are their pictures by number.

    Raises
    ------
    ScaleError
        When the paper is too small.
    """
    extent = union([sight.extent for sight in sights.values()])
    parts = _shared(len(comparison.columns))
    view = _View(comparison=comparison, sights=sights, extent=extent, options=options, count=max(map(len, parts)))
    return tuple(view.sheet(part, i, len(parts)) for i, part in enumerate(parts))


def _shared(count: int) -> list[range]:
    """Return which go on which sheet, as evenly as can be."""
    sheets = -(-count // _MOST)
    ends = [round(count * i / sheets) for i in range(sheets + 1)]
    return [range(a, b) for a, b in pairwise(ends)]


@dataclass(frozen=True, kw_only=True, slots=True)
class _View:
    comparison: Comparison
    sights: Mapping[int, Sight]
    extent: Box
    options: ViewOptions
    count: int

    def sheet(self, part: Sequence[int], number: int, sheets: int) -> Drawing:
        page = self.options.page
        room = sheet_room(page)
        plan = self._plan(part, room)
        columns = [self.comparison.columns[i] for i in part]
        marks: list[Mark] = [*self._left(plan, room)]
        for i, column in enumerate(columns):
            x = room[0] + plan.table.first + i * plan.table.other
            marks += self._column(column, plan, (x, room[1], x + plan.table.other - _GAP, room[3]))
            at = x - _GAP / 2
            marks.append(line("table", (at, room[3] - plan.high + plan.table.high), (at, room[3]), pen=_RULE))
        marks += table_marks(plan.table, room[0], room[3] - plan.high + plan.table.high)
        marks += self._notes(plan, len(columns), (room[0], room[1], room[2], room[3] - plan.high))
        options = replace(self.options, sheet=number + 1, sheets=sheets)
        return Drawing(
            name=f"comparison-{number + 1}", title=TITLE, width=page.width, height=page.height, scale=plan.scale,
            marks=(*sheet_marks(page, options.block(TITLE, plan.scale)), *marks),
        )  # fmt: skip

    def _plan(self, part: Sequence[int], room: Box) -> _Plan:
        """Return the largest letters, and then the largest pictures, that go on the sheet with all of the table."""
        for height in (TEXT, 3.0, SMALL_TEXT):
            try:
                return self._at(part, room, height)
            except ScaleError:
                if height == SMALL_TEXT:
                    raise
        raise AssertionError("the loop returns or raises")

    def _at(self, part: Sequence[int], room: Box, height: float) -> _Plan:
        lines, columns = self.comparison.lines, [self.comparison.columns[i] for i in part]
        first = max(first_width(lines, height, _FIRST), _LEAST_FIRST)
        other = min((room[2] - room[0] - first) / self.count, _WIDEST)
        made = table(lines, first, other, height, part)
        head = max(heading_height(c.name, other - _GAP) for c in columns)
        across, up = self.extent[2] - self.extent[0], self.extent[3] - self.extent[1]
        floor = self.comparison.space.bounds

        def plan(scale: int) -> _Plan:
            return _Plan(
                table=made, head=head, picture=up / scale + 2, plan=(floor[3] - floor[1]) / scale + 2, scale=scale
            )

        by_width = largest(lambda s: max(across, floor[2] - floor[0]) / s <= other - _GAP - 2)
        tall = room[3] - room[1]
        scale = largest(lambda s: s >= by_width and plan(s).high <= tall)
        # Letters get smaller before pictures do.
        if scale > by_width and height > SMALL_TEXT:
            raise ScaleError("the pictures would be smaller than the paper is wide")
        return plan(scale)

    def _column(self, column: Column, plan: _Plan, box: Box) -> Iterator[Mark]:
        x0, _, x1, y = box
        yield from heading_marks(column.number, column.name, box)
        y -= plan.head
        yield _words(column.scenes[0].said, x0, y)
        y -= _CAPTION
        window = picture_window(self.extent, plan.scale, (x0, y - plan.picture, x1, y))
        yield from picture_marks(self.sights[column.number], window)
        y -= plan.picture
        scene = column.scenes[-1]
        yield _words(f"{scene.said}, from straight above", x0, y)
        y -= _CAPTION
        window = picture_window(self.comparison.space.bounds, plan.scale, (x0, y - plan.plan, x1, y))
        yield from plan_marks(self.comparison.space, scene, window)

    def _notes(self, plan: _Plan, count: int, box: Box) -> Iterator[Mark]:
        """Yield room for what people write, where there is some left below the table."""
        x, low, _, top = box
        if top - low < _NOTES:
            return
        ends = x, x + plan.table.first + plan.table.other * count
        yield line("notes", (ends[0], top), (ends[1], top), pen=_RULE)
        yield Text(layer="notes", at=(x + 1.2, top - 2 * TEXT), text="your notes", height=TEXT)
        for i in range(count + 1):
            at = x + plan.table.first + plan.table.other * i - (_GAP / 2 if i < count else 0.0)
            yield line("notes", (at, low), (at, top), pen=_RULE)
        yield line("notes", (ends[0], low), (ends[1], low), pen=_RULE)

    def _left(self, plan: _Plan, room: Box) -> Iterator[Mark]:
        """Yield what stands left of the pictures: what the shades mean, from where one looks, somebody to scale."""
        x, y = room[0] + 1.2, room[3] - 2
        yield from legend(LOOKS, x, y, upright=True)
        y -= len(LOOKS) * 8.0 + 2
        side = next(iter(self.sights.values())).camera.side
        said = f"All pictures are 1:{plan.scale}, seen from above the rear {side} corner, or straight from above "
        said += "with the front at the right."
        pieces, low = wrap(said, plan.table.first - 4, SMALL_TEXT), room[3] - plan.high + plan.table.high
        # On small paper there may be no room for all of it.
        for piece in pieces if y - len(pieces) * _LINE > low + 2 else ():
            y -= _LINE
            yield Text(layer="legend", at=(x, y), text=piece, height=SMALL_TEXT)
        stands, free = self.comparison.stands, y - low
        if stands is not None and standing_height(stands, plan.scale) + 4 < free:
            feet = (x + standing_room(stands) / plan.scale / 2, y - 4 - stands[0].body.stature / plan.scale)
            yield from standing_marks(stands, plan.scale, feet)
            yield from standing_words(stands, (x, feet[1]))


_RULE = Pen(width=NARROW, grey=0.5)


def _words(said: str, x: float, y: float) -> Mark:
    return Text(layer="captions", at=(x, y - SMALL_TEXT * 1.3), text=said, height=SMALL_TEXT)
