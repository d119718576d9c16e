"""The referee's own arithmetic: lengths as whole steps of the grid, rectangles, and what lies on what."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from layout.model.cutting import CutJob, Damage, Region, Stock

Box = tuple[int, int, int, int]
"""Low x, low y, length and width, in steps of the grid."""
Sides = tuple[int, int, int, int]
"""One number for the left, right, bottom and top edge, in steps of the grid."""

# The grid on which plans are made: an eighth of a micrometre. A float may miss a place on it by a little.
_STEP = Fraction(1, 8000)
_MISS = Fraction(1, 1000)
# A product of floats up to this is right to far less than a thousandth of a step; beyond, fractions are.
_STEPS_PER_MM, _LONGEST = 8000.0, 1e6
_SURE, _DOUBTFUL = 0.0009, 0.0011


def near(mm: float) -> int:
    """Return the step that a length on the grid means."""
    if isinstance(mm, float) and abs(mm) < _LONGEST:
        steps = mm * _STEPS_PER_MM
        nearest = round(steps)
        if abs(steps - nearest) < _DOUBTFUL:
            return nearest
    return round(Fraction(mm) / _STEP)


def up(mm: float) -> int:
    """Return a length rounded up: parts, kerf, trim, the far side of damage."""
    return math.ceil(Fraction(mm) / _STEP - _MISS)


def down(mm: float) -> int:
    """Return a length rounded down: sheets, the near side of damage."""
    return math.floor(Fraction(mm) / _STEP + _MISS)


def on_grid(mm: float) -> bool:
    """Return whether a number is a length on the grid."""
    if isinstance(mm, float) and abs(mm) < _LONGEST:
        steps = mm * _STEPS_PER_MM
        miss = abs(steps - round(steps))
        if miss < _SURE or miss > _DOUBTFUL:
            return miss < _SURE
    return math.isfinite(mm) and abs(Fraction(mm) / _STEP - near(mm)) <= _MISS


def box(region: Region) -> Box:
    """Return the rectangle of a region."""
    return near(region.x), near(region.y), near(region.length), near(region.width)


def damaged(stock: Stock) -> tuple[Box, ...]:
    """Return the damage of a sheet, rounded outwards."""
    return tuple(_damage(each) for each in stock.damage)


def _damage(each: Damage) -> Box:
    far, high = Fraction(each.x) + Fraction(each.length), Fraction(each.y) + Fraction(each.width)
    x, y = down(each.x), down(each.y)
    return x, y, math.ceil(far / _STEP - _MISS) - x, math.ceil(high / _STEP - _MISS) - y


def overlap(one: Box, other: Box) -> bool:
    """Return whether two rectangles share more than an edge."""
    return all(one[axis] < other[axis] + other[axis + 2] and other[axis] < one[axis] + one[axis + 2] for axis in (0, 1))


def factory_trims(job: CutJob, stock: Stock) -> Sides:
    """Return what must come off each factory edge of a sheet: its own trim if it has one, else the job's."""
    own = stock.trim
    if own is None:
        return (up(job.trim),) * 4
    return up(own.left), up(own.right), up(own.bottom), up(own.top)


def walk(root: Region) -> Iterator[Region]:
    """Yield the regions from the whole to the leaves; deep trees do not matter."""
    waiting = [root]
    while waiting:
        region = waiting.pop()
        yield region
        waiting += reversed(region.pieces)


def at(region: Region) -> str:
    """Return a region as a sentence names it."""
    return f"the piece {region.length} × {region.width} mm at {region.x}, {region.y}"
