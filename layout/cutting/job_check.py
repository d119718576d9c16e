"""A job must make sense before anything is searched: sizes, counts, prices and names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TypeVar

from layout.cutting.grid import ticks_down
from layout.errors import ValueFaultError
from layout.model.cutting import CutJob, Part, Stock

MOST_PIECES = 10_000
"""The most pieces that a job may ask for in total."""
_LONGEST_MM = 100_000.0
T = TypeVar("T")
_GRAINS = ("along", "across", "free")


def check_job(job: CutJob) -> None:
    """Refuse a job that cannot be meant.

    Raises
    ------
    ValueFaultError
        At the first wrong value; the path is such as ``parts.side.length``.
    """
    for path, text in _faults(job):
        raise ValueFaultError(path, text)


def _faults(job: CutJob) -> Iterator[tuple[tuple[str, ...], str]]:
    for key, value in (("kerf", job.kerf), ("trim", job.trim), ("smallest_offcut", job.smallest_offcut)):
        if not 0 <= value <= _LONGEST_MM:
            yield (key,), f"{value} mm cannot be used; write a length from 0 to {_LONGEST_MM:.0f} mm"
    for part in job.parts:
        yield from _part(part)
    for stock in job.stocks:
        yield from _stock(stock)
    yield from ((("parts", name), "two parts have this name") for name in _twice(part.name for part in job.parts))
    sheets = ((stock.material, stock.name) for stock in job.stocks)
    yield from ((("sheets", name), f"two sheets of {of} have this name") for of, name in _twice(sheets))
    if sum(part.count for part in job.parts) > MOST_PIECES:
        yield ("parts",), f"{sum(part.count for part in job.parts)} pieces; at most {MOST_PIECES} can be planned"


def _part(part: Part) -> Iterator[tuple[tuple[str, ...], str]]:
    path = ("parts", part.name)
    yield from _sides(path, part)
    if part.count < 1:
        yield (*path, "count"), f"{part.count} pieces cannot be cut; write 1 or more"
    if part.grain not in _GRAINS:
        yield (*path, "grain"), f"{part.grain!r} is not a grain; write along, across or free"


def _stock(stock: Stock) -> Iterator[tuple[tuple[str, ...], str]]:
    path = ("sheets", stock.name)
    yield from _sides(path, stock)
    if stock.count is not None and stock.count < 0:
        yield (*path, "count"), f"{stock.count} sheets cannot be on hand; write 0 or more"
    if not (math.isfinite(stock.price) and stock.price >= 0):
        yield (*path, "price"), f"{stock.price} is not a price; write 0 or more"


def _sides(path: tuple[str, ...], of: Part | Stock) -> Iterator[tuple[tuple[str, ...], str]]:
    for key, value in (("length", of.length), ("width", of.width)):
        if not 0 < value <= _LONGEST_MM or ticks_down(value) < 1:
            yield (*path, key), f"{value} mm is not a size; write more than 0, up to {_LONGEST_MM:.0f} mm"


def _twice(names: Iterable[T]) -> list[T]:
    return [name for name, times in Counter(names).items() if times > 1]
