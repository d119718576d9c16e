"""Dimensions beside a view, in rows: spans that do not touch share a row, the whole has the last one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from layout.drawing.text_width import Box
from layout.export.dxf_model import Measure
from layout.model.solid import Point

LAYER = "dimensions"
Span = tuple[float, float]
# Rows and the room before the first one, mm on paper.
_FIRST, _APART = 10.0, 7.0
_MOST_ROWS = 4
# A span shorter than this on paper has no room for its figure, mm.
_SHORTEST = 8.0
_SAME = 0.1


def measures_round(
    edge: Box, along: Sequence[Span], upward: Sequence[Span], whole: Box, scale: int
) -> tuple[Measure, ...]:
    """Return the dimensions of a view.

    Parameters
    ----------
    edge
        The box that all lines of the view stay in, mm: rows stand below it and right of it.
    along, upward
        Spans to be told level and upright, the most important ones first, mm.
    whole
        What is told in the outermost row both ways, mm.
    scale
        The 20 of 1:20 for which the rows are spaced.
    """
    return (
        *_side(_rows(along, (whole[0], whole[2]), scale), "below", edge, scale),
        *_side(_rows(upward, (whole[1], whole[3]), scale), "right", edge, scale),
    )


def _rows(spans: Sequence[Span], whole: Span, scale: int) -> list[list[Span]]:
    rows: list[list[Span]] = []
    told = [whole]
    for span in spans:
        if span[1] - span[0] < _SHORTEST * scale or any(_alike(span, other) for other in told):
            continue
        row = next((row for row in rows if all(_apart(span, other) for other in row)), None)
        if row is None and len(rows) < _MOST_ROWS:
            rows.append(row := [])
        if row is not None:
            row.append(span)
            told.append(span)
    return [*sorted((sorted(row) for row in rows), key=lambda row: max(b - a for a, b in row)), [whole]]


def _alike(a: Span, b: Span) -> bool:
    return abs(a[0] - b[0]) < _SAME and abs(a[1] - b[1]) < _SAME


def _apart(a: Span, b: Span) -> bool:
    return a[1] <= b[0] + _SAME or b[1] <= a[0] + _SAME


def _side(rows: Sequence[Sequence[Span]], side: Literal["below", "right"], edge: Box, scale: int) -> list[Measure]:
    made = []
    for i, row in enumerate(rows):
        out = (_FIRST + _APART * i) * scale
        for low, high in row:
            start, end, base = _points(side, (low, high), edge, out)
            made.append(Measure(layer=LAYER, start=start, end=end, base=base, upright=side == "right"))
    return made


def _points(side: str, span: Span, edge: Box, out: float) -> tuple[Point, Point, Point]:
    if side == "below":
        return (span[0], edge[1]), (span[1], edge[1]), (span[0], edge[1] - out)
    return (edge[2], span[0]), (edge[2], span[1]), (edge[2] + out, span[0])
