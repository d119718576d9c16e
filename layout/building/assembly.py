"""In which order the pieces of a unit go together: the way back of how it comes apart, a piece at a time."""

from __future__ import annotations

from collections.abc import Sequence, Set

import numpy as np
from numpy.typing import NDArray

from layout.building.contacts import CUT_IN
from layout.building.pieces import Piece, pieces_of
from layout.building.prism import HAIR, meeting
from layout.model.thing import Thing

_COMES_APART = ("loose", "hinge", "insert", "bolt")
Boxes = NDArray[np.float64]
Joined = Sequence[Set[int]]
Rank = tuple[int, bool, float, float, int]


def assembly(thing: Thing) -> tuple[tuple[str, ...], ...]:
    """Return the parts of a unit that are glued or screwed whole, the largest first, each as the names of its pieces.

    The pieces of a part stand in an order in which they go together, each name as often as it is there. Taken apart,
    one piece after the other is pulled straight off along an axis without meeting those that are left, and without
    leaving the others in two; the way back never closes a gap that a later piece must pass, so that a back in grooves
    goes in before the last side. Where nothing can be pulled off straight, what meets the fewest others goes next.
    """
    pieces = pieces_of(thing)
    boxes = np.array([piece.prism.box for piece in pieces], dtype=float).reshape(len(pieces), 3, 2)
    joined = _joined(pieces)
    parts = sorted(_parts(joined), key=lambda part: (-len(part), part[0]))
    return tuple(tuple(pieces[i].name for i in _order(part, pieces, boxes, joined)) for part in parts)


def _order(part: Sequence[int], pieces: Sequence[Piece], boxes: Boxes, joined: Joined) -> list[int]:
    left, away = list(part), []
    while left:
        gone = min(left, key=lambda i: _rank(i, left, pieces, boxes, joined))
        left.remove(gone)
        away.append(gone)
    return away[::-1]


def _rank(i: int, left: Sequence[int], pieces: Sequence[Piece], boxes: Boxes, joined: Joined) -> Rank:
    """Return how late a piece is taken off: first what meets nothing, holds nothing together, stands high, is small."""
    others = [j for j in left if j != i]
    holds = len(_parts(joined, others)) > 1
    return _met(i, others, boxes), holds, -float(boxes[i, 2, 1]), pieces[i].prism.volume, -i


def _met(i: int, others: Sequence[int], boxes: Boxes) -> int:
    """Return how many others a piece meets on its way off, along the axis and the way that meet the fewest."""
    if not others:
        return 0
    own, rest = boxes[i], boxes[list(others)]
    beside = np.minimum(rest[:, :, 1], own[:, 1]) - np.maximum(rest[:, :, 0], own[:, 0]) > HAIR
    counts = []
    for axis in range(3):
        in_line = np.all(np.delete(beside, axis, axis=1), axis=1)
        counts.append(int(np.sum(in_line & (rest[:, axis, 1] > own[axis, 1] + HAIR))))
        counts.append(int(np.sum(in_line & (rest[:, axis, 0] < own[axis, 0] - HAIR))))
    return min(counts)


def _parts(joined: Joined, among: Sequence[int] | None = None) -> list[list[int]]:
    """Return the pieces in groups that hang together, each in order."""
    left = list(range(len(joined)) if among is None else among)
    there, found = set(left), []
    while left:
        tied, open_ = {left[0]}, [left[0]]
        while open_:
            more = (joined[open_.pop()] & there) - tied
            tied |= more
            open_ += more
        found.append([i for i in left if i in tied])
        left = [i for i in left if i not in tied]
    return found


def _joined(pieces: Sequence[Piece]) -> list[set[int]]:
    """Return, for each piece, those that it is joined to for good."""
    found: list[set[int]] = [set() for _ in pieces]
    for i, piece in enumerate(pieces):
        for joint in piece.joints:
            depth = joint.depth if joint.kind in CUT_IN else 0.0
            for j, other in enumerate(pieces):
                if i != j and joint.kind not in _COMES_APART and other.called(joint.to):
                    met = meeting(piece.prism, other.prism, piece.across(joint))
                    if met is not None and abs(met.depth - depth) <= HAIR:
                        found[i].add(j)
                        found[j].add(i)
    return found
