"""The widest way against a grid that knows nothing of erosion: 200 random floors, plain arithmetic."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.space.aisle import Way, passes, widest_way

LENGTH, WIDTH, STEP = 2400.0, 1500.0, 20.0
MOST = 700.0
# A grid point may be this far from where a middle could be, and so may a way between grid points.
SKEW = STEP / np.sqrt(2)
Array = NDArray[np.float64]
FLOORS = range(200)


@dataclass(frozen=True)
class Floor:
    """A room with boxes as arrays of four corners, and two zones as ends of straight lines."""

    boxes: Array
    start: Array
    goal: Array

    @property
    def free(self) -> BaseGeometry:
        return box(0, 0, LENGTH, WIDTH).difference(shapely.union_all(shapely.polygons(self.boxes)))

    @property
    def zones(self) -> tuple[BaseGeometry, BaseGeometry]:
        return LineString(self.start), LineString(self.goal)

    def way(self, **more: float) -> Way:
        return widest_way(self.free, *self.zones, **{"most": MOST, **more})


@cache
def random_floor(seed: int) -> Floor:
    """Return a floor with 3 to 22 boxes, half of them turned; a door at the rear; a goal in front or at the side.

    Every eighth has a wall across, half of these with a hatch.
    """
    chance = np.random.default_rng(seed)
    count = int(chance.integers(3, 23))
    size = chance.uniform(40, 500 / np.sqrt(count) + 150, (count, 2))
    turn = chance.uniform(0, np.pi, count) * (chance.random(count) < 0.5)
    middle = chance.uniform((0, 0), (LENGTH, WIDTH), (count, 2))
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) / 2 * size[:, None]
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    boxes = np.stack([corners[..., 0] * c - corners[..., 1] * s, corners[..., 0] * s + corners[..., 1] * c], axis=-1)
    low = chance.uniform(0, WIDTH - 300)
    goals = np.array([[(LENGTH, 200), (LENGTH, 900)], [(1500, WIDTH), (2300, WIDTH)], [(1700, 700), (1900, 800)]])
    boxes = boxes + middle[:, None]
    if seed % 8 == 0:
        hatch = sorted(chance.uniform(0, WIDTH, 2)) if seed % 16 else (700.0, 700.0)
        boxes = np.concatenate([boxes, [rectangle(1000, 0, 1012, hatch[0]), rectangle(1000, hatch[1], 1012, WIDTH)]])
    return Floor(boxes=boxes, start=np.array([(0, low), (0, low + 300)]), goal=goals[chance.integers(3)])


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


@cache
def random_way(seed: int) -> Way:
    return random_floor(seed).way()


def to_line(points: Array, a: Array, b: Array) -> Array:
    """Return the distance of points from the straight line between two points."""
    side = b - a
    share = np.clip(((points - a) @ side) / (side @ side), 0, 1)
    return np.hypot(*(points - a - share[..., None] * side).T)


def grid() -> Array:
    """Return the grid points of the room, one a step, columns by x."""
    return np.stack(np.meshgrid(np.arange(0, LENGTH + 1, STEP), np.arange(0, WIDTH + 1, STEP)), axis=-1).reshape(-1, 2)


def clearance(floor: Floor, points: Array) -> Array:
    """Return the distance of points from the nearest wall or box; nought in a box."""
    x, y = points.T
    nearest = np.min([x, LENGTH - x, y, WIDTH - y], axis=0)
    for corners in floor.boxes:
        sides = list(zip(corners, np.roll(corners, -1, axis=0), strict=True))
        outside = np.any([(b - a)[0] * (y - a[1]) - (b - a)[1] * (x - a[0]) <= 0 for a, b in sides], axis=0)
        apart = np.min([to_line(points, a, b) for a, b in sides], axis=0)
        nearest = np.minimum(nearest, np.where(outside, apart, 0.0))
    return nearest


def flooded(open_: NDArray[np.bool_], begun: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return what of the open cells is reached from those where it is begun, diagonals too."""
    reached = begun & open_
    while True:
        wide = np.pad(reached, 1)
        rows, columns = reached.shape
        wider = np.any([wide[i : i + rows, j : j + columns] for i in range(3) for j in range(3)], axis=0) & open_
        if (wider == reached).all():
            return reached
        reached = wider


def grid_passes(floor: Floor, width: float, slack: float) -> bool:
    """Return whether a disc goes from zone to zone over grid points, which may miss a zone by `slack`.

    A point where a wider disc fits will do if that one touches the zone: ours rolls within it to the same place.
    """
    points = grid()
    clear = clearance(floor, points)
    near = [to_line(points, *zone) <= np.maximum(clear, width / 2) + slack + 1e-6 for zone in (floor.start, floor.goal)]
    free = clear >= width / 2
    shape = (round(WIDTH / STEP) + 1, round(LENGTH / STEP) + 1)
    open_, start, goal = (mask.reshape(shape) for mask in (free, *(free & n for n in near)))
    return bool((flooded(open_, start) & goal).any())


@pytest.mark.parametrize("seed", FLOORS)
def test_the_way_is_as_wide_as_a_grid_finds_to_within_its_step(seed: int) -> None:
    """A grid path exists for a disc narrower by the grid's skew, and none for a disc wider by as much."""
    floor = random_floor(seed)
    way = random_way(seed)
    if way.width < MOST:
        assert not grid_passes(floor, way.width + 2 * SKEW + 0.5, 0.0)
    if way.width > 2 * SKEW:
        assert grid_passes(floor, way.width - 2 * SKEW - 0.02, 2 * SKEW)


@pytest.mark.parametrize("seed", FLOORS)
def test_the_route_and_the_pinch_are_clear_by_plain_arithmetic(seed: int) -> None:
    """A disc of the way's width keeps clear all along the route, and touches both zones, to 1 mm.

    The middle of a pinch is half the width from the nearest border, its ends are on borders.
    """
    floor = random_floor(seed)
    way = random_way(seed)
    assert (way.width == 0) == (not way.route)
    if way.route:
        line = LineString(way.route)
        along = shapely.get_coordinates(line.segmentize(10))
        assert clearance(floor, along).min() >= way.width / 2 - 1
        for end, zone in zip((along[0], along[-1]), (floor.start, floor.goal), strict=True):
            assert to_line(end[None], *zone)[0] <= way.width / 2 + 1
    assert (way.limit == "gap") == (way.pinch is not None)
    if way.pinch:
        ends = np.array(way.pinch)
        assert np.hypot(*(ends[1] - ends[0])) == pytest.approx(way.width, abs=0.01)
        assert clearance(floor, ends.mean(axis=0)[None])[0] == pytest.approx(way.width / 2, abs=0.3)
        assert clearance(floor, ends).max() < 1e-6
        assert LineString(way.pinch).distance(LineString(way.route)) < 1


@pytest.mark.parametrize("seed", range(0, 200, 4))
def test_one_more_box_never_widens_the_way(seed: int) -> None:
    """Each box that is added leaves the way as wide or narrower, to the precision that was asked for."""
    whole = random_floor(seed)
    widths = [Floor(boxes=whole.boxes[:k], start=whole.start, goal=whole.goal).way(precision=0.1).width
              for k in range(1, len(whole.boxes) + 1, 3)]  # fmt: skip
    assert all(after <= before + 0.1 for before, after in pairwise(widths))


@pytest.mark.parametrize("seed", range(0, 200, 4))
def test_what_passes_is_what_the_widest_way_lets_through(seed: int) -> None:
    """A disc as wide as the way passes; one a millimetre wider does not."""
    floor = random_floor(seed)
    way = random_way(seed)
    if way.width:
        assert passes(floor.free, *floor.zones, way.width)
    if way.width < MOST:
        assert not passes(floor.free, *floor.zones, way.width + 1)


def test_the_random_floors_are_of_all_kinds() -> None:
    """The floors above hold ways that gaps limit, closed ones and ones as wide as asked, so that no claim is idle."""
    limits = [random_way(seed).limit for seed in FLOORS]
    assert limits.count("gap") > 80
    assert limits.count("closed") > 10
    assert limits.count("most") > 4
    assert {"start", "goal"} & set(limits)


def test_the_oracle_knows_a_corridor() -> None:
    """The grid itself is right where the answer is plain: two boxes leave 500 between them."""
    boxes = np.array([rectangle(800, 0, 900, 400), rectangle(800, 900, 900, 1500)], dtype=float)
    floor = Floor(boxes=boxes, start=np.array([(0.0, 0), (0, 1500)]), goal=np.array([(2400.0, 0), (2400, 1500)]))
    assert grid_passes(floor, 470, 0.0)
    assert not grid_passes(floor, 510, 50.0)
    assert Polygon(boxes[0]).distance(Point(850, 650)) == clearance(floor, np.array([(850.0, 650.0)]))[0] == 250
