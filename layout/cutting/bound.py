"""A number of sheets that no plan can go below, and when that proves a plan the cheapest."""

from __future__ import annotations

from collections.abc import Iterable

from layout.cutting.values import Filled, Kind, Opening

_Piece = tuple[int, int]


def fewest_sheets(kinds: Iterable[Kind], openings: Iterable[Opening], kerf: int) -> int:
    """Return a number of sheets that every plan needs, whatever its sizes; `kerf` in ticks.

    Two pieces of a sheet lie on the two sides of some cut, a full kerf apart. So with the kerf added to
    the high edges of every piece and of the usable sheet the pieces still do not overlap, and areas and
    rows can be summed. The sheet taken is the largest area, and for rows the longest and widest.
    """
    sheets = [(blank.length + kerf, blank.width + kerf) for opening in openings for blank in opening.blanks]
    length, width = (max(sides) for sides in zip(*sheets, strict=True))
    pieces = [[(way.length + kerf, way.width + kerf) for way in kind.ways] for kind in kinds for _ in range(kind.count)]
    crosswise = [[(across, along) for along, across in ways] for ways in pieces]
    area = sum(ways[0][0] * ways[0][1] for ways in pieces)
    by_area = _up(area, max(along * across for along, across in sheets))
    return max(by_area, _rows(pieces, length, width), _rows(crosswise, width, length))


def _rows(pieces: list[list[_Piece]], length: int, width: int) -> int:
    """Return the bound from pieces too wide to lie side by side: on a sheet they follow each other in one row."""
    wide = (ways for ways in pieces if all(2 * across > width for _, across in ways))
    sides = sorted((min(along for along, _ in ways) for ways in wide), reverse=True)
    if not sides:
        return 0
    by_number = (_up(i + 1, length // side) for i, side in enumerate(sides))
    return max(_up(sum(sides), length), *by_number)


def _up(amount: int, each: int) -> int:
    return -(-amount // each)


def proves(sheets: tuple[Filled, ...], openings: Iterable[Opening], bound: int) -> bool:
    """Return whether no plan can cost less: as few sheets as the bound, each at the lowest price of all."""
    lowest = min(opening.stock.price for opening in openings)
    return len(sheets) == bound and all(sheet.opening.stock.price == lowest for sheet in sheets)
