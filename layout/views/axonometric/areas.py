"""What shows of every face, exactly: its area as seen, less what stands before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.views.axonometric.bodies import Floats
from layout.views.axonometric.hiding import DEPTH
from layout.views.axonometric.pieces import Pieces

Ints = NDArray[np.int64]
Shapes = NDArray[np.object_]
# Slivers narrower than this are nothing that shows, mm.
_HAIR = 0.2
# Corners are rounded to this, mm, since what is cut up often without rounding loses its way.
_GRID = 1e-3
# Corners count as inside when they are no farther outside than this, mm.
_ON = 1e-6
_PARALLEL = 1e-9
_COLLECTION = int(shapely.GeometryType.GEOMETRYCOLLECTION)
_MOST = 50_000  # pairs looked at together, so that the memory stays small


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """What shows of the faces of a group that look one way: `tone` tells the way, 0 up, 1 to the rear, 2 aside."""

    group: int
    tone: int
    area: BaseGeometry


def shown_areas(faces: Pieces, group: Ints, tones: Ints) -> tuple[Shown, ...]:
    """Return what shows of each group, by tone; `group` and `tones` (k,) tell of each piece what it is of."""
    left = _uncovered(faces, group)
    made = []
    for key in sorted({(int(g), int(t)) for g, t in zip(group, tones, strict=True)}):
        mine = left[(group == key[0]) & (tones == key[1])]
        area = _clean(mine[~shapely.is_empty(mine)])
        if not area.is_empty:
            made.append(Shown(group=key[0], tone=key[1], area=area))
    return tuple(made)


def _clean(parts: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the parts as one, closed where they meet, without slivers."""
    grown = shapely.union_all(shapely.buffer(parts, _HAIR / 4, join_style="mitre"))
    shrunk = shapely.buffer(grown, -_HAIR / 4 - _HAIR / 2, join_style="mitre")
    return shapely.buffer(shrunk, _HAIR / 2, join_style="mitre").normalize()


def _uncovered(faces: Pieces, group: Ints) -> Shapes:
    """Return what other pieces leave to be seen of each piece."""
    shapes = shapely.polygons(faces.corners[:, :, :2])
    covers = _covers(faces)
    left: Shapes = shapes.copy()
    left[covers.whole] = Polygon()
    of, cover = _as_groups(covers, shapes, group)
    if not len(of):
        return left
    order = np.argsort(of, kind="stable")
    rows, starts = np.unique(of[order], return_index=True)
    for row, low, high in zip(rows, starts, [*starts[1:], len(of)], strict=True):
        before = [cover[i] for i in order[low:high]]
        whole = before[0] if len(before) == 1 else shapely.union_all(before, grid_size=_GRID)
        left[row] = _areas_in(shapely.difference(left[row], whole, grid_size=_GRID))
    return left


@dataclass(frozen=True, kw_only=True, eq=False)
class _Covers:
    """Which piece shares an area as seen with which other, and whether that is before it: all of it, or a part.

    `slope` tells how far it is before it, as a plane; `whole` of each piece, whether a single other hides all of it.
    """

    of: Ints
    by: Ints
    before: NDArray[np.bool_]
    mixed: NDArray[np.bool_]
    slope: Floats
    whole: NDArray[np.bool_]


def _covers(faces: Pieces) -> _Covers:
    boxes = shapely.box(*faces.corners[:, :, :2].min(axis=1).T, *faces.corners[:, :, :2].max(axis=1).T)
    of, by = shapely.STRtree(boxes).query(boxes)
    other = (faces.body[of] != faces.body[by]) | (faces.face[of] != faces.face[by])
    of, by = of[other], by[other]
    found = [_depths(faces, of[i : i + _MOST], by[i : i + _MOST]) for i in range(0, len(of), _MOST)]
    low, high, held = (np.concatenate([f[i] for f in found]) if found else np.zeros(0) for i in range(3))
    whole = np.zeros(len(faces), dtype=bool)
    whole[of[(held > 0) & (low > -DEPTH) & (high > DEPTH)]] = True
    kept = np.isfinite(low) & ~whole[of]
    of, by, low, high = of[kept], by[kept], low[kept], high[kept]
    return _Covers(
        of=of,
        by=by,
        before=high > DEPTH,
        mixed=(high > DEPTH) & (low < -DEPTH),
        slope=faces.plane[by] - faces.plane[of],
        whole=whole,
    )


def _as_groups(covers: _Covers, shapes: Shapes, group: Ints) -> tuple[Ints, list[BaseGeometry]]:
    """Return what is to be taken off which piece.

    A group of which all that a piece overlaps with is before it is taken off as one outline; else piece by piece.
    """
    key = covers.of * (int(group.max(initial=0)) + 1) + group[covers.by]
    keys, place, counts = np.unique(key, return_inverse=True, return_counts=True)
    before = np.bincount(place, weights=covers.before & ~covers.mixed, minlength=len(keys))
    # The outline of its own group holds the piece itself.
    others = np.bincount(place, weights=group[covers.of] != group[covers.by], minlength=len(keys))
    as_one = (before == counts) & (others == counts) & (counts > 1)
    single = np.flatnonzero(~as_one[place] & covers.before)
    first = np.unique(place[as_one[place]], return_index=True)[1]
    one = np.flatnonzero(as_one[place])[first]
    outlines = {g: shapely.union_all(shapes[group == g], grid_size=_GRID) for g in np.unique(group[covers.by[one]])}
    cut = [_nearer(shapes[covers.by[i]], covers.slope[i]) if covers.mixed[i] else shapes[covers.by[i]] for i in single]
    return np.concatenate([covers.of[one], covers.of[single]]), [*(outlines[group[covers.by[i]]] for i in one), *cut]


def _depths(faces: Pieces, of: Ints, by: Ints) -> tuple[Floats, Floats, Floats]:
    """Return how far `by` is before `of` where they overlap, the least and the most, mm, and if it covers all of it.

    What two convex pieces share has its corners at corners of the one that lie in the other and where their sides
    cross; how far the one plane is before the other is linear, so that its extremes are there.
    """
    one, other = faces.corners[of][:, :, :2], faces.corners[by][:, :, :2]
    crossings, cross = _crossings(one, other)
    points = np.concatenate([one, other, crossings], axis=1)
    inside = np.concatenate([_within(one, faces.sides[by]), _within(other, faces.sides[of]), cross], axis=1)
    slope = faces.plane[by] - faces.plane[of]
    ahead = (points * slope[:, None, :2]).sum(axis=2) + slope[:, None, 2]
    low = np.where(inside, ahead, np.inf).min(axis=1)
    high = np.where(inside, ahead, -np.inf).max(axis=1)
    # What merely touches shares corners too, yet no area.
    wide = np.ptp(np.where(inside[:, :, None], points, points[:, :1]), axis=1).min(axis=1) > _ON
    touching = ~wide & ~inside[:, :4].all(axis=1)
    return np.where(touching, np.inf, low), np.where(touching, -np.inf, high), inside[:, :4].all(axis=1).astype(float)


def _within(points: Floats, sides: Floats) -> NDArray[np.bool_]:
    """Return of each of n points, shape (k, n, 2), whether it lies within all sides (k, 4, 3)."""
    inside = np.einsum("knc,ksc->kns", points, sides[:, :, :2]) + sides[:, None, :, 2]
    return np.asarray((inside > -_ON).all(axis=2), dtype=bool)


def _crossings(one: Floats, other: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return where the sides of two quadrilaterals (k, 4, 2) cross, (k, 16, 2), and whether they do."""
    a, r = one[:, :, None], (np.roll(one, -1, axis=1) - one)[:, :, None]
    b, s = other[:, None], (np.roll(other, -1, axis=1) - other)[:, None]
    turn = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    across = np.abs(turn) > _PARALLEL
    safe = np.where(across, turn, 1.0)
    gap = b - a
    t = (gap[..., 0] * s[..., 1] - gap[..., 1] * s[..., 0]) / safe
    u = (gap[..., 0] * r[..., 1] - gap[..., 1] * r[..., 0]) / safe
    crossed = across & (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)
    points = a + r * t[..., None]
    return points.reshape(len(one), 16, 2), crossed.reshape(len(one), 16)


def _areas_in(shape: BaseGeometry) -> BaseGeometry:
    """Return the areas of a shape without the lines and points in which faces merely touch."""
    if shapely.get_type_id(shape) != _COLLECTION:
        return shape
    every = shapely.get_parts(shape)
    return shapely.union_all(every[shapely.get_dimensions(every) == 2])  # noqa: PLR2004 (an area has two dimensions)


def _nearer(part: Polygon, slope: Floats) -> BaseGeometry:
    """Return the side of the part on which the difference of planes `slope` is positive."""
    steep = float(np.linalg.norm(slope[:2]))
    x, y = -slope[2] * slope[:2] / steep**2
    nx, ny = slope[:2] / steep
    far = 1e5  # mm, beyond every room
    half = [
        (x - ny * far, y + nx * far), (x + ny * far, y - nx * far),
        (x + (ny + nx) * far, y + (ny - nx) * far), (x + (nx - ny) * far, y + (nx + ny) * far),
    ]  # fmt: skip
    return part.intersection(Polygon(half))
