"""First places for the points, by crossing circles and lines one point after the other.

Two circles cross at two places. Where another measurement tells them apart the right one is taken; where none does
both are gone on with, and the better of the finished pictures wins: the smaller misfit, then corners whose
order goes round a floor without crossing itself, the larger floor.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from layout.errors import ValueFaultError
from layout.model.survey import Axes, Survey
from layout.survey.axes import is_right_way, named, turned
from layout.survey.functions import Distance, Entry, Offset, Row, Vector
from layout.survey.loci import Locus, Place, Ring, Straight, crossing, meet
from layout.survey.network import PATH, Network, start_of
from layout.survey.outline import area, crosses_itself
from layout.survey.ties import unplaced_text

_MOST_PICTURES = 64
# Two places of a point are told apart by a third measurement only if it fits one better by more than this, mm.
_APART = 100.0
LEAST_CROSSING = 0.02  # the sine of the angle; flatter than this a place is left open
_BASES = 3
_GROSS = 25.0  # mm: no reading of a tape is so far off without a slip
_SAME_FIT = 1.0  # mm of misfit between pictures that count as equal


def first_places(net: Network, survey: Survey) -> Vector:
    """Return first values of all unknowns, mm, good enough to start the adjustment from.

    Raises
    ------
    ValueFaultError
        When points cannot be placed; the text names them and what else to measure.
    """
    finished: list[Vector] = []
    stuck: list[Vector] = []
    for u in _bases(net, survey):
        _grow(net, u, None if net.absolute else survey.axes, finished, stuck)
        if finished:
            break
    if not finished:
        raise ValueFaultError(PATH, unplaced_text(net, min(stuck, key=lambda u: int(np.isnan(u).sum()))))
    wrong, best = min(misfit(net, u) for u in finished)
    even = [u for u in finished if misfit(net, u) <= (wrong, best + _SAME_FIT)]
    return max(even, key=lambda u: _looks(net, survey, u))


def misfit(net: Network, u: Vector) -> tuple[int, float]:
    """Return how many rows are grossly off, and the sum of all that they are off, mm.

    The number comes first: a picture with one reading far off is likelier than one in which two share that.
    """
    off = [abs(row.value - row.at(u)[0]) for row in net.rows]
    return sum(mm > _GROSS for mm in off), sum(off)


def _looks(net: Network, survey: Survey, u: Vector) -> tuple[bool, bool, float]:
    ring = [net.place(u, p) for p in survey.order if p in net.points]
    size = area(ring) if survey.axes and not (survey.axes.rear or survey.axes.left) else abs(area(ring))
    return not crosses_itself(ring), is_right_way(net, u, survey.axes), round(size, 3)


def _bases(net: Network, survey: Survey) -> Iterator[Vector]:
    """Yield what to begin with: the known places; without any, the two ends of a measured distance, longest first."""
    u = start_of(net, survey)
    distances = sorted((r for r in net.rows if _is_distance(r)), key=lambda r: -r.value)
    if net.absolute or not distances:
        yield u
        return
    for row in distances[:_BASES]:
        (_, function), v = row.terms[0], u.copy()
        v[[function.a, function.a + 1, function.b, function.b + 1]] = (0.0, 0.0, row.value, 0.0)  # type: ignore[union-attr]  # a distance
        yield v


def _is_distance(row: Row) -> bool:
    return len(row.terms) == 1 and isinstance(row.terms[0][1], Distance)


def _grow(net: Network, u: Vector, axes: Axes | None, finished: list[Vector], stuck: list[Vector]) -> None:
    """Place one point after the other, the surest first; add every finished picture.

    While `axes` are given the picture does not lie in them yet: what is measured off the centreline waits until all
    else stands and the picture has been turned.
    """
    if len(finished) >= _MOST_PICTURES:
        return
    if not np.isnan(u).any() and axes is None:
        finished.append(u)
        return
    best = _surest(net, u, off_centreline=axes is None)
    if best is None:
        if axes is None or any(np.isnan(net.place(u, p)).any() for p in named(net, axes)):
            stuck.append(u)
        else:
            _grow(net, turned(net, u, axes), None, finished, stuck)
        return
    for place in best[2]:
        v = u.copy()
        v[best[1] : best[1] + 2] = place
        _grow(net, v, axes, finished, stuck)


def _surest(net: Network, u: Vector, *, off_centreline: bool) -> tuple[float, int, list[Place]] | None:
    """Return how surely the point that can be placed best is placed, its number, and where it can be."""
    best: tuple[float, int, list[Place]] | None = None
    for i in range(0, 2 * len(net.points), 2):
        found = _candidates(net, u, i, off_centreline=off_centreline) if np.isnan(u[i]) else None
        if found and (best is None or found[0] > best[0] + 1e-9):
            best = (found[0], i, found[1])
    return best


def _candidates(net: Network, u: Vector, i: int, *, off_centreline: bool) -> tuple[float, list[Place]] | None:
    """Return how surely the point at `i` can be placed, and where it can be; None if it cannot yet."""
    rows = [row for row in net.rows if off_centreline or not isinstance(row.terms[0][1], Entry)]
    loci = [locus for row in rows if (locus := _locus(row, u, i))]
    best: tuple[float, list[Place]] | None = None
    for one, other in combinations(loci, 2):
        places = meet(one, other)
        sure = min((crossing(one, other, place) for place in places), default=0.0)
        if places and sure > LEAST_CROSSING and (best is None or sure > best[0]):
            best = (sure, _told_apart(places, [x for x in loci if x is not one and x is not other]))
    return best


def _told_apart(places: tuple[Place, ...], others: list[Locus]) -> list[Place]:
    """Return the places that the other loci leave, the better first."""
    fits = sorted((sum(locus.miss(place) for locus in others), place) for place in places)
    return [place for fit, place in fits if fit <= fits[0][0] + _APART]


def _locus(row: Row, u: Vector, i: int) -> Locus | None:
    """Return where the row lets the point at `i` be, all else of it being placed."""
    if len(row.terms) != 1:
        return None
    function = row.terms[0][1]
    if isinstance(function, Entry):
        return (
            Straight(((1.0, 0.0), (0.0, 1.0))[function.index - i], row.value) if function.index in (i, i + 1) else None
        )
    if isinstance(function, Distance):
        other = {function.a: function.b, function.b: function.a}.get(i)
        return None if other is None or np.isnan(u[other]) else Ring(_at(u, other), row.value)
    return _beside(function, row.value, u, i)


def _beside(function: Offset, value: float, u: Vector, i: int) -> Locus | None:
    if function.p != i or np.isnan(u[function.a]) or np.isnan(u[function.b]):
        return None
    (ax, ay), (bx, by) = _at(u, function.a), _at(u, function.b)
    run = float(np.hypot(bx - ax, by - ay)) or 1.0
    ex, ey = (bx - ax) / run, (by - ay) / run
    square = (-ey, ex) if function.out else (ex, ey)
    return Straight(square, value + ax * square[0] + ay * square[1])


def _at(u: Vector, i: int) -> Place:
    return float(u[i]), float(u[i + 1])
