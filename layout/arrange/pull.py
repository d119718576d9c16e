"""What is wanted often comes out: straight to a door, or into a way for people, past nothing, or past one thing.

A way that the model keeps free is one on which the thing really comes out. It may come out some other way too, so this
proves nothing: it steers the search to what the rule reach will accept.
"""

from __future__ import annotations

from typing import Any

from layout.arrange.grid import TENTHS, Grid, Rows, Spot, Whole6, whole_of
from layout.arrange.problem import Pull
from layout.arrange.ways_model import Chain

Span = tuple[Any, Any]


class Pulled:
    """The ways out of one thing in one state: of the options at least one holds."""

    def __init__(self, grid: Grid, pull: Pull, chain: Chain | None) -> None:
        self.grid, self.pull, self.model = grid, pull, grid.model
        self.spot = grid.spots[pull.stand]
        self.whole = Rows(by_form=self._bodies())
        self.x = (grid.start(self.spot, self.whole, 0), grid.end(self.spot, self.whole, 0))
        self.y = (grid.start(self.spot, self.whole, 1), grid.end(self.spot, self.whole, 1))
        self.left = None if pull.past is None else self._left(pull.past)
        options = [
            *(self._door(*door) for door in pull.doors),
            *(self._into(r) for r in (chain.rectangles if chain else ())),
        ]
        out = [self.spot.out[pull.state]] if pull.state in self.spot.out else []
        unused = [] if self.spot.used is True else [~self.spot.used]
        self.model.add_bool_or([*options, *out, *unused])

    def _bodies(self) -> dict[str, Whole6]:
        """Return what comes out, by form: a box that is told, or all that stands there."""
        if self.pull.boxes:
            return {key: whole_of(self.pull.boxes[key]) for key in self.spot.forms}
        rows = self.grid.rows(self.spot, self.pull.state)
        return {key: _around([r.by_form[key] for r in rows if key in r.by_form]) for key in self.spot.forms}

    def _left(self, past: int) -> Any:
        """Return how many others may come first: of those that stand on each other the lowest is out last."""
        for key, form in self.spot.by_key.items():
            if form.holds > past + 1:
                self.model.add(self.spot.forms[key] == 0)
        return past - sum((form.holds - 1) * self.spot.forms[key] for key, form in self.spot.by_key.items())

    def _toward(self, side: str, lit: Any) -> None:
        """Let `lit` hold only in forms out of which it comes to that side."""
        ways = self.pull.ways
        if ways and any(side not in ways[key] for key in self.spot.forms):
            able = [form for key, form in self.spot.forms.items() if side in ways[key]]
            self.model.add_bool_or([*able, ~lit])

    def _door(self, side: str, low: float, high: float, wall: float) -> Any:
        """Return a literal: it comes straight out of a door, whose opening reaches from `low` to `high`."""
        lit, a, b, end = self.model.new_bool_var(""), *(round(v * TENTHS) for v in (low, high, wall))
        self._toward(side, lit)
        along = self.y if side == "rear" else self.x
        self.model.add(along[0] >= a).only_enforce_if(lit)
        self.model.add(along[1] <= b).only_enforce_if(lit)
        path = {
            "rear": ((end, self.x[0]), self.y),
            "left": (self.x, (self.y[1], end)),
            "right": (self.x, (end, self.y[0])),
        }
        self._clear(path[side], lit)
        return lit

    def _into(self, rectangle: tuple[Any, Any, Any, Any]) -> Any:
        """Return a literal: it is drawn sideways into a rectangle of the ways, which is wide enough for it."""
        x0, y0, x1, y1 = rectangle
        any_of = self.model.new_bool_var("")
        lits = []
        for across in (True, False):
            for low in (True, False):
                lit = self.model.new_bool_var("")
                self._toward(
                    {(True, True): "right", (True, False): "left", (False, True): "rear"}.get((across, low), "front"),
                    lit,
                )
                along, room = (self.x, (x0, x1)) if across else (self.y, (y0, y1))
                deep, wide = (self.y, (y0, y1)) if across else (self.x, (x0, x1))
                for rule in (
                    along[0] >= room[0], along[1] <= room[1], wide[1] - wide[0] >= deep[1] - deep[0],
                    wide[1] <= deep[0] if low else wide[0] >= deep[1],
                ):  # fmt: skip
                    self.model.add(rule).only_enforce_if(lit)
                gap = (wide[1], deep[0]) if low else (deep[1], wide[0])
                self._clear((along, gap) if across else (gap, along), lit)
                lits.append(lit)
        self.model.add_bool_or(lits).only_enforce_if(any_of)
        return any_of

    def _clear(self, path: tuple[Span, Span], option: Any) -> None:
        """Keep the path clear where the option is taken: of all that stays, and of more things than may come first."""
        slack: list[tuple[int, Any]] = []
        for other in self.grid.spots.values():
            if other is self.spot or self.pull.state not in other.stand.states:
                continue
            rows = self.grid.rows(other, self.pull.state)
            if not rows or self._may_be_gone(other):
                continue
            first = self.model.new_bool_var("") if _loose(other) and self.pull.past else None
            for row in rows:
                self._past(path, row, (other, option), first)
            if first is not None:
                count = max(form.holds for form in other.by_key.values())
                slack.append((count, first))
        if slack:
            self.model.add(sum(count * lit for count, lit in slack) <= self.left).only_enforce_if(option)

    def _may_be_gone(self, other: Spot) -> bool:
        """Return whether the other one may be out first, uncounted."""
        if self.pull.by_hand:
            return other.stand.loose and not other.stand.by_hand
        return self.pull.past is None and _loose(other)

    def _past(self, path: tuple[Span, Span], row: Rows, whose: tuple[Spot, Any], first: Any) -> None:
        (other, option), grid, model = whose, self.grid, self.model
        if row.least(2) >= self.whole.most(5) or row.most(5) <= self.whole.least(2):
            return
        lits = [~option]
        for axis, span in enumerate(path):
            for rule in (grid.end(other, row, axis) <= span[0], span[1] <= grid.start(other, row, axis)):
                lit = model.new_bool_var("")
                model.add(rule).only_enforce_if(lit)
                lits.append(lit)
        # In a form that is low enough, as one bin where two are none, it passes below.
        mine = self.whole.by_form.items()
        lits += [self.spot.forms[k] for k, r in mine if r[5] <= row.least(2) or r[2] >= row.most(5)]
        lits += [first] if first is not None else []
        lits += [~other.used] if other.used is not True else []
        lits += [other.out[self.pull.state]] if self.pull.state in other.out else []
        model.add_bool_or(lits)


def _loose(spot: Spot) -> bool:
    return spot.stand.loose or spot.stand.by_hand


def _around(rows: list[tuple[int, ...]]) -> tuple[int, int, int, int, int, int]:
    low = [min(r[i] for r in rows) for i in range(3)]
    high = [max(r[i + 3] for r in rows) for i in range(3)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])
