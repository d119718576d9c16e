"""What the search works with: kinds of piece, sizes of sheet, and pieces laid on a sheet, all in ticks."""

from __future__ import annotations

from dataclasses import dataclass

from layout.cutting.grid import ticks_up
from layout.model.cutting import CutJob, Stock


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One way to lay a piece: `length` along the sheet's length, `width` along its width, in ticks."""

    length: int
    width: int
    turned: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """A part of the job and the ways that its grain allows, the unturned one first."""

    name: str
    ways: tuple[Way, ...]
    count: int

    @property
    def area(self) -> int:
        """Return the area of one piece, in square ticks."""
        return self.ways[0].length * self.ways[0].width


@dataclass(frozen=True, kw_only=True, slots=True)
class Size:
    """A size of sheet: whole (`length`, `width`) and after trim (`usable`), in ticks."""

    stock: Stock
    length: int
    width: int
    usable: tuple[int, int]

    def holds(self, way: Way) -> bool:
        """Return whether a piece laid that way fits on the empty sheet."""
        return way.length <= self.usable[0] and way.width <= self.usable[1]


@dataclass(frozen=True, kw_only=True, slots=True)
class Laid:
    """A piece on a sheet; `x` and `y` (ticks) from the low corner of what trim leaves."""

    name: str
    x: int
    y: int
    way: Way


@dataclass(frozen=True, kw_only=True, slots=True)
class Filled:
    """A sheet with the pieces laid on it."""

    size: Size
    laid: tuple[Laid, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Saw:
    """The saw and the rules of the workshop, in ticks."""

    kerf: int
    trim: int
    smallest_offcut: int

    @classmethod
    def of(cls, job: CutJob) -> Saw:
        """Return the saw of a job; every length rounds up."""
        return cls(kerf=ticks_up(job.kerf), trim=ticks_up(job.trim), smallest_offcut=ticks_up(job.smallest_offcut))
