"""The best that rectpack finds: each of its edge-to-edge algorithms, orders of pieces and ways to choose a sheet.

Nothing is left out that could do better: a try gets only as many sheets as are fewer (or cheaper) than the best so
far, and the tries end when the best meets a number that was proven to be the least.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

import rectpack
import rectpack.guillotine

# The most successful first, so that most questions end early.
_CHOOSE = ("BBF", "BFF", "Global", "BNF")
_SORTS = ("PERI", "AREA", "SSIDE", "LSIDE", "DIFF", "RATIO", "NONE")
_SPLITS = ("Minas", "Slas", "Sas", "Maxas", "Las", "Llas")
_RULES = ("Bssf", "Baf", "Blsf")
_CENT = 1e-6
Sides = tuple[float, float]


def _packers(turn: bool) -> Iterator[Any]:
    for choose, sort, split, rule in product(_CHOOSE, _SORTS, _SPLITS, _RULES):
        yield rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=getattr(rectpack.PackingBin, choose),
            pack_algo=getattr(rectpack.guillotine, f"Guillotine{rule}{split}"),
            sort_algo=getattr(rectpack, f"SORT_{sort}"),
            rotation=turn,
        )


def _packed(packer: Any, pieces: Sequence[Sides], sheets: Sequence[tuple[Sides, int]]) -> list[int] | None:
    """Return for every sheet used the number of its size; None when the sheets do not hold all pieces."""
    for piece in pieces:
        packer.add_rect(*piece)
    for number, (sides, count) in enumerate(sheets):
        if count > 0:
            packer.add_bin(*sides, count=count, bid=number)
    packer.pack()
    if sum(len(one) for one in packer) < len(pieces):
        return None
    return [one.bid for one in packer if len(one)]


def fewest_sheets(pieces: Sequence[Sides], sheet: Sides, turn: bool, least: int) -> int:
    """Return the fewest sheets of one size for pieces without kerf; `least` is a number that none can go below."""
    best = len(pieces)
    for packer in _packers(turn):
        if best <= least:
            break
        used = _packed(packer, pieces, [(sheet, best - 1)])
        best = best if used is None else len(used)
    return best


def least_price(material: dict[str, Any], kerf: float, trim: float, least: float) -> float:
    """Return the least price of a material of a workshop job; `least` is a price that none can go below.

    The kerf is packed along with every piece and every sheet. rectpack turns all pieces or none, so that where some
    must not turn it is asked three times without turning: the others as listed, all lengthwise and all crosswise.
    Tried are each size of sheet alone, all sizes in the order of their price for the area, and every choice of
    sheets whose price lies below the best so far and whose area would do.
    """
    sheets = sorted(material["sheets"], key=lambda one: one["price"] / (one["length"] * one["width"]))
    sizes = [(one["length"] - 2 * trim + kerf, one["width"] - 2 * trim + kerf) for one in sheets]
    prices = [one["price"] for one in sheets]
    lays = [[(a + kerf, b + kerf) for a, b in lay] for lay in _lays(material["parts"])]
    turn = all(part["grain"] == "free" for part in material["parts"])
    many = len(material["parts"])
    best = float("inf")
    starts = [[many * (k == one) for k in range(len(sizes))] for one in range(len(sizes))] + [[many] * len(sizes)]
    for counts in starts:
        best = min(best, _price(lays, turn, sizes, prices, counts, (least, best)))
    area = sum(a * b for a, b in lays[0])
    for counts in _choices(sizes, prices, area, (least, best)):
        found = _price(lays, turn, sizes, prices, counts, (least, best))
        if found < best:
            return found
    return best


def _lays(parts: Sequence[dict[str, Any]]) -> list[list[Sides]]:
    lays = []
    for key in (lambda _: 0, lambda sides: -sides[0], lambda sides: sides[0]):
        lay = []
        for part in parts:
            sides = (part["length"], part["width"])
            lay.append(sides if part["grain"] == "along" else min(sides, sides[::-1], key=key))
        if lay not in lays:
            lays.append(lay)
    return lays


def _price(
    lays: Sequence[Sequence[Sides]],
    turn: bool,
    sizes: Sequence[Sides],
    prices: Sequence[float],
    counts: Sequence[int],
    between: tuple[float, float],
) -> float:
    """Return the least price over all tries with so many sheets of each size, infinite when none is below the best."""
    least, best = between
    found = float("inf")
    for lay, turning in [(lay, False) for lay in lays] + [(lays[0], True)] * turn:
        for packer in _packers(turning):
            if min(best, found) <= least + _CENT:
                return found
            fewer = _affordable(counts, prices, min(best, found))
            used = _packed(packer, lay, list(zip(sizes, fewer, strict=True)))
            if used is not None:
                found = min(found, sum(prices[k] for k in used))
    return found


def _affordable(counts: Sequence[int], prices: Sequence[float], below: float) -> list[int]:
    """Return the counts, each so that its sheets alone cost less than that."""
    if below == float("inf"):
        return list(counts)
    return [min(n, int((below - _CENT) / price)) for n, price in zip(counts, prices, strict=True)]


def _choices(
    sizes: Sequence[Sides], prices: Sequence[float], area: float, between: tuple[float, float]
) -> list[tuple[int, ...]]:
    """Return the choices of sheets that have the area, at a price from the least to below the best, cheapest first."""
    least, best = between
    most = [int((best - _CENT) / price) for price in prices]
    found = []
    for counts in product(*(range(n + 1) for n in most)):
        price = sum(n * p for n, p in zip(counts, prices, strict=True))
        room = sum(n * a * b for n, (a, b) in zip(counts, sizes, strict=True))
        if least - _CENT <= price < best - _CENT and room >= area:
            found.append((price, counts))
    return [counts for _, counts in sorted(found)]
