"""The sheet as a field of places, with the tables that every bound is computed from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from layout.cutting.one_sheet.axis import Axis, axis_of
from layout.cutting.one_sheet.kinds import PieceKind
from layout.cutting.one_sheet.store import Splits

if TYPE_CHECKING:
    from types import ModuleType

    from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True, slots=True)
class Field:
    """Kinds on a sheet of `length` by `width` ticks, with the places along both sides and their splits.

    `ways` lists all ways of all kinds as (kind, way) in the order of their numbers.
    """

    kinds: tuple[PieceKind, ...]
    length: int
    width: int
    x: Axis
    y: Axis
    xs: Splits
    ys: Splits
    ways: tuple[tuple[int, int], ...]

    @property
    def exact(self) -> bool:
        """Return whether places are sums of sides, so that what fits in places fits on the sheet."""
        return self.x.exact and self.y.exact

    @property
    def sound(self) -> bool:
        """Return whether bounds computed on the places are bounds for the sheet."""
        return self.x.sound and self.y.sound

    @property
    def shape(self) -> tuple[int, int]:
        """Return the number of places along the length and along the width."""
        return len(self.x.places), len(self.y.places)

    @property
    def work(self) -> int:
        """Return about how many steps one table of best values takes."""
        columns, rows = self.shape
        return (len(self.xs.low) + 1) * rows + (len(self.ys.low) + 1) * columns

    def place(self, number: int) -> tuple[int, int]:
        """Return the places of the two sides of a way, by its number."""
        kind, way = self.ways[number]
        return self.x.of[kind][way], self.y.of[kind][way]


def field_of(kinds: Sequence[PieceKind], length: int, width: int, most_places: int) -> Field:
    """Return the field of a sheet with at most `most_places` places along a side."""
    x = axis_of(kinds, length, 0, most_places)
    y = axis_of(kinds, width, 1, most_places)
    ways = tuple((k, w) for k, kind in enumerate(kinds) for w in range(len(kind.ways)))
    return Field(kinds=tuple(kinds), length=length, width=width, x=x, y=y, xs=_splits(x), ys=_splits(y), ways=ways)


def _splits(axis: Axis) -> Splits:
    """Return every way to write a place as the sum of two, the lower one first."""
    import numpy as np

    low, high = np.nonzero(np.triu(axis.plus[1:, 1:] >= 0))
    low, high = low + 1, high + 1
    total = axis.plus[low, high]
    order = np.argsort(total, kind="stable")
    start = np.searchsorted(total[order], np.arange(len(axis.places) + 1))
    return Splits(start=start.astype(np.int64), low=low[order].astype(np.int64), high=high[order].astype(np.int64))


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """The best values of all rectangles for certain values of the kinds; see `kernels.best_values`."""

    gain: NDArray[Any]
    way: NDArray[Any]
    best: NDArray[Any]

    @property
    def whole(self) -> int:
        """Return the most that the whole sheet can hold, copies unlimited."""
        return int(self.best[-1, -1])


def table_of(field: Field, values: Sequence[int], run: ModuleType) -> Table:
    """Return the table for one value per kind; kinds with a value of 0 or less are left out."""
    import numpy as np

    gain = np.zeros(field.shape, dtype=np.int64)
    way = np.full(field.shape, -1, dtype=np.int64)
    for number, (kind, _) in enumerate(field.ways):
        place = field.place(number)
        if values[kind] > gain[place]:
            gain[place], way[place] = values[kind], number
    best = np.zeros(field.shape, dtype=np.int64)
    run.best_values(gain, field.xs, field.ys, best)
    return Table(gain=gain, way=way, best=best)


def rest_of(field: Field, table: Table, run: ModuleType) -> NDArray[Any]:
    """Return what the sheet can still hold around a build that ends at each place."""
    import numpy as np

    rest = np.zeros(field.shape, dtype=np.int64)
    run.rest_values(table.best, field.x.plus, field.y.plus, rest)
    return rest
