"""A job of lengths must make sense before anything is searched: sizes, counts, prices and names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator
from typing import TypeVar

from layout.cutting.grid import ticks_down
from layout.errors import ValueFaultError
from layout.model.lengths import Bar, BarJob, Length

MOST_PIECES = 10_000
"""The most pieces that a job may ask for in total."""
_LONGEST_MM = 100_000.0
_Name = TypeVar("_Name", bound=Hashable)
_Faults = Iterator[tuple[tuple[str, ...], str]]


def check_job(job: BarJob) -> None:
    """Refuse a job that cannot be meant.

    Raises
    ------
    ValueFaultError
        At the first wrong value; the path is such as ``parts.rail.length`` or ``bars.long.price``.
    """
    for path, text in _faults(job):
        raise ValueFaultError(path, text)


def _faults(job: BarJob) -> _Faults:
    for key, value in (("kerf", job.kerf), ("trim", job.trim), ("smallest_offcut", job.smallest_offcut)):
        if not 0 <= value <= _LONGEST_MM:
            yield (key,), f"{value} mm cannot be used; write a length from 0 to {_LONGEST_MM:.0f} mm"
    for part in job.parts:
        yield from _length(("parts", part.name), part)
        if part.count < 1:
            yield ("parts", part.name, "count"), f"{part.count} pieces cannot be cut; write 1 or more"
    for bar in job.bars:
        yield from _bar(("bars", bar.name), bar)
    yield from ((("parts", name), "two parts have this name") for name in _twice(part.name for part in job.parts))
    bars = ((bar.material, bar.name) for bar in job.bars)
    yield from ((("bars", name), f"two bars of {of} have this name") for of, name in _twice(bars))
    pieces = sum(part.count for part in job.parts)
    if pieces > MOST_PIECES:
        yield ("parts",), f"{pieces} pieces; at most {MOST_PIECES} can be planned"


def _bar(path: tuple[str, ...], bar: Bar) -> _Faults:
    yield from _length(path, bar)
    if bar.count is not None and bar.count < 0:
        yield (*path, "count"), f"{bar.count} bars cannot be on hand; write 0 or more"
    if not (math.isfinite(bar.price) and bar.price >= 0):
        yield (*path, "price"), f"{bar.price} is not a price; write 0 or more"
    elif bar.offcut and bar.price:
        yield (*path, "price"), f"an offcut on hand costs nothing, not {bar.price}; leave the price out"
    if bar.offcut and bar.count is None:
        yield (*path, "count"), "offcuts are counted; write how many are on hand"


def _length(path: tuple[str, ...], of: Length | Bar) -> _Faults:
    if not 0 < of.length <= _LONGEST_MM or ticks_down(of.length) < 1:
        yield (*path, "length"), f"{of.length} mm is not a length; write more than 0, up to {_LONGEST_MM:.0f} mm"


def _twice(names: Iterable[_Name]) -> list[_Name]:
    return [name for name, times in Counter(names).items() if times > 1]
