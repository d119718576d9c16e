"""Removal orders against brute force: every order of every choice of things, each move told by flooding a lattice.

All lengths are whole steps of 100 mm, so a body that slides and touches can also go from lattice point to lattice
point, and flooding those is exact. Nothing here is shared with the search but the layout itself.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise, permutations, product

import numpy as np
import pytest
from numpy.typing import NDArray

from layout.checks.removal import Removal, Removals
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.model.thing import TakeOut, Thing
from layout.placing.stand import placed
from layout.space.parts import Door, DoorSide, Obstacle
from tests.builders import plain_space

STEP = 100.0
PAD = 6
WAYS: dict[str, tuple[int, int, int]] = {
    "up": (0, 0, 1), "front": (1, 0, 0), "rear": (-1, 0, 0), "left": (0, 1, 0), "right": (0, -1, 0),
}  # fmt: skip
SIDES: tuple[DoorSide, ...] = ("rear", "left", "right")
Cells = tuple[int, int, int]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Part:
    """A thing or an obstacle in lattice steps: boxes by low corner and size, and how it may be taken out."""

    name: str
    boxes: tuple[tuple[Cells, Cells], ...]
    take_out: TakeOut | None = None
    is_obstacle: bool = False


@dataclass(frozen=True)
class Opening:
    """A door in lattice steps."""

    side: DoorSide
    low: int
    high: int
    sill: int
    top: int


@dataclass
class Lattice:
    """A room in steps (y counted from its right wall), its doors, all that stands in it, the hand's room."""

    size: Cells
    doors: tuple[Opening, ...]
    parts: tuple[Part, ...]
    hand: int
    known: dict[tuple[int, frozenset[int], tuple[DoorSide, ...]], bool] = field(default_factory=dict)

    def removals(self) -> Removals:
        """Return the search under test for this room, in mm."""
        length, width, height = (n * STEP for n in self.size)
        obstacles = tuple(self._obstacle(p) for p in self.parts if p.is_obstacle)
        doors = tuple(self._door(i, d) for i, d in enumerate(self.doors))
        space = plain_space(length, width, height, obstacles=obstacles, doors=doors)
        return Removals(space, self.things(), hand=self.hand * STEP, frame=120.0, most=9)

    def things(self) -> tuple[Placed, ...]:
        """Return the things in mm."""
        return tuple(self._thing(p) for p in self.parts if not p.is_obstacle)

    def _solid(self, name: str, corner: Cells, size: Cells) -> Solid:
        x, y, z = ((a * STEP, (a + n) * STEP) for a, n in zip(corner, size, strict=True))
        half = self.size[1] * STEP / 2
        return box(name, x, (y[0] - half, y[1] - half), z)

    def _thing(self, part: Part) -> Placed:
        solids = tuple(self._solid(part.name, *one) for one in part.boxes)
        thing = Thing(name=part.name, group=part.name, kind="box", solids=solids, take_out=part.take_out)
        return placed(thing, solids, 0.0)

    def _obstacle(self, part: Part) -> Obstacle:
        solid = self._solid(part.name, *part.boxes[0])
        return Obstacle(name=part.name, outline=solid.outline, z0=solid.z0, z1=solid.z1)

    def _door(self, number: int, door: Opening) -> Door:
        shift = self.size[1] * STEP / 2 if door.side == "rear" else 0.0
        return Door(
            name=f"door {number}", side=door.side, kind="one leaf", low=door.low * STEP - shift,
            high=door.high * STEP - shift, sill=door.sill * STEP, top=door.top * STEP,
        )  # fmt: skip

    # The oracle.

    def free_cells(self, mover: int, gone: frozenset[int]) -> Bools:
        """Return which cells are free for a thing, with PAD cells of the world outside along x and y."""
        nx, ny, nz = self.size
        free = np.zeros((nx + 2 * PAD, ny + 2 * PAD, nz), dtype=bool)
        free[PAD:-PAD, PAD:-PAD] = True
        for door in self.doors:
            along, up = slice(PAD + door.low, PAD + door.high), slice(door.sill, door.top)
            if door.side == "rear":
                free[:PAD, along, up] = True
            else:
                free[along, -PAD:, up] |= door.side == "left"
                free[along, :PAD, up] |= door.side == "right"
        for i, part in enumerate(self.parts):
            for (x, y, z), (a, b, c) in part.boxes if i != mover and i not in gone else ():
                free[PAD + x : PAD + x + a, PAD + y : PAD + y + b, z : z + c] = False
        return free

    def may_be(self, mover: int, gone: frozenset[int]) -> Bools:
        """Return at which cells the low corner of the thing may be."""
        free = self.free_cells(mover, gone)
        _, size = self.parts[mover].boxes[0]
        shape = [n - s + 1 for n, s in zip(free.shape, size, strict=True)]
        fits = np.ones(shape, dtype=bool)
        for dx, dy, dz in product(*(range(s) for s in size)):
            fits &= free[dx : dx + shape[0], dy : dy + shape[1], dz : dz + shape[2]]
        return fits

    def gets_out(self, mover: int, gone: frozenset[int], sides: tuple[DoorSide, ...]) -> bool:
        """Return whether the thing gets out on one of these sides when those are gone."""
        key = (mover, gone, sides)
        if key not in self.known:
            self.known[key] = self._gets_out(mover, gone, sides)
        return self.known[key]

    def _gets_out(self, mover: int, gone: frozenset[int], sides: tuple[DoorSide, ...]) -> bool:
        part = self.parts[mover]
        if any(self._stands_on(p, part) for i, p in enumerate(self.parts) if i not in gone and i != mover):
            return False
        (x, y, z), size = part.boxes[0]
        fits, at = self.may_be(mover, gone), (x + PAD, y + PAD, z)
        if part.take_out != "any":
            way = WAYS[str(part.take_out)]
            far = sum(abs(w) * s for w, s in zip(way, size, strict=True)) + self.hand
            line = [(at[0] + way[0] * i, at[1] + way[1] * i, at[2] + way[2] * i) for i in range(far + 1)]
            if not all(_in(fits, one) and fits[one] for one in line):
                return False
            at = line[-1]
        return self._floods_out(fits, at, size, sides)

    @staticmethod
    def _stands_on(upper: Part, lower: Part) -> bool:
        if upper.is_obstacle:
            return False
        (x, y, z), (a, b, c) = lower.boxes[0]
        foot = min(corner[2] for corner, _ in upper.boxes)
        feet = [(corner, size) for corner, size in upper.boxes if corner[2] == foot == z + c]
        return any(u < x + a and x < u + m and v < y + b and y < v + n for (u, v, _), (m, n, _) in feet)

    def _floods_out(self, fits: Bools, start: Cells, size: Cells, sides: tuple[DoorSide, ...]) -> bool:
        seen, todo = {start}, [start]
        while todo:
            x, y, z = todo.pop()
            out = {"rear": x + size[0] <= PAD, "right": y + size[1] <= PAD, "left": y >= PAD + self.size[1]}
            if any(out[side] for side in sides):
                return True
            for dx, dy, dz in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)):
                near = (x + dx, y + dy, z + dz)
                if near not in seen and _in(fits, near) and fits[near]:
                    seen.add(near)
                    todo.append(near)
        return False

    def brute(self, target: int, sides: tuple[DoorSide, ...] = SIDES) -> tuple[int, ...] | None:
        """Return the shortest order before the target, of those the first set and order by the file; None if none.

        The target leaves on one of `sides`, all before it on any.
        """
        others = [i for i, p in enumerate(self.parts) if p.take_out and i != target]
        for many in range(len(others) + 1):
            orders = [order for order in permutations(others, many) if self._works(order, target, sides)]
            if orders:
                return min(orders, key=lambda order: (sorted(order), order))
        return None

    def _works(self, order: tuple[int, ...], target: int, sides: tuple[DoorSide, ...]) -> bool:
        before = all(self.gets_out(i, frozenset(order[:n]), SIDES) for n, i in enumerate(order))
        return before and self.gets_out(target, frozenset(order), sides)


def _in(fits: Bools, at: Cells) -> bool:
    return all(0 <= i < n for i, n in zip(at, fits.shape, strict=True))


def _random(rng: random.Random) -> Lattice:
    """Return a random room; four of five are drawn again until something comes out after something else."""
    lattice = _drawn(rng)
    plain = rng.random() < 0.2
    while not plain and not any(lattice.brute(i) for i, p in enumerate(lattice.parts) if p.take_out):
        lattice = _drawn(rng)
    return lattice


def _drawn(rng: random.Random) -> Lattice:
    size = (rng.randint(4, 7), rng.choice([2, 4, 4, 6]), rng.randint(2, 5))
    taken = np.zeros(size, dtype=bool)
    ways: list[TakeOut] = [*["any"] * 8, "up", "rear", "front", "left", "right"]
    spots = [(i, _put(rng, taken)) for i in range(rng.randint(4, 6))]
    parts = [Part(f"bin {i}", (spot,), take_out=rng.choice(ways)) for i, spot in spots if spot]
    for i in range(rng.choice([0, 1, 1, 2, 3])):
        boxes = [_put(rng, taken) for _ in range(rng.choice([1, 2]))]
        parts.append(Part(f"fixed {i}", tuple(one for one in boxes if one)))
    rng.shuffle(parts)
    obstacles = [Part(f"post {i}", (spot,), is_obstacle=True) for i in range(2) if (spot := _put(rng, taken))]
    solid = [p for p in parts if p.boxes]
    sides: list[tuple[DoorSide, ...]] = [("rear",), ("rear",), ("rear", "right"), ("left",), ("left", "right")]
    doors = tuple(_opening(rng, side, size) for side in rng.choice(sides))
    return Lattice(size, doors, (*solid, *obstacles[: rng.choice([0, 0, 1, 2])]), rng.choice([0, 1]))


def _put(rng: random.Random, taken: Bools) -> tuple[Cells, Cells] | None:
    """Return a free box, most often on the floor or on something, and mark it taken."""
    for _ in range(20):
        size = rng.randint(1, 4), rng.randint(1, 3), rng.randint(1, 3)
        room = [n - s for n, s in zip(taken.shape, size, strict=True)]
        if min(room) < 0:
            continue
        x, y = rng.randint(0, room[0]), rng.randint(0, room[1])
        column = taken[x : x + size[0], y : y + size[1]]
        heights = [z for z in range(room[2] + 1) if not column[:, :, z : z + size[2]].any()]
        if heights:
            z = heights[0] if rng.random() < 0.8 else rng.choice(heights)
            column[:, :, z : z + size[2]] = True
            return (x, y, z), size
    return None


def _opening(rng: random.Random, side: DoorSide, size: Cells) -> Opening:
    along = size[1] if side == "rear" else size[0]
    low, sill = rng.choice([0, 0, rng.randint(0, along - 2)]), rng.choice([0, 0, 0, 1])
    high = rng.choice([along, rng.randint(low + 2, along)])
    return Opening(side, low, high, sill, rng.choice([size[2], rng.randint(sill + 1, size[2])]))


def _same_answer(lattice: Lattice, found: Removal, expected: tuple[int, ...] | None) -> None:
    names = None if expected is None else tuple(lattice.parts[i].name for i in expected)

    assert (found.first if found.possible else None) == names
    assert bool(found.held_by) == (expected is None)


@pytest.mark.parametrize("seed", range(20))
def test_the_fewest_and_their_order_are_those_of_brute_force(seed: int) -> None:
    """In 220 random rooms every movable thing comes out after just the things, in the order, that brute force finds."""
    rng = random.Random(seed)
    for _ in range(11):
        lattice = _random(rng)
        removals = lattice.removals()
        for i, part in enumerate(lattice.parts):
            if part.take_out:
                _same_answer(lattice, removals.of(part.name), lattice.brute(i))


def test_the_random_rooms_are_hard_enough() -> None:
    """The rooms of the test above hold things that come out at once, after one, after two or more, and never."""
    found: dict[int | None, int] = {}
    for seed in range(4):
        rng = random.Random(seed)
        for _ in range(11):
            lattice = _random(rng)
            for i, part in enumerate(lattice.parts):
                order = lattice.brute(i) if part.take_out else ()
                key = None if order is None else len(order)
                found[key] = found.get(key, 0) + bool(part.take_out)

    assert all(found.get(key, 0) >= least for key, least in ((0, 20), (1, 10), (2, 5), (3, 1), (None, 10))), found


@pytest.mark.parametrize("seed", range(5))
def test_only_the_doors_that_are_named_are_used(seed: int) -> None:
    """A thing that is to come out by one door does as brute force says, which lets others leave by any."""
    rng = random.Random(1000 + seed)
    for _ in range(12):
        lattice = _random(rng)
        removals = lattice.removals()
        for (number, door), (i, part) in product(enumerate(lattice.doors), enumerate(lattice.parts)):
            if part.take_out:
                found = removals.of(part.name, frozenset({f"door {number}"}))
                _same_answer(lattice, found, lattice.brute(i, (door.side,)))
                assert found.door == (f"door {number}" if found.possible else None)


def _stations(path: tuple[Cells | tuple[float, float, float], ...]) -> Iterator[NDArray[np.float64]]:
    for a, b in pairwise(np.array(path, dtype=float)):
        yield from np.linspace(a, b, int(np.abs(b - a).max() // 10) + 2)


@pytest.mark.parametrize("seed", range(5))
def test_the_path_is_clear_all_the_way(seed: int) -> None:
    """Along the path that is told, sampled every 10 mm, the box reaches into nothing that is there, and ends outside."""
    rng = random.Random(2000 + seed)
    for _ in range(20):
        lattice = _random(rng)
        removals = lattice.removals()
        for i, part in enumerate(lattice.parts):
            found = removals.of(part.name) if part.take_out else None
            if found and found.possible:
                gone = frozenset(n for n, p in enumerate(lattice.parts) if p.name in found.first)
                _walk(lattice, i, gone, found)


def _walk(lattice: Lattice, mover: int, gone: frozenset[int], found: Removal) -> None:
    free = lattice.free_cells(mover, gone)
    (corner, size), half = lattice.parts[mover].boxes[0], lattice.size[1] * STEP / 2
    shift = np.array([PAD * STEP, PAD * STEP + half, 0.0])
    start = np.array(corner) * STEP - [0.0, half, 0.0]
    assert np.allclose(found.path[0], start)
    for at in _stations(found.path):
        low, high = (at + shift + 0.05) / STEP, (at + shift + np.array(size) * STEP - 0.05) / STEP
        first, last = np.floor(low).astype(int), np.floor(high).astype(int)
        inside = free[tuple(slice(max(a, 0), b + 1) for a, b in zip(first, last, strict=True))]
        assert inside.all(), (found, at)
        assert last[2] < free.shape[2]
        assert first[2] >= 0
    x, y, _ = found.path[-1]
    assert x + size[0] * STEP <= 0.05 or y + size[1] * STEP <= 0.05 - half or y >= half - 0.05
