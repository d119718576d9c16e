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
        Half the width of a strip, mm, above `TOUCH`; it is measured narrower by that on either side, so that it may
        touch.

    Returns
    -------
    Shape (n, 2), mm along the lines: each edge is cut to what lies in the strip, and the nearest cut ends count.
    """
    size = max(1, AT_ONCE // len(edges))
    parts = [_free_around(lines[k : k + size], edges, half - TOUCH) for k in range(0, len(lines.at), size)]
    return np.concatenate(parts) if parts else np.zeros((0, 2))


def _free_around(lines: Lines, edges: Array, half: float) -> Array:
    along, left = axes(lines.angle)
    flat = edges.reshape(-1, 2).T
    v = (left @ flat - lines.offset[:, None]).reshape(len(along), -1, 2)
    one, other = v[..., 0], v[..., 1]
    # Most edges are beside the strip: only the others are worked out.
    line, edge = np.nonzero((np.minimum(one, other) < half) & (np.maximum(one, other) > -half))
    u, v = (along @ flat).reshape(len(along), -1, 2)[line, edge].T, v[line, edge].T
    met = _Met(line=line, at=lines.at, u=u[0], du=u[1] - u[0], v=v[0], dv=v[1] - v[0], over=(v[0] > 0) != (v[1] > 0))
    ahead, behind, blocked = _nearest(met, half)
    free = _is_inside(met) & ~blocked & (ahead > behind)
    return np.where(free[:, None], np.stack([behind, ahead], axis=1), 0.0)


@dataclass(frozen=True, kw_only=True)
class _Met:
    """Edges in strips: the number of each one's `line`, rising, where it begins along (`u`) and left of it (`v`), mm.

    `du` and `dv` are how far it goes on; `over` is whether it goes over the line. `at` is the place on every line.
    """

    line: NDArray[np.int64]
    at: Array
    u: Array
    du: Array
    v: Array
    dv: Array
    over: NDArray[np.bool_]


def _nearest(met: _Met, half: float) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Return how near the borders in the strip come ahead and behind, and whether one is at the place itself."""
    level = met.dv == 0
    rise = np.where(level, 1.0, met.dv)
    cuts = [np.where(level, s > 0, np.minimum(np.maximum((s * half - met.v) / rise, 0), 1)) for s in (-1, 1)]
    one, other = (met.u + cut * met.du for cut in cuts)
    low, high, at = np.minimum(one, other), np.maximum(one, other), met.at[met.line]
    is_ahead, is_behind = low >= at, high <= at
    ahead = _least(met, np.where(is_ahead, low, np.inf))
    behind = -_least(met, np.where(is_behind, -high, np.inf))
    return ahead, behind, _count(met, ~is_ahead & (high > at)) > 0


def _least(met: _Met, values: Array) -> Array:
    """Return the least value of each line, infinity where it has none."""
    found = np.full(len(met.at), np.inf)
    if len(values):
        first = np.append(0, np.flatnonzero(met.line[1:] != met.line[:-1]) + 1)
        found[met.line[first]] = np.minimum.reduceat(values, first)
    return found


def _count(met: _Met, which: NDArray[np.bool_] | NDArray[np.int64]) -> NDArray[np.int64]:
    return np.bincount(met.line[which], minlength=len(met.at))


def _is_inside(met: _Met) -> NDArray[np.bool_]:
    """Return whether the place is on the floor: its line crosses borders an odd number of times ahead."""
    over = np.flatnonzero(met.over)
    ahead = met.u[over] - met.v[over] * met.du[over] / met.dv[over] > met.at[met.line[over]]
    return np.asarray(_count(met, over[ahead]) % 2 == 1)
