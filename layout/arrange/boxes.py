"""Solids as few boxes: outer ones that hold them, for what is found; inner ones, for what is ruled out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

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
    while len(boxes) > 1:
        waste, i, j = min((_waste(a, b), i, j) for (i, a), (j, b) in combinations(enumerate(boxes), 2))
        both = _hull(boxes[i], boxes[j])
        if waste > max(_WASTE, _SHARE * _volume(both)) and len(boxes) <= _MOST:
            break
        boxes = [b for b in boxes if not _within(b, both)] + [both]
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


def _waste(a: Box, b: Box) -> float:
    shared = [max(0.0, min(a[i + 3], b[i + 3]) - max(a[i], b[i])) for i in range(3)]
    return _volume(_hull(a, b)) - _volume(a) - _volume(b) + shared[0] * shared[1] * shared[2]
