"""What is wished for as one figure of the model: each wish from 0 (as bad as can be) to 10,000 (all that was wished).

The figure steers the search only; what people compare are the measures themselves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from layout.arrange.grid import TENTHS, Grid, Rows, Spot
from layout.arrange.problem import Form, Wish
from layout.arrange.ways_model import Chain

FULL = 1_000
_ROUND = 2000.0  # mm: what is farther than the room is long and wide is as far as can be
_LEAN = 300.0  # mm off the centreline of the common middle that count as wholly out of balance


class Score:
    """The wishes of a problem as linear expressions; `total` is their weighted sum, `most` the most that it can be."""

    def __init__(self, grid: Grid, chains: Sequence[Chain]) -> None:
        self.grid, self.model, self.chains = grid, grid.model, chains
        self.parts: list[tuple[str, int, Any]] = []
        makers = {
            "low": self._low, "balance": self._balance, "aisle": self._aisle, "stay": self._stay,
            "long bed": self._worth, "wide bed": self._worth, "plywood": self._worth,
        }  # fmt: skip
        wishes = grid.problem.wishes
        for wish in wishes:
            if wish.kind in makers:
                made = makers[wish.kind](wish)
                if made is not None:
                    self.parts.append((wish.kind, wish.weight, made))
        for kind in ("reach", "near", "apart"):
            mine = [w for w in wishes if w.kind == kind]
            if mine:
                self.parts.append((kind, mine[0].weight, self._shared(mine)))
        self.total = sum(weight * part for _, weight, part in self.parts)
        self.most = sum(weight * FULL for _, weight, _ in self.parts)

    def _free(self) -> list[Spot]:
        return [s for s in self.grid.spots.values() if any(f.mass for f in s.by_key.values())]

    def _low(self, wish: Wish) -> Any:
        spots = self._free()
        mass = sum(
            max(f.mass for f in s.by_key.values()) for s in spots if s.stand.fixed is None and not s.stand.absent
        )
        mass += sum(self._column_mass(group) for group in self.grid.problem.totals)
        if not mass:
            return None
        full = mass * self.grid.problem.height / 2
        return FULL - sum(
            round(FULL * form.mass * form.weigh[2] / full) * s.forms[key]
            for s in spots if s.stand.fixed is None for key, form in s.by_key.items()
        )  # fmt: skip

    def _column_mass(self, group: str) -> float:
        spot = next(s for s in self.grid.spots.values() if s.stand.group == group)
        form = next((f for f in spot.by_key.values()), None)
        return form.mass / form.holds * self.grid.problem.totals[group] if form else 0.0

    def _balance(self, wish: Wish) -> Any:
        """Return how near the common middle is to the centreline."""
        spots = self._free()
        moment: Any = 0
        mass = 0.0
        for s in spots:
            for mass_kg, y in self._masses(s):
                moment += round(mass_kg * 10) * y
            mass += max(f.mass for f in s.by_key.values()) if not s.stand.absent else 0.0
        mass += sum(self._column_mass(group) for group in self.grid.problem.totals)
        if isinstance(moment, int) or mass <= 0:
            return None
        unit = max(1, round(mass * 10 * _LEAN * TENTHS / FULL))
        off = self.model.new_int_var(0, FULL, "balance")
        # What is off by more than the scale counts as wholly off.
        beyond = self.model.new_int_var(0, FULL * 10, "")
        self.model.add(unit * (off + beyond) >= moment)
        self.model.add(unit * (off + beyond) >= -moment)
        return FULL - off - beyond

    def _masses(self, spot: Spot) -> list[tuple[float, Any]]:
        """Return masses of a stand with the y of their middles, tenths of a millimetre: linear in the variables."""
        forms = spot.by_key
        if spot.stand.absent:
            return self._by_number(spot)
        shift = sum(round(f.weigh[1] * TENTHS) * spot.forms[key] for key, f in forms.items())
        return [(max(f.mass for f in forms.values()), spot.y + shift)]

    def _by_number(self, spot: Spot) -> list[tuple[float, Any]]:
        """Return a column's bins one by one: each counts with the column's y where the column is so high, else not."""
        found = []
        low, high = spot.bounds[1], spot.bounds[3]
        for k in range(1, max((f.holds for f in spot.by_key.values()), default=0) + 1):
            tall = sum(spot.forms[key] for key, f in spot.by_key.items() if f.holds >= k)
            y = self.model.new_int_var(min(low, 0), max(high, 0), "")
            lit = self.model.new_bool_var("")
            self.model.add(tall == lit)
            self.model.add(y == spot.y).only_enforce_if(lit)
            self.model.add(y == 0).only_enforce_if(~lit)
            form = next(f for f in spot.by_key.values())
            found.append((form.mass / form.holds, y))
        return found

    def _aisle(self, wish: Wish) -> Any:
        walked = [chain for chain in self.chains if chain.rectangles]
        if not walked:
            return None
        least, best = (round(v * TENTHS) for v in (walked[0].walk.least, walked[0].walk.best))
        narrowest = self.model.new_int_var(0, FULL, "aisle")
        for chain in walked:
            self.model.add((best - least) * narrowest <= FULL * (chain.width - least))
        return narrowest

    def _stay(self, wish: Wish) -> Any:
        outs = [*(lit for spot in self.grid.spots.values() for lit in spot.out.values()), *self.grid.moved]
        return FULL - sum((FULL // len(outs)) * lit for lit in outs) if outs else None

    def _worth(self, wish: Wish) -> Any:
        """Return what the forms alone decide: more is better, of plywood less."""
        parts: list[Any] = []
        for spot in self.grid.spots.values():
            values = {key: form.worth[wish.kind] for key, form in spot.by_key.items() if wish.kind in form.worth}
            if len(set(values.values())) > 1:
                low, high = min(values.values()), max(values.values())
                shares = {key: (v - low) / (high - low) for key, v in values.items()}
                if wish.kind == "plywood":
                    shares = {key: 1 - share for key, share in shares.items()}
                parts.append(sum(round(FULL * share) * spot.forms[key] for key, share in shares.items()))
        return _mean(self.model, parts)

    def _shared(self, wishes: Sequence[Wish]) -> Any:
        """Return the mean over all things of a wish between places, by their shares."""
        whole = sum(w.share for w in wishes)
        return sum((self._between(w, w.share / whole) for w in wishes), 0)

    def _between(self, wish: Wish, share: float) -> Any:
        """Return a wish's part of `FULL`: all at no distance, none at the length of the room; of apart the reverse."""
        model, spot = self.model, self.grid.spots[wish.stands[0]]
        full = round((self.grid.problem.length + _ROUND) * TENTHS)
        distance = model.new_int_var(0, full, "")
        boxes = [tuple(round(v * TENTHS) for v in point) for point in wish.points]
        if len(wish.stands) > 1:
            boxes.append(self._plan(self.grid.spots[wish.stands[1]]))
        lits = [model.new_bool_var("") for _ in boxes]
        model.add_exactly_one(lits)
        x0, y0, x1, y1 = self._plan(spot)
        for lit, (a, b, c, d) in zip(lits, boxes, strict=True):
            dx, dy = model.new_int_var(0, full, ""), model.new_int_var(0, full, "")
            for apart, (low, high), (start, end) in ((dx, (x0, x1), (a, c)), (dy, (y0, y1), (b, d))):
                if wish.kind == "apart":
                    self._at_most_apart(apart, (low, high), (start, end))
                else:
                    model.add(apart >= low - end)
                    model.add(apart >= start - high)
            if wish.kind == "apart":
                model.add(distance <= dx + dy).only_enforce_if(lit)
            else:
                model.add(distance >= dx + dy).only_enforce_if(lit)
        part = model.new_int_var(0, round(FULL * share), "")
        rate = round(FULL * share)
        gained = distance if wish.kind == "apart" else full - distance
        model.add(full * part <= rate * gained)
        return self._if_used(spot, part, rate)

    def _at_most_apart(self, apart: Any, one: tuple[Any, Any], other: tuple[Any, Any]) -> None:
        """Let `apart` be at most the gap between two stretches, on whichever side it is; none where they overlap."""
        lits = [self.model.new_bool_var("") for _ in range(3)]
        self.model.add_exactly_one(lits)
        for lit, most in zip(lits, (one[0] - other[1], other[0] - one[1], 0), strict=True):
            self.model.add(apart <= most).only_enforce_if(lit)

    def _if_used(self, spot: Spot, part: Any, full: int) -> Any:
        if spot.used is True:
            return part
        # A column that is not used is no worse than one that stands best: how many there are is no wish.
        made = self.model.new_int_var(0, full, "")
        self.model.add(made <= part).only_enforce_if(spot.used)
        return made

    def _plan(self, spot: Spot) -> tuple[Any, Any, Any, Any]:
        forms: Mapping[str, Form] = spot.by_key
        state = spot.stand.states[0]
        rows = Rows(by_form={key: _tenths(form, state) for key, form in forms.items()})
        grid = self.grid
        return grid.start(spot, rows, 0), grid.start(spot, rows, 1), grid.end(spot, rows, 0), grid.end(spot, rows, 1)


def _tenths(form: Form, state: str) -> tuple[int, int, int, int, int, int]:
    a, b, c, d, e, f = (round(v * TENTHS) for v in form.outer(state))
    return (a, b, c, d, e, f)


def _mean(model: Any, parts: Sequence[Any]) -> Any:
    if not parts:
        return None
    mean = model.new_int_var(0, FULL, "")
    model.add(len(parts) * mean <= sum(parts))
    return mean
