"""Every arrangement of a small problem, one by one: what the search must agree with.

It shares no code with the model: a problem's own words (`layout.arrange.problem`) are read again in plain arithmetic,
whole tenths of a millimetre. Each stand has a list of options (form, grid point, states in which it is out, or not
used), each pair of stands a table of which options keep clear of each other, and all combinations are gone through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations, product
from math import ceil, floor
from typing import Any

import numpy as np

from layout.arrange.problem import Form, Problem, Stand, Wish

_FULL = 1000  # a wish that is wholly met
_FAR = 2000.0  # mm added to the room's length: as far as can be
_LEAN = 300.0  # mm off the centreline that are wholly out of balance
_NEVER = -(10**9)


@dataclass(frozen=True, slots=True)
class Option:
    """One way in which a stand may stand; no form: it is not used."""

    form: Form | None
    x: int = 0
    y: int = 0
    out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Best:
    """The best of all arrangements: its figure and the option of each stand; and how many there are in all."""

    score: int
    chosen: dict[str, Option]
    count: int


@dataclass
class Oracle:
    """All options of a problem on a grid, mm, and what each pair of them allows."""

    problem: Problem
    step: float
    options: dict[str, list[Option]] = field(init=False)

    def __post_init__(self) -> None:
        """List the options."""
        assert not self.problem.pulls, "what comes out past what is not gone through here"
        assert not any(walk.goals for walk in self.problem.walks), "nor are ways to goals"
        step = max(1, round(self.step * 10))
        self.options = {stand.name: list(_options(stand, step)) for stand in self.problem.stands}
        self.keepers = [s for s in self.problem.stands if _keeps_only(s)]
        self.movers = [s for s in self.problem.stands if not _keeps_only(s) and s.fixed is None]
        self.fixed = [s for s in self.problem.stands if s.fixed is not None]
        self._tables: dict[tuple[str, str], Any] = {}

    @property
    def size(self) -> float:
        """Return how many combinations there are to go through."""
        return float(np.prod([float(len(self.options[s.name])) for s in self.movers]))

    def best(self) -> Best | None:
        """Return the best arrangement, None where there is none."""
        if not all(self.options[s.name] for s in self.problem.stands if not s.absent):
            return None
        found, count = (_NEVER, {}), 0
        for chosen, rows, cols in self._pairs():
            allowed = self._allowed(chosen, rows, cols)
            count += int(allowed.sum())
            if not allowed.any():
                continue
            values = np.where(allowed, self._values(chosen, rows, cols), _NEVER)
            i, j = np.unravel_index(int(values.argmax()), values.shape)
            if values[i, j] > found[0]:
                found = (int(values[i, j]), dict(chosen) | {rows[0]: int(i), cols[0]: int(j)})
        if not count:
            return None
        named = {s.name for s in self.movers}
        return Best(found[0], {n: self.options[n][k] for n, k in found[1].items() if n in named}, count)

    def all(self) -> Iterator[tuple[int, dict[str, Option]]]:
        """Yield every arrangement with its figure; the doors' rooms, of which some option is free, are not told."""
        for chosen, rows, cols in self._pairs():
            allowed, values = self._allowed(chosen, rows, cols), self._values(chosen, rows, cols)
            for i, j in np.argwhere(allowed):
                named = chosen | {rows[0]: int(i), cols[0]: int(j)}
                yield (
                    int(values[i, j]),
                    {n: self.options[n][k] for n, k in named.items() if not n.startswith("nothing")},
                )

    # --- going through all ---------------------------------------------------------------------------------------------

    def _pairs(self) -> Iterator[tuple[dict[str, int], tuple[str, Any], tuple[str, Any]]]:
        """Yield options of all stands but two, and the options of those two that each of the others allows."""
        names = [s.name for s in sorted(self.movers, key=lambda s: len(self.options[s.name]))]
        while len(names) < 2:
            names.append(f"nothing {len(names)}")
            self.options[names[-1]] = [Option(None)]
        *first, a, b = names
        start = {name: self._alone(name) for name in names}
        yield from self._deeper({}, first, start, (a, b))

    def _deeper(self, chosen: dict[str, int], left: Sequence[str], masks: dict[str, Any], last: tuple[str, str]) -> Any:
        if not left:
            rows, cols = (masks[name] for name in last)
            if rows.any() and cols.any():
                yield chosen, (last[0], rows), (last[1], cols)
            return
        name, *rest = left
        for k in np.flatnonzero(masks[name]):
            more = {n: masks[n] & self._in_order(name, n)[k] for n in (*rest, *last)}
            yield from self._deeper({**chosen, name: int(k)}, rest, {**masks, **more}, last)

    def _alone(self, name: str) -> Any:
        """Return which options of a stand keep clear of all that is fixed."""
        mask = np.ones(len(self.options[name]), dtype=bool)
        for stand in self.fixed:
            mask &= self.table(stand.name, name)[0]
        return mask

    def _allowed(self, chosen: dict[str, int], rows: tuple[str, Any], cols: tuple[str, Any]) -> Any:
        (a, mask_a), (b, mask_b) = rows, cols
        allowed = mask_a[:, None] & mask_b[None, :] & self._in_order(a, b)
        for group, total in self.problem.totals.items():
            allowed &= self._sum(chosen, a, b, lambda o: o.form.holds if o.form else 0, group) == total
        for names in self._wanted():
            allowed &= self._kept_free(chosen, a, b, names)
        return allowed

    def _sum(self, chosen: dict[str, int], a: str, b: str, value: Any, group: str = "") -> Any:
        """Return, over the options of two stands, the sum of a value of all stands (of a group)."""
        mine = {s.name for s in self.movers if not group or s.group == group}
        one, other = (np.array([value(o) if n in mine else 0 for o in self.options[n]]) for n in (a, b))
        rest = sum(value(self.options[n][k]) for n, k in chosen.items() if n in mine)
        return one[:, None] + other[None, :] + rest

    # --- what must hold ------------------------------------------------------------------------------------------------

    def _wanted(self) -> Iterator[tuple[str, ...]]:
        """Yield sets of doors' rooms of each of which one must be free."""
        yield from ((s.name,) for s in self.keepers if not s.absent)
        yield from (walk.way_in for walk in self.problem.walks if walk.way_in)

    def _kept_free(self, chosen: dict[str, int], a: str, b: str, names: Sequence[str]) -> Any:
        found = np.zeros((len(self.options[a]), len(self.options[b])), dtype=bool)
        for name in names:
            for k, option in enumerate(self.options[name]):
                others = [(s.name, 0) for s in self.fixed] + list(chosen.items())
                if option.form is not None and all(self.table(name, n)[k][i] for n, i in others):
                    found |= self.table(name, a)[k][:, None] & self.table(name, b)[k][None, :]
        return found

    def _stand(self, name: str) -> Stand | None:
        return next((s for s in self.problem.stands if s.name == name), None)

    # --- pairs ---------------------------------------------------------------------------------------------------------

    def table(self, a: str, b: str) -> Any:
        """Return which options of two stands may be had together, a row for each of the first."""
        if (a, b) not in self._tables:
            if (b, a) in self._tables:
                self._tables[a, b] = self._tables[b, a].T
            else:
                self._tables[a, b] = self._table(self._stand(a), self._stand(b), a, b)
        return self._tables[a, b]

    def _table(self, a: Stand | None, b: Stand | None, name_a: str, name_b: str) -> Any:
        mine, theirs = self.options[name_a], self.options[name_b]
        allowed = np.ones((len(mine), len(theirs)), dtype=bool)
        if a is None or b is None or (a.fixed is not None and b.fixed is not None):
            return allowed
        gap = ceil(self.problem.gap * 10) if a.loose or b.loose else 0
        for state in (s for s in self.problem.states if s in a.states and s in b.states):
            for zones_a, zones_b, keep in ((False, False, gap), (True, False, 0), (False, True, 0)):
                one, other = _boxes(mine, state, zones_a), _boxes(theirs, state, zones_b)
                for p, q in product(one, other):
                    allowed &= _apart(p, q, keep)
        for carried, carrier, flip in ((a, b, False), (b, a, True)):
            allowed &= _carried(self.options, carried, carrier).T if flip else _carried(self.options, carried, carrier)
        return allowed

    def _in_order(self, name_a: str, name_b: str) -> Any:
        """Return what may be had together, of stands that may change places in one order only: any is worth the same."""
        a, b = self._stand(name_a), self._stand(name_b)
        if a is None or b is None or not _alike(a, b):
            return self.table(name_a, name_b)
        order = [s.name for s in self.problem.stands]
        i, j = np.arange(len(self.options[name_a])), np.arange(len(self.options[name_b]))
        rising = i[:, None] <= j[None, :] if order.index(name_a) < order.index(name_b) else i[:, None] >= j[None, :]
        return self.table(name_a, name_b) & rising

    # --- what it is worth ----------------------------------------------------------------------------------------------

    def _values(self, chosen: dict[str, int], rows: tuple[str, Any], cols: tuple[str, Any]) -> Any:
        a, b = rows[0], cols[0]
        total = np.zeros((len(self.options[a]), len(self.options[b])), dtype=np.int64)
        for kind, weight, wishes in self._wishes():
            total += weight * self._worth(kind, wishes, chosen, a, b)
        return total

    def _wishes(self) -> Iterator[tuple[str, int, list[Wish]]]:
        kinds = {w.kind for w in self.problem.wishes}
        for kind in ("low", "balance", "stay", "reach", "near", "apart"):
            wishes = [w for w in self.problem.wishes if w.kind == kind]
            if kind in kinds and (kind not in ("low", "balance") or self._mass(fixed=kind == "balance")):
                yield kind, wishes[0].weight, wishes

    def _worth(self, kind: str, wishes: list[Wish], chosen: dict[str, int], a: str, b: str) -> Any:
        if kind == "low":
            full = self._mass(fixed=False) * self.problem.height / 2
            return _FULL - self._sum(chosen, a, b, lambda o: _share(o, full))
        if kind == "balance":
            moment = abs(self._sum(chosen, a, b, _moment) + sum(_moment(self.options[s.name][0]) for s in self.fixed))
            unit = max(1, round(self._mass(fixed=True) * 10 * _LEAN * 10 / _FULL))
            return _FULL - -(-moment // unit)
        if kind == "stay":
            return self._stay(chosen, a, b)
        whole = sum(w.share for w in wishes)
        return sum(self._between(w, w.share / whole, chosen, a, b) for w in wishes)

    def _stay(self, chosen: dict[str, int], a: str, b: str) -> Any:
        """Return what it gives that few things are out, or stand elsewhere than in the state before."""
        could = sum(len(s.may_leave) for s in self.movers) + len(self.problem.linked)
        if not could:
            return 0
        each, many = _FULL // could, self._sum(chosen, a, b, lambda o: len(o.out))
        for one, other in self.problem.linked:
            table = np.array([[int(_elsewhere(o, q)) for q in self.options[other]] for o in self.options[one]])
            many = many + self._spread(table, one, other, chosen, (a, b))
        return _FULL - each * many

    def _mass(self, *, fixed: bool) -> float:
        stands = [*self.movers, *(self.fixed if fixed else ())]
        alone = sum(max((f.mass for f in s.forms if f.where or s.fixed), default=0.0) for s in stands if not s.absent)
        columns = {s.group: next(iter(s.forms)) for s in stands if s.absent and s.forms}
        return alone + sum(f.mass / f.holds * self.problem.totals[g] for g, f in columns.items())

    def _between(self, wish: Wish, share: float, chosen: dict[str, int], a: str, b: str) -> Any:
        full, rate = round((self.problem.length + _FAR) * 10), round(_FULL * share)
        one = wish.stands[0]
        other = wish.stands[1] if len(wish.stands) > 1 else ""
        key = (f"{wish.kind} {one}", f"{other} {wish.points} {share}")
        if key not in self._tables:
            plans = [_plan(o, self._stand(other)) for o in self.options[other]] if other else []
            points = [tuple(round(v * 10) for v in p) for p in wish.points]
            table = [[_part(wish.kind, _plan(o, self._stand(one)), [*points, p], full, rate) for p in plans or [None]]
                     for o in self.options[one]]  # fmt: skip
            self._tables[key] = np.array(table, dtype=np.int64)
        return self._spread(self._tables[key], one, other, chosen, (a, b))

    def _spread(self, table: Any, one: str, other: str, chosen: dict[str, int], last: tuple[str, str]) -> Any:
        """Return a table over two stands, as far as they are chosen, over the options of the last two."""
        known = chosen | {s.name: 0 for s in self.fixed} | {"": 0}
        table = table[[known[one]]] if one in known else table
        table = table[:, [known[other]]] if other in known else table
        rows_first = (one == last[0] or one in known) and other != last[0]
        return table if rows_first else table.T


def _part(kind: str, plan: Any, boxes: Sequence[Any], full: int, rate: int) -> int:
    """Return what a wish between places gives: all of `rate` at no distance, none at `full`; of apart the reverse."""
    boxes = [box for box in boxes if box is not None]
    if plan is None or not boxes:
        return rate
    gaps = [sum(max(0, plan[i] - b[i + 2], b[i] - plan[i + 2]) for i in (0, 1)) for b in boxes]
    gained = min(max(gaps), full) if kind == "apart" else full - min(gaps)
    return rate * gained // full


def _plan(option: Option, stand: Stand | None) -> tuple[int, int, int, int] | None:
    if option.form is None or stand is None:
        return None
    x0, y0, _, x1, y1, _ = (round(v * 10) for v in _hull(option.form.solids[stand.states[0]]))
    return (x0 + option.x, y0 + option.y, x1 + option.x, y1 + option.y)


def _elsewhere(one: Option, other: Option) -> bool:
    return (one.x, one.y, one.form and one.form.key) != (other.x, other.y, other.form and other.form.key)


def _share(option: Option, full: float) -> int:
    return round(_FULL * option.form.mass * option.form.weigh[2] / full) if option.form else 0


def _moment(option: Option) -> int:
    """Return mass times the y of its middle, tenths of both; a column bin by bin."""
    form = option.form
    if form is None or not form.mass:
        return 0
    if form.holds > 1:
        return form.holds * round(form.mass / form.holds * 10) * option.y
    return round(form.mass * 10) * (option.y + round(form.weigh[1] * 10))


def _options(stand: Stand, step: int) -> Iterator[Option]:
    if stand.fixed is not None:
        yield Option(stand.forms[0], round(stand.fixed[0] * 10), round(stand.fixed[1] * 10))
        return
    if stand.absent:
        yield Option(None)
    pieces = [piece for form in stand.forms for piece in form.where]
    if not pieces:
        return
    xs, ys = (_line(pieces, axis, step) for axis in (0, 1))
    outs = [out for n in range(len(stand.may_leave) + 1) for out in combinations(stand.may_leave, n)]
    for form in stand.forms:
        for x, y in product(xs, ys):
            if any(all(a * x + b * y <= c for a, b, c in piece) for piece in form.where):
                yield from (Option(form, x, y, out) for out in outs)


def _line(pieces: Sequence[Any], axis: int, step: int) -> range:
    """Return the grid along an axis: from where the stand may stand first, in steps, to where it may stand last."""
    unit = (1, 0) if axis == 0 else (0, 1)
    low = min(max(-c for a, b, c in p if (-a, -b) == unit) for p in pieces)
    high = max(min(c for a, b, c in p if (a, b) == unit) for p in pieces)
    return range(low, max(low, high) + 1, step)


def _keeps_only(stand: Stand) -> bool:
    """Return whether a stand has no solids: a door's room."""
    return stand.fixed is None and bool(stand.forms) and not any(b for f in stand.forms for b in f.solids.values())


def _alike(a: Stand, b: Stand) -> bool:
    return bool(a.alike and a.alike == b.alike) or (a.absent and b.absent and a.group == b.group)


def _tenths(boxes: Sequence[Any]) -> list[tuple[int, ...]]:
    """Return boxes in whole tenths that hold the true ones."""
    return [(*(floor(v * 10 + 1e-6) for v in b[:3]), *(ceil(v * 10 - 1e-6) for v in b[3:])) for b in boxes]


def _moved(box: Sequence[int], option: Option) -> tuple[int, ...]:
    dx, dy = option.x, option.y
    return (box[0] + dx, box[1] + dy, box[2], box[3] + dx, box[4] + dy, box[5])


def _hull(boxes: Sequence[Any]) -> tuple[Any, ...]:
    return (*(min(b[i] for b in boxes) for i in range(3)), *(max(b[i] for b in boxes) for i in range(3, 6)))


def _boxes(options: Sequence[Option], state: str, zones: bool) -> list[Any]:
    """Return the options' boxes in a state, each n x 6; where an option has none, or is out, it is nowhere."""
    lists = []
    for option in options:
        form = option.form
        gone = form is None or state in option.out
        given = () if gone or form is None else (form.zones if zones else form.solids).get(state, ())
        lists.append([_moved(box, option) for box in _tenths(given)])
    count = max((len(boxes) for boxes in lists), default=0)
    nowhere = (10**8, 10**8, 10**8, 10**8, 10**8, 10**8)
    return [np.array([boxes[k] if k < len(boxes) else nowhere for boxes in lists]) for k in range(count)]


def _apart(one: Any, other: Any, gap: int) -> Any:
    """Return which of n and m boxes are apart: by the gap along or across, or one above the other."""
    found = np.zeros((len(one), len(other)), dtype=bool)
    for axis, keep in ((0, gap), (1, gap), (2, 0)):
        found |= one[:, None, axis + 3] + keep <= other[None, :, axis]
        found |= other[None, :, axis + 3] + keep <= one[:, None, axis]
    # Two that are nowhere do not meet.
    return found | (one[:, None, 0] > 10**7) | (other[None, :, 0] > 10**7)


def _carried(options: dict[str, list[Option]], carried: Stand, carrier: Stand) -> Any:
    """Return which options of what is carried stand within the top of the carrier's, where they need it."""
    return np.array([[_on(o, q, carried, carrier) for q in options[carrier.name]] for o in options[carried.name]])


def _on(option: Option, below: Option, carried: Stand, carrier: Stand) -> bool:
    if option.form is None or option.form.needs is None or option.form.needs[0] != carrier.name:
        return True
    if below.form is None or below.form.key != option.form.needs[1] or below.form.top is None:
        return False
    x0, y0, _, x1, y1, _ = _moved(_tenths([_hull(option.form.solids[carried.states[0]])])[0], option)
    a, b, c, d = (round(v * 10) for v in below.form.top[:4])
    return x0 >= a + below.x and y0 >= b + below.y and x1 <= c + below.x and y1 <= d + below.y
