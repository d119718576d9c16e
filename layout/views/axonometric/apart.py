"""How far the pieces of a unit are drawn apart: along the axis that each is thin in, in layers, from the middle."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.views.axonometric.bodies import Body, Floats
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.edges import boxes_of
from layout.views.axonometric.picture import shares
from layout.views.axonometric.scene import Group

# Gaps between layers that are tried, as shares of the unit's mean size; so much of each piece is to show.
_GAPS = (0.1, 0.15, 0.2, 0.28, 0.38, 0.5, 0.65, 0.85)
_SHOWN = 0.3
_SAME_LAYER = 2.0  # mm
_FEW = 2


def apart(bodies: Sequence[Body], camera: Camera) -> Floats:
    """Return by how much each piece is moved, shape (n, 3), mm.

    The smallest gap at which enough shows of every piece, or else the one at which most shows of the piece that
    shows least.
    """
    layers = _layers(bodies)
    size = float(np.mean(np.ptp(boxes_of(bodies).reshape(-1, 3), axis=0)))
    tried: list[tuple[float, float]] = []
    for gap in _GAPS:
        moved = [Group(name=b.name, bodies=(b.moved(by),)) for b, by in zip(bodies, layers * gap * size, strict=True)]
        least = min(shares(moved, camera))
        tried.append((least, -gap))
        if least >= _SHOWN:
            break
    best = max(tried) if tried[-1][0] < _SHOWN else tried[-1]
    return layers * -best[1] * size


def _layers(bodies: Sequence[Body]) -> Floats:
    """Return of each piece the number of its layer along the axis that it is thin in, counted from the middle."""
    boxes = boxes_of(bodies)
    thin = np.argmin(boxes[:, 1] - boxes[:, 0], axis=1)
    middles = boxes.mean(axis=1)
    made = np.zeros((len(bodies), 3))
    for axis in range(3):
        mine = np.flatnonzero(thin == axis)
        if len(mine):
            made[mine, axis] = _ranks(
                middles[mine, axis], float((boxes[:, 0].min(axis=0) + boxes[:, 1].max(axis=0))[axis] / 2)
            )
    return made


def _ranks(places: Floats, middle: float) -> Floats:
    """Return the layer of each place: 1, 2, ... above the middle and -1, -2, ... below, 0 in it."""
    levels = np.unique(np.round(places / _SAME_LAYER))
    above = [level for level in levels if level * _SAME_LAYER > middle + _SAME_LAYER]
    below = [level for level in levels[::-1] if level * _SAME_LAYER < middle - _SAME_LAYER]
    rank = {**{level: i + 1.0 for i, level in enumerate(above)}, **{level: -i - 1.0 for i, level in enumerate(below)}}
    return np.array([rank.get(level, 0.0) for level in np.round(places / _SAME_LAYER)])


def guides(bodies: Sequence[Body], names: Sequence[str], by: Floats) -> list[Floats]:
    """Return lines that lead pieces to where they belong, shape (points, 3), mm.

    Each piece is joined to the one it touches most of those that are joined already, the largest first; a line goes
    from the middle of what they touch with, back along the way of the one, and out along the way of the other. Of
    pieces of the same two names only the first and the last are led.
    """
    touching = sorted(_touching(boxes_of(bodies)), key=lambda t: (-t[0], t[1], t[2]))
    joined: list[set[int]] = [{i} for i in range(len(bodies))]
    found: dict[tuple[str, ...], list[tuple[list[float], Floats]]] = {}
    for _, a, b, at in touching:
        one, other = (next(s for s in joined if i in s) for i in (a, b))
        if one is not other:
            joined = [s for s in joined if s is not one and s is not other] + [one | other]
            if not np.allclose(by[a], by[b]):
                way = np.array([at + by[a], at, at + by[b]])
                found.setdefault(tuple(sorted((names[a], names[b]))), []).append((at.tolist(), way))
    ends = [sorted(ways, key=lambda way: way[0]) for ways in found.values()]
    return [way for ways in ends for _, way in (ways if len(ways) <= _FEW else (ways[0], ways[-1]))]


def _touching(boxes: Floats) -> list[tuple[float, int, int, Floats]]:
    made = []
    for a in range(len(boxes)):
        for b in range(a):
            low, high = np.maximum(boxes[a, 0], boxes[b, 0]), np.minimum(boxes[a, 1], boxes[b, 1])
            if (high - low > -1.0).all():
                sizes = np.sort(np.maximum(high - low, 0.0))
                made.append((float(sizes[1] * sizes[2]), a, b, (low + high) / 2))
    return made
