"""Least squares: Gauss-Newton on the rows, and what they say of each other.

Textbook formulas of the adjustment of observations (Gauss-Markov model): with the slopes A and the misfits l, both
divided by the rows' standard deviations, the step is (AᵀA)⁻¹Aᵀl, the hat matrix H = A(AᵀA)⁻¹Aᵀ, and the redundancy
number of a row 1 - H_ii.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.survey.functions import Vector
from layout.survey.network import Network

Matrix = NDArray[np.float64]
_MOST_STEPS = 60
_STILL = 1e-9  # mm: a step shorter than this is the last
_ROBUST_ROUNDS = 25
_NULL = 1e-6  # a singular value below this, of the largest, leaves something free


@dataclass(frozen=True, kw_only=True, slots=True)
class Linear:
    """The rows at one place: slopes (rows × free unknowns) and misfits (read less worked out), over sigma each."""

    a: Matrix
    misfit: Vector

    @property
    def hat(self) -> Matrix:
        """Return the hat matrix (rows × rows), of rank as the slopes have."""
        return np.asarray(self.a @ np.linalg.pinv(self.a, rcond=_NULL), dtype=np.float64)


def linear(net: Network, u: Vector) -> Linear:
    """Return slopes and misfits of all rows at `u` (mm)."""
    free = {index: i for i, index in enumerate(net.free)}
    a, misfit = np.zeros((len(net.rows), len(free))), np.zeros(len(net.rows))
    for k, row in enumerate(net.rows):
        value, slopes = row.at(u)
        misfit[k] = (row.value - value) / row.sigma
        for index, slope in slopes:
            if index in free:
                a[k, free[index]] += slope / row.sigma
    return Linear(a=a, misfit=misfit)


def least_squares(net: Network, u: Vector, *, robust: bool = False) -> Vector:
    """Return the unknowns (mm) with the least sum of squared misfits, from first values `u` (mm).

    With `robust` it is about the least sum of the misfits themselves, by weights of one over the misfit, which a
    single gross error hardly moves; good for finding it.
    """
    u, free = u.copy(), net.free
    for _ in range(_ROBUST_ROUNDS if robust else _MOST_STEPS):
        at = linear(net, u)
        weight = 1.0 / np.sqrt(np.maximum(np.abs(at.misfit), 1.0)) if robust else np.ones(len(net.rows))
        step = np.linalg.lstsq(at.a * weight[:, None], at.misfit * weight, rcond=None)[0]
        u[free] += step
        if not len(step) or np.abs(step).max() < _STILL:
            break
    return u


def loose_points(net: Network, u: Vector) -> list[str]:
    """Return the points that can move though all rows hold, to first order."""
    a = linear(net, u).a
    if not a.shape[1]:
        return []
    _, values, turns = np.linalg.svd(a)
    rank = int((values > _NULL * max(values.max(initial=0.0), 1e-12)).sum())
    free, moving = net.free, np.abs(turns[rank:]).max(axis=0, initial=0.0) > 1e-3  # noqa: PLR2004 (of a unit vector)
    indices = {index for index, moves in zip(free, moving, strict=True) if moves}
    return [p for p in net.points if not indices.isdisjoint((net.x_of(p), net.x_of(p) + 1))]
