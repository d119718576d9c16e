"""The free floor at the height of a body."""

from __future__ import annotations

import pytest

from layout.model.solid import Solid, box
from layout.space.aisle import free_floor
from layout.space.parts import Obstacle
from tests.builders import plain_space, wall

FLOOR = 3000.0 * 1700.0


def crate(z0: float, z1: float) -> Solid:
    return box("crate", (1000, 1500), (0, 400), (z0, z1))


@pytest.mark.parametrize(
    ("z0", "z1", "taken"),
    [(0, 900, 200_000), (600, 1400, 0), (500, 1400, 0), (499, 1400, 200_000), (499.995, 1400, 0)],
)
def test_a_crate_takes_floor_only_at_its_own_heights(z0: float, z1: float, taken: float) -> None:
    """A crate up to 500 bars bodies that reach into it by more than a hair, and none above."""
    assert free_floor(plain_space(), [crate(0, 500)], z0, z1).area == pytest.approx(FLOOR - taken)


def test_what_hangs_high_bars_who_stands_and_not_who_crawls() -> None:
    """A shelf from 1200 up takes floor from a body of 1700 and not from one of 1000."""
    assert free_floor(plain_space(), [crate(1200, 1500)], 0, 1700).area == pytest.approx(FLOOR - 200_000)
    assert free_floor(plain_space(), [crate(1200, 1500)], 0, 1000).area == pytest.approx(FLOOR)


def test_boxes_that_overlap_are_taken_off_once() -> None:
    """Two crates in one place take the floor of one; a turned outline takes its own area."""
    diamond = Solid(name="post", outline=((2000, 0), (2100, 100), (2000, 200), (1900, 100)), z0=0, z1=900)
    floor = free_floor(plain_space(), [crate(0, 500), crate(0, 600), diamond], 0, 900)
    assert floor.area == pytest.approx(FLOOR - 200_000 - 20_000)


def test_the_room_is_narrowed_by_wells_and_by_leaning_walls() -> None:
    """A body has the room that is free at all of its heights."""
    well = Obstacle(name="well", outline=((500, 600), (1100, 600), (1100, 850), (500, 850)), z0=0, z1=300)
    space = plain_space(left=wall((0.0, 850.0), (1800.0, 750.0)), obstacles=(well,))
    assert free_floor(space, [], 0, 1800).area == pytest.approx(3000 * 1600 - 600 * 150, rel=1e-4)
    assert free_floor(space, [], 400, 900).area == pytest.approx(3000 * 1650, rel=1e-4)


def test_a_full_floor_is_empty() -> None:
    """A block that fills the room leaves nothing."""
    block = box("block", (0, 3000), (-850, 850), (0, 1000))
    assert free_floor(plain_space(), [block], 0, 900).is_empty
