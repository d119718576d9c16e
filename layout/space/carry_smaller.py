"""By how much a unit must be smaller to be carried in: tried on the unit made smaller, by the same search."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from math import sqrt

from layout.space.carry_body import Unit
from layout.space.carry_in import goes_in
from layout.space.carry_room import OpenRoom

# Degrees: coarser than `carry_in.STEPS`, since many sizes are tried; what goes in coarse steps goes in fine ones.
_STEPS = (3.0,)
_FINE = 5.0  # mm: how near to the least the answer is, where it is no exact figure of an opening or a height


def least_cut(
    room: OpenRoom, unit: Unit, axis: int, most: float, rounded: Callable[[float], float] = float
) -> float | None:
    """Return about the least by which the unit must be smaller for a way to be found; None if `most` is not enough.

    Parameters
    ----------
    room
        The empty room with its doors open.
    unit
        The unit at its place, for which no way was found; it is made smaller about its middle, its foot kept.
    axis
        Its length (0), its width (1) or its height (2).
    most
        Not more than this is tried, mm.
    rounded
        Rounds up to a figure that can be said, mm; that is the one tried.
    """

    def fits(by: float) -> bool:
        return goes_in(room, unit.smaller(axis, by), _STEPS)

    if most <= 0 or not fits(most):
        return None
    marks = sorted({rounded(mark) for mark in _marks(room, unit, axis)} | {most})
    marks = [mark for mark in marks if 0 < mark <= most]
    first = bisect_left(marks, True, key=fits)
    return _least(fits, marks[first - 1] if first else 0.0, marks[first], rounded)


def _least(fits: Callable[[float], bool], low: float, high: float, rounded: Callable[[float], float]) -> float:
    """Return what fits, between `low`, which does not, and `high`, which does; `high` itself is often the least."""
    probe = rounded(high - _FINE)
    while high - low > _FINE:
        low, high = (low, probe) if fits(probe) else (probe, high)
        probe = rounded((low + high) / 2)
    return high


def _marks(room: OpenRoom, unit: Unit, axis: int) -> Iterator[float]:
    """Yield by how much the size exceeds an opening's width or height, or one whose diagonal goes under the roof."""
    size, height = unit.sizes[axis], room.space.height
    for door in room.doors:
        yield from (size - door.width, size - (room.top(door) - door.sill))
    for other in (*unit.sizes[:axis], *unit.sizes[axis + 1 :]):
        if other < height:
            yield size - sqrt(height**2 - other**2)
