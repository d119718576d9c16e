"""The problem as a constraint model over a grid: every stand a form and a grid point, every pair apart.

Whole numbers throughout: tenths of a millimetre. Boxes are rounded outward, so what the model calls apart is apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import ceil, floor
from typing import Any

from layout.arrange.problem import Box, Form, Piece, Place, Problem, Stand

TENTHS = 10
_HAIR = 1e-6
Whole6 = tuple[int, int, int, int, int, int]


@dataclass
class Spot:
    """The variables of one stand: reference point, a literal for each form, whether it is used, where it is out."""

    stand: Stand
    x: Any
    y: Any
    forms: dict[str, Any]
    used: Any
    out: dict[str, Any] = field(default_factory=dict)
    by_key: dict[str, Form] = field(default_factory=dict)
    bounds: tuple[int, int, int, int] = (0, 0, 0, 0)


@dataclass
class Rows:
    """One box of a stand in a state, in each form: its six whole numbers by form key."""

    by_form: dict[str, Whole6]

    def constant(self, i: int) -> bool:
        """Return whether the i-th number is alike in all forms."""
        return len({row[i] for row in self.by_form.values()}) == 1

    def least(self, i: int) -> int:
        """Return the smallest of the i-th numbers."""
        return min(row[i] for row in self.by_form.values())

    def most(self, i: int) -> int:
        """Return the largest of the i-th numbers."""
        return max(row[i] for row in self.by_form.values())


class Grid:
    """The model of a problem, its variables, and how a solution reads as places."""

    def __init__(self, problem: Problem, step: float = 10.0, *, outward: bool = False) -> None:
        from ortools.sat.python import cp_model

        self.problem, self.outward = problem, outward
        self.step = max(1, round(step * TENTHS))
        self.model = cp_model.CpModel()
        self.spots = {stand.name: self._spot(stand) for stand in problem.stands}
        self._rows: dict[tuple[str, str, str], list[Rows]] = {}
        self._hold_totals()
        self._order_alike()
        self._carry()
        self._keep_apart()
        self.moved = [self._moved(self.spots[a], self.spots[b]) for a, b in problem.linked]
        for names in problem.one_of:
            self.model.add_bool_or([self.spots[name].used for name in names])

    # --- stands -----------------------------------------------------------------------------------------------------

    def _spot(self, stand: Stand) -> Spot:
        model = self.model
        if stand.fixed is not None:
            form = stand.forms[0]
            x, y = (round(v * TENTHS) for v in stand.fixed)
            return Spot(
                stand=stand, x=x, y=y, forms={form.key: True}, used=True, by_key={form.key: form}, bounds=(x, y, x, y)
            )
        possible = [form for form in stand.forms if form.where]
        used = model.new_bool_var(f"{stand.name} used") if stand.absent else True
        if not possible:
            model.add_bool_or([] if not stand.absent else [~used])
        low_x, low_y, high_x, high_y = _bounds_of([piece for form in possible for piece in form.where])
        x, y = self._on_grid(low_x, high_x, f"{stand.name} x"), self._on_grid(low_y, high_y, f"{stand.name} y")
        lits = {form.key: model.new_bool_var(f"{stand.name} {form.key}") for form in possible}
        model.add(sum(lits.values()) == used)
        spot = Spot(stand=stand, x=x, y=y, forms=lits, used=used, by_key={f.key: f for f in possible},
                    bounds=(low_x, low_y, high_x, high_y))  # fmt: skip
        for form in possible:
            self._inside(spot, form)
        for state in stand.may_leave:
            spot.out[state] = model.new_bool_var(f"{stand.name} out in {state}")
        return spot

    def _on_grid(self, low: int, high: int, name: str) -> Any:
        if low >= high:
            return low
        # The grid of each stand begins where it may stand first, so that it may stand against a wall.
        number = self.model.new_int_var(0, (high - low) // self.step, name)
        return low + self.step * number

    def _inside(self, spot: Spot, form: Form) -> None:
        model, lit = self.model, spot.forms[form.key]
        chosen = [lit] if len(form.where) == 1 else [model.new_bool_var("") for _ in form.where]
        if len(chosen) > 1:
            model.add_bool_or(chosen).only_enforce_if(lit)
        for one, piece in zip(chosen, form.where, strict=True):
            for a, b, c in piece:
                model.add(a * spot.x + b * spot.y <= c).only_enforce_if(one)

    def _hold_totals(self) -> None:
        for group, total in self.problem.totals.items():
            spots = [s for s in self.spots.values() if s.stand.group == group]
            held = sum(form.holds * s.forms[key] for s in spots for key, form in s.by_key.items())
            self.model.add(held <= total if self.problem.soft else held == total)

    def _order_alike(self) -> None:
        """Order stands that may change places, so that one arrangement is found once."""
        groups: dict[str, list[Spot]] = {}
        for spot in self.spots.values():
            if spot.stand.alike:
                groups.setdefault(spot.stand.alike, []).append(spot)
        for spots in groups.values():
            for a, b in pairwise(spots):
                self.model.add(a.x <= b.x).only_enforce_if(b.used)
                if b.used is not True:
                    self.model.add_implication(b.used, a.used)

    def _carry(self) -> None:
        """Keep what is carried within the top of what carries it."""
        for spot in self.spots.values():
            for key, form in spot.by_key.items():
                if form.needs is not None:
                    self._on_top(spot, key, form)

    def _on_top(self, spot: Spot, key: str, form: Form) -> None:
        lit, model = spot.forms[key], self.model
        below, wanted = form.needs or ("", "")
        carrier = self.spots[below]
        if wanted not in carrier.forms:
            model.add(lit == 0)
            return
        top = carrier.by_key[wanted].top
        assert top is not None, "only what has a top carries"
        if carrier.forms[wanted] is not True:
            model.add_implication(lit, carrier.forms[wanted])
        x0, y0, _, x1, y1, _ = _whole([form.outer(spot.stand.states[0])], self.outward)[0]
        a, b, c, d = (round(v * TENTHS) for v in top[:4])
        for rule in (
            spot.x + x0 >= carrier.x + a, spot.y + y0 >= carrier.y + b,
            spot.x + x1 <= carrier.x + c, spot.y + y1 <= carrier.y + d,
        ):  # fmt: skip
            model.add(rule).only_enforce_if(lit)

    def _moved(self, one: Spot, other: Spot) -> Any:
        """Return a literal that holds where a unit stands elsewhere, or otherwise, in the second state."""
        lit, model = self.model.new_bool_var(f"{other.stand.name} moved"), self.model
        model.add(one.x == other.x).only_enforce_if(~lit)
        model.add(one.y == other.y).only_enforce_if(~lit)
        for key in {*one.forms, *other.forms}:
            if key in one.forms and key in other.forms:
                model.add(one.forms[key] == other.forms[key]).only_enforce_if(~lit)
            else:
                model.add_implication((one.forms if key in one.forms else other.forms)[key], lit)
        return lit

    # --- apart ------------------------------------------------------------------------------------------------------

    def rows(self, spot: Spot, state: str, zones: bool = False) -> list[Rows]:
        """Return the boxes of the stand in a state, or its zones: for each number of a box, that of every form."""
        key = (spot.stand.name, state, "zones" if zones else "solids")
        if key not in self._rows:
            by_form = {
                k: _whole((f.zones if zones else f.solids).get(state, ()), self.outward) for k, f in spot.by_key.items()
            }
            count = max((len(boxes) for boxes in by_form.values()), default=0)
            # A form with fewer boxes tells its last one again.
            self._rows[key] = [
                Rows(by_form={k: boxes[min(i, len(boxes) - 1)] for k, boxes in by_form.items() if boxes})
                for i in range(count)
            ]
        return self._rows[key]

    def _keep_apart(self) -> None:
        done: set[tuple[Any, ...]] = set()
        for state in self.problem.states:
            spots = [s for s in self.spots.values() if state in s.stand.states]
            for a, b in combinations(spots, 2):
                if a.stand.fixed is not None and b.stand.fixed is not None:
                    continue
                gap = 0 if self.outward else self._gap(a.stand, b.stand)
                solids = [(r, q, gap) for r in self.rows(a, state) for q in self.rows(b, state)]
                zones = [(r, q, 0) for r in self.rows(a, state, zones=True) for q in self.rows(b, state)]
                zones += [(r, q, 0) for r in self.rows(a, state) for q in self.rows(b, state, zones=True)]
                for r, q, more in solids + zones:
                    self._apart((a, r), (b, q), state, more, done)

    def _gap(self, a: Stand, b: Stand) -> int:
        return ceil(self.problem.gap * TENTHS) if a.loose or b.loose else 0

    def _apart(
        self, one: tuple[Spot, Rows], other: tuple[Spot, Rows], state: str, gap: int, done: set[tuple[Any, ...]]
    ) -> None:
        (a, r), (b, q) = one, other
        known = (
            a.stand.name,
            b.stand.name,
            tuple(r.by_form.items()),
            tuple(q.by_form.items()),
            state in a.out and state,
            state in b.out and state,
        )
        if known in done:
            return
        done.add(known)
        lits: list[Any] = []
        for axis in (2, 0, 1):
            for (s, m), (t, n) in (((a, r), (b, q)), ((b, q), (a, r))):
                answer = self._before((s, m), (t, n), axis, gap)
                if answer is True:
                    return
                if answer is not False:
                    lits.append(answer)
        lits += [~x for x in (a.used, b.used) if x is not True]
        lits += [s.out[state] for s in (a, b) if state in s.out]
        self.model.add_bool_or(lits)

    def _before(self, one: tuple[Spot, Rows], other: tuple[Spot, Rows], axis: int, gap: int) -> Any:
        """Return a literal that holds only if the first box ends before the second begins; or True, False."""
        (a, r), (b, q) = one, other
        gap = 0 if axis == 2 else gap  # noqa: PLR2004 (up)
        low_a, high_a = self._range(a, axis)
        low_b, high_b = self._range(b, axis)
        if high_a + r.most(axis + 3) + gap <= low_b + q.least(axis):
            return True
        if low_a + r.least(axis + 3) + gap > high_b + q.most(axis):
            return False
        if axis == 2 and not _may_be_above(r, q):  # noqa: PLR2004 (up)
            return False
        lit = self.model.new_bool_var("")
        self.model.add(self.end(a, r, axis) + gap <= self.start(b, q, axis)).only_enforce_if(lit)
        return lit

    def _range(self, spot: Spot, axis: int) -> tuple[int, int]:
        return (0, 0) if axis == 2 else (spot.bounds[axis], spot.bounds[axis + 2])  # noqa: PLR2004 (up)

    def start(self, spot: Spot, rows: Rows, axis: int) -> Any:
        """Return where the box begins along x, y or z (0, 1, 2), tenths of a millimetre, as an expression."""
        return self._edge(spot, rows, axis, axis)

    def end(self, spot: Spot, rows: Rows, axis: int) -> Any:
        """Return where the box ends along x, y or z."""
        return self._edge(spot, rows, axis, axis + 3)

    def _edge(self, spot: Spot, rows: Rows, axis: int, number: int) -> Any:
        base = 0 if axis == 2 else (spot.x, spot.y)[axis]  # noqa: PLR2004 (up)
        if rows.constant(number):
            return base + next(iter(rows.by_form.values()))[number]
        return base + sum(row[number] * spot.forms[key] for key, row in rows.by_form.items())

    # --- reading ----------------------------------------------------------------------------------------------------

    def places(self, value: Any) -> tuple[Place, ...]:
        """Return the places of a solution; `value` gives the value of a variable or an expression."""
        found = []
        for spot in self.spots.values():
            if spot.stand.fixed is not None:
                continue
            key = next((k for k, lit in spot.forms.items() if value(lit)), None)
            out = tuple(state for state, lit in spot.out.items() if value(lit))
            at = (value(spot.x) / TENTHS, value(spot.y) / TENTHS)
            # A door's room has an empty key.
            form = spot.by_key[key] if key is not None else None
            found.append(Place(stand=spot.stand.name, form=form, at=at, left_in=out))
        return tuple(found)

    def hint(self, places: Iterable[Place]) -> None:
        """Tell the solver where to begin."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for place in places:
            spot = self.spots[place.stand]
            for key, lit in spot.forms.items():
                self.model.add_hint(lit, place.form is not None and key == place.form.key)
            if spot.used is not True:
                self.model.add_hint(spot.used, place.form is not None)
            for state, lit in spot.out.items():
                self.model.add_hint(lit, state in place.left_in)
            for expr, v, low in ((spot.x, place.at[0], spot.bounds[0]), (spot.y, place.at[1], spot.bounds[1])):
                if not isinstance(expr, int):
                    self.model.add_hint(_variable(expr), round((round(v * TENTHS) - low) / self.step))


def _variable(expression: Any) -> Any:
    """Return the one variable of ``low + step * variable``."""
    from ortools.sat.python import cp_model

    flat = cp_model.FlatIntExpr(expression)
    return flat.vars[0]


def _may_be_above(r: Rows, q: Rows) -> bool:
    return r.least(5) <= q.most(2)


def _whole(boxes: Sequence[Box], outward: bool) -> list[Whole6]:
    """Return boxes in whole tenths, rounded so that they hold the true ones, or, to rule out, are held by them."""
    down, up = (ceil, floor) if outward else (floor, ceil)
    sign = -_HAIR if outward else _HAIR
    found: list[Whole6] = []
    for x0, y0, z0, x1, y1, z1 in boxes:
        low = [down(v * TENTHS + sign) for v in (x0, y0, z0)]
        high = [up(v * TENTHS - sign) for v in (x1, y1, z1)]
        found.append((low[0], low[1], low[2], high[0], high[1], high[2]))
    return found


def whole_of(box: Box) -> Whole6:
    """Return a box in whole tenths, rounded so that it holds the true one."""
    return _whole([box], False)[0]


def _bounds_of(pieces: Sequence[Piece]) -> tuple[int, int, int, int]:
    """Return the bounds of all pieces, of which each tells its own."""
    if not pieces:
        return (0, 0, 0, 0)

    def limit(a: int, b: int) -> list[int]:
        return [min(c for p, q, c in piece if (p, q) == (a, b)) for piece in pieces]

    return (-max(limit(-1, 0)), -max(limit(0, -1)), max(limit(1, 0)), max(limit(0, 1)))


def values_of(solver: Any) -> Any:
    """Return the function that gives the value of a variable, an expression or a plain number."""

    def value(x: Any) -> int:
        return int(x) if isinstance(x, (bool, int)) else int(solver.value(x))

    return value
