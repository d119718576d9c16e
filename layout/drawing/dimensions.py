"""Dimensions in rows beside a figure: extension lines, oblique ticks, text above the line (ISO 129 habit)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.drawing.lines import line, mask
from layout.drawing.model import NARROW, SMALL_TEXT, Mark, Pen, Point, Text
from layout.drawing.text_width import text_box, text_width

Side = Literal["bottom", "top", "left", "right"]
Span = tuple[float, float]

LAYER = "dimensions"
ROW = 6.5
FIRST_ROW = 7.0
_PEN = Pen(width=NARROW)
_TICK = 1.0
_PAST = 1.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Dimension:
    """A length to be told: from `low` to `high` on the paper (mm, along the figure's side), and its text."""

    low: float
    high: float
    text: str
    id: str = ""

    @property
    def fits_within(self) -> bool:
        """Return whether the text has room between the extension lines."""
        return text_width(self.text, SMALL_TEXT) + 2 <= self.high - self.low

    @property
    def taken(self) -> Span:
        """Return the stretch that line and text take, mm."""
        past = 0.0 if self.fits_within else text_width(self.text, SMALL_TEXT) + 3
        return self.low - 1.5, self.high + past + 1.5


def in_rows(dimensions: tuple[Dimension, ...], most: int, within: Span) -> tuple[tuple[Dimension, ...], ...]:
    """Return the dimensions in at most `most` rows without overlap, the first row nearest to the figure.

    Shorter ones come nearer; one that tells the same stretch again, finds no row, or does not
    stay `within` the paper (from, to; mm) with its text is left out.
    """
    rows: list[list[Dimension]] = [[] for _ in range(most)]
    seen: set[tuple[float, float]] = set()
    for wanted in sorted(dimensions, key=lambda d: (d.high - d.low, d.low, d.text)):
        key = (round(wanted.low, 1), round(wanted.high, 1))
        stays = within[0] <= wanted.taken[0] and wanted.taken[1] <= within[1]
        row = next((r for r in rows if stays and all(_apart(wanted, other) for other in r)), None)
        if key not in seen and row is not None:
            row.append(wanted)
            seen.add(key)
    return tuple(tuple(row) for row in rows if row)


def _apart(a: Dimension, b: Dimension) -> bool:
    return a.taken[1] <= b.taken[0] or b.taken[1] <= a.taken[0]


def depth(rows: int) -> float:
    """Return how far `rows` rows of dimensions reach from the figure, mm."""
    return FIRST_ROW + (rows - 1) * ROW + 3 if rows else 0.0


def dimension_marks(rows: tuple[tuple[Dimension, ...], ...], side: Side, edge: float) -> tuple[Mark, ...]:
    """Return the marks of the rows on one side of a figure whose edge lies at `edge` mm."""
    away = 1.0 if side in ("top", "right") else -1.0
    lines: list[Mark] = []
    texts: list[Mark] = []
    for i, row in enumerate(rows):
        level = edge + away * (FIRST_ROW + i * ROW)
        for one in row:
            lines += _lines(one, side, edge + away * _PAST, level, level + away * _PAST)
            texts += _text(one, side, level)
    return (*lines, *texts)


def _on(side: Side, along: float, level: float) -> Point:
    return (along, level) if side in ("bottom", "top") else (level, along)


def _lines(one: Dimension, side: Side, start: float, level: float, end: float) -> list[Mark]:
    marks: list[Mark] = []
    for at in (one.low, one.high):
        marks.append(line(LAYER, _on(side, at, start), _on(side, at, end), pen=_PEN))
        x, y = _on(side, at, level)
        marks.append(line(LAYER, (x - _TICK, y - _TICK), (x + _TICK, y + _TICK), pen=_PEN))
    last = one.high if one.fits_within else one.taken[1] - 1.5
    marks.append(line(LAYER, _on(side, one.low, level), _on(side, last, level), pen=_PEN, id=one.id))
    return marks


def _text(one: Dimension, side: Side, level: float) -> list[Mark]:
    flat = side in ("bottom", "top")
    middle = (one.low + one.high) / 2 if one.fits_within else (one.high + 1 + one.taken[1] - 1.5) / 2
    # Text of upright lines reads from the right: turned to the left, and left of its line.
    at = (middle, level + 0.9) if flat else (level - 0.9, middle)
    text = Text(layer=LAYER, at=at, text=one.text, anchor="middle", angle=0.0 if flat else 90.0, id=one.id)
    return [mask(LAYER, text_box(text)), text]
