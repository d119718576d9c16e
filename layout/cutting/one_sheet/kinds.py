"""The pieces as the search sees them: alike ones joined, useless ones dropped, counts no higher than can fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from layout.cutting.one_sheet.values import ValuedPiece
from layout.cutting.values import Way


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceKind:
    """Pieces that are alike: one is as good as another of the same kind.

    `names` holds each name and how often it may be used. `most` is how many may be cut; `limited` when the sheet
    itself would hold more, so that the search has to count them.
    """

    ways: tuple[Way, ...]
    value: int
    names: tuple[tuple[str, int], ...]
    most: int
    limited: bool

    @property
    def area(self) -> int:
        """Return the area of one piece, square ticks."""
        return self.ways[0].length * self.ways[0].width


def piece_kinds(pieces: Sequence[ValuedPiece], length: int, width: int) -> tuple[PieceKind, ...]:
    """Return the kinds worth cutting from a sheet, limited ones first, in an order that depends on sizes only."""
    alike: dict[tuple[tuple[tuple[int, int], ...], int], list[ValuedPiece]] = {}
    for piece in pieces:
        fitting = _fitting(piece, length, width)
        if fitting and piece.value > 0 and piece.count != 0:
            sides = tuple(sorted((way.length, way.width) for way in fitting))
            alike.setdefault((sides, piece.value), []).append(replace(piece, ways=fitting))
    kinds = (_kind(group, length, width) for group in alike.values())
    return tuple(sorted(kinds, key=lambda kind: (not kind.limited, -kind.area, kind.value, kind.ways[0].length)))


def _fitting(piece: ValuedPiece, length: int, width: int) -> tuple[Way, ...]:
    """Return one way for each size in which the piece fits on the sheet."""
    fitting = [way for way in piece.ways if way.length <= length and way.width <= width]
    return tuple({(way.length, way.width): way for way in reversed(fitting)}.values())[::-1]


def _kind(group: list[ValuedPiece], length: int, width: int) -> PieceKind:
    ways = group[0].ways
    capacity = _capacity(ways, length, width)
    names = tuple((piece.name, capacity if piece.count is None else piece.count) for piece in group)
    counted = sum(count for _, count in names)
    return PieceKind(
        ways=ways,
        value=group[0].value,
        names=names,
        most=min(capacity, counted),
        limited=counted < capacity,
    )


def _capacity(ways: tuple[Way, ...], length: int, width: int) -> int:
    """Return a number of copies that the sheet cannot exceed."""
    if len(ways) == 1:
        return (length // ways[0].length) * (width // ways[0].width)
    return length * width // (ways[0].length * ways[0].width)


def most_value(kinds: Sequence[PieceKind], length: int, width: int) -> int:
    """Return a value that no choice of kinds exceeds: pieces by value for their area, the last one in part.

    The pieces lie side by side without overlap, so their areas sum to no more than the sheet's; filling it by the
    greatest value for the area, and the last piece in part, is the best that areas alone allow.
    """
    left, total = length * width, 0
    for kind in sorted(kinds, key=lambda kind: (-Fraction(kind.value, kind.area), kind.area)):
        whole = min(kind.most, left // kind.area)
        total += whole * kind.value
        left -= whole * kind.area
        if whole < kind.most:
            # Rounded up, and the rest of the kinds can be worth no more for their area than this one.
            return total + -(-left * kind.value // kind.area)
    return total
