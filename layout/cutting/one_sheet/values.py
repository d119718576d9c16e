"""What the one-sheet question takes and gives; every length is a whole number of the caller's ticks."""

from __future__ import annotations

from dataclasses import dataclass

from layout.cutting.values import Laid, Way


@dataclass(frozen=True, kw_only=True, slots=True)
class ValuedPiece:
    """A piece that may be cut from the sheet: at most `count` times (None = as often as it fits).

    `ways` are all the ways in which it may lie, in ticks; `value` is what one copy is worth, 0 or more, in any
    whole unit that is the same for all pieces.
    """

    name: str
    ways: tuple[Way, ...]
    count: int | None
    value: int

    def __post_init__(self) -> None:
        """Refuse a piece that makes no sense.

        Raises
        ------
        ValueError
            When it cannot lie in any way, a side is not above 0, or its count or value is below 0.
        """
        if not self.ways or any(way.length <= 0 or way.width <= 0 for way in self.ways):
            raise ValueError(f"piece {self.name!r} needs a way to lie, and sides above 0")
        if self.value < 0 or (self.count is not None and self.count < 0):
            raise ValueError(f"piece {self.name!r} has a value or a count below 0")


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetAnswer:
    """The refereed answer: the pieces `laid` on the sheet (ticks from its low corner) and their total `value`.

    No choice of pieces is worth more than `bound`; `proven` when that is the value itself, so none is better.
    """

    value: int
    laid: tuple[Laid, ...]
    bound: int
    proven: bool
