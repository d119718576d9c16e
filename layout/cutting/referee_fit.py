"""Whether a part can come from a sheet at all, by the referee's own reckoning: trims, damage, shop and car."""

from __future__ import annotations

from collections.abc import Iterator

from layout.cutting.referee_numbers import Box, damaged, down, factory_trims, overlap, up
from layout.cutting.referee_shop import shop_of
from layout.model.cutting import CutJob, Part, Shop, Stock


def may_fit(job: CutJob, part: Part, stock: Stock) -> bool:
    """Return whether `part` may come from an empty sheet of `stock`.

    Exact for a sheet that no shop saws: pushed left and down as far as it goes, a piece stops at a trimmed edge
    or at the far side of damage, so only those places need be tried. With a shop it may be true too often,
    since where the shop may cut is not gone into; never false for a part that can be cut.
    """
    if not can_be_carried(job, stock):
        return False
    return any(_has_place(job, stock, sides) for sides in _ways(part) if _in_car(shop_of(job, stock), sides))


def can_be_carried(job: CutJob, stock: Stock) -> bool:
    """Return false when the cuts that the shop makes cannot get all of a sheet into the car, whatever they are.

    n cuts leave n + 1 pieces, none larger than the car, and each cut takes at most a kerf along the longer side.
    """
    shop = shop_of(job, stock)
    if shop is None or shop.car is None:
        return True
    sheet = (down(stock.length), down(stock.width))
    if shop.cuts == 0:
        return _carries(shop.car, sheet)
    lost = shop.cuts * up(shop.kerf) * max(sheet)
    return (shop.cuts + 1) * down(shop.car[0]) * down(shop.car[1]) + lost >= sheet[0] * sheet[1]


def is_plain(job: CutJob, stock: Stock) -> bool:
    """Return whether `may_fit` is exact for a sheet, by the way in which it is cut: no damage, no shop."""
    return not stock.damage and shop_of(job, stock) is None


def _ways(part: Part) -> Iterator[tuple[int, int]]:
    length, width = up(part.length), up(part.width)
    if part.grain != "across":
        yield length, width
    if part.grain != "along":
        yield width, length


def _in_car(shop: Shop | None, sides: tuple[int, int]) -> bool:
    return shop is None or shop.car is None or _carries(shop.car, sides)


def _carries(car: tuple[float, float], sides: tuple[int, int]) -> bool:
    return max(sides) <= down(max(car)) and min(sides) <= down(min(car))


def _has_place(job: CutJob, stock: Stock, sides: tuple[int, int]) -> bool:
    left, right, bottom, top = factory_trims(job, stock)
    length, width = down(stock.length), down(stock.width)
    damage = damaged(stock)
    for x in (left, *(each[0] + each[2] for each in damage)):
        for y in (bottom, *(each[1] + each[3] for each in damage)):
            place: Box = (x, y, *sides)
            inside = left <= x <= length - right - sides[0] and bottom <= y <= width - top - sides[1]
            if inside and not any(overlap(place, each) for each in damage):
                return True
    return False
