"""A plain random-restart search for arrangements, to hold the program's own against.

It is given the same forms, the same places where each may stand, the same gaps and the same checks, and no more wit than
somebody who tries: things in random order, each in a random form, at a random one of the corners that walls and what
stands already make, whatever meets nothing; what comes of it goes before the checks. The best that passes is kept.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import ceil, floor

import numpy as np

from layout.arrange.ask import Ask
from layout.arrange.asproject import layout_of, said_of
from layout.arrange.build import build, rounding_of
from layout.arrange.grid import Grid, values_of
from layout.arrange.judge import failures
from layout.arrange.problem import Box, Form, Place, Problem, Stand
from layout.arrange.score import Score
from layout.arrange.solve import Budget, solver_with
from layout.arrange.ways_model import Chain

_TENTHS = 10
_HAIR = 1e-6
_CORNERS = 400  # corners tried for one form before another is
_FORMS = 6  # forms tried for one thing before all is begun anew
Corner = tuple[int, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class Tries:
    """What came of it: how many times all was placed, how many of those passed the checks, and the best of them."""

    placed: int
    good: int
    best: int | None
    seconds: float


def random_restart(ask: Ask, seconds: float, seed: int, *, tight: bool = False) -> Tries:
    """Return what random tries find in so many seconds of processor time; reading the figures is not counted.

    `tight` is told by which gaps, as for the program's own search.
    """
    begun, paused = time.process_time(), 0.0
    built = build(ask, rounding_of(ask, tight=tight))
    room = _Room(problem=built.problem, dice=random.Random(seed))
    scale, placed, good, best = None, 0, 0, None
    while time.process_time() - begun - paused < seconds:
        places = room.once()
        if places is None:
            continue
        placed += 1
        if failures(ask, layout_of(built, said_of(built, places))):
            continue
        good += 1
        start = time.process_time()
        scale = scale or Scale(built.problem)
        best = max(best or 0, scale.score(places))
        paused += time.process_time() - start
    return Tries(placed=placed, good=good, best=best, seconds=time.process_time() - begun - paused)


class Scale:
    """Reads the figure of places off the program's own model, with everything fixed to where it stands."""

    def __init__(self, problem: Problem) -> None:
        # So fine that every place in tenths of a millimetre is on the grid.
        self.grid = Grid(problem, 1 / _TENTHS)
        self.figure = Score(self.grid, [Chain(self.grid, walk) for walk in problem.walks])
        self.grid.model.maximize(self.figure.total)
        # What the model cannot walk to, and the checks can, is read without its ways for people.
        self.bare = Grid(problem, 1 / _TENTHS)
        self.plain = Score(self.bare, [])
        self.bare.model.maximize(self.plain.total)

    @property
    def most(self) -> int:
        """Return the most that the figure can be."""
        return self.figure.most

    def score(self, places: Sequence[Place]) -> int:
        """Return the figure of places."""
        found = _read(self.grid, self.figure, places)
        return found if found is not None else _read(self.bare, self.plain, places) or 0


def _read(grid: Grid, figure: Score, places: Sequence[Place]) -> int | None:
    grid.hint(_in_order(grid, places))
    solver = solver_with(Budget(work=2.0))
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.solve(grid.model)
    known = solver.response_proto.solution
    return values_of(solver)(figure.total) if len(known) else None


def _in_order(grid: Grid, places: Sequence[Place]) -> Iterator[Place]:
    """Yield the places with equal things in the order that the model wants: by x, those that are not used last."""
    groups: dict[str, list[Place]] = {}
    for place in places:
        stand = grid.spots[place.stand].stand
        groups.setdefault(stand.alike or f"only {stand.name}", []).append(place)
    for mine in groups.values():
        names = [spot.stand.name for spot in grid.spots.values() if spot.stand.name in {p.stand for p in mine}]
        order = sorted(mine, key=lambda p: (p.form is None, p.at[0]))
        for name, place in zip(names, order, strict=True):
            low = grid.spots[name].bounds
            at = place.at if place.form else (low[0] / _TENTHS, low[1] / _TENTHS)
            yield replace(place, stand=name, at=at)


@dataclass
class _Put:
    """A stand in a form at a corner, tenths of a millimetre, and where it is out."""

    stand: Stand
    form: Form
    x: int
    y: int
    out: tuple[str, ...] = ()


@dataclass
class _Room:
    """What stands so far, and the corners that it makes."""

    problem: Problem
    dice: random.Random
    put: dict[str, _Put] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._known: dict[tuple[str, str, str, bool], np.ndarray] = {}
        self.gap = ceil(self.problem.gap * _TENTHS)
        self.linked = {b: a for a, b in self.problem.linked}

    def once(self) -> tuple[Place, ...] | None:
        """Return places for all, nothing meeting anything; None where a thing finds no corner."""
        self.put = {
            s.name: _Put(stand=s, form=s.forms[0], x=_tenths(s.fixed[0]), y=_tenths(s.fixed[1]))
            for s in self.problem.stands if s.fixed is not None
        }  # fmt: skip
        still = set(self.put)
        wanted = self._wanted()
        self.dice.shuffle(wanted)
        # What is carried comes after what may carry it.
        wanted.sort(key=lambda one: all(f.needs is not None for f in one[1]))
        if not all(self._stand(stand, forms) for stand, forms in wanted):
            return None
        return tuple(self._place(s) for s in self.problem.stands if s.name not in still)

    def _wanted(self) -> list[tuple[Stand, list[Form]]]:
        """Return what is to stand, with the forms that are left to it: of columns some, with all their bins in them."""
        found = []
        for stand in self.problem.stands:
            if stand.fixed is None and not stand.absent:
                found.append((stand, [f for f in stand.forms if f.where]))
        for group, total in self.problem.totals.items():
            left = total
            for stand in (s for s in self.problem.stands if s.group == group and s.absent):
                heights = sorted({f.holds for f in stand.forms if f.where and f.holds <= left})
                if heights:
                    high = self.dice.choice(heights)
                    found.append((stand, [f for f in stand.forms if f.where and f.holds == high]))
                    left -= high
        return found

    def _stand(self, stand: Stand, forms: Sequence[Form]) -> bool:
        """Put the stand somewhere; return whether a corner was found."""
        able = [f for f in forms if f.needs is None or self._carries(f.needs)]
        out = tuple(state for state in stand.may_leave if self.dice.random() < 0.5)
        for form in self.dice.sample(able, min(len(able), _FORMS)):
            for x, y in self._corners(stand, form):
                one = _Put(stand=stand, form=form, x=x, y=y, out=out)
                if self._is_free(one):
                    self.put[stand.name] = one
                    return True
        return False

    def _carries(self, needs: tuple[str, str]) -> bool:
        below = self.put.get(needs[0])
        return below is not None and below.form.key == needs[1]

    def _corners(self, stand: Stand, form: Form) -> list[Corner]:
        """Return corners in random order: of the room, of the top that carries it, of what stands already."""
        outer = _whole(form.outer(stand.states[0])) if form.solids else (0, 0, 0, 0, 0, 0)
        xs, ys = ({v for piece in form.where for v in _limits(piece, axis)} for axis in (0, 1))
        if form.needs is not None:
            below = self.put[form.needs[0]]
            a, b, c, d = (_tenths(v) for v in (below.form.top or (0, 0, 0, 0, 0))[:4])
            xs |= {below.x + a - outer[0], below.x + c - outer[3]}
            ys |= {below.y + b - outer[1], below.y + d - outer[4]}
        for other in self.put.values():
            if any(other.form.solids.values()):
                box = _whole(other.form.outer(other.stand.states[0]))
                gap = self._gap(stand, other.stand)
                xs |= {other.x + box[3] + gap - outer[0], other.x + box[0] - gap - outer[3]}
                ys |= {other.y + box[4] + gap - outer[1], other.y + box[1] - gap - outer[4]}
        corners = [at for at in product(sorted(xs), sorted(ys)) if _is_in(form, at)]
        corners = self.dice.sample(corners, min(len(corners), _CORNERS))
        before = self.put.get(self.linked.get(stand.name, ""))
        same = before is not None and before.form.key == form.key and self.dice.random() < 0.5
        return [(before.x, before.y), *corners] if before is not None and same else corners

    def _gap(self, a: Stand, b: Stand) -> int:
        return self.gap if a.loose or b.loose else 0

    def _is_free(self, one: _Put) -> bool:
        if one.form.needs is not None and not self._is_on(one):
            return False
        for state in (s for s in one.stand.states if s not in one.out):
            for other in self.put.values():
                if state in other.stand.states and state not in other.out and self._meet(one, other, state):
                    return False
        return True

    def _is_on(self, one: _Put) -> bool:
        below = self.put[(one.form.needs or ("", ""))[0]]
        a, b, c, d = (_tenths(v) for v in (below.form.top or (0, 0, 0, 0, 0))[:4])
        x0, y0, _, x1, y1, _ = _whole(one.form.outer(one.stand.states[0]))
        along = below.x + a <= one.x + x0 and one.x + x1 <= below.x + c
        return along and below.y + b <= one.y + y0 and one.y + y1 <= below.y + d

    def _meet(self, a: _Put, b: _Put, state: str) -> bool:
        gap = self._gap(a.stand, b.stand)
        solid = self._boxes(a, state, zones=False), self._boxes(b, state, zones=False)
        zone = self._boxes(a, state, zones=True), self._boxes(b, state, zones=True)
        return _shared(*solid, gap) or _shared(zone[0], solid[1], 0) or _shared(solid[0], zone[1], 0)

    def _boxes(self, one: _Put, state: str, *, zones: bool) -> np.ndarray:
        """Return the boxes where they stand: n x 6, tenths of a millimetre."""
        key = (one.stand.name, one.form.key, state, zones)
        if key not in self._known:
            boxes = (one.form.zones if zones else one.form.solids).get(state, ())
            self._known[key] = np.array([_whole(b) for b in boxes], dtype=np.int64).reshape(-1, 6)
        return self._known[key] + np.array([one.x, one.y, 0, one.x, one.y, 0])

    def _place(self, stand: Stand) -> Place:
        one = self.put.get(stand.name)
        if one is None:
            return Place(stand=stand.name, form=None)
        return Place(stand=stand.name, form=one.form, at=(one.x / _TENTHS, one.y / _TENTHS), left_in=one.out)


def _shared(a: np.ndarray, b: np.ndarray, gap: int) -> bool:
    """Return whether any of the boxes share room; along and across they keep the gap."""
    wide = np.array([gap, gap, 0])
    low = a[:, None, :3] < b[None, :, 3:] + wide
    high = b[None, :, :3] < a[:, None, 3:] + wide
    return bool((low & high).all(axis=2).any())


def _is_in(form: Form, at: Corner) -> bool:
    return any(all(a * at[0] + b * at[1] <= c for a, b, c in piece) for piece in form.where)


def _limits(piece: Sequence[tuple[int, int, int]], axis: int) -> tuple[int, int]:
    """Return from where to where a piece reaches along x or y."""
    low, high = ((-1, 0), (1, 0)) if axis == 0 else ((0, -1), (0, 1))
    most: Callable[[tuple[int, int]], int] = lambda way: min(c for a, b, c in piece if (a, b) == way)  # noqa: E731 (one use)
    return -most(low), most(high)


def _tenths(mm: float) -> int:
    return round(mm * _TENTHS)


def _whole(box: Box) -> tuple[int, int, int, int, int, int]:
    """Return a box in whole tenths that holds the true one, rounded as the model's are."""
    low = [floor(v * _TENTHS + _HAIR) for v in box[:3]]
    high = [ceil(v * _TENTHS - _HAIR) for v in box[3:]]
    return (low[0], low[1], low[2], high[0], high[1], high[2])
