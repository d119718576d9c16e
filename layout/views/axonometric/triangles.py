"""Polygons with holes cut into triangles that use their corners only, so that meshes of several faces stay closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Point = tuple[float, float]
Ring = Sequence[int]
Triangle = tuple[int, int, int]
_FLAT = 1e-9  # share of the outline's size, squared, that is no area


def triangles(points: Sequence[Point], rings: Sequence[Ring]) -> tuple[Triangle, ...]:
    """Return triangles that fill a polygon, as places in `points`, anticlockwise.

    Parameters
    ----------
    points
        Corners, shape (n, 2), in any unit.
    rings
        The outline, anticlockwise, and its holes, clockwise, as places in `points`.

    Notes
    -----
    Ears are cut off: a corner whose triangle holds no other corner is taken away until three are left; holes are
    joined to the outline by a bridge first. There are n + 2 h - 2 triangles for n corners and h holes.
    """
    loop = _joined(points, rings)
    size = max(abs(points[i][axis] - points[loop[0]][axis]) for i in loop for axis in (0, 1))
    return tuple(_cut_off(points, loop, _FLAT * size * size))


def _cut_off(points: Sequence[Point], loop: list[int], speck: float) -> Iterator[Triangle]:
    """Yield ears, each time the fattest, so that no slivers pile up, and what is left at last."""
    inward = _inward(points, loop)
    ranks = [_rank(points, inward, _around(loop, at), speck) for at in range(len(loop))]
    while len(loop) > 3:  # noqa: PLR2004 (a triangle)
        at = ranks.index(max(ranks))
        yield _around(loop, at)
        del loop[at], ranks[at]
        # A corner that turned inward may turn outward now; the others see the same room as before.
        for beside in (at - 1, at % len(loop)):
            ranks[beside] = _rank(points, inward, _around(loop, beside), speck)
    yield loop[0], loop[1], loop[2]


def turn(a: Point, b: Point, c: Point) -> float:
    """Return twice the area of a triangle: positive where it turns to the left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def is_convex(points: Sequence[Point], ring: Ring) -> bool:
    """Return whether a ring, anticlockwise, turns to the left or not at all at every corner."""
    corners = [points[i] for i in ring]
    size = max(abs(p[axis] - corners[0][axis]) for p in corners for axis in (0, 1))
    turns = [turn(corners[i - 2], corners[i - 1], corners[i]) for i in range(len(corners))]
    return min(turns) >= -_FLAT * size * size


def _around(loop: Ring, at: int) -> Triangle:
    return loop[at - 1], loop[at], loop[(at + 1) % len(loop)]


def _inward(points: Sequence[Point], loop: Ring) -> Floats:
    """Return the corners that turn to the right, shape (n, 2): only they can lie in an ear."""
    around = (_around(loop, at) for at in range(len(loop)))
    found = sorted({points[b] for a, b, c in around if turn(points[a], points[b], points[c]) <= 0})
    return np.array(found).reshape(-1, 2)


def _rank(points: Sequence[Point], inward: Floats, ear: Triangle, speck: float) -> float:
    """Return how fat an ear is, below 0 if it is none.

    Rounding may leave none where corners lie on each other; the least bad of these does no harm then.
    """
    a, b, c = (points[i] for i in ear)
    fatness = _fatness(a, b, c)
    return fatness if turn(a, b, c) > speck and not _held(inward, (a, b, c)) else fatness - 10.0


def _held(inward: Floats, ear: tuple[Point, Point, Point]) -> bool:
    """Return whether any of the corners, those of the ear itself left out, lies in an ear or on its rim."""
    u, v = inward[:, 0], inward[:, 1]
    inside = np.ones(len(inward), dtype=bool)
    for (ax, ay), (bx, by) in zip(ear, (*ear[1:], ear[0]), strict=True):
        inside &= (bx - ax) * (v - ay) - (by - ay) * (u - ax) >= 0
        inside &= (u != ax) | (v != ay)
    return bool(inside.any())


def _fatness(a: Point, b: Point, c: Point) -> float:
    longest = max((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 for p, q in ((a, b), (b, c), (c, a)))
    return turn(a, b, c) / longest if longest else 0.0


def _joined(points: Sequence[Point], rings: Sequence[Ring]) -> list[int]:
    """Return one loop: the outline, with each hole entered and left over the shortest bridge that crosses nothing."""
    loop = list(rings[0])
    holes = sorted(rings[1:], key=lambda ring: (-max(points[i][0] for i in ring), tuple(ring)))
    for number, hole in enumerate(holes):
        rest = [loop, *holes[number:]]
        at, start = _bridge(points, loop, hole, rest)
        turned = [*hole[start:], *hole[: start + 1]]
        loop[at : at + 1] = [loop[at], *turned, loop[at]]
    return loop


def _bridge(points: Sequence[Point], loop: Ring, hole: Ring, rings: Sequence[Ring]) -> tuple[int, int]:
    """Return where a bridge leaves the loop, and where it reaches the hole: at its rightmost corner.

    Holes are joined from the right on, so that this corner always sees one of the loop.
    """
    start = max(range(len(hole)), key=lambda k: (points[hole[k]], -k))
    q = points[hole[start]]
    sides = [(points[ring[k - 1]], points[ring[k]]) for ring in rings for k in range(len(ring))]
    nearest_first = sorted(range(len(loop)), key=lambda at: (_far(points[loop[at]], q), at))
    for at in nearest_first:
        p = points[loop[at]]
        if _opens(points, loop, at, q) and not any(_cross(p, q, a, b) for a, b in sides):
            return at, start
    return nearest_first[0], start


def _opens(points: Sequence[Point], loop: Ring, at: int, q: Point) -> bool:
    """Return whether `q` lies in the angle that the loop leaves open at a corner, where bridges start twice."""
    before, corner, after = (points[i] for i in _around(loop, at))
    left, right = turn(before, corner, q) > 0, turn(corner, after, q) > 0
    return (left and right) if turn(before, corner, after) > 0 else (left or right)


def _far(a: Point, b: Point) -> float:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


def _cross(p: Point, q: Point, a: Point, b: Point) -> bool:
    """Return whether p-q crosses or touches a-b other than at a common corner."""
    if p in (a, b) or q in (a, b):
        return False
    return turn(p, q, a) * turn(p, q, b) <= 0 and turn(a, b, p) * turn(a, b, q) <= 0
