"""The longest straight item, against a search of all directions and against figures worked out by hand."""

from __future__ import annotations

from math import cos, hypot, pi, sin

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.space.aisle import Segment, longest_straight

ROOM = box(0, 0, 3000, 1700)


def item(middle: Segment, width: float) -> Polygon:
    """Return the item as a rectangle on its middle line."""
    a, b = np.array(middle)
    aside = np.array([a[1] - b[1], b[0] - a[0]]) / hypot(*(b - a)) * width / 2
    return Polygon([a - aside, b - aside, b + aside, a + aside])


def cluttered(seed: int) -> tuple[BaseGeometry, float]:
    """Return a room with 1 to 13 boxes, half of them turned, and a width."""
    chance = np.random.default_rng(seed)
    free = ROOM
    for _ in range(chance.integers(1, 14)):
        (x, y), (w, h) = chance.uniform((0, 0), (3000, 1700)), chance.uniform(60, 700, 2)
        turn = chance.uniform(0, 180) * (chance.random() < 0.5)
        free = free.difference(affinity.rotate(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2), turn))
    return free, float(chance.choice([30, 100, 200, 350]))


def searched(free: BaseGeometry, width: float, turn: float, step: float) -> float:
    """Return the longest free stretch of strips in all directions, `turn` degrees and `step` mm apart."""
    best = 0.0
    for angle in np.arange(0, 180, turn):
        turned = affinity.rotate(free, angle, origin=(0, 0))
        x0, y0, x1, y1 = turned.bounds
        low = np.append(np.arange(y0, y1 - width, step), y1 - width)
        strips = shapely.box(x0 - 1, low + 1e-6, x1 + 1, low + width - 1e-6)
        for taken in shapely.difference(strips, turned):
            ends = shapely.bounds(shapely.get_parts(taken))
            ends = ends[np.argsort(ends[:, 0])]
            best = max(best, *(ends[1:, 0] - np.maximum.accumulate(ends[:, 2])[:-1]), 0.0)
    return best


@pytest.mark.parametrize("seed", range(16))
def test_no_search_of_directions_finds_a_longer_item(seed: int) -> None:
    """The item is at least 99 % of what a search finds, and it lies on the floor, square ends and all."""
    free, width = cluttered(seed)
    found, middle = longest_straight(free, width)
    assert found >= 0.99 * searched(free, width, turn=3, step=25)
    assert item(middle, width).difference(free.buffer(0.02, join_style="mitre")).area < 1e-6
    assert hypot(middle[1][0] - middle[0][0], middle[1][1] - middle[0][1]) == pytest.approx(found)


def test_a_dead_end_is_used_up_to_its_wall() -> None:
    """An item as wide as the corridor is as long as it: nothing is left out at its square ends."""
    assert longest_straight(box(0, 0, 3000, 200), 200)[0] == pytest.approx(3000, abs=0.1)
    assert longest_straight(ROOM.difference(box(500, 0, 3000, 1500)), 200)[0] == pytest.approx(3000, abs=0.1)


@pytest.mark.parametrize("width", [1, 60, 200, 500])
def test_in_an_empty_room_the_item_lies_from_corner_to_corner(width: float) -> None:
    """All four corners of the item touch: it is as long as the tightest of length and breadth at the best angle."""
    angles = np.linspace(0.001, pi / 2 - 0.001, 200_001)
    along = (3000 - width * np.sin(angles)) / np.cos(angles)
    across = (1700 - width * np.cos(angles)) / np.sin(angles)
    assert longest_straight(ROOM, width)[0] == pytest.approx(np.minimum(along, across).max(), abs=0.2)


def test_a_ski_goes_through_a_hatch_at_an_angle() -> None:
    """Through a hatch 200 wide in a thin wall, whose ends are on the diagonal, a thin pole spans the diagonal."""
    wall = [box(1499, 0, 1501, 750), box(1499, 950, 1501, 1700)]
    free = ROOM.difference(shapely.union_all(wall))
    whole = longest_straight(free, 10)[0]
    assert whole == pytest.approx(longest_straight(ROOM, 10)[0], abs=0.5)
    turned = affinity.rotate(free, 33, origin=(0, 0))
    assert longest_straight(turned, 10)[0] == pytest.approx(whole, abs=0.1)


def test_a_wide_board_does_not_pass_a_narrow_hatch() -> None:
    """A board of 250 stays on one side of a hatch of 200: there is the diagonal of the larger room only."""
    free = ROOM.difference(shapely.union_all([box(1000, 0, 1010, 750), box(1000, 950, 1010, 1700)]))
    assert longest_straight(free, 250)[0] == pytest.approx(longest_straight(box(1010, 0, 3000, 1700), 250)[0], abs=0.1)


def test_a_wide_item_fits_nowhere_in_a_narrow_room() -> None:
    """Nothing is found where nothing fits, nor on no floor."""
    turn = pi / 7
    narrow = Polygon([(0, 0), (900 * cos(turn), 900 * sin(turn)), (900 * cos(turn) - 5, 900 * sin(turn) + 5)])
    assert longest_straight(narrow, 400) == (0.0, None)
    assert longest_straight(Polygon(), 100) == (0.0, None)


def test_more_width_never_makes_the_item_longer() -> None:
    """What a wide item reaches, a narrow one reaches too."""
    free, _ = cluttered(3)
    lengths = [longest_straight(free, width)[0] for width in (20, 60, 120, 200, 300)]
    assert lengths == sorted(lengths, reverse=True)
