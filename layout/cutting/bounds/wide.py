"""Points for pieces so wide that no two lie side by side: on a blank they follow each other in one row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.cutting.bounds.points import Points
from layout.cutting.values import Kind, Opening


def wide_points(kinds: Sequence[Kind], openings: Sequence[Opening], kerf: int) -> Iterator[Points]:
    """Yield points along and across: the length that wide pieces take in the row, kerf included, and their number."""
    for axis in (0, 1):
        yield from _along(kinds, openings, kerf, axis)


def _along(kinds: Sequence[Kind], openings: Sequence[Opening], kerf: int, axis: int) -> Iterator[Points]:
    blanks: dict[int, list[list[tuple[int, int]]]] = {}
    for opening in openings:
        sides = [(max(0, b.length + kerf), max(0, b.width + kerf)) for b in opening.blanks]
        blanks.setdefault(id(opening.stock), []).append([(s[axis], s[1 - axis]) for s in sides])
    widest = max(across for of in blanks.values() for one in of for _, across in one)
    pieces = [[_sides(way.length + kerf, way.width + kerf, axis) for way in kind.ways] for kind in kinds]
    takes = [
        min(along for along, _ in ways) if all(2 * across > widest for _, across in ways) else 0 for ways in pieces
    ]
    if not any(takes):
        return
    rooms = tuple(max(sum(along for along, _ in one) for one in of) for of in blanks.values())
    wanted = sum(take * kind.count for take, kind in zip(takes, kinds, strict=True))
    yield Points(by_kind=tuple(takes), room=rooms, wanted=wanted)
    for least in sorted({take for take in takes if take}):
        counted = tuple(int(take >= least) for take in takes)
        rows = tuple(max(sum(along // least for along, _ in one) for one in of) for of in blanks.values())
        yield Points(
            by_kind=counted, room=rows, wanted=sum(c * kind.count for c, kind in zip(counted, kinds, strict=True))
        )


def _sides(length: int, width: int, axis: int) -> tuple[int, int]:
    return (length, width) if axis == 0 else (width, length)
