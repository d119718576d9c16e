"""A built unit as a body that is carried in.

It is the smallest box round the unit, or, where that does not stand free at its place, some boxes one above the
other (a deck that is wider than what carries it). As soon as it is turned or tipped it is the smallest box again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from layout.model.solid import Solid, outer_box
from layout.space.carry_pose import Sizes
from layout.space.carry_room import Outline
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """A box of a unit: from `x` to `x` and `y` to `y` off the unit's middle, `z` to `z` above its foot, mm."""

    x: tuple[float, float]
    y: tuple[float, float]
    z: tuple[float, float]

    @property
    def volume(self) -> float:
        """Return its volume, mm³."""
        return (self.x[1] - self.x[0]) * (self.y[1] - self.y[0]) * (self.z[1] - self.z[0])

    def outline(self) -> Outline:
        """Return the corners in order, a touch inside the box."""
        (x0, x1), (y0, y1) = self.x, self.y
        x0, x1, y0, y1 = x0 + TOUCH, x1 - TOUCH, y0 + TOUCH, y1 - TOUCH
        return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


@dataclass(frozen=True, kw_only=True, slots=True)
class Unit:
    """A built unit and its place: its middle at x, y, its foot at z mm, turned by `turn_deg`.

    `pieces` are the boxes that it is made up of when it stands as at its place, in its own axes.
    """

    sizes: Sizes
    pieces: tuple[Piece, ...]
    at: tuple[float, float, float]
    turn_deg: float = 0.0

    @property
    def is_box(self) -> bool:
        """Return whether the unit is nothing but its outer box."""
        return len(self.pieces) == 1

    def smaller(self, axis: int, by: float) -> Unit:
        """Return the unit made smaller by `by` mm along its length (0), width (1) or height (2), where it stands.

        Both ends lose the same; of the height, the top. All its pieces shrink in the same measure.
        """
        sizes = [size - by if i == axis else size for i, size in enumerate(self.sizes)]
        share = tuple(now / size for now, size in zip(sizes, self.sizes, strict=True))
        pieces = tuple(_scaled(piece, share) for piece in self.pieces)
        return replace(self, sizes=(sizes[0], sizes[1], sizes[2]), pieces=pieces)


def block(sizes: Sizes) -> Piece:
    """Return the box of these sizes about its middle, on its foot."""
    length, width, height = sizes
    return Piece(x=(-length / 2, length / 2), y=(-width / 2, width / 2), z=(0.0, height))


def stepped(solids: Sequence[Solid], most: int) -> tuple[Piece, ...]:
    """Return at most so many boxes one above the other that hold `solids`, about the middle of their outer box.

    Each is the smallest round what there is between two heights; the first to be made one are those that thereby
    grow least.
    """
    box = outer_box(tuple(solids))
    x0, y0, x1, y1 = box.bounds
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    pieces: list[Piece] = []
    heights = sorted({z for solid in solids for z in (solid.z0, solid.z1)})
    for low, high in pairwise(heights):
        here = tuple(solid for solid in solids if solid.z0 < (low + high) / 2 < solid.z1)
        if here:
            (a0, b0, a1, b1), z = outer_box(here).bounds, (low - box.z0, high - box.z0)
            _stack(pieces, Piece(x=(a0 - mx, a1 - mx), y=(b0 - my, b1 - my), z=z))
    return _fewer(pieces, most)


def _fewer(pieces: Sequence[Piece], most: int) -> tuple[Piece, ...]:
    left = list(pieces)
    while len(left) > most:
        joined = [_round_both(a, b) for a, b in pairwise(left)]
        grown = [j.volume - a.volume - b.volume for j, a, b in zip(joined, left, left[1:], strict=False)]
        i = grown.index(min(grown))
        left[i : i + 2] = [joined[i]]
    return tuple(left)


def _round_both(a: Piece, b: Piece) -> Piece:
    spans = ((min(p[0], q[0]), max(p[1], q[1])) for p, q in ((a.x, b.x), (a.y, b.y), (a.z, b.z)))
    x, y, z = spans
    return Piece(x=x, y=y, z=z)


def _stack(pieces: list[Piece], piece: Piece) -> None:
    """Add the piece, or make the one below higher where it is as long and wide."""
    last = pieces[-1] if pieces else None
    if last is not None and (last.x, last.y, last.z[1]) == (piece.x, piece.y, piece.z[0]):
        pieces[-1] = replace(last, z=(last.z[0], piece.z[1]))
    else:
        pieces.append(piece)


def _scaled(piece: Piece, share: Sequence[float]) -> Piece:
    x, y, z = ((low * k, high * k) for (low, high), k in zip((piece.x, piece.y, piece.z), share, strict=True))
    return Piece(x=x, y=y, z=z)
