"""Where a point can be for one measurement: on a circle, or on a straight line; and where two of these meet."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

Place = tuple[float, float]
# Circles that miss each other by no more than this, mm, are taken to touch: points of one line, read with a tape.
_TOUCH = 40.0


@dataclass(frozen=True, slots=True)
class Ring:
    """The circle round a place, mm."""

    centre: Place
    radius: float

    def miss(self, at: Place) -> float:
        """Return how far `at` is off it, mm."""
        return abs(hypot(at[0] - self.centre[0], at[1] - self.centre[1]) - self.radius)

    def normal(self, at: Place) -> Place:
        """Return the direction square to it at `at`."""
        dx, dy = at[0] - self.centre[0], at[1] - self.centre[1]
        run = hypot(dx, dy) or 1.0
        return dx / run, dy / run


@dataclass(frozen=True, slots=True)
class Straight:
    """The line of all places whose product with the unit vector `square` is `level`, mm."""

    square: Place
    level: float

    def miss(self, at: Place) -> float:
        """Return how far `at` is off it, mm."""
        return abs(at[0] * self.square[0] + at[1] * self.square[1] - self.level)

    def normal(self, at: Place) -> Place:
        """Return the direction square to it."""
        return self.square


Locus = Ring | Straight


def meet(one: Locus, other: Locus) -> tuple[Place, ...]:
    """Return where two loci meet: no place, one, or two.

    The two circles of radii r0 and r1 with centres d apart meet at a = (r0² - r1² + d²) / 2d along the line between
    the centres and h = √(r0² - a²) to either side of it.
    """
    if isinstance(one, Ring) and isinstance(other, Ring):
        return _rings(one, other)
    if isinstance(one, Straight) and isinstance(other, Straight):
        return _lines(one, other)
    return _ring_and_line(one, other) if isinstance(one, Ring) else _ring_and_line(other, one)  # type: ignore[arg-type]  # one of each is left


def crossing(one: Locus, other: Locus, at: Place) -> float:
    """Return the sine of the angle at which two loci cross at `at`: 1 is best, 0 leaves the place open."""
    (ax, ay), (bx, by) = one.normal(at), other.normal(at)
    return abs(ax * by - ay * bx)


def _rings(one: Ring, other: Ring) -> tuple[Place, ...]:
    dx, dy = other.centre[0] - one.centre[0], other.centre[1] - one.centre[1]
    d = hypot(dx, dy)
    missed = max(d - one.radius - other.radius, abs(one.radius - other.radius) - d)
    if d < 1.0 or missed > _TOUCH:
        return ()
    a = (one.radius**2 - other.radius**2 + d * d) / (2 * d)
    return _either_side(one.centre, (dx / d, dy / d), a, one.radius**2 - a * a)


def _ring_and_line(ring: Ring, line: Straight) -> tuple[Place, ...]:
    nx, ny = line.square
    off = line.level - ring.centre[0] * nx - ring.centre[1] * ny
    if abs(off) > ring.radius + _TOUCH:
        return ()
    return _either_side(ring.centre, (nx, ny), off, ring.radius**2 - off * off)


def _either_side(start: Place, e: Place, along: float, square: float) -> tuple[Place, ...]:
    """Return the places `along` the direction `e` and the root of `square` to its sides."""
    x, y = start[0] + along * e[0], start[1] + along * e[1]
    h = sqrt(max(square, 0.0))
    return ((x - h * e[1], y + h * e[0]), (x + h * e[1], y - h * e[0])) if h else ((x, y),)


def _lines(one: Straight, other: Straight) -> tuple[Place, ...]:
    (a, b), (c, d) = one.square, other.square
    det = a * d - b * c
    if abs(det) < 1e-3:  # noqa: PLR2004 (parallel)
        return ()
    return (((one.level * d - b * other.level) / det, (a * other.level - one.level * c) / det),)
