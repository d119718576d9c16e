"""What the search works with: kinds of piece, sizes of sheet, and pieces laid on a sheet, all in ticks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.cutting.grid import ticks_up
from layout.model.cutting import CutJob, Saws, Stock


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
class Blank:
    """A rectangle of a sheet that parts may fill, once trims and the shop's cuts are made; ticks."""

    x: int
    y: int
    length: int
    width: int

    def holds(self, way: Way) -> bool:
        """Return whether a piece laid that way fits on the empty blank."""
        return way.length <= self.length and way.width <= self.width


@dataclass(frozen=True, kw_only=True, slots=True)
class Forced:
    """A cut that an opening asks for before any part is cut free, and what is forced on both pieces.

    `axis` 0 is measured along the sheet's length; `at` and `kerf` in ticks, from the low edge of the piece
    that is cut. `spoiled` says which piece holds damage: it is waste.
    """

    axis: int
    at: int
    kerf: int
    by: Saws = "home"
    low: Forced | None = None
    high: Forced | None = None
    spoiled: Literal["", "low", "high"] = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """One way to open a sheet of `stock`: the cuts made first, and the blanks that they leave for parts.

    A plain sheet has one opening: its trims, and one blank. A damaged sheet, or one that the shop opens, has
    several, between which the search chooses; all count against the same stock. Lengths in ticks.
    """

    stock: Stock
    length: int
    width: int
    blanks: tuple[Blank, ...]
    forced: Forced | None = None

    def holds(self, way: Way) -> bool:
        """Return whether a piece laid that way fits on some blank of the empty sheet."""
        return any(blank.holds(way) for blank in self.blanks)


@dataclass(frozen=True, kw_only=True, slots=True)
class Laid:
    """A piece on a sheet; `x` and `y` in ticks from the low corner of the whole sheet."""

    name: str
    x: int
    y: int
    way: Way


@dataclass(frozen=True, kw_only=True, slots=True)
class Filled:
    """A sheet opened in one way, with the pieces laid on its blanks."""

    opening: Opening
    laid: tuple[Laid, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Saw:
    """The saw and the rules of the workshop, in ticks; 0 for `smallest_hold` when it does not matter."""

    kerf: int
    trim: int
    smallest_offcut: int
    smallest_hold: int = 0

    @classmethod
    def of(cls, job: CutJob) -> Saw:
        """Return the saw of a job; every length rounds up."""
        return cls(
            kerf=ticks_up(job.kerf),
            trim=ticks_up(job.trim),
            smallest_offcut=ticks_up(job.smallest_offcut),
            smallest_hold=ticks_up(job.smallest_hold or 0.0),
        )
