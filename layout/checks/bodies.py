"""All solids that stand in one state, as arrays: which pairs meet is asked of all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Bodies:
    """The solids of `things`: `owner` says whose each is, `low` and `high` its corners (n x 3, mm)."""

    things: tuple[Placed, ...]
    solids: tuple[Solid, ...]
    owner: Any
    low: Any
    high: Any
    tree: shapely.STRtree

    def near(self, solids: Sequence[Solid], slack: float = -TOUCH) -> list[tuple[int, int]]:
        """Return pairs (of `solids`, of these) whose bounds meet by more than `-slack` mm on all three axes, sorted."""
        low, high = corners(solids)
        return self._pairs(low, high, slack)

    def near_each_other(self, slack: float = -TOUCH) -> list[tuple[int, int]]:
        """Return pairs of solids of different things whose bounds meet, each pair once, sorted."""
        pairs = np.array(self._pairs(self.low, self.high, slack), dtype=int).reshape(-1, 2)
        other = self.owner[pairs[:, 0]] < self.owner[pairs[:, 1]]
        return [(int(i), int(j)) for i, j in pairs[other]]

    def _pairs(self, low: Any, high: Any, slack: float) -> list[tuple[int, int]]:
        if not len(low) or not len(self.low):
            return []
        found = self.tree.query(_boxes(low, high))
        i, j = found[0], found[1]
        meet = np.all(np.minimum(high[i], self.high[j]) - np.maximum(low[i], self.low[j]) > -slack, axis=1)
        pairs = np.stack([i[meet], j[meet]], axis=1)
        order = np.lexsort((pairs[:, 1], pairs[:, 0]))
        return [(int(a), int(b)) for a, b in pairs[order]]


def bodies_of(things: Sequence[Placed]) -> Bodies:
    """Return the solids of all `things`."""
    solids = tuple(solid for placed in things for solid in placed.solids)
    owner = np.array([k for k, placed in enumerate(things) for _ in placed.solids], dtype=int)
    low, high = corners(solids)
    return Bodies(
        things=tuple(things), solids=solids, owner=owner, low=low, high=high, tree=shapely.STRtree(_boxes(low, high))
    )


def corners(solids: Sequence[Solid]) -> tuple[Any, Any]:
    """Return the low and high corners of the solids' boxes, each n x 3, mm."""
    rows = np.array([(*s.bounds, s.z0, s.z1) for s in solids], dtype=float).reshape(-1, 6)
    return rows[:, (0, 1, 4)], rows[:, (2, 3, 5)]


def _boxes(low: Any, high: Any) -> Any:
    return shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
