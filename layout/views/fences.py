"""Fence distances: where to set the saw for every cut, as a table at the right edge of a cutting diagram."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Pen
from layout.drawing.title_block import fitted, sheet_room
from layout.model.sawing import Edge, Setting, Step, said_fence
from layout.views.options import ViewOptions

TABLE_WIDTH = 74.0
_COLUMNS = (0.0, 9.0, 17.0, 33.0, 46.0, TABLE_WIDTH - 2)
_PITCH = 1.7

_FROM = 3

Row = tuple[str, str, str, str, str]


def fence_marks(
    cuts: Sequence[Step], letters: Mapping[Setting, str], top: float, options: ViewOptions, *, upright: bool
) -> list[Mark]:
    """Return the table from `top` mm down, smaller where it must be; it says so if cuts are left out.

    `cuts` in their order, `letters` for the settings of the fence: cuts of one letter share it. On an
    `upright` sheet the length runs up the paper, so that low ends are at the bottom, and low sides at the right.
    """
    room = sheet_room(options.page)
    left, high = room[2] - TABLE_WIDTH, top - room[1] - 2
    header: Row = ("cut", "set", "fence", "from", "piece to cut")
    rows: list[Row] = [header, *(_row(step, letters, options, upright=upright) for step in cuts)]
    sizes = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
    height = next((h for h in sizes if len(rows) * h * _PITCH <= high), None)
    if height is None:
        height = SMALLEST_TEXT
        kept = max(0, int(high / (height * _PITCH)) - 2)
        rows = [*rows[: kept + 1], ("", "", "", "", f"{len(rows) - 1 - kept} more: see the list")]
    pitch = height * _PITCH
    return [mark for i, row in enumerate(rows) for mark in _cells(row, left, top - i * pitch, pitch, height)]


# Where the edges of a piece lie on the paper when the sheet is turned a quarter to the left.
TURNED: Mapping[Edge, Edge] = {"left": "bottom", "right": "top", "bottom": "right", "top": "left"}


def _row(step: Step, letters: Mapping[Setting, str], options: ViewOptions, *, upright: bool) -> Row:
    said = options.said
    letter = letters.get((step.cut.by, said_fence(step, options.units)), "")
    size = f"{said(step.region.length)} × {said(step.region.width)}"
    edge = TURNED[step.edge] if upright else step.edge
    return step.number, letter, said(step.fence), edge, size


def _cells(row: tuple[str, ...], left: float, top: float, pitch: float, height: float) -> list[Mark]:
    """Return one row of the table, its numbers to the right, with a thin line below."""
    marks: list[Mark] = [
        line("fences", (left, top - pitch), (left + _COLUMNS[-1], top - pitch), pen=Pen(width=NARROW, grey=0.6))
    ]
    for i, text in enumerate(row):
        cell = (left + _COLUMNS[i] + 0.5, top - pitch, left + _COLUMNS[i + 1] - 1.5, top)
        if text:
            marks.append(fitted("fences", text, cell, height, "start" if i == _FROM else "end"))
    return marks
