"""Ways for people in the model: chains of rectangles of floor, from a door to each goal, clear of all that stands."""

from __future__ import annotations

from typing import Any

from layout.arrange.grid import TENTHS, Grid, Rows, Spot
from layout.arrange.problem import Box, DoorWay, Piece, Walk


class Chain:
    """The rectangles of one state's ways; `width` is that of the narrowest, in tenths of a millimetre."""

    def __init__(self, grid: Grid, walk: Walk) -> None:
        self.grid, self.walk, self.model = grid, walk, grid.model
        self.width = self.model.new_int_var(
            round(walk.least * TENTHS), round(walk.best * TENTHS), f"aisle in {walk.state}"
        )
        self.rectangles = [self._rectangle() for _ in range(walk.rectangles if walk.goals else 0)]
        self.straight = [self._straight(goal, door) for goal in walk.goals for door in walk.doors]
        for one, other in zip(self.rectangles, self.rectangles[1:], strict=False):
            self._overlap(one, other)
        if self.rectangles:
            self.begun = self._begin()
            for k, goal in enumerate(walk.goals):
                mine = self.straight[k * len(walk.doors) : (k + 1) * len(walk.doors)]
                self.model.add_bool_or([*mine, *self._reached(goal), *self._not_there(goal)])
            self._clear()
        ways_in = [grid.spots[name].used for name in walk.way_in if name in grid.spots]
        if ways_in:
            self.model.add_bool_or([*ways_in, *self.straight])

    def _rectangle(self) -> tuple[Any, Any, Any, Any]:
        limits = [_bounds(piece) for piece in self.walk.rooms]
        low_x, low_y = min(b[0] for b in limits), min(b[1] for b in limits)
        high_x, high_y = max(b[2] for b in limits), max(b[3] for b in limits)
        new = self.model.new_int_var
        x0, x1 = new(low_x, high_x, ""), new(low_x, high_x, "")
        y0, y1 = new(low_y, high_y, ""), new(low_y, high_y, "")
        self.model.add(x1 - x0 >= self.width)
        self.model.add(y1 - y0 >= self.width)
        lits = [self.model.new_bool_var("") for _ in self.walk.rooms]
        self.model.add_bool_or(lits)
        for lit, piece in zip(lits, self.walk.rooms, strict=True):
            for a, b, c in piece:
                # The corner that reaches farthest toward the edge decides.
                far = a * (x1 if a > 0 else x0) + b * (y1 if b > 0 else y0)
                self.model.add(far <= c).only_enforce_if(lit)
        return x0, y0, x1, y1

    def _overlap(self, one: tuple[Any, ...], other: tuple[Any, ...]) -> None:
        for i in (0, 1):
            self.model.add(one[i + 2] - other[i] >= self.width)
            self.model.add(other[i + 2] - one[i] >= self.width)

    def _begin(self) -> list[Any]:
        """Let the first rectangle begin at one of the doors, unless all goals are straight behind one."""
        lits = []
        x0, y0, x1, y1 = self.rectangles[0]
        for door in self.walk.doors:
            lit = self.model.new_bool_var("")
            a, b, c, d = (round(v * TENTHS) for v in door.touch)
            add = self.model.add
            if door.along == "y":
                rules = [add(x0 <= c), add(y0 >= b), add(y1 <= d)]
            elif b < 0:
                rules = [add(y0 <= d), add(x0 >= a), add(x1 <= c)]
            else:
                rules = [add(y1 >= b), add(x0 >= a), add(x1 <= c)]
            for rule in rules:
                rule.only_enforce_if(lit)
            lits.append(lit)
        self.model.add_bool_or([*lits, *self.straight])
        return lits

    def _box(self, goal: tuple[str, Box | None]) -> tuple[Any, Any, Any, Any]:
        name, box = goal
        if box is not None:
            low = [round(v * TENTHS) for v in box]
            return low[0], low[1], low[3], low[4]
        spot = self.grid.spots[name]
        rows = self.grid.rows(spot, self.walk.state)
        whole = Rows(by_form={key: _around([r.by_form[key] for r in rows]) for key in spot.forms})
        at = [self.grid.start(spot, whole, 0), self.grid.start(spot, whole, 1)]
        return at[0], at[1], self.grid.end(spot, whole, 0), self.grid.end(spot, whole, 1)

    def _not_there(self, goal: tuple[str, Box | None]) -> list[Any]:
        """Return a literal for a goal that may be left out."""
        used = self.grid.spots[goal[0]].used if goal[1] is None else True
        return [] if used is True else [~used]

    def _reached(self, goal: tuple[str, Box | None]) -> list[Any]:
        """Return literals each of which holds only if a rectangle comes near enough to the goal."""
        bx0, by0, bx1, by1 = self._box(goal)
        near, least, lits = round(self.walk.near * TENTHS), round(self.walk.least * TENTHS), []
        some = least // 2 if goal[1] is None else 0
        for x0, y0, x1, y1 in self.rectangles:
            for along in (True, False):
                lit = self.model.new_bool_var("")
                gap_x, gap_y = (near, -some) if along else (-some, near)
                for rule in (bx0 - x1 <= gap_x, x0 - bx1 <= gap_x, by0 - y1 <= gap_y, y0 - by1 <= gap_y):
                    self.model.add(rule).only_enforce_if(lit)
                lits.append(lit)
        return lits

    def _straight(self, goal: tuple[str, Box | None], door: DoorWay) -> Any:
        bx0, by0, bx1, by1 = self._box(goal)
        lit = self.model.new_bool_var("")
        a, b, c, d = (round(v * TENTHS) for v in door.touch)
        deep, wide = round(self.walk.straight * TENTHS), round(450 * TENTHS)
        if door.along == "y":
            rules = [bx0 <= a + deep, by1 >= b + wide, by0 <= d - wide]
        elif b < 0:
            rules = [by0 <= b + deep, bx1 >= a + wide, bx0 <= c - wide]
        else:
            rules = [by1 >= d - deep, bx1 >= a + wide, bx0 <= c - wide]
        for rule in rules:
            self.model.add(rule).only_enforce_if(lit)
        return lit

    def _clear(self) -> None:
        """Keep every rectangle clear of all solids between the heights that a body takes."""
        low, high = (round(v * TENTHS) for v in self.walk.heights)
        for spot in self.grid.spots.values():
            if self.walk.state in spot.stand.states:
                for rows in self.grid.rows(spot, self.walk.state):
                    if rows.most(5) > low and rows.least(2) < high:
                        for rectangle in self.rectangles:
                            self._apart(spot, rows, rectangle)

    def _apart(self, spot: Spot, rows: Rows, rectangle: tuple[Any, ...]) -> None:
        grid, lits = self.grid, []
        low, high = (round(v * TENTHS) for v in self.walk.heights)
        for axis in (0, 1):
            for rule in (
                grid.end(spot, rows, axis) <= rectangle[axis],
                rectangle[axis + 2] <= grid.start(spot, rows, axis),
            ):
                lit = self.model.new_bool_var("")
                self.model.add(rule).only_enforce_if(lit)
                lits.append(lit)
        # In some forms it may be stepped over, or hang above.
        lits += [spot.forms[key] for key, row in rows.by_form.items() if row[5] <= low or row[2] >= high]
        lits += [~spot.used] if spot.used is not True else []
        lits += [spot.out[self.walk.state]] if self.walk.state in spot.out else []
        self.model.add_bool_or(lits)


def _bounds(piece: Piece) -> tuple[int, int, int, int]:
    def limit(a: int, b: int) -> int:
        return min(c for p, q, c in piece if (p, q) == (a, b))

    return -limit(-1, 0), -limit(0, -1), limit(1, 0), limit(0, 1)


def _around(rows: list[tuple[int, ...]]) -> tuple[int, int, int, int, int, int]:
    low = [min(r[i] for r in rows) for i in range(3)]
    high = [max(r[i + 3] for r in rows) for i in range(3)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])
