"""All solids that stand in one state, as arrays: which pairs meet is asked of all at once."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely

from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

# Up to so many pairs are compared one by one: a tree of boxes is not quicker yet.
_FEW = 20_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Bodies:
    """The solids of `things`: `owner` says whose each is, `low` and `high` its corners (n x 3, mm)."""

    things: tuple[Placed, ...]
    solids: tuple[Solid, ...]
    owner: Any
    low: Any
    high: Any
    # The tree of boxes, grown when it is first asked for.
    _trees: list[shapely.STRtree] = field(default_factory=list, repr=False, compare=False)
    #: What rules have worked out for these bodies alone and may ask for again; the key begins with what it is.
    kept: dict[tuple[Hashable, ...], Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def tree(self) -> shapely.STRtree:
        """Return the tree of the boxes seen from above."""
        if not self._trees:
            self._trees.append(shapely.STRtree(_boxes(self.low, self.high)))
        return self._trees[0]

    def near(self, solids: Sequence[Solid], slack: float = -TOUCH) -> list[tuple[int, int]]:
        """Return pairs (of `solids`, of these) whose bounds meet by more than `-slack` mm on all three axes, sorted."""
        return _as_pairs(self._pairs(*corners(solids), slack))

    def near_each_other(self, slack: float = -TOUCH) -> list[tuple[int, int]]:
        """Return pairs of solids of different things whose bounds meet, each pair once, sorted."""
        pairs = self._pairs(self.low, self.high, slack)
        return _as_pairs(pairs[self.owner[pairs[:, 0]] < self.owner[pairs[:, 1]]])

    def within(self, low: Any, high: Any) -> Any:
        """Return which solids (their numbers) reach into the box between two corners by more than `TOUCH` mm."""
        return np.flatnonzero(((self.high > low + TOUCH) & (self.low < high - TOUCH)).all(axis=1))

    def of(self, thing: int) -> range:
        """Return the numbers of the solids of the thing of that number."""
        low, high = np.searchsorted(self.owner, (thing, thing + 1))
        return range(int(low), int(high))

    def _pairs(self, low: Any, high: Any, slack: float) -> Any:
        if not len(low) or not len(self.low):
            return np.zeros((0, 2), dtype=int)
        if len(low) * len(self.low) <= _FEW:
            shared = np.minimum(high[:, None], self.high) - np.maximum(low[:, None], self.low)
            return np.argwhere((shared > -slack).all(axis=2))
        i, j = self.tree.query(_boxes(low, high))
        meet = np.all(np.minimum(high[i], self.high[j]) - np.maximum(low[i], self.low[j]) > -slack, axis=1)
        pairs = np.stack([i[meet], j[meet]], axis=1)
        return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def bodies_of(things: Sequence[Placed]) -> Bodies:
    """Return the solids of all `things`."""
    solids = tuple(solid for placed in things for solid in placed.solids)
    owner = np.repeat(np.arange(len(things)), [len(placed.solids) for placed in things])
    low, high = corners(solids)
    return Bodies(things=tuple(things), solids=solids, owner=owner, low=low, high=high)


def with_others(bodies: Bodies, changed: Mapping[int, Placed]) -> Bodies:
    """Return the bodies with other things at the numbers in `changed`, each of as many solids as before."""
    things, solids = list(bodies.things), list(bodies.solids)
    low, high = bodies.low.copy(), bodies.high.copy()
    for k, placed in changed.items():
        rows = bodies.of(k)
        things[k], solids[rows.start : rows.stop] = placed, placed.solids
        low[rows.start : rows.stop], high[rows.start : rows.stop] = corners(placed.solids)
    return Bodies(things=tuple(things), solids=tuple(solids), owner=bodies.owner, low=low, high=high)


def corners(solids: Iterable[Solid]) -> tuple[Any, Any]:
    """Return the low and high corners of the solids' boxes, each n x 3, mm."""
    rows = np.array([(*s.bounds, s.z0, s.z1) for s in solids], dtype=float).reshape(-1, 6)
    return rows[:, (0, 1, 4)], rows[:, (2, 3, 5)]


def _as_pairs(pairs: Any) -> list[tuple[int, int]]:
    return [(i, j) for i, j in pairs.tolist()]


def _boxes(low: Any, high: Any) -> Any:
    return shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
