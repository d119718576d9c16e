"""What a measurement is a function of: its value and its slopes, for one row of the adjustment."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
# The number of an unknown, and how fast the measured value grows with it.
Slopes = tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Distance:
    """The distance between the points whose x stand at `a` and `b` of the unknowns, y right after."""

    a: int
    b: int

    def at(self, u: Vector) -> tuple[float, Slopes]:
        """Return the value in mm and the slopes at the unknowns `u` (mm)."""
        dx, dy = u[self.b] - u[self.a], u[self.b + 1] - u[self.a + 1]
        run = hypot(dx, dy) or 1e-9
        ex, ey = dx / run, dy / run
        return run, ((self.a, -ex), (self.a + 1, -ey), (self.b, ex), (self.b + 1, ey))


@dataclass(frozen=True, slots=True)
class Entry:
    """An unknown itself: a coordinate, or a length of its own."""

    index: int

    def at(self, u: Vector) -> tuple[float, Slopes]:
        """Return the value in mm and the slope at the unknowns `u` (mm)."""
        return float(u[self.index]), ((self.index, 1.0),)


@dataclass(frozen=True, slots=True)
class Offset:
    """How far the point at `p` is along the line from `a` to `b`, or `out` to its left.

    With the unit vectors e along the line and n to its left, q from a to p and the line's length s:
    along = q·e, out = q·n; turning the line by a small angle t turns e by n t and n by -e t.
    """

    p: int
    a: int
    b: int
    out: bool

    def at(self, u: Vector) -> tuple[float, Slopes]:
        """Return the value in mm and the slopes at the unknowns `u` (mm)."""
        p, a, b = u[self.p : self.p + 2], u[self.a : self.a + 2], u[self.b : self.b + 2]
        run = float(np.hypot(*(b - a))) or 1e-9
        e = (b - a) / run
        n = np.array([-e[1], e[0]])
        along, out = float((p - a) @ e), float((p - a) @ n)
        of_p, of_b = (n, -along / run * n) if self.out else (e, out / run * n)
        slopes = [(self.p, of_p), (self.b, of_b), (self.a, -of_p - of_b)]
        flat = tuple((start + i, float(slope[i])) for start, slope in slopes for i in (0, 1))
        return (out if self.out else along), flat


Function = Distance | Entry | Offset


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One row: the sum of `terms` (a factor and a function each) is `value`, give or take `sigma`; mm.

    `name` is the measurement's, empty for what must hold without having been measured.
    """

    name: str
    value: float
    sigma: float
    terms: tuple[tuple[float, Function], ...]

    def at(self, u: Vector) -> tuple[float, Slopes]:
        """Return the sum in mm and its slopes at the unknowns `u` (mm)."""
        parts = [(factor, *function.at(u)) for factor, function in self.terms]
        total = sum(factor * value for factor, value, _ in parts)
        return total, tuple((i, factor * slope) for factor, _, slopes in parts for i, slope in slopes)
