"""The exact grid of cutting: whole ticks of 125 nm, on which both 1 µm and 1/64 in are whole."""

from __future__ import annotations

import math
from fractions import Fraction

TICKS_PER_MM = 8000
"""1 µm is 8 ticks, 1/64 in is 3175 ticks."""

# A float cannot say most decimals exactly; a length this near to a tick (in ticks) means that tick.
_NEAR = Fraction(1, 1000)


def ticks_up(mm: float) -> int:
    """Return `mm` in ticks, rounded up: for parts, kerf and trim, which must never come out smaller."""
    exact, nearest = _nearest(mm)
    return nearest if abs(exact - nearest) <= _NEAR else math.ceil(exact)


def ticks_down(mm: float) -> int:
    """Return `mm` in ticks, rounded down: for sheets, which must never be taken for larger than they are."""
    exact, nearest = _nearest(mm)
    return nearest if abs(exact - nearest) <= _NEAR else math.floor(exact)


def to_mm(ticks: int) -> float:
    """Return the float in mm that is nearest to a whole number of ticks."""
    return ticks / TICKS_PER_MM


def _nearest(mm: float) -> tuple[Fraction, int]:
    exact = Fraction(mm) * TICKS_PER_MM
    return exact, round(exact)
