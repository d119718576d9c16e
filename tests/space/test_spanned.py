"""The proof that an item does not lie on a floor, against the search for it and against a search of all directions."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.space.aisle import longest_straight
from layout.space.spanned import may_hold
from layout.space.stretch import Lines, axes, stretches
from tests.space.test_aisle_straight import cluttered

WIDTH = 120.0


def aisle(seed: int) -> BaseGeometry:
    """Return a long room with boxes along both walls, some at a little distance from them."""
    chance = np.random.default_rng(seed)
    free: BaseGeometry = box(0, -900, 9000, 900)
    for _ in range(chance.integers(4, 14)):
        x, length, deep = chance.uniform(0, 8400), chance.uniform(200, 900), chance.uniform(200, 800)
        away = chance.choice([0.0, chance.uniform(50, 400)])
        low = 900 - away - deep
        side = chance.choice([-1, 1])
        free = free.difference(
            box(x, min(side * low, side * (900 - away)), x + length, max(side * low, side * (900 - away)))
        )
    return free


@pytest.mark.parametrize("seed", range(12))
def test_what_is_found_is_never_ruled_out(seed: int) -> None:
    """An item that the search finds lies there, so nothing rules out one a hair shorter, in cluttered and long rooms."""
    for free, width in (cluttered(seed), (aisle(seed), WIDTH)):
        found, line = longest_straight(free, width)
        if line is not None:
            assert may_hold(free, width, found - 0.001)


def lengthwise(free: BaseGeometry) -> float:
    """Return the longest free stretch of strips that lie lengthwise, or up to 12 degrees aslant."""
    best = 0.0
    for angle in np.arange(-12, 12.5, 1.0):
        turned = affinity.rotate(free, angle, origin=(0, 0))
        x0, y0, x1, y1 = turned.bounds
        low = np.arange(y0, y1 - WIDTH, 60.0)
        for taken in shapely.difference(shapely.box(x0 - 1, low, x1 + 1, low + WIDTH), turned):
            ends = shapely.bounds(shapely.get_parts(taken))
            ends = ends[np.argsort(ends[:, 0])]
            best = max(best, *(ends[1:, 0] - np.maximum.accumulate(ends[:, 2])[:-1]), 0.0)
    return best


def test_what_is_ruled_out_no_search_of_directions_finds() -> None:
    """In long rooms items that the empty room would hold are ruled out, and a search of directions finds none.

    One longer than the room of 9000 by 1800 lies within 12 degrees of lengthwise: only those are searched.
    """
    ruled_out = 0
    for seed in range(10):
        free = aisle(seed)
        lengths = [length for length in (9050.0, 9100.0, 9140.0) if not may_hold(free, WIDTH, length)]
        ruled_out += len(lengths)
        assert not lengths or max(lengthwise(free), longest_straight(free, WIDTH)[0]) <= lengths[0]
    assert ruled_out > 5


@pytest.mark.parametrize("turned", [False, True])
def test_the_proof_is_nearly_as_sharp_as_by_hand(*, turned: bool) -> None:
    """Past a bar across a third of the room, an item from corner to corner is ruled out; in the empty room it is not.

    Empty, 9000 by 1800, one of 120 from corner to corner is about 9150 long. With a block over the lower two thirds of
    both ends, only the upper third is left: its diagonal is no longer than 9020 and a little.
    """
    empty: BaseGeometry = box(0, 0, 9000, 1800)
    blocked = empty.difference(MultiPolygon([box(0, 0, 1000, 1200), box(8000, 0, 9000, 1200)]))
    if turned:
        empty, blocked = (shapely.transform(shape, lambda at: at[:, ::-1]) for shape in (empty, blocked))

    assert may_hold(empty, WIDTH, 9140)
    assert not may_hold(blocked, WIDTH, 9060)
    assert may_hold(blocked, WIDTH, longest_straight(blocked, WIDTH)[0] - 0.001)


def test_no_floor_holds_nothing() -> None:
    """On no floor, and on stray lines, nothing lies."""
    assert not may_hold(Polygon(), WIDTH, 1.0)
    assert not may_hold(shapely.LineString([(0, 0), (5000, 0)]), WIDTH, 1.0)


@pytest.mark.parametrize("seed", range(6))
def test_a_stretch_is_free_and_cannot_be_longer(seed: int) -> None:
    """The strip over the stretch that is told lies on the floor; a millimetre more at either end does not.

    Where none is told, the strip round the place itself is not free. Asked of shapely, for 60 lines by chance.
    """
    free, width = cluttered(seed)
    chance = np.random.default_rng(seed)
    places, angle = chance.uniform((0, 0), (3000, 1700), (60, 2)), chance.uniform(0, np.pi, 60)
    along, left = axes(angle)
    lines = Lines(angle=angle, offset=(places * left).sum(axis=1), at=(places * along).sum(axis=1))
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(shapely.get_parts(free))]
    edges = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    half = width / 2 - 0.01

    def strip(k: int, low: float, high: float) -> Polygon:
        ends = [(low, -half), (high, -half), (high, half), (low, half)]
        return Polygon([u * along[k] + (lines.offset[k] + v) * left[k] for u, v in ends])

    for k, (low, high) in enumerate(stretches(lines, edges, width / 2).tolist()):
        if high > low:
            assert strip(k, low + 1e-6, high - 1e-6).difference(free).area < 1e-6
            assert strip(k, high, high + 1.0).difference(free).area > 0
            assert strip(k, low - 1.0, low).difference(free).area > 0
        else:
            assert strip(k, lines.at[k] - 1e-3, lines.at[k] + 1e-3).difference(free).area > 0
