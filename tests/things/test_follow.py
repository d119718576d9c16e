"""What furniture follows: walls that lean, at the place where they are narrowest."""

from itertools import pairwise
from random import Random

import pytest
import shapely

from layout.space.parts import Ribs
from layout.things.follow import Room, clear_spans, depth_behind, end_outline, section, wall_line
from tests.things.followed import by_chance, leaning


@pytest.mark.parametrize(
    ("bare", "depth"),
    [
        (25, 860 + 20 * 25 / 600 - 473),  # 387.83
        (425, 860 + 20 * 425 / 600 - 473),  # 401.17
        (600, 880 - 473),  # 407
        (825, 880 - 18 * 225 / 400 - 473),  # 396.875
        (1225, 862 - 72 * 225 / 500 - 473),  # 356.6
        (1525, 790 - 150 * 25 / 350 - 473),  # 306.29
    ],
)
def test_depth_behind_a_tall_unit(bare: float, depth: float) -> None:
    """Behind a front 430 off the centreline, before a lining of 18 and 25 for cables: half-width - 473 at each height.

    Heights are over the bare floor, 25 under the finished one: 388, 401, 407, 397, 357, 306 deep.
    """
    line = depth_behind(leaning(), (700.0, 1200.0), (0.0, 1500.0), 430.0, left=True, gap=25.0)

    z = bare - 25.0
    (a, da), (b, db) = next(pair for pair in pairwise(line) if pair[0][0] <= z <= pair[1][0])
    assert da + (db - da) * (z - a) / (b - a) == pytest.approx(depth, abs=1e-6)
    assert round(depth) in (388, 401, 407, 397, 357, 306)


def test_the_end_of_a_tall_unit_bends_where_the_wall_does() -> None:
    """1500 high over the finished floor it bends at 575, 975 and 1475, and its blank is 407 by 1500."""
    end = end_outline(leaning(), (700.0, 1200.0), (0.0, 1500.0), 430.0, left=True, gap=25.0)

    assert [z for _, z in end] == [0.0, 0.0, 575.0, 975.0, 1475.0, 1500.0, 1500.0]
    assert max(depth for depth, _ in end) == pytest.approx(407.0)
    assert [depth for depth, _ in end[2:5]] == pytest.approx([407.0, 389.0, 317.0])


@pytest.mark.parametrize("seed", range(20))
def test_wall_line_is_the_narrowest_of_the_stretch(seed: int) -> None:
    """At any height it is the least of many half-widths along the stretch, to a hundredth, and never more than one."""
    space, dice = by_chance(seed), Random(seed)
    x = (dice.uniform(0, 1000), dice.uniform(1000, 2000))
    line = wall_line(space, x, (0.0, 1600.0), left=True)

    for _ in range(20):
        z = dice.uniform(0.0, 1600.0)
        (a, wa), (b, wb) = next(pair for pair in pairwise(line) if pair[0][0] <= z <= pair[1][0])
        told = wa + (wb - wa) * (z - a) / (b - a)
        walls = [space.half_width(x[0] + (x[1] - x[0]) * i / 50, z, left=True) for i in range(51)]
        assert told == pytest.approx(min(walls), abs=0.01)


@pytest.mark.parametrize("seed", range(20))
def test_section_is_free_over_its_whole_stretch(seed: int) -> None:
    """A board in the section is inside the room, and points just beyond it are not, wherever along the stretch."""
    space, dice = by_chance(seed), Random(seed + 100)
    x0 = dice.uniform(100, 1900)
    x = (x0, x0 + dice.uniform(5, 60))
    shape = section(Room(space=space), x, (0.0, 1550.0))

    for _ in range(200):
        y, z = dice.uniform(-900, 900), dice.uniform(1.0, 1549.0)
        places = [shapely.Point(x[0] + (x[1] - x[0]) * i / 20, y) for i in range(21)]
        free = all(space.region(z).buffer(1e-6).covers(place) for place in places)
        if free != shape.covers(shapely.Point(y, z)):
            # A rounded well and the step of a search leave a hair.
            assert shape.boundary.distance(shapely.Point(y, z)) < 0.5


def test_obstacles_are_kept_clear_of_and_tongues_left_out() -> None:
    """Beside a belt tower at y 770 to 880 a board ends at 765, and nothing is left in the 80 behind it."""
    shape = section(Room(space=leaning(), gap=5.0, clear=5.0, tongue=60.0), (100.0, 112.0), (0.0, 1800.0))

    at_tower = shape.intersection(shapely.box(-900, 1000, 900, 1001))
    assert at_tower.bounds[2] == pytest.approx(765.0)
    assert shapely.get_num_geometries(shape) == 1


def test_ribs_are_followed_where_they_are() -> None:
    """A rib 30 deep under the board takes 30 off on both sides; beside it nothing."""
    space = leaning(ribs={"at": ["1000"], "width": "60", "depth": "48"})
    assert space.ribs == Ribs(at=(1000.0,), width=60.0, depth=30.0)

    widths = [section(Room(space=space), (x, x + 12.0), (0.0, 1500.0)).bounds[2] for x in (980.0, 1100.0)]

    assert widths == pytest.approx([862.0 - 30.0, 862.0])


def test_an_end_that_leans_in_ends_the_board() -> None:
    """The front end stands at x 3050 up to 500 and leans to 2850 at 1500: at x 2950 it is met at 1000, less 25."""
    space = leaning(front={"0": "3050", "500": "3050", "1500": "2850"})

    shape = section(Room(space=space), (2938.0, 2950.0), (0.0, 1800.0))

    assert shape.bounds[3] == pytest.approx(1000.0 - 25.0)


def test_clear_spans_are_where_the_whole_breadth_is_free() -> None:
    """A strip 40 broad on the floor of a shape with a notch 100 wide is free on both sides of the notch."""
    shape = shapely.box(0, 0, 1000, 500).difference(shapely.box(400, 0, 500, 30))

    assert clear_spans(shape, (0.0, 40.0), least=50.0) == ((0.0, 400.0), (500.0, 1000.0))
    assert clear_spans(shape, (0.0, 40.0), least=450.0) == ((500.0, 1000.0),)
    assert clear_spans(shape, (380.0, 420.0), least=50.0, upright=True) == ((30.0, 500.0),)
