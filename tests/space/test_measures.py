"""Clear width, length and height at a height, by hand arithmetic."""

import random
from dataclasses import replace

import pytest

from layout.space.measures import measures
from layout.space.parts import Obstacle, Ribs
from tests.builders import plain_space, wall

LEANING = wall((0.0, 870.0), (1000.0, 870.0), (1500.0, 770.0))
WELL = Obstacle(name="well", outline=((600, 650), (1400, 650), (1400, 870), (600, 870)), z0=0.0, z1=250.0)


def test_the_narrowest_place_is_found_and_named() -> None:
    """At 1250 a wall that goes from 870 at 1000 to 770 at 1500 is at 820: 1640 between two of them."""
    found = measures(plain_space(left=LEANING, right=LEANING, width=1740.0), 1250.0)

    assert found is not None
    assert found.width == pytest.approx(1640)
    assert found.height == pytest.approx(1800 - 1250)
    assert found.length == pytest.approx(3000)


def test_a_well_counts_only_at_its_height_and_in_its_stretch() -> None:
    """A well 220 deep takes 220 of 1740 at height 100 between 600 and 1400; not above 250, not outside that stretch."""
    space = plain_space(left=LEANING, right=LEANING, width=1740.0, obstacles=(WELL,))
    at_well, above, before = measures(space, 100.0), measures(space, 300.0), measures(space, 100.0, (0.0, 599.0))

    assert at_well is not None and above is not None and before is not None  # noqa: PT018 (one question)
    assert at_well.width == pytest.approx(1740 - 220)
    assert 600 <= at_well.narrowest_at <= 1400
    assert (above.width, before.width) == (pytest.approx(1740), pytest.approx(1740))


def test_ribs_are_told_apart() -> None:
    """Ribs 40 deep leave 1740 - 80 at the ribs and 1740 between them, and lean with the wall."""
    space = plain_space(left=LEANING, right=LEANING, width=1740.0)
    ribbed = replace(space, ribs=Ribs(at=(600.0, 1500.0), width=60.0, depth=40.0))
    low, high, clear = measures(ribbed, 100.0), measures(ribbed, 1250.0), measures(ribbed, 100.0, (640.0, 1400.0))

    assert low is not None and high is not None and clear is not None  # noqa: PT018 (one question)
    assert (low.width, low.between_ribs) == (pytest.approx(1660), pytest.approx(1740))
    assert (high.width, high.between_ribs) == (pytest.approx(1560), pytest.approx(1640))
    assert clear.width == pytest.approx(1740)


def test_outside_the_room_there_is_nothing() -> None:
    """Above the roof and beyond the front nothing is measured."""
    assert measures(plain_space(), 1900.0) is None
    assert measures(plain_space(), 100.0, (4000.0, 5000.0)) is None


@pytest.mark.parametrize("seed", range(20))
def test_no_place_of_the_stretch_is_narrower(seed: int) -> None:
    """On random walls, wells and heights no place tried every 5 mm is narrower than what is told."""
    rng = random.Random(seed)
    left = wall(*((z, rng.uniform(700, 900)) for z in (0.0, 500.0, 1100.0, 1700.0)))
    corners = [(rng.uniform(0, 900), rng.uniform(-200, 200)) for _ in range(3)]
    triangle = Obstacle(name="t", outline=tuple((x + 900, y + 500) for x, y in corners), z0=0.0, z1=2000.0)
    space = plain_space(left=left, right=left, obstacles=(triangle,))
    z = rng.uniform(10, 1700)
    found = measures(space, z, (200.0, 2500.0))

    assert found is not None
    tried = [space.clear_width(200.0 + 5 * i, z) for i in range(461)]
    assert found.width <= min(tried) + 0.01
    there = min(space.clear_width(found.narrowest_at + d, z) for d in (-0.02, 0.0, 0.02))
    assert found.width == pytest.approx(there, abs=0.1)
