"""A line for the middle of a disc within an eroded floor: straight where it can be, along the borders where not.

The straight line between the two ends leaves the area only through its border rings. Wherever it meets one, it is
followed, the shorter way round, to where the straight line crosses that ring for the last time: so every ring is
followed at most once, and the end is reached. Then the line is pulled tight.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.erosion import Probe, rings

Ring = NDArray[np.float64]
#: How far a pulled line may leave the area, mm: chords over arcs, and rounding.
SLACK = 0.5
_ON_RING = 1e-6
_BESIDE = 1e-3  # mm: a ring whose box is farther from that of a line is not met by it


def rough_route(probe: Probe, start: BaseGeometry, goal: BaseGeometry, via: BaseGeometry | None = None) -> LineString:
    """Return a line in the part of `probe` that joins the zones, from where `start` is touched to the same of `goal`.

    Where the zones are touched along a stretch, the ends are those nearest to each other, or to the place `via`,
    which the line then passes as nearly as the part allows.
    """
    area = probe.way
    first, last = (_touching(area, zone, probe.reach) for zone in (start, goal))
    if via is None:
        stops = shapely.get_coordinates(shapely.shortest_line(first, last))
    else:
        stops = np.concatenate(
            [shapely.get_coordinates(shapely.shortest_line(g, via))[:1] for g in (first, area, last)]
        )
    borders = rings(area)
    return LineString(np.concatenate([leg for p, q in pairwise(stops) for leg in _follow(borders, p, q)]))


def tight_route(rough: LineString, area: BaseGeometry) -> tuple[Point, ...]:
    """Return the corners of `rough` pulled tight; it leaves `area` by at most `SLACK` mm."""
    room = shapely.buffer(area, SLACK, quad_segs=4)
    shapely.prepare(room)
    corners = shapely.get_coordinates(shapely.simplify(rough, SLACK / 2))
    # Pulled from one end it still leaves every bend late, and from the other it leaves them early.
    tight = _pulled(room, _pulled(room, corners)[::-1])[::-1]
    return tuple((float(x), float(y)) for x, y in tight)


def _pulled(room: BaseGeometry, corners: Ring) -> Ring:
    kept, at = [0], 0
    while at < len(corners) - 1:
        at = _farthest_seen(room, corners, at)
        kept.append(at)
    return corners[kept]


def _touching(area: BaseGeometry, zone: BaseGeometry, reach: float) -> BaseGeometry:
    near = shapely.intersection(area, shapely.buffer(zone, reach))
    return near if not near.is_empty else shapely.get_point(shapely.shortest_line(area, zone), 0)


def _farthest_seen(room: BaseGeometry, corners: Ring, at: int) -> int:
    """Return a far corner that is seen from the one at `at`: sought by doubled, then by halved strides."""
    far, stride = at + 1, 1
    while _sees(room, corners, at, far + stride):
        far, stride = far + stride, stride * 2
    while stride > 1:
        stride //= 2
        far += stride if _sees(room, corners, at, far + stride) else 0
    return far


def _sees(room: BaseGeometry, corners: Ring, at: int, far: int) -> bool:
    return far < len(corners) and bool(shapely.covers(room, shapely.linestrings(corners[[at, far]])))


def _follow(borders: list[Ring], p: Ring, q: Ring) -> Iterator[Ring]:
    """Yield the stretches, points each, of the line from `p` to `q` that goes round every ring in its way."""
    yield p[None]
    shares, which, edges = _meetings(borders, p, q)
    at = 0
    while at < len(shares):
        ring = which[at]
        last = int(np.flatnonzero(which == ring)[-1])
        if last > at:
            here, there = (p + (q - p) * shares[i] for i in (at, last))
            yield from (here[None], _round(borders[ring], (edges[at], here), (edges[last], there)), there[None])
        at = last + 1
    yield q[None]


def _meetings(borders: list[Ring], p: Ring, q: Ring) -> tuple[Ring, NDArray[np.int64], NDArray[np.int64]]:
    """Return where the line from `p` to `q` meets the rings: shares of it in order, rings and edges."""
    low, high = np.minimum(p, q) - _BESIDE, np.maximum(p, q) + _BESIDE
    near = [k for k, ring in enumerate(borders) if ((ring.max(axis=0) >= low) & (ring.min(axis=0) <= high)).all()]
    found = [(*meeting, ring) for ring in near for meeting in _on_ring(borders[ring], p, q)]
    found.sort()
    shares = np.array([share for share, _, _ in found])
    return shares, np.array([ring for _, _, ring in found]), np.array([edge for _, edge, _ in found])


def _on_ring(corners: Ring, p: Ring, q: Ring) -> Iterator[tuple[float, int]]:
    step, sides = q - p, np.diff(corners, axis=0)
    turn = step[0] * sides[:, 1] - step[1] * sides[:, 0]
    apart = corners[:-1] - p
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (apart[:, 0] * sides[:, 1] - apart[:, 1] * sides[:, 0]) / turn
        along = (apart[:, 0] * step[1] - apart[:, 1] * step[0]) / turn
    hit = (turn != 0) & (share >= 0) & (share <= 1) & (along >= -_ON_RING) & (along <= 1 + _ON_RING)
    yield from ((float(share[i]), int(i)) for i in np.flatnonzero(hit))
    # An end that lies on the ring belongs to it, whatever rounding makes of the crossing there.
    low, high = corners.min(axis=0) - _BESIDE, corners.max(axis=0) + _BESIDE
    for end, point in ((0.0, p), (1.0, q)):
        if not ((low <= point) & (point <= high)).all():
            continue
        near, to_edges = _distances(point, corners)
        if to_edges.min(initial=np.inf) < _ON_RING:
            yield end, int(near[np.argmin(to_edges)])


def _distances(point: Ring, corners: Ring) -> tuple[NDArray[np.int64], Ring]:
    """Return the edges of a ring that come near a point, and how far each is from it, mm."""
    ends = np.stack([corners[:-1], corners[1:]], axis=1)
    beside = (ends.min(axis=1) <= point + _BESIDE) & (ends.max(axis=1) >= point - _BESIDE)
    near = np.flatnonzero(beside.all(axis=1))
    return near, np.asarray(shapely.distance(shapely.points(point), shapely.linestrings(ends[near])))


def _round(ring: Ring, here: tuple[int, Ring], there: tuple[int, Ring]) -> Ring:
    """Return the corners of the ring between two points on its edges, the shorter way."""
    (a, _), (b, _) = here, there
    count = len(ring) - 1
    onward = ring[(a + 1 + np.arange((b - a) % count)) % count]
    back = ring[(a - np.arange((a - b) % count)) % count]
    return min((onward, back), key=lambda way: _length(np.concatenate([[here[1]], way, [there[1]]])))


def _length(points: Ring) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
