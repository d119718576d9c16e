"""Tiling: a large shape in pieces that sheets yield and a person lifts, in rows with staggered joints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Protocol

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.panel import Sheet
from layout.things.base import Shop, Span, need
from layout.things.follow import FAR

_GRID = 50.0  # mm between the places at which a joint on no batten is tried
_SPECK = 1.0  # mm² that is no piece
_HAIR = 1e-6


class Divided(Protocol):
    """What a project says of something that is divided into pieces."""

    @property
    def piece(self) -> tuple[float, float] | None:
        """Return the length and width of the largest piece, mm."""

    @property
    def heaviest(self) -> float | None:
        """Return what a piece may weigh, kg."""

    @property
    def oversize(self) -> float:
        """Return what is left on to be cut to fit, mm."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """How large a piece may be: `length` and `width` in mm, `heaviest` in kg, of `sheet`.

    Rows are no narrower than `narrowest`, end joints of neighbouring rows no nearer than `stagger`, if that can be.
    """

    sheet: Sheet
    length: float
    width: float
    heaviest: float
    narrowest: float
    stagger: float

    def longest(self, width: float) -> float:
        """Return how long a piece so wide may be, mm."""
        per_mm = self.sheet.mass_kg(1.0, width)
        return min(self.length, self.heaviest / per_mm) if per_mm > 0 else self.length


def largest_piece(shop: Shop, piece: tuple[float, float] | None) -> tuple[float, float]:
    """Return the length and width of the largest piece that a sheet yields, mm: as given, or of a common sheet."""
    trims = 2 * shop.number("coverings", "trim")
    length, width = piece or (shop.number("coverings", "length") - trims, shop.number("coverings", "width") - trims)
    return max(length, width), min(length, width)


def limits(shop: Shop, group: str, sheet: Sheet, said: Divided) -> Limits:
    """Return the limits that a project gives, and the shop's where it gives none; what is left on is taken off.

    Raises
    ------
    ValueFaultError
        When the pieces would be smaller than a row may be narrow.
    """
    length, width = (mm - said.oversize for mm in largest_piece(shop, said.piece))
    most = shop.number("lift", "mass") if said.heaviest is None else said.heaviest
    narrowest = shop.number("coverings", "narrowest")
    need(width >= narrowest, group, "piece", f"too small; rows are at least {narrowest:g} wide")
    limit = Limits(
        sheet=sheet, length=length, width=width, heaviest=most, narrowest=narrowest,
        stagger=shop.number("coverings", "stagger"),
    )  # fmt: skip
    need(limit.longest(width) >= narrowest, group, "heaviest", f"{most:g} kg is too little for any piece")
    return limit


def rows(low: float, high: float, limit: Limits) -> tuple[float, ...]:
    """Return the edges of rows, both ends included: of full width, and the last two alike if one would be narrow."""
    count = max(1, ceil((high - low) / limit.width - _HAIR))
    edges = [low + limit.width * i for i in range(count)] + [high]
    if count > 1 and edges[-1] - edges[-2] < limit.narrowest:
        edges[-2] = (edges[-3] + edges[-1]) / 2
    return tuple(edges)


def joints(
    row: Span, longest: float, marks: Sequence[float] | None, away: Sequence[float], stagger: float
) -> tuple[float, ...] | None:
    """Return the edges of the pieces of a row, both ends included; None if no pieces are short enough.

    Parameters
    ----------
    row
        The ends of the row, mm.
    longest
        How long a piece may be, mm.
    marks
        Where joints may lie (None: anywhere).
    away, stagger
        The joints of the row beside, and how far to stay from them, if that can be; mm.

    As few pieces as can be, and of those the division whose shortest piece is longest.
    """
    low, high = row
    free = _grid(low, high, longest) if marks is None else [m for m in marks if low + _HAIR < m < high - _HAIR]
    apart = [m for m in free if all(abs(m - a) >= stagger - _HAIR for a in away)]
    return _division([low, *apart, high], longest) or _division([low, *free, high], longest)


def _grid(low: float, high: float, longest: float) -> list[float]:
    even = [low + _GRID * i for i in range(1, int((high - low) / _GRID) + 1)]
    whole = [low + longest * i for i in range(1, int((high - low) / longest) + 1)]
    return sorted({mark for mark in (*even, *whole) if mark < high - _HAIR})


def _division(marks: Sequence[float], longest: float) -> tuple[float, ...] | None:
    """Return the marks, first and last included, that divide the line in the fewest pieces, the shortest long."""
    best: list[tuple[int, float, tuple[int, ...]] | None] = [(0, FAR, (0,))]
    for j in range(1, len(marks)):
        ways = [
            (known[0] + 1, -min(-known[1] if known[0] else FAR, marks[j] - marks[i]), (*known[2], j))
            for i in range(j)
            if (known := best[i]) is not None and marks[j] - marks[i] <= longest + _HAIR
        ]
        best.append(min(ways, default=None))
    last = best[-1]
    return tuple(marks[i] for i in last[2]) if last else None


def cells(shape: BaseGeometry, u: Span, v: Span) -> Iterator[Polygon]:
    """Yield the parts of a shape within a rectangle that are pieces."""
    for part in shapely.get_parts(shape.intersection(shapely.box(u[0], v[0], u[1], v[1]))):
        if part.geom_type == "Polygon" and part.area > _SPECK:
            yield part


def tiles(shape: Polygon, limit: Limits, marks: Sequence[float] | None = None) -> tuple[Polygon, ...] | None:
    """Return a shape in pieces, in rows along its first axis whose joints lie on `marks`; None if that cannot be."""
    found: list[Polygon] = []
    away: list[float] = []
    _, v0, _, v1 = shape.bounds
    for v in pairwise(rows(v0, v1, limit)):
        met: list[float] = []
        for part in cells(shape, (-FAR, FAR), v):
            edges = joints((part.bounds[0], part.bounds[2]), limit.longest(v[1] - v[0]), marks, away, limit.stagger)
            if edges is None:
                return None
            found += [cell for u in pairwise(edges) for cell in cells(part, u, v)]
            met += edges[1:-1]
        away = met
    return tuple(found)
