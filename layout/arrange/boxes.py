"""Solids as few boxes: outer ones that hold them, for what is found; inner ones, for what is ruled out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from layout.arrange.problem import Box
from layout.model.solid import Solid
from layout.space.holding import is_square

#: Two boxes are made one if the box round them is so little larger than both, mm³: a slat's gap, no place for a bin.
_WASTE = 6e6
_SHARE = 0.05
_MOST = 24


def box_of(solid: Solid) -> Box:
    """Return the box round a solid."""
    x0, y0, x1, y1 = solid.bounds
    return (x0, y0, solid.z0, x1, y1, solid.z1)


def outer_boxes(solids: Iterable[Solid]) -> tuple[Box, ...]:
    """Return few boxes that hold all solids; they hold a little more where that saves many."""
    boxes = list(dict.fromkeys(box_of(solid) for solid in solids))
    wastes = _wastes(boxes)
    while len(boxes) > 1:
        i, j = divmod(int(wastes.argmin()), len(boxes))
        both = _hull(boxes[i], boxes[j])
        if wastes[i, j] > max(_WASTE, _SHARE * _volume(both)) and len(boxes) <= _MOST:
            break
        kept = [k for k, b in enumerate(boxes) if not _within(b, both)]
        boxes = [*(boxes[k] for k in kept), both]
        wastes = _with_last(wastes[np.ix_(kept, kept)], boxes)
    return tuple(sorted(boxes))


def inner_boxes(solids: Sequence[Solid]) -> tuple[Box, ...]:
    """Return the solids that are boxes: less than what stands there where outlines are not square."""
    return tuple(dict.fromkeys(box_of(solid) for solid in solids if is_square(solid)))


def _hull(a: Box, b: Box) -> Box:
    low = [min(p, q) for p, q in zip(a[:3], b[:3], strict=True)]
    high = [max(p, q) for p, q in zip(a[3:], b[3:], strict=True)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])


def _within(a: Box, b: Box) -> bool:
    return all(a[i] >= b[i] and a[i + 3] <= b[i + 3] for i in range(3))


def _volume(box: Box) -> float:
    return (box[3] - box[0]) * (box[4] - box[1]) * (box[5] - box[2])


def _wastes(boxes: Sequence[Box]) -> np.ndarray:
    """Return by how much the box round two is larger than both, mm³: n x n, of an earlier with a later one only."""
    found = np.full((len(boxes), len(boxes)), np.inf)
    for j in range(1, len(boxes)):
        found[:j, j] = _waste(np.array(boxes[:j]), np.array(boxes[j]))
    return found


def _with_last(wastes: np.ndarray, boxes: Sequence[Box]) -> np.ndarray:
    """Return the wastes of all boxes from those of all but the last."""
    count = len(boxes)
    found = np.full((count, count), np.inf)
    found[:-1, :-1] = wastes
    if count > 1:
        found[:-1, -1] = _waste(np.array(boxes[:-1]), np.array(boxes[-1]))
    return found


def _waste(many: np.ndarray, one: np.ndarray) -> np.ndarray:
    """Return what the boxes round each of many (n x 6) and one hold besides both, mm³."""
    round_both = np.maximum(many[:, 3:], one[3:]) - np.minimum(many[:, :3], one[:3])
    shared = np.maximum(0.0, np.minimum(many[:, 3:], one[3:]) - np.maximum(many[:, :3], one[:3]))
    sizes = many[:, 3:] - many[:, :3]
    waste: np.ndarray = _product(round_both) - _product(sizes) - _product((one[3:] - one[:3])[None]) + _product(shared)
    return waste


def _product(sizes: np.ndarray) -> np.ndarray:
    volumes: np.ndarray = sizes[:, 0] * sizes[:, 1] * sizes[:, 2]
    return volumes
