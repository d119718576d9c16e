"""What a tape measured on bare metal becomes the free room inside the linings."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.model.solid import box
from layout.space.space import Space
from tests.builders import project_text, read


def space(**said: object) -> Space:
    """Return the room of a project whose space says this, over a floor 3000 x 1700 and a roof at 1800."""
    room = {"floor": {"length": "3000", "width": "1700"}, "roof": {"0": "1800"}, **said}
    return read(project_text(space=room)).space


def test_build_up_takes_linings_off() -> None:
    """Floor 24, walls 18, ceiling 30: width 1700 - 36, height 1800 - 54, and a wall's bend at 600 is at 576."""
    walls = {"both": [{"x": "0", "profile": {"600": "880", "1800": "700"}}]}
    room = space(walls=walls, build_up={"floor": "24", "walls": "18", "ceiling": "30"})

    assert room.height == pytest.approx(1746)
    assert room.clear_width(1000, 576) == pytest.approx(2 * (880 - 18), abs=0.01)
    # At the finished floor the wall has come out by 24/600 of its 30.
    assert room.clear_width(1000, 0) == pytest.approx(2 * (850 + 30 * 24 / 600 - 18), abs=0.01)


def test_a_floor_corner_between_stations_does_not_move_the_wall_above() -> None:
    """A floor that bulges to 860 between stations leaves the wall above where the stations say: at 850."""
    corners = [["0", "-800"], ["1500", "-860"], ["3000", "-800"], ["3000", "800"], ["1500", "860"], ["0", "800"]]
    walls = {"both": [{"x": "10", "profile": {"1000": "850"}}, {"x": "2990", "profile": {"1000": "850"}}]}
    room = space(floor={"corners": corners}, walls=walls)

    assert room.clear_width(1500, 1000) == pytest.approx(1700, abs=0.01)
    assert room.clear_width(1500, 0) == pytest.approx(1720, abs=0.01)
    assert not room.holds(box("b", (1400, 1600), (0, 860), (900, 1000)))


def test_a_tapering_floor_with_a_profile_that_agrees_is_taken() -> None:
    """A floor 860, 860, 800 wide at its stations takes a profile that says 800 at its foot there."""
    corners = [["0", "-860"], ["1500", "-860"], ["3150", "-800"], ["3150", "800"], ["1500", "860"], ["0", "860"]]
    walls = {"both": [{"x": "0", "profile": {"0": "860"}}, {"x": "3150", "profile": {"0": "800", "1100": "850"}}]}
    room = space(floor={"corners": corners}, walls=walls)

    assert room.clear_width(3149, 1100) == pytest.approx(1700, abs=0.1)
    assert room.clear_width(3149, 0) == pytest.approx(1600, abs=0.1)


def test_a_wells_width_is_off_the_wall_where_it_stands() -> None:
    """On a floor tapering from 860 to 700, a well 200 wide at x 2300 has its face at 860 - 160 x 2300/3000 - 200."""
    corners = [["0", "-860"], ["3000", "-700"], ["3000", "700"], ["0", "860"]]
    room = space(floor={"corners": corners}, wheel_wells=[{"x": ["1500", "2300"], "width": "200", "height": "250"}])
    face = 860 - 160 * 2300 / 3000 - 200

    assert room.clear_width(2299.99, 100) == pytest.approx(2 * face, abs=0.1)
    assert not room.holds(box("b", (1600, 2300), (-face - 1, 0), (0, 100)))
    assert room.holds(box("b", (1600, 2300), (-face + 0.1, 0), (0, 100)))


def test_a_rounded_well_keeps_its_radius_under_a_floor() -> None:
    """A well 100 high and rounded by 90, under a floor of 90: at the floor its ends are in by 90 - sqrt(90² - 80²)."""
    well = {"x": ["1000", "1800"], "width": "200", "height": "100", "top_radius": "90"}
    [left, _] = space(wheel_wells=[well], build_up={"floor": "90"}).obstacles

    assert min(x for x, _ in left.section(0)) - 1000 == pytest.approx(90 - (90**2 - 80**2) ** 0.5)


def test_rounded_corners_are_inside_the_true_arc() -> None:
    """A corner rounded by 200 takes (1 - π/4) 200² off, and its chords a little more, never less."""
    plain, rounded = space(), space(floor={"length": "3000", "width": "1700", "rear_radius": "200"})
    taken = plain.floor_area - rounded.floor_area

    assert 2 * (1 - 3.14159265 / 4) * 200**2 <= taken <= 2 * (1 - 3.14159265 / 4) * 200**2 * 1.05


def test_closed_doors_take_their_depth() -> None:
    """A rear door that reaches in 40 between 250 and 1100 shortens the room there and nowhere else."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "reach_in": {"depth": "40", "z": ["250", "1100"]}}
    room = space(rear_door=door)

    assert [room.clear_length(0, z) for z in (200, 600, 1200)] == pytest.approx([3000, 2960, 3000])


_HALF = st.integers(600, 900)


@given(
    left=st.lists(_HALF, min_size=3, max_size=3),
    right=st.lists(_HALF, min_size=3, max_size=3),
    high_left=st.lists(_HALF, min_size=2, max_size=2),
    high_right=st.lists(_HALF, min_size=2, max_size=2),
    x=st.integers(1, 2999),
)
def test_any_floor_follows_its_tape(
    left: list[int], right: list[int], high_left: list[int], high_right: list[int], x: int
) -> None:
    """On any floor of six corners the room is as wide at its foot as the floor, and at 1000 as the stations say."""
    corners = [[0, -right[0]], [1200, -right[1]], [3000, -right[2]], [3000, left[2]], [1200, left[1]], [0, left[0]]]
    stations = {
        side: [{"x": "0", "profile": {"1000": str(high[0])}}, {"x": "3000", "profile": {"1000": str(high[1])}}]
        for side, high in (("left", high_left), ("right", high_right))
    }
    room = space(floor={"corners": [[str(a), str(b)] for a, b in corners]}, walls=stations)

    def along(pairs: list[tuple[int, int]]) -> float:
        return next(v0 + (v1 - v0) * (x - x0) / (x1 - x0) for (x0, v0), (x1, v1) in pairwise(pairs) if x <= x1)

    foot = along([(0, left[0]), (1200, left[1]), (3000, left[2])]) + along(
        [(0, right[0]), (1200, right[1]), (3000, right[2])]
    )
    high = along([(0, high_left[0]), (3000, high_left[1])]) + along([(0, high_right[0]), (3000, high_right[1])])
    assert room.clear_width(x, 0) == pytest.approx(foot, abs=0.02)
    assert room.clear_width(x, 1000) == pytest.approx(high, abs=0.02)


def test_a_station_between_corners_keeps_its_tape_under_a_floor() -> None:
    """Under a floor of 100 the wall in the middle still stands where its tape says: 800 at 300, so 1600 at height 200."""
    walls = {
        "both": [
            {"x": "0", "profile": {"300": "872", "600": "886"}}, {"x": "1500", "profile": {"300": "800", "600": "800"}},
            {"x": "3000", "profile": {"300": "872", "600": "880"}},
        ]
    }  # fmt: skip
    room = space(walls=walls, build_up={"floor": "100"})

    assert room.clear_width(1500, 200) == pytest.approx(1600, abs=0.01)
    assert not room.holds(box("crate", (1495, 1505), (-805, 805), (200, 220)))


def test_stations_measured_at_different_heights() -> None:
    """Below its first measured height a wall runs to the floor's edge: 800 at 0 and 1000 at 600 make 900 at 300."""
    walls = {
        "both": [
            {"x": "0", "profile": {"300": "850", "1200": "850"}},
            {"x": "3000", "profile": {"600": "1050", "1200": "1050"}},
        ]
    }
    room = space(walls=walls)

    assert room.clear_width(2999.9, 300) == pytest.approx(2 * 950, abs=0.1)
    assert not room.holds(box("crate", (2985, 2995), (-1000, 1000), (300, 310)))


def test_a_slanting_front_stays_upright_where_walls_lean() -> None:
    """A front from (2900, -800) to (3100, 800) is at x 3000 + y/8 at every height: 3087.5 at y 700."""
    corners = [["0", "-800"], ["2900", "-800"], ["3100", "800"], ["0", "800"]]
    room = space(floor={"corners": corners}, walls={"both": [{"x": "0", "profile": {"300": "700", "1500": "700"}}]})

    assert room.clear_length(699.9, 400) == pytest.approx(3000 + 699.9 / 8, abs=0.01)
    assert room.clear_length(-699.9, 400) == pytest.approx(3000 - 699.9 / 8, abs=0.01)


def test_a_cut_corner_and_a_notch_stay_at_every_height() -> None:
    """A corner cut off the floor, and a notch, bound the room above too, whatever the walls do."""
    walls = {"both": [{"x": "0", "profile": {"300": "800", "1500": "800"}}]}
    cut = [["0", "-800"], ["3000", "-800"], ["3000", "500"], ["2700", "800"], ["0", "800"]]
    notch = [["0", "-800"], ["3000", "-800"], ["3000", "500"], ["2500", "500"], ["2500", "800"], ["0", "800"]]

    assert not space(floor={"corners": cut}, walls=walls).holds(box("b", (2950, 3000), (750, 800), (400, 420)))
    room = space(floor={"corners": notch}, walls=walls)
    assert room.clear_length(790, 400) == pytest.approx(2500, abs=0.01)


def test_a_hole_is_as_deep_as_measured_on_metal() -> None:
    """A step 180 deep in the bare floor is 204 deep under a finished floor of 24."""
    hole = {"step": {"x": ["1000", "1500"], "y": ["-900", "-500"], "depth": "180"}}
    room = space(holes=hole, build_up={"floor": "24"})

    assert room.holds(box("b", (1100, 1200), (-650, -550), (-204, -100)))
    assert not room.holds(box("b", (1100, 1200), (-650, -550), (-205, -100)))
