"""A ring of corners: its area, and whether it crosses itself."""

from __future__ import annotations

from collections.abc import Sequence

Place = tuple[float, float]


def area(ring: Sequence[Place]) -> float:
    """Return the area in mm² inside the corners, negative if they run clockwise (the surveyor's formula)."""
    after = [*ring[1:], *ring[:1]]
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(ring, after, strict=True)) / 2


def squared(ring: Sequence[Place], most: float) -> tuple[Place, ...]:
    """Return the corners with each end that runs across, out of square by at most `most` mm, made square.

    Both its corners get the x of the inner one, so that the ring never holds more than was measured.
    """
    corners, anticlockwise = list(ring), area(ring) > 0
    for i in range(len(corners)):
        j = (i + 1) % len(corners)
        (ax, ay), (bx, by) = corners[i], corners[j]
        if abs(bx - ax) <= min(most, abs(by - ay) / 2):
            # Going up along a ring that runs anticlockwise, the inside is behind; it is a front end.
            x = min(ax, bx) if (by > ay) == anticlockwise else max(ax, bx)
            corners[i], corners[j] = (x, ay), (x, by)
    return tuple(corners)


def crosses_itself(ring: Sequence[Place]) -> bool:
    """Return whether two edges that are no neighbours cross."""
    edges = list(zip(ring, [*ring[1:], *ring[:1]], strict=True))
    n = len(edges)
    return any(_cross(*edges[i], *edges[j]) for i in range(n) for j in range(i + 2, n) if (i, j) != (0, n - 1))


def _cross(a: Place, b: Place, c: Place, d: Place) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Place, b: Place, c: Place) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
