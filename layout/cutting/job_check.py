"""A job must make sense before anything is searched: sizes, counts, prices and names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TypeVar

from layout.cutting.grid import ticks_down
from layout.errors import ValueFaultError
from layout.model.cutting import CutJob, Damage, Part, Shop, Stock

MOST_PIECES = 10_000
"""The most pieces that a job may ask for in total."""
_LONGEST_MM = 100_000.0
T = TypeVar("T")
_GRAINS = ("along", "across", "free")
_PREFERENCES = ("offcut", "settings", "breakdown")
_MOST_SHOP_CUTS = 50
_Fault = tuple[tuple[str, ...], str]


def check_job(job: CutJob) -> None:
    """Refuse a job that cannot be meant.

    Raises
    ------
    ValueFaultError
        At the first wrong value; the path is such as ``parts.side.length``.
    """
    for path, text in _faults(job):
        raise ValueFaultError(path, text)


def _faults(job: CutJob) -> Iterator[_Fault]:
    yield from _lengths((), {"kerf": job.kerf, "trim": job.trim, "smallest_offcut": job.smallest_offcut})
    yield from _lengths((), {"longest_cut": job.longest_cut, "smallest_hold": job.smallest_hold})
    yield from _preferences(job)
    if job.shop is not None:
        yield from _shop(job.shop)
    for part in job.parts:
        yield from _part(part)
    for stock in job.stocks:
        yield from _stock(stock)
    yield from ((("parts", name), "two parts have this name") for name in _twice(part.name for part in job.parts))
    sheets = ((stock.material, stock.name) for stock in job.stocks)
    yield from ((("sheets", name), f"two sheets of {of} have this name") for of, name in _twice(sheets))
    if sum(part.count for part in job.parts) > MOST_PIECES:
        yield ("parts",), f"{sum(part.count for part in job.parts)} pieces; at most {MOST_PIECES} can be planned"


def _lengths(path: tuple[str, ...], lengths: dict[str, float | None]) -> Iterator[_Fault]:
    """Yield a fault for each length that is given and is not one; 0 is one."""
    for key, value in lengths.items():
        if value is not None and not 0 <= value <= _LONGEST_MM:
            yield (*path, key), f"{value} mm cannot be used; write a length from 0 to {_LONGEST_MM:.0f} mm"


def _preferences(job: CutJob) -> Iterator[_Fault]:
    for name in job.prefer:
        if name not in _PREFERENCES:
            yield ("prefer",), f"{name!r} is nothing to prefer; write {', '.join(_PREFERENCES)}"
    yield from ((("prefer",), f"{name!r} is said twice") for name in _twice(job.prefer))


def _shop(shop: Shop) -> Iterator[_Fault]:
    path = ("shop",)
    if not 0 <= shop.cuts <= _MOST_SHOP_CUTS:
        yield (*path, "cuts"), f"{shop.cuts} cuts a sheet cannot be planned; write 0 to {_MOST_SHOP_CUTS}"
    lengths = {"narrowest": shop.narrowest, "kerf": shop.kerf, "tolerance": shop.tolerance, "trim": shop.trim}
    yield from _lengths(path, dict(lengths))
    if shop.tolerance > shop.trim:
        yield (
            (*path, "tolerance"),
            f"the shop's cuts lie within {shop.tolerance} mm of their place, but only {shop.trim} mm are taken off"
            f" their edges at home; write a trim of {shop.tolerance} mm or more",
        )
    for side in shop.car or ():
        if not 0 < side <= _LONGEST_MM:
            yield (*path, "car"), f"{side} mm is not a size; write more than 0, up to {_LONGEST_MM:.0f} mm"


def _part(part: Part) -> Iterator[_Fault]:
    path = ("parts", part.name)
    yield from _sides(path, part)
    if part.count < 1:
        yield (*path, "count"), f"{part.count} pieces cannot be cut; write 1 or more"
    if part.grain not in _GRAINS:
        yield (*path, "grain"), f"{part.grain!r} is not a grain; write along, across or free"


def _stock(stock: Stock) -> Iterator[_Fault]:
    path = ("sheets", stock.name)
    yield from _sides(path, stock)
    if stock.count is not None and stock.count < 0:
        yield (*path, "count"), f"{stock.count} sheets cannot be on hand; write 0 or more"
    if not (math.isfinite(stock.price) and stock.price >= 0):
        yield (*path, "price"), f"{stock.price} is not a price; write 0 or more"
    if stock.offcut and stock.price > 0:
        yield (*path, "price"), f"what is left from an earlier job costs nothing, so {stock.price} cannot be meant"
    if stock.thickness is not None and not 0 < stock.thickness <= _LONGEST_MM:
        yield (*path, "thickness"), f"{stock.thickness} mm is not a thickness; write more than 0"
    if stock.trim is not None:
        trim = stock.trim
        edges = {"left": trim.left, "right": trim.right, "bottom": trim.bottom, "top": trim.top}
        yield from _lengths((*path, "trim"), dict(edges))
    for damage in stock.damage:
        yield from _damage((*path, "damage"), damage, stock)


def _damage(path: tuple[str, ...], damage: Damage, stock: Stock) -> Iterator[_Fault]:
    yield from _sides(path, damage)
    for key, low, size in (("x", damage.x, stock.length), ("y", damage.y, stock.width)):
        if not 0 <= low < size:
            yield (*path, key), f"{low} mm is not on the sheet; write 0 or more, less than {size} mm"


def _sides(path: tuple[str, ...], of: Part | Stock | Damage) -> Iterator[_Fault]:
    for key, value in (("length", of.length), ("width", of.width)):
        if not 0 < value <= _LONGEST_MM or ticks_down(value) < 1:
            yield (*path, key), f"{value} mm is not a size; write more than 0, up to {_LONGEST_MM:.0f} mm"


def _twice(names: Iterable[T]) -> list[T]:
    return [name for name, times in Counter(names).items() if times > 1]
