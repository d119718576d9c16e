"""Where a form may stand: the room at its heights less its breadth, as convex pieces in whole tenths of a millimetre.

Rounding goes inward, so that what the search finds is inside; or outward, so that what it rules out is impossible.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import gcd

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.arrange.problem import HalfPlane, Piece
from layout.model.solid import Solid
from layout.space.space import TOUCH, Space

TENTHS = 10
_SMALL = 1.0  # mm² below which a piece is no place
_BEND = 1e-6
_DUST = 1e-6  # mm² that rounding leaves, and on which offsets stumble
_FINE = 100_000.0  # whole numbers in which the direction of an edge is told


def reference_places(space: Space, solids: Iterable[Solid], grown: float = 0.0) -> BaseGeometry:
    """Return the shifts (x, y; mm) at which all `solids` are inside the space, each `grown` mm larger all round.

    The solids' outlines are taken as their convex hulls: exact for boxes, too few places for hollow outlines.
    """
    found: BaseGeometry | None = None
    for (z0, z1), rings in _by_height(solids, grown).items():
        room = space.common_room(z0, z1)
        for ring in rings:
            places = _eroded(room, ring)
            found = places if found is None else found.intersection(places)
            if found.is_empty:
                return Polygon()
    return Polygon() if found is None else _areas(found)


def _by_height(solids: Iterable[Solid], grown: float) -> dict[tuple[float, float], list[np.ndarray]]:
    groups: dict[tuple[float, float], list[BaseGeometry]] = {}
    for solid in solids:
        groups.setdefault((solid.z0, solid.z1), []).append(Polygon(solid.outline))
    rings: dict[tuple[float, float], list[np.ndarray]] = {}
    for heights, plans in groups.items():
        hulls = {shapely.convex_hull(plan).normalize().wkb: shapely.convex_hull(plan) for plan in plans}
        by = grown - TOUCH
        made = [hull.buffer(by, join_style="mitre") for hull in hulls.values()]
        rings[heights] = [shapely.get_coordinates(hull.exterior)[:-1] for hull in made if not hull.is_empty]
    return rings


def _eroded(room: BaseGeometry, ring: np.ndarray) -> BaseGeometry:
    """Return the shifts at which the convex `ring` lies wholly in `room`: its inside then meets no edge of the room."""
    if room.is_empty:
        return room
    points, number = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(room)), return_index=True)
    starts = np.flatnonzero(number[:-1] == number[1:])
    edges = np.stack([points[starts], points[starts + 1]], axis=1)
    sums = (edges[:, :, None, :] - ring[None, None, :, :]).reshape(len(edges), -1, 2)
    taken = shapely.union_all(shapely.convex_hull(shapely.multipoints(sums)))
    return shapely.transform(room, lambda p: p - ring[0]).difference(taken)


def pieces(places: BaseGeometry, tolerance: float = 0.5, *, outward: bool = False) -> tuple[Piece, ...]:
    """Return convex pieces whose union is the places, to within `tolerance` mm.

    Inside the places, or around them if `outward`.
    """
    room = _simple(places, tolerance, outward=outward)
    return tuple(_half_planes(part, outward=outward) for part in _convex_parts(room))


def _simple(places: BaseGeometry, tolerance: float, *, outward: bool) -> BaseGeometry:
    """Return the places with fewer corners, wholly inside them or wholly around."""
    if outward:
        return places.buffer(2 * tolerance, join_style="mitre").simplify(tolerance)
    simple = places.buffer(-tolerance, join_style="mitre").simplify(tolerance * 0.9)
    kept = _areas(simple.intersection(places))
    # What is narrower than the tolerance is kept as it is: a thing may fit in one line only.
    return kept if not kept.is_empty else places


def _areas(geometry: BaseGeometry) -> BaseGeometry:
    parts = shapely.get_parts(geometry)
    return shapely.multipolygons(parts[(shapely.get_dimensions(parts) == 2) & (shapely.area(parts) > _DUST)])  # noqa: PLR2004 (an area has two dimensions)


def _convex_parts(room: BaseGeometry) -> Iterator[Polygon]:
    for part in shapely.get_parts(room):
        yield from _split(part)


def _split(part: Polygon) -> Iterator[Polygon]:
    """Yield convex parts, by cuts across at the corners that turn inward."""
    if part.area < _SMALL / 100:
        return
    corner = _reflex(part)
    if corner is None:
        yield part
        return
    x, y = corner
    x0, y0, x1, y1 = part.bounds
    cuts = (
        (shapely.box(x0, y0, x, y1), shapely.box(x, y0, x1, y1)),
        (shapely.box(x0, y0, x1, y), shapely.box(x0, y, x1, y1)),
    )
    halves = min(
        ([*_polygons(part.intersection(a)), *_polygons(part.intersection(b))] for a, b in cuts),
        key=lambda parts: sum(_count_reflex(p) for p in parts),
    )
    if len(halves) < 2:  # noqa: PLR2004 (a cut that cuts nothing off)
        yield (
            shapely.convex_hull(part)
            if part.convex_hull.area - part.area < _SMALL
            else part.envelope.intersection(part)
        )
        return
    for half in halves:
        yield from _split(half)


def _polygons(geometry: BaseGeometry) -> list[Polygon]:
    return [p for p in shapely.get_parts(geometry) if p.geom_type == "Polygon" and not p.is_empty]


def _turns(part: Polygon) -> tuple[np.ndarray, np.ndarray]:
    ring = shapely.get_coordinates(shapely.remove_repeated_points(part.normalize().reverse().exterior, 1e-3))[:-1]
    if len(ring) < 3:  # noqa: PLR2004 (a sliver, of which no area is left)
        return ring, np.zeros(len(ring))
    if part.interiors:
        ring = np.concatenate([ring, *(shapely.get_coordinates(i)[:1] for i in part.interiors)])
        return ring, np.array([*np.zeros(len(ring) - len(part.interiors)), *(-1.0 for _ in part.interiors)])
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    size = np.hypot(*before.T) * np.hypot(*after.T)
    if not shapely.is_ccw(shapely.linearrings(ring)):
        cross = -cross
    return ring, cross / np.maximum(size, _BEND)


def _reflex(part: Polygon) -> tuple[float, float] | None:
    ring, turn = _turns(part)
    worst = int(np.argmin(turn))
    return (float(ring[worst][0]), float(ring[worst][1])) if turn[worst] < -1e-4 else None  # noqa: PLR2004 (straight, within rounding)


def _count_reflex(part: Polygon) -> int:
    return int((_turns(part)[1] < -1e-4).sum())  # noqa: PLR2004 (straight, within rounding)


def _half_planes(part: Polygon, *, outward: bool) -> Piece:
    """Return the half-planes of a convex part, in whole tenths of a millimetre."""
    ring = shapely.get_coordinates(part.exterior)[:-1]
    if not shapely.is_ccw(part.exterior):
        ring = ring[::-1]
    planes = [_plane(a, b, outward=outward) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    x0, y0, x1, y1 = part.bounds
    # The bounds are told as well: they are what the solver sees first.
    inward = (x0, y0, x1, y1) if not outward else (x0 - 0.1, y0 - 0.1, x1 + 0.1, y1 + 0.1)
    return tuple(dict.fromkeys([*_bounds(inward), *(plane for plane in planes if plane is not None)]))


def _bounds(box: Sequence[float]) -> list[HalfPlane]:
    low = [int(np.ceil(v * TENTHS - 1e-6)) for v in box[:2]]
    high = [int(np.floor(v * TENTHS + 1e-6)) for v in box[2:]]
    return [(-1, 0, -low[0]), (0, -1, -low[1]), (1, 0, high[0]), (0, 1, high[1])]


def _plane(a: np.ndarray, b: np.ndarray, *, outward: bool) -> HalfPlane | None:
    """Return the half-plane to the left of the edge from a to b; None for one along an axis, which the bounds tell."""
    dx, dy = (float(v) * TENTHS for v in b - a)
    if min(abs(dx), abs(dy)) < 0.5:  # noqa: PLR2004 (half of a tenth)
        return None
    # A cut leaves edges of a millimetre, whose direction must hold over the whole room.
    scale = max(1.0, _FINE / max(abs(dx), abs(dy)))
    dx, dy = round(dx * scale), round(dy * scale)
    over = gcd(abs(dx), abs(dy))
    nx, ny = dy // over, -dx // over
    # Of the two ends the tighter holds, or the looser: rounding has turned the edge a little.
    ends = [nx * float(p[0]) * TENTHS + ny * float(p[1]) * TENTHS for p in (a, b)]
    return (nx, ny, int(np.ceil(max(ends) + 1e-6)) if outward else int(np.floor(min(ends) + 1e-6)))
