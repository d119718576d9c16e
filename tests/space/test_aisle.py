"""Ways worked out by hand: corridors, corners, gaps, doors, zones."""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.space.aisle import Way, nearest_names, passes, widest_way

ROOM = box(0, 0, 3000, 1700)
REAR, FRONT = LineString([(0, 0), (0, 1700)]), LineString([(3000, 0), (3000, 1700)])
MOST = 2000.0


def less(*boxes: BaseGeometry, room: BaseGeometry = ROOM) -> BaseGeometry:
    return room.difference(shapely.union_all(boxes))


def through(free: BaseGeometry, most: float = MOST) -> Way:
    return widest_way(free, REAR, FRONT, most=most)


def length(way: Way) -> float:
    (ax, ay), (bx, by) = way.pinch
    return hypot(bx - ax, by - ay)


CORRIDOR = less(box(1000, 520, 2000, 1700))
DIAGONAL = less(box(1000, 0, 1200, 700), box(1500, 1100, 1700, 1700))
DOORWAY = less(box(1000, 0, 1040, 500), box(1000, 1110, 1040, 1700))
TWO_GAPS = less(box(1000, 0, 1012, 200), box(1000, 500, 1012, 1000), box(1000, 1450, 1012, 1700))
HOURGLASS = Polygon([(0, 0), (1500, 500), (3000, 0), (3000, 1700), (1500, 900), (0, 1700)])


@pytest.mark.parametrize(
    ("free", "width"),
    [(CORRIDOR, 520), (DIAGONAL, 500), (DOORWAY, 610), (TWO_GAPS, 450), (HOURGLASS, 400), (ROOM, 1700)],
    ids=["corridor", "diagonal", "doorway", "two gaps", "hourglass", "room"],
)
def test_a_gap_is_measured_exactly(free: BaseGeometry, width: float) -> None:
    """Where a gap limits a way, the width is the gap's own size, its ends are on borders, and the route goes through it."""
    way = through(free)
    assert way.limit == "gap"
    assert way.width == pytest.approx(width, abs=1e-6)
    assert length(way) == pytest.approx(width, abs=1e-6)
    assert all(free.boundary.distance(Point(end)) < 1e-6 for end in way.pinch)
    assert LineString(way.route).distance(LineString(way.pinch).centroid) < 1


def test_the_pinch_of_a_diagonal_gap_joins_the_two_corners() -> None:
    """Between corners 300 and 400 apart there are 500, and the ends are the corners."""
    assert sorted(through(DIAGONAL).pinch) == [(1200, 700), (1500, 1100)]


def test_the_pinch_of_an_hourglass_is_its_waist() -> None:
    """The waist is where the slanting walls come nearest."""
    assert sorted(through(HOURGLASS).pinch) == [(1500, 500), (1500, 900)]


def test_the_pinch_of_a_doorway_is_between_its_jambs() -> None:
    """It lies across, within the thickness of the wall."""
    (ax, ay), (bx, by) = sorted(through(DOORWAY).pinch, key=lambda end: end[1])
    assert (ay, by) == pytest.approx((500, 1110))
    assert 1000 <= ax <= 1040
    assert bx == pytest.approx(ax)


def test_the_wider_of_two_gaps_is_chosen() -> None:
    """A wall with gaps of 300 and 450 is passed by the second."""
    assert sorted(y for _, y in through(TWO_GAPS).pinch) == [1000, 1450]


@pytest.mark.parametrize(("across", "along"), [(600, 450), (450, 600)])
def test_round_a_corner_the_narrower_leg_counts(across: float, along: float) -> None:
    """A disc that fits both legs of an L turns the corner too."""
    free = shapely.union_all([box(0, 0, across, 2000), box(0, 0, 2000, along)])
    way = widest_way(free, LineString([(0, 2000), (across, 2000)]), LineString([(2000, 0), (2000, along)]), most=MOST)
    assert way.width == pytest.approx(450, abs=1e-6)
    assert length(way) == pytest.approx(450, abs=1e-6)


def test_no_way_at_all_is_closed() -> None:
    """A wall right across leaves no way, and nothing to draw."""
    assert through(less(box(1000, 0, 1012, 1700))) == Way(width=0.0, limit="closed")


def test_a_zone_within_a_box_is_not_reached() -> None:
    """What stands in the middle of a box is touched by no disc outside it."""
    free = less(box(1000, 500, 2000, 1200))
    assert widest_way(free, REAR, Point(1500, 850), most=MOST).limit == "closed"


@pytest.mark.parametrize("free", [Polygon(), MultiPolygon()])
def test_an_empty_floor_is_closed(free: BaseGeometry) -> None:
    """No floor, no way."""
    assert through(free).limit == "closed"
    assert not passes(free, REAR, FRONT, 100)


def test_parts_that_touch_in_a_point_are_no_way() -> None:
    """Two rooms that meet in a corner are apart."""
    two = MultiPolygon([box(0, 0, 1000, 700), box(1000, 700, 3000, 1700)])
    assert through(two).limit == "closed"


def test_nobody_asks_for_more_than_the_most() -> None:
    """Where all that was asked for passes, nothing limits the way and it has no pinch."""
    way = through(CORRIDOR, most=500)
    assert (way.width, way.limit, way.pinch) == (500, "most", None)
    assert len(way.route) >= 2


def test_a_gap_of_just_the_most_is_all_that_was_asked_for() -> None:
    """A corridor of 520 gives 520 to who asks for 520."""
    assert through(CORRIDOR, most=520).width == 520


@pytest.mark.parametrize(("width", "does"), [(519, True), (520, True), (520.03, False), (521, False)])
def test_a_disc_passes_a_gap_of_its_own_size(width: float, does: bool) -> None:
    """A corridor of 520 lets a disc of 520 through, and none that is wider."""
    assert passes(CORRIDOR, REAR, FRONT, width) is does


def test_a_goal_is_reached_from_its_side() -> None:
    """The front half of a bed is touched from the aisle of 600 beside it."""
    free = less(box(1000, 600, 3000, 1700))
    way = widest_way(free, REAR, box(2000, 600, 3000, 1700), most=MOST)
    assert way.width == pytest.approx(600, abs=1e-6)
    assert Point(way.route[-1]).distance(box(2000, 600, 3000, 1700)) <= 300.5


def test_a_goal_deep_in_a_niche_limits_the_disc() -> None:
    """In a niche 200 wide and 50 deep only discs of up to 250 touch the back: (100² + 50²) / (2 x 50) = 125."""
    free = shapely.union_all([ROOM, box(1400, -50, 1600, 0)])
    way = widest_way(free, REAR, LineString([(1400, -50), (1600, -50)]), most=MOST)
    assert way.limit == "goal"
    assert way.pinch is None
    assert 250 - 0.7 <= way.width <= 250.02
    turned = widest_way(free, LineString([(1400, -50), (1600, -50)]), REAR, most=MOST)
    assert (turned.width, turned.limit) == (way.width, "start")


def test_steps_of_two_millimetres_in_a_wall_are_not_lost() -> None:
    """A dent 2 deep in the wall widens the gap at a box by 2, though its steps are tiny beside the disc."""
    free = less(box(1100, 600, 1200, 1700), room=ROOM.union(box(1000, -2, 1300, 10)))
    assert through(free).width == pytest.approx(602, abs=1e-6)


def test_a_wall_in_many_short_pieces_is_not_flattened() -> None:
    """A wall bowed out by 4 in 300 pieces leaves 604 at its middle."""
    along = np.linspace(0, 300, 301)
    bowed = Polygon([*zip(1000 + along, -4 * np.sin(along / 300 * np.pi), strict=True), (1300, 10), (1000, 10)])
    free = less(box(1149, 600, 1151, 1700), room=ROOM.union(bowed))
    assert through(free).width == pytest.approx(604, abs=0.01)


@pytest.mark.parametrize("angle", [7, 30, 45, 90, 211])
def test_a_turned_floor_offers_the_same_way(angle: float) -> None:
    """Nothing depends on how the floor lies."""
    free, start, goal = (affinity.rotate(shape, angle, origin=(0, 0)) for shape in (DIAGONAL, REAR, FRONT))
    way = widest_way(free, start, goal, most=MOST)
    assert way.width == pytest.approx(500, abs=1e-6)
    assert way.limit == "gap"


def test_the_same_floor_gives_the_same_way() -> None:
    """The answer is the same to the last digit, route and all."""
    assert through(DIAGONAL) == through(DIAGONAL)


def test_a_way_that_is_no_distance_has_a_route_all_the_same() -> None:
    """Who stands at the goal already is drawn as standing there."""
    way = widest_way(ROOM, REAR, REAR, most=500)
    assert way.width == 500
    assert way.route


def test_the_route_goes_round_what_stands_in_the_way() -> None:
    """Between two zones behind each other it keeps clear of the box between, and is hardly longer than it must be.

    Tangents and arcs of 200 about two corners: 2 x (1040.4 + 200 x 0.5266) + 600 = 2891.5.
    """
    free = less(box(1200, 500, 1800, 1200))
    way = widest_way(free, Point(0, 850), Point(3000, 850), most=400)
    route = LineString(way.route)
    assert way.limit == "most"
    assert free.boundary.distance(route) >= 199
    assert 2889 <= route.length <= 2894


def test_the_ends_of_a_pinch_are_named() -> None:
    """A box is named where the end touches it; the room's own wall has no name."""
    named = [("galley", box(1000, 520, 2000, 1700)), ("bed", box(2200, 520, 3000, 1700))]
    ends = nearest_names(through(CORRIDOR).pinch, named)
    assert sorted(ends) == ["", "galley"]
    assert nearest_names(((0, 0), (0, 1700)), named) == ("", "")
    assert nearest_names(((0, 0), (0, 1700)), []) == ("", "")


def test_the_boxes_on_both_sides_of_a_pinch_are_named() -> None:
    """A gap between two boxes has both names, in the order of its ends."""
    way = through(DIAGONAL)
    named = [("crate", box(1500, 1100, 1700, 1700)), ("bin", box(1000, 0, 1200, 700))]
    assert dict(zip(way.pinch, nearest_names(way.pinch, named), strict=True)) == {
        (1200, 700): "bin", (1500, 1100): "crate",
    }  # fmt: skip
