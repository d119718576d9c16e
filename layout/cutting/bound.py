"""A number of sheets that no plan can go below, and when that proves a plan the cheapest."""

from __future__ import annotations

import math
from collections.abc import Iterable

from layout.cutting.values import Filled, Kind, Size

_Piece = tuple[int, int]


def fewest_sheets(kinds: Iterable[Kind], sizes: Iterable[Size], kerf: int) -> int:
    """Return a number of sheets that every plan needs, whatever its sizes; `kerf` in ticks.

    Two pieces of a sheet lie on the two sides of some cut, a full kerf apart. So with the kerf added to
    the high edges of every piece and of the usable sheet the pieces still do not overlap, and areas and
    rows can be summed. The sheet taken is the largest area, and for rows the longest and widest.
    """
    sheets = [(size.usable[0] + kerf, size.usable[1] + kerf) for size in sizes]
    length, width = (max(sides) for sides in zip(*sheets, strict=True))
    ways = [[(way.length + kerf, way.width + kerf) for way in kind.ways] for kind in kinds for _ in range(kind.count)]
    area = sum(either[0][0] * either[0][1] for either in ways)
    crosswise = [[(w, l) for l, w in either] for either in ways]
    return max(_up(area, max(l * w for l, w in sheets)), _rows(ways, length, width), _rows(crosswise, width, length))


def _rows(ways: list[list[_Piece]], length: int, width: int) -> int:
    """Return the bound from pieces too wide to lie side by side: on a sheet they follow each other in one row."""
    wide = sorted((min(l for l, _ in either) for either in ways if all(2 * w > width for _, w in either)), reverse=True)
    if not wide:
        return 0
    by_number = (_up(i + 1, length // side) for i, side in enumerate(wide))
    return max(_up(sum(wide), length), *by_number)


def _up(amount: int, each: int) -> int:
    return -(-amount // each)


def proves(sheets: tuple[Filled, ...], sizes: Iterable[Size], bound: int) -> bool:
    """Return whether no plan can cost less: as few sheets as the bound, each at the lowest price of all."""
    lowest = min(size.stock.price for size in sizes)
    return len(sheets) == bound and all(math.isclose(sheet.size.stock.price, lowest) for sheet in sheets)
