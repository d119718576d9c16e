"""Whether an item of some length may lie on a floor: a proof that none does, quicker than a search.

Let a part of the floor be L by H, L along, and the item be longer than T. Its middle line goes at most H across, so
at least sqrt(T^2 - H^2) along, and passes all places between L less that and that. At each of these gates it is half
the width or more from the borders on either side. And at an angle a, with its square ends, it is no longer than
(L - width sin a) / cos a, which over a range of angles is largest at one end of it.

So: all lines that are steep enough to be longer than T are told by where they meet the first gate and the last, in
square cells; cells are dropped of which at some gate no line passes, and those left are quartered, a few times.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout.space.erosion import only_areas, rings
from layout.space.space import TOUCH
from layout.space.stretch import Array

_GATES = 64
_CELLS = 12  # along either side of the first square
_TIMES = 7  # how often they are quartered
_MOST = 1500  # with more cells left, no proof is in sight
_HAIR = 1e-6


def may_hold(free: BaseGeometry, width: float, length: float) -> bool:
    """Return whether an item `width` mm wide and longer than `length` mm may lie in `free`; if not, none does.

    Like the search (`longest_straight`), it takes the item narrower by `TOUCH` on either side.
    """
    half = width / 2 - TOUCH
    return any(_may_hold(part, half, length) for part in shapely.get_parts(only_areas(free)))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Gates:
    """Places `at` along a part of the floor `size` mm long, and the spans (gates, n, 2) that the middle may be in."""

    size: float
    half: float
    at: Array
    spans: Array

    def longest(self, cells: Array, side: float) -> Array:
        """Return how long an item may be at the angles of each cell, (n,)."""
        across, far = np.abs(cells[:, 1] - cells[:, 0]), self.at[-1] - self.at[0]
        angles = np.arctan(np.stack([np.maximum(across - side, 0.0), across + side]) / far)
        most: Array = ((self.size - 2 * self.half * np.sin(angles)) / np.cos(angles)).max(axis=0)
        return most

    def passed(self, cells: Array, side: float) -> Array:
        """Return of which cells, by their low corners, a line may pass all gates, (n,)."""
        share = (self.at - self.at[0]) / (self.at[-1] - self.at[0])
        low = cells[:, :1] * (1 - share) + cells[:, 1:] * share
        meets = (low[..., None] <= self.spans[:, :, 1]) & (low[..., None] + side >= self.spans[:, :, 0])
        found: Array = meets.any(axis=2).all(axis=1)
        return found


def _may_hold(part: BaseGeometry, half: float, length: float) -> bool:
    x0, y0, x1, y1 = part.bounds
    along = int(y1 - y0 > x1 - x0)
    (low, high), (right, left) = ((x0, x1), (y0, y1)) if along == 0 else ((y0, y1), (x0, x1))
    if hypot(high - low, left - right) <= length - _HAIR:
        return False
    spanned = sqrt(max(length**2 - (left - right) ** 2, 0.0))
    # Where its ends are square, it does not reach as far on both sides.
    first, last = high - spanned + half, low + spanned - half
    if last - first < left - right:
        return True
    gates = _gates(part, along, (first, last), half)
    side = (left - right) / _CELLS
    marks = right + side * np.arange(_CELLS)
    cells = np.stack(np.meshgrid(marks, marks), axis=-1).reshape(-1, 2)
    return _any_left(gates, cells, side, length)


def _any_left(gates: _Gates, cells: Array, side: float, length: float) -> bool:
    for _ in range(_TIMES):
        cells = cells[gates.longest(cells, side) > length - _HAIR]
        cells = cells[gates.passed(cells, side)] if len(cells) <= _MOST else cells
        if not 0 < len(cells) <= _MOST:
            break
        side /= 2
        quarters = side * np.array([(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (1.0, 1.0)])
        cells = (cells[:, None] + quarters).reshape(-1, 2)
    return len(cells) > 0


def _gates(part: BaseGeometry, along: int, span: tuple[float, float], half: float) -> _Gates:
    """Return the gates, with the spans between borders just past each of them; an empty one ends before it begins."""
    x0, y0, x1, y1 = part.bounds
    at = np.linspace(*span, _GATES, endpoint=False)
    edges = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings(part)])
    a, b = (edges[:, end, along] for end in (0, 1))
    p, q = (edges[:, end, 1 - along] for end in (0, 1))
    met = (np.minimum(a, b) <= at[:, None]) & (at[:, None] < np.maximum(a, b))
    where = p + (q - p) * (at[:, None] - a) / np.where(a == b, 1.0, b - a)
    borders = np.sort(np.where(met, where, np.inf), axis=1)[:, : 2 * (met.sum(axis=1).max() // 2)]
    spans = np.stack([borders[:, 0::2] + half, borders[:, 1::2] - half], axis=2)
    spans[~np.isfinite(spans).all(axis=2) | (spans[..., 0] > spans[..., 1])] = (np.inf, -np.inf)
    return _Gates(size=(y1 - y0, x1 - x0)[1 - along], half=half, at=at, spans=spans)
