"""Rule out a choice of sheets: look for points of which all pieces have more than those sheets can hold.

Column generation. The master is the linear programme that leaves the least area unplaced on the sheets of
the choice, over fillings that are known; its duals are points. The best filling for those points either
shows that the sheets hold too few of them, or is a new column. (Gilmore and Gomory, Operations Research 13,
1965; the smoothing of the duals after Wentges, International Transactions in Operational Research 4, 1997.)
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from layout.cutting.bounds.fill import down_table, fill, pattern, states_of
from layout.cutting.bounds.places import Places, places
from layout.cutting.bounds.points import Points
from layout.cutting.values import Kind, Opening

Array = Any
Outcome = Literal["ruled out", "stands", "going on"]
_WHOLE = 1e7
_TINY = 1e-7
_SMOOTH, _SMOOTH_ROUNDS = 0.5, 60
_MOST_STATES, _MOST_COUNT, _MOST_WORK = 64, 3, 400_000_000


class Refuter:
    """Holds the columns and rules out one choice of sheets after another."""

    def __init__(self, kinds: Sequence[Kind], openings: Sequence[Opening], kerf: int) -> None:
        self.kinds, self.openings, self.kerf = kinds, openings, kerf
        stocks = list(dict.fromkeys(id(opening.stock) for opening in openings))
        self.stock_of = np.array([stocks.index(id(opening.stock)) for opening in openings])
        self.stocks = len(stocks)
        self.group_of, self.ways, self.counts = _grouped(kinds, kerf)
        blanks = [(max(0, b.length + kerf), max(0, b.width + kerf)) for opening in openings for b in opening.blanks]
        self.owner = np.array([t for t, opening in enumerate(openings) for _ in opening.blanks])
        self.where: Places = places(self.ways, self.counts, blanks)
        self.down = (down_table(self.where.along), down_table(self.where.across))
        self.limited: tuple[int, ...] = ()
        self.demand = np.array(self.counts, np.int64)
        lengths = {kind: w * h for kind, w, h in self.ways}
        self.area = np.array([float(lengths[k]) for k in range(len(self.counts))])
        self.area /= self.area.max()
        known = np.zeros(len(self.counts), bool)
        known[self.where.ways[:, 0]] = True
        self.known = known
        self.columns: list[tuple[int, tuple[int, ...]]] = []
        self.rounds = 0
        self._seen: set[tuple[int, tuple[int, ...]]] = set()
        self._set_states(())

    def _set_states(self, limited: tuple[int, ...]) -> None:
        self.limited = limited
        self.states = states_of(limited, self.counts, len(self.counts))
        shape = (len(self.states[1]) - 1, len(self.where.along), len(self.where.across))
        self.most = np.zeros(shape, np.int64)
        self.columns = [c for c in self.columns if all(c[1][k] <= self.counts[k] for k in limited)]
        self._seen = set(self.columns)

    def aim(self, choice: Sequence[int]) -> None:
        """Begin with a choice: how many sheets of each stock there are at most."""
        from highspy import _core

        self.choice = np.array(choice, np.int64)
        self.solver = _core._Highs()
        self.solver.setOptionValue("output_flag", False)
        none, empty = np.array([], np.int32), np.array([], float)
        for k, n in enumerate(self.counts):
            self.solver.addRow(float(n) if self.known[k] else 0.0, 1e30, 0, none, empty)
        for n in choice:
            self.solver.addRow(-1e30, float(n), 0, none, empty)
        for k in range(len(self.counts)):
            self.solver.addCol(float(self.area[k]), 0.0, 1e30, 1, np.array([k], np.int32), np.ones(1))
        for t, held in self.columns:
            self._to_solver(t, held)
        self.anchor = self.area * self.known
        self.best = -np.inf
        self.smooth = _SMOOTH
        self.done = 0

    def _to_solver(self, t: int, held: tuple[int, ...]) -> None:
        rows = [k for k, n in enumerate(held) if n]
        values = [float(held[k]) for k in rows]
        row = len(self.counts) + int(self.stock_of[t])
        self.solver.addCol(
            0.0, 0.0, 1e30, len(rows) + 1, np.array([*rows, row], np.int32), np.array([*values, 1.0], float)
        )

    def step(self, rounds: int) -> tuple[Outcome, Points | None]:
        """Make at most so many rounds; return what came out, with the points that rule the choice out."""
        for _ in range(rounds):
            self.rounds += 1
            self.done += 1
            self.solver.run()
            duals = np.array(self.solver.getSolution().row_dual)
            y = np.maximum(0.0, duals[: len(self.counts)]) * self.known
            limit = np.maximum(0.0, -duals[len(self.counts) :])
            added = False
            for mix in (self.smooth, 0.0) if self.smooth else (0.0,):
                mixed = mix * self.anchor + (1 - mix) * y
                found, room = self._fill(mixed)
                if found.rule_out(self.choice.tolist()):
                    return "ruled out", self._by_kind(found)
                bound = float(mixed @ self.demand) - float(self.choice @ np.array(room) / _WHOLE)
                if bound > self.best:
                    self.best, self.anchor = bound, mixed
                added = self._add(y, limit)
                if added:
                    break
            if self.done > _SMOOTH_ROUNDS:
                self.smooth = 0.0
            if not added:
                return "stands", None
        return "going on", None

    def _fill(self, y: Array) -> tuple[Points, tuple[int, ...]]:
        self.points = np.round(y * _WHOLE).astype(np.int64)
        fill(
            self.most, self.where.ways, self.points, self.where.along, self.where.across, *self.down,
            self.states[0], self.states[1], self.states[2],
        )  # fmt: skip
        rooms = np.zeros(len(self.openings), np.int64)
        for t, (i, j) in zip(self.owner, self.where.blanks, strict=True):
            if i > 0 and j > 0:
                rooms[t] += self.most[-1, i, j]
        self.rooms = rooms
        by_stock = tuple(int(rooms[self.stock_of == k].max()) for k in range(self.stocks))
        wanted = int(self.points @ self.demand)
        return Points(by_kind=tuple(self.points.tolist()), room=by_stock, wanted=wanted), by_stock

    def _add(self, y: Array, limit: Array) -> bool:
        """Add the best filling of every opening that is worth more than its sheet; return whether one was new."""
        added = False
        for t in range(len(self.openings)):
            if self.choice[self.stock_of[t]] == 0:
                continue
            held = np.zeros(len(self.counts), np.int64)
            for owner, (i, j) in zip(self.owner, self.where.blanks, strict=True):
                if owner == t and i > 0 and j > 0:
                    at = (self.most.shape[0] - 1, int(i), int(j))
                    held += pattern(self.most, self.where, self.points, self.down, self.states, at)
            column = (t, tuple(held.tolist()))
            if float(held @ y) > limit[self.stock_of[t]] + _TINY and column not in self._seen:
                self._seen.add(column)
                self.columns.append(column)
                self._to_solver(*column)
                added = True
        return added

    def count_more(self) -> bool:
        """Count one more kind, the one of which the fillings in use hold most beyond what is wanted.

        Return whether there is one, so that a choice that stood may fall now.
        """
        use = np.array(self.solver.getSolution().col_value)[len(self.counts) :]
        excess = np.zeros(len(self.counts))
        for (_, held), amount in zip(self.columns, use, strict=True):
            if amount > _TINY:
                excess += amount * np.maximum(0, np.array(held) - self.demand)
        for k in np.argsort(-excess, kind="stable"):
            if excess[k] <= _TINY:
                return False
            if k not in self.limited and self.counts[k] <= _MOST_COUNT:
                limited = (*self.limited, int(k))
                radix = int(np.prod([self.counts[i] + 1 for i in limited]))
                pairs = int(np.prod([(self.counts[i] + 1) * (self.counts[i] + 2) // 2 for i in limited]))
                if radix > _MOST_STATES or pairs * self.where.work > _MOST_WORK:
                    return False
                self._set_states(limited)
                self.aim(self.choice.tolist())
                return True
        return False

    def _by_kind(self, found: Points) -> Points:
        """Return points of groups of equal kinds as points of kinds."""
        limited = tuple(k for k, group in enumerate(self.group_of) if group in self.limited)
        by_kind = tuple(found.by_kind[group] for group in self.group_of)
        return Points(by_kind=by_kind, room=found.room, wanted=found.wanted, limited=limited)


def _grouped(kinds: Sequence[Kind], kerf: int) -> tuple[tuple[int, ...], list[tuple[int, int, int]], tuple[int, ...]]:
    """Return the group of each kind (equal ways), the ways (group, length, width) and the count of each group."""
    groups: dict[frozenset[tuple[int, int]], int] = {}
    group_of: list[int] = []
    counts: list[int] = []
    for kind in kinds:
        key = frozenset((way.length + kerf, way.width + kerf) for way in kind.ways)
        group = groups.setdefault(key, len(groups))
        group_of.append(group)
        if group == len(counts):
            counts.append(0)
        counts[group] += kind.count
    ways = [(group, *way) for key, group in groups.items() for way in sorted(key)]
    return tuple(group_of), ways, tuple(counts)
