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
_SHOWN = (0.3, 0.1)
_SAME_LAYER = 2.0  # mm
_FEW = 2


def apart(bodies: Sequence[Body], camera: Camera) -> Floats:
    """Return by how much each piece is moved, shape (n, 3), mm.

    The smallest gap at which much shows of every piece, or else a little, or else the one at which most shows of the
    piece that shows least.
    """
    layers = _in_order(_layers(bodies), boxes_of(bodies))
    size = float(np.mean(np.ptp(boxes_of(bodies).reshape(-1, 3), axis=0)))
    least: dict[float, float] = {}
    for gap in _GAPS:
        moved = [Group(name=b.name, bodies=(b.moved(by),)) for b, by in zip(bodies, layers * gap * size, strict=True)]
        least[gap] = min(shares(moved, camera))
        if least[gap] >= _SHOWN[0]:
            break
    enough = [gap for shown in _SHOWN for gap in least if least[gap] >= shown]
    return layers * size * (enough[0] if enough else max(least, key=lambda gap: (least[gap], -gap)))


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


def _in_order(layers: Floats, boxes: Floats) -> Floats:
    """Return the layers so that nothing is moved past what lies beyond it: what stands on a board goes up with it."""
    made = layers.copy()
    for axis in range(3):
        beyond = _beyond(boxes, axis)
        for a in np.argsort(boxes[:, 0, axis], kind="stable"):
            made[a, axis] = max([made[a, axis], *(made[b, axis] for b in beyond[a] if made[b, axis] > 0)])
        for b in np.argsort(-boxes[:, 1, axis], kind="stable"):
            above = [a for a in range(len(boxes)) if b in beyond[a]]
            made[b, axis] = min([made[b, axis], *(made[a, axis] for a in above if made[a, axis] < 0)])
    return made


def _beyond(boxes: Floats, axis: int) -> list[list[int]]:
    """Return of each box those that it lies beyond, along an axis, with no room aside to pass them."""
    low, high = boxes[:, 0], boxes[:, 1]
    shared = np.minimum(high[:, None], high[None]) - np.maximum(low[:, None], low[None]) > _SAME_LAYER
    shared[:, :, axis] = low[:, None, axis] >= high[None, :, axis] - _SAME_LAYER
    held = np.logical_and.reduce(shared, axis=2)
    return [np.flatnonzero(row).tolist() for row in held]


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
                way = np.array([*_home(at, by[a]), at, *reversed(_home(at, by[b]))])
                found.setdefault(tuple(sorted((names[a], names[b]))), []).append((at.tolist(), way))
    ends = [sorted(ways, key=lambda way: way[0]) for ways in found.values()]
    return [way for ways in ends for _, way in (ways if len(ways) <= _FEW else (ways[0], ways[-1]))]


def _home(at: Floats, by: Floats) -> list[Floats]:
    """Return the corners of the way from `at + by` back to `at`, along one axis after the other, up and down first."""
    corners, place = [], by.copy()
    for axis in (2, 1, 0):
        if place[axis]:
            corners.append(at + place)
            place[axis] = 0.0
    return corners


def _touching(boxes: Floats) -> list[tuple[float, int, int, Floats]]:
    made = []
    for a in range(len(boxes)):
        for b in range(a):
            low, high = np.maximum(boxes[a, 0], boxes[b, 0]), np.minimum(boxes[a, 1], boxes[b, 1])
            if (high - low > -1.0).all():
                sizes = np.sort(np.maximum(high - low, 0.0))
                made.append((float(sizes[1] * sizes[2]), a, b, (low + high) / 2))
    return made
