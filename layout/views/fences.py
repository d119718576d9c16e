"""Fence distances: where to set the saw for every cut, as a table at the right edge of a cutting diagram."""

from __future__ import annotations

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Pen
from layout.drawing.title_block import fitted, sheet_room
from layout.model.cutting import Region
from layout.views.options import ViewOptions

TABLE_WIDTH = 74.0
_COLUMNS = (0.0, 9.0, 27.0, 41.0, TABLE_WIDTH - 2)
_PITCH = 1.7

Row = tuple[str, str, str, str]


def fence_marks(cuts: list[Region], top: float, options: ViewOptions, *, upright: bool) -> list[Mark]:
    """Return the table from `top` mm down, smaller where it must be; it says so if cuts are left out.

    `cuts` are the regions that are cut, in the order of the cuts. On an `upright` sheet the length runs
    up the paper, so that low ends are at the bottom, and low sides at the right.
    """
    room = sheet_room(options.page)
    left, high = room[2] - TABLE_WIDTH, top - room[1] - 2
    edges = ("bottom", "right") if upright else ("left", "bottom")
    rows: list[Row] = [("cut", "fence", "from", "piece to cut"), *(_row(r, options, edges) for r in cuts)]
    sizes = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
    height = next((h for h in sizes if len(rows) * h * _PITCH <= high), None)
    if height is None:
        height = SMALLEST_TEXT
        kept = max(0, int(high / (height * _PITCH)) - 2)
        rows = [*rows[: kept + 1], ("", "", "", f"{len(rows) - 1 - kept} more: see the list")]
    pitch = height * _PITCH
    return [mark for i, row in enumerate(rows) for mark in _cells(row, left, top - i * pitch, pitch, height)]


def _row(region: Region, options: ViewOptions, edges: tuple[str, str]) -> Row:
    cut, said = region.cut, options.said
    if cut is None:
        return "", "", "", ""
    edge = edges[0] if cut.across == "length" else edges[1]
    return str(cut.number), said(cut.at), edge, f"{said(region.length)} × {said(region.width)}"


def _cells(row: tuple[str, ...], left: float, top: float, pitch: float, height: float) -> list[Mark]:
    """Return one row of the table, its numbers to the right, with a thin line below."""
    marks: list[Mark] = [
        line("fences", (left, top - pitch), (left + _COLUMNS[-1], top - pitch), pen=Pen(width=NARROW, grey=0.6))
    ]
    for i, text in enumerate(row):
        cell = (left + _COLUMNS[i] + 0.5, top - pitch, left + _COLUMNS[i + 1] - 1.5, top)
        if text:
            marks.append(fitted("fences", text, cell, height, "start" if i == 2 else "end"))  # noqa: PLR2004
    return marks
