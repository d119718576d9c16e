"""Tables as printable pages: a header on each, columns as wide as their texts, numbers to the right."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from layout.drawing.lines import line
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, SMALLEST_TEXT, TEXT, Anchor, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, text_width, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.views.options import ViewOptions

LAYER = "table"
_GAP = 4.0
_NARROWEST = 14.0
_PITCH = 1.6
_HEADING = 7.0
_SHORT = 0.4  # of a page
_SHIFTS = (24.0, 12.0, 6.0, 3.0)  # mm that one column gives to another at a time
_HAIR = 1e-6
_NUMBER = re.compile(r"""-?\d[\d.,/ ]*\s*("|'|%|mm|m|kg|N|in|€|\$)?""")

Cells = tuple[tuple[str, ...], ...]


def table_pages(
    title: str,
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    options: ViewOptions = ViewOptions(orientation="portrait"),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return the table on as many pages as it needs, at least one; long texts are broken into lines."""
    x0, y0, x1, y1 = sheet_room(options.page)
    room = (x0 + 3, y0 + 3, x1 - 3, y1 - 4)
    table = _fitted(header, rows, room[2] - room[0])
    pages = _split(table, room[3] - room[1])
    return tuple(_page(table, page, title, room, _of(options, i, len(pages))) for i, page in enumerate(pages))


def stacked_pages(
    title: str,
    tables: Sequence[tuple[str, Sequence[str], Sequence[Sequence[str]]]],
    options: ViewOptions = ViewOptions(orientation="portrait"),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return tables below each other, each under its heading, on as many pages as they need; none for no tables.

    A table that goes on to the next page has its heading and its header there again.
    """
    x0, y0, x1, y1 = sheet_room(options.page)
    room = (x0 + 3, y0 + 3, x1 - 3, y1 - 4)
    pages: list[list[Mark]] = []
    y = 0.0
    for heading, header, rows in tables:
        table = _fitted(header, rows, room[2] - room[0])
        said = wrap(heading, room[2] - room[0] - _GAP, TEXT)
        above = _HEADING + (len(said) - 1) * TEXT * _PITCH + table.high(table.header)
        if _wants_a_page(table, above, y - room[1], room[3] - room[1]):
            y = room[1]
        fresh = True
        for row in table.rows:
            head = above if fresh else 0.0
            if not pages or y - head - table.high(row) < room[1]:
                pages.append([])
                y, fresh = room[3], True
            if fresh:
                pages[-1] += _head(table, said, room[0], y)
                y -= above
            pages[-1] += _ruled(table, row, room[0], y)
            y, fresh = y - table.high(row), False
        y -= _HEADING
    return tuple(_sheet(title, marks, _of(options, i, len(pages))) for i, marks in enumerate(pages))


def _wants_a_page(table: _Table, above: float, left: float, whole: float) -> bool:
    """Return whether a short table goes to the next page, since it would be broken on this one."""
    height = above + sum(table.high(row) for row in table.rows)
    return left < height <= whole * _SHORT


def _head(table: _Table, heading: Sequence[str], x: float, y: float) -> list[Mark]:
    """Return the lines of a table's heading and its header, from `y` down."""
    marks: list[Mark] = []
    for said in heading:
        marks.append(Text(layer=LAYER, at=(x + _GAP / 2, y - TEXT), text=said, height=TEXT))
        y -= TEXT * _PITCH
    return [*marks, *_ruled(table, table.header, x, y + TEXT * _PITCH - _HEADING)]


def _ruled(table: _Table, row: Cells, x: float, y: float) -> list[Mark]:
    """Return a row from `y` down, with the line below it."""
    pen = Pen(width=MEDIUM) if row is table.header else Pen(width=NARROW, grey=0.6)
    foot = y - table.high(row)
    return [*_row(table, row, x, y), line(LAYER, (x, foot), (x + sum(table.widths), foot), pen=pen)]


def _of(options: ViewOptions, i: int, pages: int) -> ViewOptions:
    return replace(options, sheet=i + 1, sheets=pages)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Table:
    """The table with its letters' height, column widths (mm), and every cell as lines."""

    height: float
    widths: tuple[float, ...]
    right: tuple[bool, ...]
    header: Cells
    rows: tuple[Cells, ...]

    def high(self, row: Cells) -> float:
        """Return the height of a row, mm."""
        return (max((len(cell) for cell in row), default=1) or 1) * self.height * _PITCH + 1.2


def _fitted(header: Sequence[str], rows: Sequence[Sequence[str]], room: float) -> _Table:
    every = [tuple(header), *(tuple(row) for row in rows)]
    # Letters get smaller so that no text is broken; where that does not help they stay large.
    heights = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
    height = next((height for height in heights if sum(_widths(every, height)) <= room), SMALL_TEXT)
    wished = _widths(every, height)
    widths = _balanced(every, _narrowed(wished, room), wished, height)
    made = [_cells(row, widths, height) for row in every]
    right = tuple(_is_number([row[i] for row in every[1:]]) for i in range(len(header)))
    return _Table(height=height, widths=tuple(widths), right=right, header=made[0], rows=tuple(made[1:]))


def _widths(every: Sequence[Sequence[str]], height: float) -> list[float]:
    return [max(text_width(row[i], height) for row in every) + _GAP for i in range(len(every[0]))]


def _narrowed(widths: list[float], room: float) -> list[float]:
    """Return the widths with the widest cut down until all have room together."""
    widths = list(widths)
    floor = min(_NARROWEST, room / len(widths)) if widths else 0.0
    while sum(widths) > room + 1e-6:
        widest = max(range(len(widths)), key=lambda i: (widths[i], -i))
        others = max((w for i, w in enumerate(widths) if i != widest), default=0.0)
        needed = widths[widest] - (sum(widths) - room)
        widths[widest] = max(needed, min(others, widths[widest] - 0.5), floor)
    return widths


def _balanced(every: Sequence[Sequence[str]], widths: list[float], wished: list[float], height: float) -> list[float]:
    """Return the widths of a table too wide for the page, shifted between its broken columns to take fewer lines."""
    broken = [i for i, (has, wants) in enumerate(zip(widths, wished, strict=True)) if has < wants - _HAIR]
    best = _lines(every, widths, height)
    shifts = [(give, take, mm) for give in broken for take in broken if give != take for mm in _SHIFTS]
    better = True
    while better:
        better = False
        for give, take, mm in shifts:
            tried = list(widths)
            tried[give], tried[take] = tried[give] - mm, tried[take] + mm
            if tried[give] >= 2 * _NARROWEST and (count := _lines(every, tried, height)) < best:
                widths, best, better = tried, count, True
    return widths


def _lines(every: Sequence[Sequence[str]], widths: list[float], height: float) -> int:
    """Return how many lines the rows take together."""
    return sum(max(len(cell) for cell in _cells(row, widths, height)) for row in every)


def _cells(row: Sequence[str], widths: list[float], height: float) -> Cells:
    return tuple(wrap(text, width - _GAP + 1e-6, height) for text, width in zip(row, widths, strict=True))


def _is_number(texts: list[str]) -> bool:
    return any(texts) and all(_NUMBER.fullmatch(text) for text in texts if text)


def _split(table: _Table, room: float) -> list[list[Cells]]:
    pages: list[list[Cells]] = [[]]
    left = room - table.high(table.header)
    for row in table.rows:
        if pages[-1] and table.high(row) > left:
            pages.append([])
            left = room - table.high(table.header)
        pages[-1].append(row)
        left -= table.high(row)
    return pages


def _page(table: _Table, rows: list[Cells], title: str, room: Box, options: ViewOptions) -> Drawing:
    y = room[3]
    marks: list[Mark] = []
    for row in (table.header, *rows):
        marks += _ruled(table, row, room[0], y)
        y -= table.high(row)
    return _sheet(title, marks, options)


def _sheet(title: str, marks: Sequence[Mark], options: ViewOptions) -> Drawing:
    page = options.page
    return Drawing(
        name=f"{title.replace(' ', '-')}-{options.sheet}",
        title=title if options.sheets == 1 else f"{title}, page {options.sheet}",
        width=page.width,
        height=page.height,
        scale=None,
        marks=(*sheet_marks(page, options.block(title, None)), *marks),
    )


def _row(table: _Table, row: Cells, x: float, top: float) -> list[Mark]:
    marks: list[Mark] = []
    for cell, width, right in zip(row, table.widths, table.right, strict=True):
        at = x + width - _GAP / 2 if right else x + _GAP / 2
        for i, said in enumerate(cell):
            y = top - 0.9 - table.height * 1.1 - i * table.height * _PITCH
            anchor: Anchor = "end" if right else "start"
            marks.append(Text(layer=LAYER, at=(at, y), text=said, height=table.height, anchor=anchor))
        x += width
    return marks
