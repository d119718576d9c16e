"""Sheets with two or three arrangements each, large: from above a corner, and from above, with names and people."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, TEXT, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, shorten, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.views.comparison.heading import heading_height, heading_marks
from layout.views.comparison.look import LOOKS, legend
from layout.views.comparison.pictures import Sight, name_picture, picture_marks, picture_window
from layout.views.comparison.plans import plan_margins, plan_marks, plan_names
from layout.views.comparison.scales import largest
from layout.views.comparison.standing import standing_marks, standing_room
from layout.views.comparison.values import Column, Comparison, Scene
from layout.views.options import ViewOptions

_MOST = 3  # in a row
_WIDEST = 180.0  # of one arrangement, mm
_GAP = 6.0
_CAPTION = TEXT * 1.35 + 2.0
_NOTE = SMALL_TEXT * 1.6
_LEGEND = 8.0
_LABELS = 9.0  # mm over and under a picture for names beside it
_SMALL = 50  # pictures at less than 1:50 go two to a sheet
TITLE = "arrangements side by side"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Rows:
    """The heights of what stands below each other in every column, mm, and the scale."""

    scale: int
    head: float
    picture: float
    plan: float
    plans: int
    notes: int

    @property
    def high(self) -> float:
        """Return the whole height."""
        plans = self.plans * (_CAPTION + self.plan)
        return self.head + _CAPTION + self.picture + plans + self.notes * _NOTE + 2


def large_sheets(comparison: Comparison, sights: Mapping[int, Sight], options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the sheets; all at one scale; `sights` are the pictures by number.

    Raises
    ------
    ScaleError
        When the paper is too small.
    """
    extent = union([sight.extent for sight in sights.values()])
    comparison = replace(comparison, columns=tuple(_with_hidden(c, sights[c.number]) for c in comparison.columns))
    count, rows = _best(comparison, extent, options)
    columns = comparison.columns
    parts = [columns[i : i + count] for i in range(0, len(columns), count)]
    view = _View(comparison=comparison, sights=sights, extent=extent, rows=rows, count=count, options=options)
    return tuple(view.sheet(part, i, len(parts)) for i, part in enumerate(parts))


def _with_hidden(column: Column, sight: Sight) -> Column:
    """Return the arrangement with a remark on what does not show in its picture."""
    said = f"Hidden in the picture above: {', '.join(sight.hidden)}."
    return replace(column, remarks=(said, *column.remarks)) if sight.hidden else column


def _best(comparison: Comparison, extent: Box, options: ViewOptions) -> tuple[int, _Rows]:
    """Return how many go on a sheet, and the rows: three to a sheet, unless they are much larger by twos."""
    total = len(comparison.columns)
    even = total % _MOST == 0 or total % 2
    wished = min(total, _MOST if even else 2)
    rows = _rows(comparison, extent, wished, options)
    fewer = _rows(comparison, extent, 2, options) if wished > 2 and rows.scale > _SMALL else rows  # noqa: PLR2004 (by twos)
    return (2, fewer) if fewer.scale < rows.scale else (wished, rows)


def _rows(comparison: Comparison, extent: Box, count: int, options: ViewOptions) -> _Rows:
    x0, y0, x1, y1 = sheet_room(options.page)
    wide = _width(x1 - x0, count)
    columns, floor = comparison.columns, comparison.space.bounds
    head = max(heading_height(c.name, wide) for c in columns)
    # One more for the names that find no room, which is known only when all is drawn.
    notes = 1 + max(sum(len(wrap(said, wide, SMALL_TEXT)) for said in c.remarks) for c in columns)

    def rows(scale: int) -> _Rows:
        return _Rows(
            scale=scale, head=head, notes=notes, picture=(extent[3] - extent[1]) / scale + _LABELS,
            plan=(floor[3] - floor[1]) / scale + 2 * plan_margins() + 2, plans=max(len(plans_of(c)) for c in columns),
        )  # fmt: skip

    def fits(scale: int) -> bool:
        across = max(
            (extent[2] - extent[0] + standing_room(comparison.stands)) / scale,
            (floor[2] - floor[0]) / scale + 2 * plan_margins(),
        )
        return across <= wide and rows(scale).high <= y1 - y0 - _LEGEND

    return rows(largest(fits))


def plans_of(column: Column) -> tuple[Scene, ...]:
    """Return the scenes that are drawn from above: those that are not seen from the corner, or the only one."""
    return column.scenes[1:] or column.scenes


def union(boxes: Sequence[Box]) -> Box:
    """Return the box round boxes."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def _width(room: float, count: int) -> float:
    return min((room - (count - 1) * _GAP) / count, _WIDEST)


@dataclass(frozen=True, kw_only=True, slots=True)
class _View:
    comparison: Comparison
    sights: Mapping[int, Sight]
    extent: Box
    rows: _Rows
    count: int
    options: ViewOptions

    def sheet(self, columns: Sequence[Column], number: int, sheets: int) -> Drawing:
        page = self.options.page
        x0, y0, x1, y1 = sheet_room(page)
        wide = _width(x1 - x0, self.count)
        marks: list[Mark] = []
        for i, column in enumerate(columns):
            left = x0 + i * (wide + _GAP)
            marks += self._column(column, (left, y0 + _LEGEND, left + wide, y1))
            if i:
                at = left - _GAP / 2
                marks.append(line("table", (at, y0 + _LEGEND), (at, y1), pen=Pen(width=NARROW, grey=0.5)))
        marks += legend(LOOKS, x0 + 2, y0 + _LEGEND - 2.5, upright=False)
        options = replace(self.options, sheet=number + 1, sheets=sheets)
        return Drawing(
            name=f"arrangements-{number + 1}", title=TITLE, width=page.width, height=page.height,
            scale=self.rows.scale, marks=(*sheet_marks(page, options.block(TITLE, self.rows.scale)), *marks),
        )  # fmt: skip

    def _column(self, column: Column, box: Box) -> Iterator[Mark]:
        x0, _, x1, y = box
        yield from heading_marks(column.number, column.name, box)
        y -= self.rows.head
        yield caption(column.scenes[0].said, x0, y)
        y -= _CAPTION
        left_out: list[str] = []
        yield from self._picture(column, (x0, y - self.rows.picture, x1, y), left_out)
        y -= self.rows.picture
        for scene in plans_of(column):
            yield caption(f"{scene.said}, from straight above", x0, y)
            y -= _CAPTION
            yield from self._plan(scene, (x0, y - self.rows.plan, x1, y), left_out)
            y -= self.rows.plan
        lines = [piece for said in column.remarks for piece in wrap(said, x1 - x0, SMALL_TEXT)]
        if left_out:
            said = f"No room for the names: {', '.join(dict.fromkeys(left_out))}"
            lines.append(shorten(said, x1 - x0, SMALL_TEXT))
        for i, said in enumerate(lines):
            yield Text(layer="notes", at=(x0, y - (i + 1) * _NOTE + 0.3 * SMALL_TEXT), text=said, height=SMALL_TEXT)

    def _picture(self, column: Column, box: Box, left_out: list[str]) -> Iterator[Mark]:
        sight = self.sights[column.number]
        stands = standing_room(self.comparison.stands) / self.rows.scale
        held = (box[0], box[1] + _LABELS / 2, box[2] - stands, box[3] - _LABELS / 2)
        window = picture_window(self.extent, self.rows.scale, held)
        yield from picture_marks(sight, window)
        tags = name_picture(sight, window, (box[0], box[1], box[2] - stands, box[3]))
        left_out += tags.left_out
        yield from tags.marks
        if self.comparison.stands is not None:
            feet = (box[2] - stands / 2, window.box(self.extent)[1])
            yield from standing_marks(self.comparison.stands, self.rows.scale, feet)

    def _plan(self, scene: Scene, box: Box, left_out: list[str]) -> Iterator[Mark]:
        floor = self.comparison.space.bounds
        held = (box[0], box[1], box[2], box[3] - plan_margins() - 1)
        window = picture_window(floor, self.rows.scale, held)
        yield from plan_marks(self.comparison.space, scene, window)
        tags = plan_names(self.comparison.space, scene, window, box)
        left_out += tags.left_out
        yield from tags.marks


def caption(said: str, x: float, y: float) -> Mark:
    """Return words over a picture, at the left end below y."""
    return Text(layer="captions", at=(x, y - TEXT * 1.2), text=said, height=TEXT)
