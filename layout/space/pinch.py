"""The place where a way is narrowest: two points of the floor's border that face each other across it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.erosion import Probe, rings
from layout.space.space import TOUCH

Segment = tuple[Point, Point]
Array = NDArray[np.float64]
# Links of one pair of edges that differ less than this are alike: the edges are parallel, mm.
_ALIKE = 1e-3
# The buffer rounds its outline to a ten thousandth of its radius, and may lose what is left of a gap to it.
_ROUNDED = 1 + 2e-4


@dataclass(frozen=True, kw_only=True, slots=True)
class Gap:
    """A straight gap between two borders, `width` mm wide from one of its `ends` to the other."""

    width: float
    ends: Segment


def gap_across(free: BaseGeometry, path: LineString, low: Probe, high: Probe) -> Gap | None:
    """Return the narrowest gap that `path` goes through, too narrow for `high`; None if there is none.

    `path` is a line for the middle of a disc as wide as `low`, so no gap across it is narrower than that. A disc
    grown until it is stuck touches two borders at the ends of a diameter (else it could step aside), and that
    diameter is the shortest link of two edges. So it is enough to look at such links that are between the
    two widths and cross the path where the wider disc cannot be.
    """
    tight = shapely.difference(path, high.room)
    edges = _edges(free)
    lines = shapely.linestrings(edges)
    widest = 2 * high.reach * _ROUNDED
    # Both ends of such a link are at least half of `low` from the place where it crosses the path.
    shapely.prepare(tight)
    near = np.flatnonzero(shapely.dwithin(tight, lines, widest - low.width / 2))
    links = _links(edges[near], low.width - TOUCH, widest)
    middles = shapely.get_coordinates(shapely.line_interpolate_point(shapely.get_parts(tight), 0.5, normalized=True))
    shapely.prepare(path)
    gaps = [link for family in links if (link := _crossing(family, path, middles)) is not None]
    return min(gaps, key=lambda gap: (gap.width, gap.ends), default=None)


def nearest_names(segment: Segment, named: Sequence[tuple[str, BaseGeometry]]) -> tuple[str, str]:
    """Return the names of the outlines that the two ends of a gap touch, '' where it is the room's own wall."""
    first, second = (_name_at(end, named) for end in segment)
    return first, second


def _name_at(end: Point, named: Sequence[tuple[str, BaseGeometry]]) -> str:
    if not named:
        return ""
    apart = shapely.distance(np.array([shape for _, shape in named]), shapely.points(end))
    nearest = int(np.argmin(apart))
    return named[nearest][0] if apart[nearest] <= TOUCH else ""


def _edges(free: BaseGeometry) -> Array:
    return np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings(free)])


def _links(edges: Array, low: float, high: float) -> list[Array]:
    """Return the shortest links of all pairs of edges that are between `low` and `high` mm long.

    Each as its first and its last place, two points each, which are the same unless the edges are parallel.
    """
    i, j = _pairs(edges, high)
    one, other = edges[i], edges[j]
    ends = [_from_end(one, other, k) for k in (0, 1)] + [_from_end(other, one, k)[:, ::-1] for k in (0, 1)]
    links = np.stack(ends, axis=1)
    lengths = np.hypot(*np.moveaxis(links[:, :, 1] - links[:, :, 0], -1, 0))
    least = lengths.min(axis=1)
    kept = np.flatnonzero((least >= low) & (least <= high))
    return [_family(links[k][lengths[k] <= least[k] + _ALIKE]) for k in kept]


def _pairs(edges: Array, high: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the pairs of edges whose boxes are at most `high` mm apart along either axis, as two lists of numbers."""
    first, last = edges.min(axis=1), edges.max(axis=1)
    apart = np.maximum(first[:, None], first) - np.minimum(last[:, None], last)
    i, j = np.nonzero(np.triu((apart <= high + _ALIKE).all(axis=2), 1))
    return i, j


def _from_end(one: Array, other: Array, end: int) -> Array:
    """Return the shortest links from an end of each edge of `one` to the edge of `other`, as pairs of points."""
    point, foot, side = one[:, end], other[:, 0], other[:, 1] - other[:, 0]
    share = ((point - foot) * side).sum(axis=1) / (side * side).sum(axis=1)
    return np.stack([point, foot + side * np.clip(share, 0, 1)[:, None]], axis=1)


def _family(links: Array) -> Array:
    """Return the two links of `links` that are the farthest apart."""
    apart = np.hypot(*np.moveaxis(links[:, None, 0] - links[None, :, 0], -1, 0))
    return links[list(np.unravel_index(int(np.argmax(apart)), apart.shape))]


def _crossing(family: Array, path: LineString, middles: Array) -> Gap | None:
    """Return the link of the family that crosses the path, nearest to one of the `middles` of its tight stretches."""
    first, last = family
    step = last[0] - first[0]
    size = float(step @ step)
    shares = np.clip((middles - first[0]) @ step / size, 0, 1) if size else np.zeros(1)
    links = first + (last - first) * np.array([*shares, 0.5, 0.0, 1.0])[:, None, None]
    crossing = np.flatnonzero(shapely.dwithin(path, shapely.linestrings(links), TOUCH))
    if not len(crossing):
        return None
    (ax, ay), (bx, by) = links[crossing[0]]
    width = min(float(np.hypot(*(link[1] - link[0]))) for link in family)
    return Gap(width=width, ends=((float(ax), float(ay)), (float(bx), float(by))))
