"""The longest straight item of a given width that lies on a floor: skis, poles, boards.

The item is a rectangle, `width` by its length, in any direction. Its length is what `stretches` measures of a strip,
square ends and all, which is exact: so no answer is too long. What is searched is the place of the strip, and
there an answer may be too short. Where a disc of the item's width may have its middle, a long straight line is
stopped from turning and shifting by that area's corners and by the arcs about corners that jut into the floor. So
every line through two of its corners, or touching two arcs, or one of each, is tried, and those along edges. (The
middle line of the longest item, less half a width at both ends, lies in that area, so the area's longest line is at
most one `width` shorter.) The best lines are then turned and shifted in small steps to where their strips are longest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.space.erosion import enlarged, only_areas, rings
from layout.space.pinch import Segment
from layout.space.stretch import AT_ONCE, Array, Lines, axes, joined, stretches

# How many lines are polished, by steps from which to which share of the width: many roughly, then few finely.
_ROUNDS = ((24, (1 / 2, 1 / 16)), (4, (1 / 16, 1e-4)))
_TURNS = 16
_HAIR = 1e-6
# A step that wins less than this share of itself is too long.
_WORTH = 1e-3


@dataclass(frozen=True, kw_only=True)
class _Corners:
    """Points that an item's middle line passes, at a distance `radius` of half a width or none, mm."""

    points: Array
    radius: Array


def longest_straight(free: BaseGeometry, width: float) -> tuple[float, Segment | None]:
    """Return the length of the longest item found that is `width` mm wide and lies in `free`, and its middle line.

    Never too long, but that the item may be `TOUCH` in a border on either side. It may be too short, since places
    are searched. 0 and None where none fits. The time grows with the cube of the corners: for up to some 200.

    Parameters
    ----------
    free
        Where the item may lie: a polygon or multipolygon, mm.
    width
        The width of the item, mm, above 0.
    """
    floor = only_areas(free)
    ordered = _left_hand(floor)
    if not ordered:
        return 0.0, None
    edges = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in ordered])
    points = _turning_points(floor, ordered, width / 2)
    lines = joined([_along(edges, width / 2), *_through(points, edges)])
    spans = stretches(lines, edges, width / 2)
    for count, steps in _ROUNDS:
        best = _distinct(lines, spans, width / 2, count)
        if not len(best):
            return 0.0, None
        lines, spans = _polished(lines[best], spans[best], edges, width, steps)
    return _longest(lines, spans)


def _longest(lines: Lines, spans: Array) -> tuple[float, Segment]:
    length = spans[:, 1] - spans[:, 0]
    k = int(np.argmax(length))
    along, left = axes(lines.angle[k : k + 1])
    (ax, ay), (bx, by) = spans[k][:, None] * along + lines.offset[k] * left
    return float(length[k]), ((float(ax), float(ay)), (float(bx), float(by)))


def _left_hand(free: BaseGeometry) -> list[Array]:
    """Return the corners of all borders, in an order that keeps the floor to the left."""
    found = []
    for area in shapely.get_parts(free):
        outer, *inner = rings(area)
        found += [outer if _turns_left(outer) else outer[::-1], *(r[::-1] if _turns_left(r) else r for r in inner)]
    return found


def _turns_left(ring: Array) -> bool:
    (x, y), (nx, ny) = (ring[:-1] - ring[0]).T, (ring[1:] - ring[0]).T
    return bool((x * ny - nx * y).sum() > 0)


def _turning_points(free: BaseGeometry, ordered: list[Array], half: float) -> _Corners:
    """Return the corners that jut into the floor, passed at half a width, and the outer corners of the eroded floor."""
    radius, quarter = enlarged(half)
    inner = _left_hand(only_areas(shapely.buffer(free, -radius, quad_segs=quarter)))
    jutting = np.concatenate([ring[:-1][_turns(ring) < 0] for ring in ordered])
    outer = np.concatenate([np.zeros((0, 2)), *(ring[:-1][_turns(ring) > 0] for ring in inner)])
    return _Corners(
        points=np.concatenate([jutting, outer]),
        radius=np.concatenate([np.full(len(jutting), half), np.zeros(len(outer))]),
    )


def _turns(ring: Array) -> Array:
    """Return how each corner turns: above nought to the left."""
    return _cross(ring[:-1] - np.roll(ring[:-1], 1, axis=0), ring[1:] - ring[:-1])


def _along(edges: Array, half: float) -> Lines:
    """Return the lines along each edge, half a width from it: what just fits between two edges is found by these."""
    step = edges[:, 1] - edges[:, 0]
    angle = np.arctan2(step[:, 1], step[:, 0])
    along, left = axes(angle)
    middle = edges.mean(axis=1)
    return Lines(angle=angle, offset=(middle * left).sum(axis=1) + half, at=(middle * along).sum(axis=1))


def _through(points: _Corners, edges: Array) -> list[Lines]:
    """Return the lines that touch the circles of two corners which see each other, on either side of each."""
    pairs = _seeing(points.points, edges)
    return [_tangents(points, pairs, sides) for sides in ((1, 1), (1, -1), (-1, 1), (-1, -1))]


def _seeing(points: Array, edges: Array) -> NDArray[np.int64]:
    """Return the pairs of points that no edge comes between; to touch an edge is no hindrance."""
    a, b = edges[:, 0], edges[:, 1]
    side = _cross(b - a, points[:, None] - a)
    pairs = np.stack(np.triu_indices(len(points), 1), axis=1)
    some = np.array_split(pairs, len(pairs) * len(edges) // AT_ONCE + 1)
    return np.concatenate([part[~_parted(points[part], side[part], edges)] for part in some])


def _parted(ends: Array, side: Array, edges: Array) -> NDArray[np.bool_]:
    """Return which lines an edge crosses; `side` is on which side of each edge the two ends are."""
    line, edge = np.nonzero(side[:, 0] * side[:, 1] < -_HAIR)
    p, a, b = ends[line, 0], edges[edge, 0], edges[edge, 1]
    step = ends[line, 1] - p
    over = _cross(step, a - p) * _cross(step, b - p)
    return np.asarray(np.bincount(line[over < -_HAIR], minlength=len(ends)) > 0)


def _cross(u: Array, v: Array) -> Array:
    return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])


def _tangents(corners: _Corners, pairs: NDArray[np.int64], sides: tuple[int, int]) -> Lines:
    """Return the lines that keep the two corners of each pair on the given sides, at their distances."""
    (i, j), (one, other) = pairs.T, sides
    # A corner with no circle has one side only.
    use = ((one > 0) | (corners.radius[i] > 0)) & ((other > 0) | (corners.radius[j] > 0))
    i, j = i[use], j[use]
    step = corners.points[j] - corners.points[i]
    apart = np.hypot(*step.T)
    lean = (other * corners.radius[j] - one * corners.radius[i]) / np.maximum(apart, _HAIR)
    fits = np.abs(lean) < 1
    i, j, step, lean = i[fits], j[fits], step[fits], lean[fits]
    angle = np.arctan2(step[:, 1], step[:, 0]) + np.arcsin(lean)
    along, left = axes(angle)
    offset = (corners.points[i] * left).sum(axis=1) - one * corners.radius[i]
    at = ((corners.points[i] + corners.points[j]) / 2 * along).sum(axis=1)
    return Lines(angle=angle, offset=offset, at=at)


def _distinct(lines: Lines, spans: Array, apart: float, count: int) -> NDArray[np.int64]:
    """Return the longest `count` lines whose ends are `apart` mm from each other's."""
    length = spans[:, 1] - spans[:, 0]
    along, left = axes(lines.angle)
    ends = spans[:, :, None] * along[:, None] + (lines.offset[:, None] * left)[:, None]
    kept: list[int] = []
    left_over = np.where(length > 0, length, 0.0)
    while len(kept) < count and left_over.max(initial=0.0) > 0:
        kept.append(int(np.argmax(left_over)))
        one = ends[kept[-1]]
        off = (np.abs(ends - turned).max(axis=(1, 2)) for turned in (one, one[::-1]))
        left_over = np.where(np.minimum(*off) > apart, left_over, 0.0)
    return np.array(kept, dtype=np.int64)


def _polished(
    lines: Lines, spans: Array, edges: Array, width: float, steps: tuple[float, float]
) -> tuple[Lines, Array]:
    """Return the lines turned and shifted, by ever smaller `steps`, to where their strips are longest."""
    first, last = steps
    step = np.full(len(spans), first * width)
    while (step > last * width).any():
        tried = _moved(lines, spans, step)
        found = stretches(tried, edges, width / 2).reshape(_TURNS, -1, 2)
        gain = found[..., 1] - found[..., 0]
        which = np.argmax(gain, axis=0)
        best = which * len(spans) + np.arange(len(spans))
        better = gain.max(axis=0) > spans[:, 1] - spans[:, 0] + _WORTH * step
        lines = _chosen(better, tried[best], lines)
        spans = np.where(better[:, None], found.reshape(-1, 2)[best], spans)
        step = np.where(better, step, step / 2)
    return lines, spans


def _chosen(better: NDArray[np.bool_], new: Lines, old: Lines) -> Lines:
    return replace(
        old, angle=np.where(better, new.angle, old.angle), offset=np.where(better, new.offset, old.offset),
        at=np.where(better, new.at, old.at),
    )  # fmt: skip


def _moved(lines: Lines, spans: Array, step: Array) -> Lines:
    """Return the lines shifted and turned about their middles so that their ends move by some `step` mm."""
    aim = 2 * np.pi * np.arange(_TURNS)[:, None] / _TURNS
    along, left = axes(lines.angle)
    middle = spans.mean(axis=1)[:, None] * along + lines.offset[:, None] * left
    turn = np.cos(aim) * step / ((spans[:, 1] - spans[:, 0]) / 2)
    angle = (lines.angle + turn).ravel()
    here = (middle + (np.sin(aim) * step)[..., None] * left).reshape(-1, 2)
    new_along, new_left = axes(angle)
    return Lines(angle=angle, offset=(here * new_left).sum(axis=1), at=(here * new_along).sum(axis=1))
