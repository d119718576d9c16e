"""How far a strip of the floor is free: exact, for many strips at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.space.space import TOUCH

Array = NDArray[np.float64]
#: How many pairs of a strip and an edge are looked at in one go: few enough for the arrays to stay in the cache.
AT_ONCE = 15_000


@dataclass(frozen=True, kw_only=True)
class Lines:
    """Lines by direction (radians) and offset to the left of the origin, each with a place `at` along it, mm."""

    angle: Array
    offset: Array
    at: Array

    def __getitem__(self, which: NDArray[np.int64] | slice) -> Lines:
        return Lines(angle=self.angle[which], offset=self.offset[which], at=self.at[which])


def joined(some: Sequence[Lines]) -> Lines:
    """Return all lines of `some` as one."""
    return Lines(
        angle=np.concatenate([lines.angle for lines in some]),
        offset=np.concatenate([lines.offset for lines in some]),
        at=np.concatenate([lines.at for lines in some]),
    )


def axes(angle: Array) -> tuple[Array, Array]:
    """Return unit vectors along and to the left of each direction, radians."""
    c, s = np.cos(angle), np.sin(angle)
    return np.stack([c, s], axis=1), np.stack([-s, c], axis=1)


def stretches(lines: Lines, edges: Array, half: float) -> Array:
    """Return from where to where along each line its strip is free around its place; nought to nought if it is not.

    Parameters
    ----------
    lines
        The middle lines of n strips.
    edges
        All edges of the floor's borders, shape (m, 2, 2), mm.
    half
        Half the width of a strip, mm; it is measured narrower by `TOUCH` on either side, so that it may touch.

    Returns
    -------
    Shape (n, 2), mm along the lines: each edge is cut to what lies in the strip, and the nearest cut ends count.
    """
    size = max(1, AT_ONCE // len(edges))
    parts = [_free_around(lines[k : k + size], edges, half - TOUCH) for k in range(0, len(lines.at), size)]
    return np.concatenate(parts) if parts else np.zeros((0, 2))


def _free_around(lines: Lines, edges: Array, half: float) -> Array:
    along, left = axes(lines.angle)
    flat = edges.reshape(-1, 2)
    u = (along @ flat.T).reshape(len(along), -1, 2)
    v = (left @ flat.T - lines.offset[:, None]).reshape(len(along), -1, 2)
    ahead, behind, blocked = _nearest(u, v, lines.at[:, None], half)
    free = _is_inside(u, v, lines.at) & ~blocked & (ahead > behind)
    return np.where(free[:, None], np.stack([behind, ahead], axis=1), 0.0)


def _nearest(u: Array, v: Array, at: Array, half: float) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Return how near the borders in the strip come ahead and behind, and whether one is at the place itself."""
    rise = v[..., 1] - v[..., 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        cuts = [np.where(rise == 0, s > 0, np.clip((s * half - v[..., 0]) / rise, 0, 1)) for s in (-1, 1)]
    one, other = (u[..., 0] + cut * (u[..., 1] - u[..., 0]) for cut in cuts)
    low, high = np.minimum(one, other), np.maximum(one, other)
    inside = (np.minimum(v[..., 0], v[..., 1]) < half) & (np.maximum(v[..., 0], v[..., 1]) > -half)
    ahead = np.where(inside & (low >= at), low, np.inf).min(axis=1)
    behind = np.where(inside & (high <= at), high, -np.inf).max(axis=1)
    return ahead, behind, np.asarray((inside & (low < at) & (high > at)).any(axis=1))


def _is_inside(u: Array, v: Array, at: Array) -> NDArray[np.bool_]:
    """Return whether the place is on the floor: its line crosses borders an odd number of times ahead."""
    crosses = (v[..., 0] > 0) != (v[..., 1] > 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        where = u[..., 0] - v[..., 0] * (u[..., 1] - u[..., 0]) / (v[..., 1] - v[..., 0])
    return np.asarray((crosses & (where > at[:, None])).sum(axis=1) % 2 == 1)
