"""Ways out aside: level to where little is above, up, level again, up past all that is in the way, and out of a door.

Told from boxes alone. What stands in the way counts as the box round it, so what is told is a way; where none is told
there may be one. The places round the start are looked at on the lines along which boxes begin and end, and midway
between them: whatever hangs together at a lift does so on these.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from layout.checks.removal.body import Body, Doors, Place
from layout.checks.removal.grown import Floats
from layout.checks.removal.pieces import Bools
from layout.checks.removal.quick import into
from layout.space.parts import Door

_NEAR = 2400.0  # mm round the start that are looked at
_MOST_STEPS = 2500  # places that are looked at in all
_MOST_TRIED = 6  # places from which it is tried to go out
_Spot = tuple[int, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Aside:
    """A `door` and the places on a way out of it, or none; and how far from the start other places are reached, mm."""

    door: Door | None
    path: tuple[Place, ...]
    far: float


def aside_out(body: Body, start: Place, present: Bools, doors: Doors) -> Aside:
    """Return a way out past the pieces `present`, if one is told."""
    boxes, far = body.boxes[present], 0.0
    x, _, z = start
    if ((boxes[:, :3] < start) & (start < boxes[:, 3:])).all(axis=1).any():
        return Aside(door=None, path=(), far=far)
    near = boxes[(boxes[:, 0] < x + _NEAR) & (boxes[:, 3] > x - _NEAR) & (boxes[:, 5] > z)]
    for door, lifts in body.lifts(doors):
        top = float(lifts.max(initial=z))
        climb = _Climb(body, near, start, top)
        for legs in climb.ways() if top > z else ():
            way = _onward(body, legs[-1][-1], door)
            if way is not None and not _hits(boxes, (*legs[-1], *way)) and _in_room(body, legs, way, door):
                return Aside(door=door, path=(*(place for leg in legs for place in leg), *way), far=far)
        far = max(far, climb.far)
    return Aside(door=None, path=(), far=far)


class _Climb:
    """Ways from `start` up to the lift `top`: at each lift as far aside as may be, then as high as that allows.

    The places are those of a grid of `xs` and `ys`, counted row by row.
    """

    def __init__(self, body: Body, boxes: Floats, start: Place, top: float) -> None:
        self.boxes = boxes[boxes[:, 2] < top]
        self.start, self.top = start, top
        self.lifts = [z for z in body.levels if start[2] <= z <= top]
        x0, y0, x1, y1 = body.places(body.level(start[2])).bounds
        self.xs = _lines(self.boxes[:, (0, 3)], start[0], (x0, x1))
        self.ys = _lines(self.boxes[:, (1, 4)], start[1], (y0, y1))
        x0, y0, x1, y1 = body.surely(None).bounds
        #: Where the room is as narrow as anywhere, or narrower: nothing goes up there.
        self.beside = ~(((x0 <= self.xs) & (self.xs <= x1))[:, None] & ((y0 <= self.ys) & (self.ys <= y1)))
        first = [np.searchsorted(at, self.boxes[:, k], side="right") for k, at in ((0, self.xs), (1, self.ys))]
        last = [np.searchsorted(at, self.boxes[:, k], side="left") for k, at in ((3, self.xs), (4, self.ys))]
        #: How far from the start places are reached, mm; told when all ways were asked for.
        self.far = 0.0
        self.cells = [*zip(*first, *last, strict=True)]

    def ways(self) -> Iterator[tuple[tuple[Place, ...], ...]]:
        """Yield ways: for each lift the places there, level one after another; the last is one place at the top."""
        count, z, tried, looked = len(self.ys), self.start[2], 0, 0
        here = int(np.searchsorted(self.xs, self.start[0])) * count + int(np.searchsorted(self.ys, self.start[1]))
        came: dict[_Spot, _Spot | None] = {(here, z): None}
        seeds = [here]
        while seeds:
            over = self._over(z)
            best, reached = z, []
            for spot in _flood(seeds, over >= z, came, z):
                reached.append(spot)
                if over.flat[spot] >= self.top:
                    yield self._legs(came, (spot, z))
                    tried += 1
                best = max(best, float(over.flat[spot]))
                looked += 1
                if tried == _MOST_TRIED or looked == _MOST_STEPS:
                    return
            self.far = max(self.far, self._far(reached))
            higher = max((lift for lift in self.lifts if z < lift <= best), default=z)
            seeds = [spot for spot in reached if over.flat[spot] >= higher] if higher > z else []
            came |= {(spot, higher): (spot, z) for spot in seeds}
            z = higher

    def _far(self, spots: list[int]) -> float:
        i, j = np.divmod(np.array(spots), len(self.ys))
        return float(max(np.abs(self.xs[i] - self.start[0]).max(), np.abs(self.ys[j] - self.start[1]).max()))

    def _over(self, z: float) -> Floats:
        """Return up to where each place at the lift `z` mm is free above; less than that where it is not free."""
        over = np.full((len(self.xs), len(self.ys)), np.inf)
        for (i, j, k, m), low, high in zip(
            self.cells, self.boxes[:, 2].tolist(), self.boxes[:, 5].tolist(), strict=True
        ):
            if high > z:
                part = over[i:k, j:m]
                np.minimum(part, low, out=part)
        over[self.beside & (over >= z)] = z
        return over

    def _legs(self, came: dict[_Spot, _Spot | None], end: _Spot) -> tuple[tuple[Place, ...], ...]:
        """Return the way to a place, with the lift to the top, without the places at which it goes straight on."""
        spots: list[_Spot] = []
        at: _Spot | None = end
        while at is not None:
            spots.append(at)
            at = came[at]
        lifts = sorted({z for _, z in spots})
        legs = [self._corners([spot for spot, z in reversed(spots) if z == lift], lift) for lift in lifts]
        x, y, _ = legs[-1][-1]
        return (*legs, ((x, y, self.top),))

    def _corners(self, spots: list[int], z: float) -> tuple[Place, ...]:
        i, j = np.divmod(np.array(spots), len(self.ys))
        di, dj = np.diff(i), np.diff(j)
        turns = np.flatnonzero((di[1:] != di[:-1]) | (dj[1:] != dj[:-1])) + 1
        kept = [0, *turns.tolist(), *([len(spots) - 1] if len(spots) > 1 else [])]
        return tuple((float(self.xs[i[k]]), float(self.ys[j[k]]), z) for k in kept)


def _flood(seeds: list[int], free: Bools, came: dict[_Spot, _Spot | None], z: float) -> Iterator[int]:
    """Yield the free places that hang together with the seeds, the fewest steps from them first, noting whence each."""
    flat, count = free.tobytes(), free.shape[1]
    queue = deque(seeds)
    while queue:
        here = queue.popleft()
        yield here
        for there in _beside(here, count, len(flat)):
            if flat[there] and (there, z) not in came:
                came[there, z] = (here, z)
                queue.append(there)


def _beside(here: int, count: int, size: int) -> Iterator[int]:
    """Yield the places beside one, of a grid of `count` places a row and `size` in all."""
    if here % count:
        yield here - 1
    if (here + 1) % count:
        yield here + 1
    if here >= count:
        yield here - count
    if here + count < size:
        yield here + count


def _lines(ends: NDArray[np.float64], at: float, room: tuple[float, float]) -> Floats:
    """Return where boxes begin and end along an axis near the start, the start, and the middles between all these."""
    low, high = max(at - _NEAR, room[0]), min(at + _NEAR, room[1])
    marks = np.unique(np.append(ends[(ends >= low) & (ends <= high)], at))
    lines = np.empty(2 * len(marks) - 1)
    lines[::2], lines[1::2] = marks, (marks[1:] + marks[:-1]) / 2
    return lines


def _onward(body: Body, upper: Place, door: Door) -> tuple[Place, ...] | None:
    """Return the way on from a place at the lift of a door: across and out; None if the door is small."""
    x0, y0, x1, y1 = body.room.exit_of(door, body.size)
    if x0 > x1 or y0 > y1:
        return None
    x, y, z = upper
    across = (x, into(y, y0, y1)) if door.side == "rear" else (into(x, x0, x1), y)
    return (*across, z), (min(max(across[0], x0), x1), min(max(across[1], y0), y1), z)


def _hits(boxes: Floats, way: tuple[Place, ...]) -> bool:
    """Return whether some leg of the way, each along one axis, goes through a box."""
    points = np.array(way)
    low, high = np.minimum(points[:-1], points[1:])[:, None], np.maximum(points[:-1], points[1:])[:, None]
    return bool(((low < boxes[:, 3:]) & (high > boxes[:, :3])).all(axis=2).any())


def _in_room(body: Body, legs: tuple[tuple[Place, ...], ...], way: tuple[Place, ...], door: Door) -> bool:
    """Return whether the body stays in the room: level at each lift, up from one to the next, and level out."""
    return (
        body.goes_level((*legs[-1], *way), door)
        and all(body.goes_level(leg) for leg in legs[:-1])
        and all(body.goes_up(leg[-1], upper[0][2]) for leg, upper in pairwise(legs))
    )
