"""The free room is exact at every height."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.model.solid import Solid, box
from layout.space.parts import Hole, Obstacle
from layout.space.slide import clear_span, fitting_shifts
from layout.space.walls import Station, Wall
from tests.builders import plain_space, wall


def test_a_box_has_the_volume_of_a_box() -> None:
    """A room with upright walls has length x width x height, and the floor its length x width."""
    space = plain_space(3000, 1700, 1800)

    assert space.volume == pytest.approx(3000 * 1700 * 1800, rel=1e-12)
    assert space.floor_area == pytest.approx(3000 * 1700, rel=1e-12)


def test_leaning_walls_by_hand() -> None:
    """Half-widths 850 at the floor and 650 at 1800: at 900 the room is 1500 wide, and its volume is that of the trapezium."""
    lean = wall((0, 850), (1800, 650))
    space = plain_space(3000, 1700, 1800, left=lean, right=lean)

    assert space.clear_width(1000, 900) == pytest.approx(1500, abs=0.01)
    assert space.volume == pytest.approx(3000 * 1800 * (1700 + 1300) / 2, rel=1e-9)


def test_stations_blend_along_the_space() -> None:
    """Between a half-width of 800 at x 0 and 700 at x 2000 the wall stands at 750 at x 1000."""
    left = Wall(
        stations=(Station(x=0, profile=((0, 850), (1000, 800))), Station(x=2000, profile=((0, 850), (1000, 700))))
    )
    space = plain_space(3000, 1700, 1800, left=left)

    assert space.clear_width(1000, 1000) == pytest.approx(850 + 750, abs=0.01)
    assert space.clear_width(2500, 1000) == pytest.approx(850 + 700, abs=0.01)


def test_rounded_well_by_pythagoras() -> None:
    """A well 300 high with top edges rounded by 100: at 250 each end has drawn in by 100 - sqrt(100² - 50²) = 13.4."""
    well = Obstacle(name="wheel well left", outline=((1000, 650), (1800, 650), (1800, 2000), (1000, 2000)),
                    z0=0, z1=300, top_radius=100)  # fmt: skip

    xs = [x for x, _ in well.section(250)]

    assert min(xs) - 1000 == pytest.approx(100 - math.sqrt(100**2 - 50**2))
    assert not well.section(301)


def test_width_between_wells_and_over_them() -> None:
    """Wells 200 wide leave 1700 - 400 at their height and all of it above them."""
    wells = [
        Obstacle(
            name=f"wheel well {n}",
            outline=((1000, s * 650), (1800, s * 650), (1800, s * 2000), (1000, s * 2000)),
            z0=0,
            z1=300,
        )
        for n, s in (("left", 1), ("right", -1))
    ]
    space = plain_space(obstacles=tuple(wells))

    assert space.clear_width(1400, 100) == pytest.approx(1300)
    assert space.clear_width(1400, 301) == pytest.approx(1700)
    assert space.holds(box("b", (1000, 1800), (-850, 850), (300, 400)))
    assert not space.holds(box("b", (1000, 1800), (-850, 850), (299, 400)))


def test_sloping_roof() -> None:
    """A roof from 1800 at the rear to 1500 at the front is 1650 high in the middle, where 1650 stands and 1651 does not."""
    space = plain_space()
    space = type(space)(outline=space.outline, left=space.left, right=space.right, roof=((0, 1800), (3000, 1500)))

    assert space.roof_at(1500) == pytest.approx(1650)
    assert space.holds(box("b", (1000, 1500), (0, 100), (0, 1650)))
    assert not space.holds(box("b", (1000, 1500), (0, 100), (0, 1651)))


def test_a_bulge_between_foot_and_top_is_seen() -> None:
    """A wall that comes in at mid-height refuses what fits at foot and top: containment is over the whole height."""
    pinched = wall((0, 850), (500, 700), (1000, 850))
    space = plain_space(left=pinched)

    assert not space.holds(box("b", (0, 100), (700, 800), (0, 1000)))
    assert space.holds(box("b", (0, 100), (600, 700), (0, 1000)))


def test_step_well_is_a_hole() -> None:
    """In a step well 120 deep a thing may stand at -120, not lower, and the floor there does not carry."""
    space = plain_space(holes=(Hole(name="step", outline=((0, -850), (600, -850), (600, -700), (0, -700)), depth=120),))

    assert space.holds(box("boots", (0, 600), (-850, -700), (-120, -20)))
    assert not space.holds(box("boots", (0, 600), (-850, -700), (-121, -20)))
    assert space.floor_area == pytest.approx(3000 * 1700 - 600 * 150)


def test_clear_span_stops_at_the_well() -> None:
    """The span across a low solid beside a well ends at the well's face."""
    well = Obstacle(name="w", outline=((1000, 650), (1800, 650), (1800, 2000), (1000, 2000)), z0=0, z1=300)
    space = plain_space(obstacles=(well,))

    assert clear_span(space, box("b", (900, 1100), (0, 100), (0, 200)), "y") == pytest.approx((-850, 650))
    assert clear_span(space, box("b", (900, 1000), (0, 100), (0, 200)), "y") == pytest.approx((-850, 850))


_HALF = st.integers(600, 900).map(float)


@given(
    profile=st.lists(_HALF, min_size=4, max_size=4),
    other=st.lists(_HALF, min_size=4, max_size=4),
    length=st.integers(50, 900).map(float),
    width=st.integers(50, 500).map(float),
    x=st.integers(0, 2000).map(float),
    z=st.integers(0, 1100).map(float),
    height=st.integers(20, 600).map(float),
    axis=st.sampled_from(["x", "y"]),
)
def test_at_the_wall_is_inside_and_a_millimetre_beyond_is_not(
    profile: list[float], other: list[float], length: float, width: float, x: float, z: float, height: float, axis: str
) -> None:
    """A solid slid to the edge of the free room is inside; 1 mm beyond its outermost place it never is."""
    heights = (0.0, 500.0, 1000.0, 1800.0)
    left = Wall(stations=(Station(x=0, profile=tuple(zip(heights, profile, strict=True))),
                          Station(x=3000, profile=tuple(zip(heights, other, strict=True)))))  # fmt: skip
    outline = ((0.0, -850.0), (3000.0, -850.0), (3000.0, other[0]), (0.0, profile[0]))
    well = Obstacle(name="w", outline=((800, 500), (1500, 500), (1500, 2000), (800, 2000)), z0=0, z1=240, top_radius=60)
    space = plain_space(left=left, obstacles=(well,))
    space = type(space)(outline=outline, left=left, right=space.right, roof=space.roof, obstacles=space.obstacles)
    solid = Solid(name="s", outline=((x, 0), (x + length, 0), (x + length, width), (x, width)), z0=z, z1=z + height)

    shifts = fitting_shifts(space, [solid], axis)  # type: ignore[arg-type]

    assert shifts
    for shift, beyond in ((shifts[0], shifts[0] - 1), (shifts[-1], shifts[-1] + 1)):
        dx, dy = (1, 0) if axis == "x" else (0, 1)
        assert space.holds(solid.moved(dx * shift, dy * shift, 0))
        assert not space.holds(solid.moved(dx * beyond, dy * beyond, 0))
