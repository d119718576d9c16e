"""All that can be in the way, solid by solid, and whose it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.holding import is_square
from layout.space.parts import Obstacle
from layout.space.space import Space

Bools = NDArray[np.bool_]


class Pieces:
    """The solids of the things, then the fixed obstacles of the space; every owner is a bit of a whole number.

    Bit i is the i-th of `things`; the bits after them are the obstacles, in the order of the space.
    """

    def __init__(self, space: Space, things: Sequence[Placed]) -> None:
        owned: list[tuple[int, Solid | Obstacle]] = [(i, s) for i, p in enumerate(things) for s in p.solids]
        owned += enumerate(space.obstacles, start=len(things))
        self.names = (*(p.name for p in things), *(o.name for o in space.obstacles))
        self.solids = tuple(solid for _, solid in owned)
        self.owner = np.array([i for i, _ in owned], dtype=np.intp)
        #: (n, 6): low x, y, z and high x, y, z of each solid, mm.
        self.bounds = np.array([_bounds(solid) for solid in self.solids], dtype=np.float64).reshape(-1, 6)
        self.square = np.array([_is_box(solid) for solid in self.solids], dtype=np.bool_)
        self.rounded = np.array([isinstance(s, Obstacle) and s.top_radius > 0 for s in self.solids], dtype=np.bool_)

    def among(self, owners: int) -> Bools:
        """Return which solids belong to these owners, (n,)."""
        size = len(self.names) // 8 + 1
        bits = np.unpackbits(np.frombuffer(owners.to_bytes(size, "little"), dtype=np.uint8), bitorder="little")
        belongs: Bools = bits.astype(np.bool_)[self.owner]
        return belongs

    def owners(self, solids: Bools) -> int:
        """Return the owners of the solids that are marked, (n,)."""
        return self.owners_each(solids[None])[0]

    def owners_each(self, rows: Bools) -> list[int]:
        """Return the owners of the solids that are marked in each row of (rows, n)."""
        owned = np.zeros((len(rows), len(self.names)), dtype=np.bool_)
        marked, solid = np.nonzero(rows)
        owned[marked, self.owner[solid]] = True
        return [int.from_bytes(row.tobytes(), "little") for row in np.packbits(owned, axis=1, bitorder="little")]


def bits_of(owners: int) -> tuple[int, ...]:
    """Return the numbers of the owners, rising."""
    bits = []
    while owners:
        lowest = owners & -owners
        bits.append(lowest.bit_length() - 1)
        owners ^= lowest
    return tuple(bits)


def _bounds(solid: Solid | Obstacle) -> tuple[float, ...]:
    xs, ys = zip(*solid.outline, strict=True)
    return min(xs), min(ys), solid.z0, max(xs), max(ys), solid.z1


def _is_box(solid: Solid | Obstacle) -> bool:
    if isinstance(solid, Obstacle):
        if solid.top_radius:
            return False
        solid = Solid(name=solid.name, outline=solid.outline, z0=solid.z0, z1=solid.z1)
    return is_square(solid)
