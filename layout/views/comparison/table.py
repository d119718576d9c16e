"""The table of differences under the pictures: a row a measure, a column an arrangement, what is best marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from layout.drawing.lines import box_points, line, polygon
from layout.drawing.model import MEDIUM, NARROW, Mark, Pen, Text
from layout.drawing.text_width import Box, text_width, wrap
from layout.views.comparison.values import Line

LAYER = "table"
_PITCH = 1.45
_PAD = 1.2
_BEST_GREY = 0.85
_BEST = Pen(width=MEDIUM)
_RULE = Pen(width=NARROW, grey=0.5)


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """A table with its letters' height, the widths of the first and the other columns, and its rows in lines; mm.

    `alike` is what is the same in all arrangements, in one text.
    """

    height: float
    first: float
    other: float
    rows: tuple[tuple[tuple[str, ...], ...], ...]
    best: tuple[tuple[bool, ...], ...]
    alike: tuple[str, ...]

    def row_height(self, number: int) -> float:
        """Return the height of a row, mm."""
        return max(len(cell) for cell in self.rows[number]) * self.height * _PITCH + _PAD

    @property
    def high(self) -> float:
        """Return the height of all rows and of what stands below them, mm."""
        return sum(self.row_height(i) for i in range(len(self.rows))) + (len(self.alike) + 1) * self.height * _PITCH + 3


def table(lines: Sequence[Line], first: float, other: float, height: float, which: Sequence[int]) -> Table:
    """Return the table of some of the arrangements, `which` by their places in the rows, broken into its columns."""
    differ = [one for one in lines if not one.alike]
    rows = tuple(
        (_broken(one.name, first, height), *(_broken(one.cells[i], other, height) for i in which)) for one in differ
    )
    same = "; ".join(f"{one.name} {one.cells[0]}" for one in lines if one.alike)
    wide = first + other * len(which)
    alike = wrap(f"The same in all: {same}", wide, height) if same and len(lines[0].cells) > 1 else ()
    if len(lines) and len(lines[0].cells) == 1:
        rows = tuple((_broken(one.name, first, height), _broken(one.cells[0], other, height)) for one in lines)
        differ = list(lines)
    best = tuple(tuple(one.best[i] for i in which) for one in differ)
    return Table(height=height, first=first, other=other, rows=rows, best=best, alike=alike)


def _broken(text: str, width: float, height: float) -> tuple[str, ...]:
    return wrap(text, width - 2 * _PAD, height) or ("",)


def first_width(lines: Sequence[Line], height: float, most: float) -> float:
    """Return the width of the column of names: that of the longest, `most` at most, mm."""
    return min(most, max((text_width(one.name, height) for one in lines), default=0.0) + 3 * _PAD)


def table_marks(made: Table, x: float, y: float) -> Iterator[Mark]:
    """Yield the table from x and down from y."""
    wide = made.first + made.other * (len(made.rows[0]) - 1 if made.rows else 1)
    yield line(LAYER, (x, y), (x + wide, y), pen=Pen(width=MEDIUM))
    for number, row in enumerate(made.rows):
        foot = y - made.row_height(number)
        for i, cell in enumerate(row):
            left = x + (made.first + made.other * (i - 1) if i else 0.0)
            if i and made.best[number][i - 1]:
                yield from _marked((left + 0.4, foot + 0.4, left + made.other - 0.8, y - 0.4))
            top = (y + foot + len(cell) * made.height * _PITCH) / 2
            for j, said in enumerate(cell):
                at = (left + _PAD, top - (j + 1) * made.height * _PITCH + 0.32 * made.height)
                yield Text(layer=LAYER, at=at, text=said, height=made.height)
        yield line(LAYER, (x, foot), (x + wide, foot), pen=_RULE)
        y = foot
    yield from _below(made, x, y - 1.5)


def _marked(box: Box) -> Iterator[Mark]:
    yield polygon(LAYER, box_points(box), pen=Pen(width=0.0), fill=_BEST_GREY)
    yield polygon(LAYER, box_points(box), pen=_BEST)


def _below(made: Table, x: float, y: float) -> Iterator[Mark]:
    words = [*made.alike]
    if any(any(row) for row in made.best):
        words.append("Framed on grey: best of its row. There is no total: what counts for you is yours to say.")
    for i, said in enumerate(words):
        at = (x + _PAD, y - (i + 1) * made.height * _PITCH + 0.32 * made.height)
        yield Text(layer=LAYER, at=at, text=said, height=made.height)
