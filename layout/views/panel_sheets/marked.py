"""Marks of a part of a sheet, made at their own place and moved onto the sheet afterwards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from layout.drawing.model import Mark, Text


@dataclass(frozen=True, kw_only=True, slots=True)
class Card:
    """A part of a sheet with its low left corner at (0, 0): size in mm, marks."""

    width: float
    height: float
    marks: tuple[Mark, ...]

    def at(self, x: float, y: float) -> tuple[Mark, ...]:
        """Return its marks with its low left corner at a place of the sheet."""
        return moved(self.marks, x, y)


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """Return marks shifted by (dx, dy) mm."""
    return tuple(
        replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))
        if isinstance(mark, Text)
        else replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
        for mark in marks
    )
