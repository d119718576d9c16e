"""What to measure still, in words, when points cannot be placed."""

from __future__ import annotations

from itertools import combinations
from math import hypot

import numpy as np

from layout.survey.functions import Distance, Entry, Function, Offset, Vector
from layout.survey.loci import Ring, meet
from layout.survey.network import Network

_MOST = 4


def unplaced_text(net: Network, u: Vector) -> str:
    """Return which points have no place yet (nan in `u`), what ties them, and what else to measure."""
    open_points = [p for p in net.points if np.isnan(u[net.x_of(p)])]
    placed = [p for p in net.points if p not in open_points]
    if not placed:
        return "nothing to begin with: measure the distance between two points, or give known: a point's place"
    said = [_about(net, u, point, placed) for point in open_points[:_MOST]]
    more = [f"and {len(open_points) - _MOST} more points likewise"] if len(open_points) > _MOST else []
    return "; ".join([*said, *more])


def loose_text(net: Network, points: list[str]) -> str:
    """Return that the points can still move though all measurements hold, and what else to measure."""
    names = ", ".join(points[:_MOST]) + (" ..." if len(points) > _MOST else "")
    others = [p for p in net.points if p not in points] or [p for p in net.points if p != points[0]]
    example = f"{points[0]}-{others[0]}" if others else points[0]
    return f"{names} can still move though all measurements hold; measure one more, such as {example}"


def _about(net: Network, u: Vector, point: str, placed: list[str]) -> str:
    i = net.x_of(point)
    tied = [p for p in net.points if p != point and any(_ties(f, i, net.x_of(p)) for f in _functions(net))]
    fixed, hanging = [p for p in tied if p in placed], [p for p in tied if p not in placed]
    if len(fixed) > 1:
        if _is_flat(net, u, i):
            text = f"{point} lies nearly on the line through {' and '.join(fixed[:2])}, so how far beside it stays open"
            return f"{text}; measure {point} from a point to the side, or say in sums that it is on that line"
        lengths = ", ".join(f"{row.name} {row.value:g}" for row in net.rows if row.name and _is_of(row.terms[0][1], i))
        text = f"what was measured of {point} cannot meet in one place ({lengths} mm"
        return f"{text}, with {' and '.join(fixed[:2])} {_apart(net, u, fixed):.0f} mm apart); measure these again"
    new = [p for p in placed if p not in fixed]
    wanted = " and ".join(f"{point}-{p}" for p in new[: 2 - len(fixed)]) or f"an offset of {point} from a line"
    if fixed:
        return f"{point} is tied to {fixed[0]} alone, and can go round it; measure {wanted} too"
    entries = [(row.name, row.terms[0][1]) for row in net.rows if row.name]
    single = [name for name, function in entries if isinstance(function, Entry) and _is_of(function, i)]
    if single:
        return f"of {point} only {single[0]} was measured; measure how far {point} is the other way too"
    if hanging:
        return f"{point} is tied to {', '.join(hanging[:_MOST])}, but to no point with a place; measure {wanted} too"
    return f"{point} is tied to no point with a place; measure {wanted}"


def _apart(net: Network, u: Vector, points: list[str]) -> float:
    """Return how far the first two points lie apart, mm."""
    (ax, ay), (bx, by) = net.place(u, points[0]), net.place(u, points[1])
    return hypot(bx - ax, by - ay)


def _is_flat(net: Network, u: Vector, i: int) -> bool:
    """Return whether what was measured of the point meets, but at too flat an angle to place it."""
    rings = [
        Ring((float(u[j]), float(u[j + 1])), row.value)
        for row in net.rows
        for f in (row.terms[0][1],)
        if isinstance(f, Distance) and i in (f.a, f.b)
        for j in (f.a + f.b - i,)
        if not np.isnan(u[j])
    ]
    return any(a.centre != b.centre and meet(a, b) for a, b in combinations(rings, 2))


def _functions(net: Network) -> list[Function]:
    return [function for row in net.rows for _, function in row.terms]


def _indices(function: Function) -> tuple[int, ...]:
    if isinstance(function, Distance):
        return function.a, function.b
    return (function.index,) if isinstance(function, Entry) else (function.p, function.a, function.b)


def _ties(function: Function, i: int, j: int) -> bool:
    return isinstance(function, Distance | Offset) and i in _indices(function) and j in _indices(function)


def _is_of(function: Function, i: int) -> bool:
    return i in _indices(function) or i + 1 in _indices(function)
