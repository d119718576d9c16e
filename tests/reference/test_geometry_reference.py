"""The room's geometry against worked examples and a general-purpose library."""

import numpy as np
import pytest
from shapely.geometry import Polygon

from layout.space.space import Space
from tests.builders import wall


def _space(corners: list[tuple[float, float]], shift: float) -> Space:
    """Return an upright room on `corners` in units of 100 mm, moved so that the centreline passes through it."""
    outline = tuple((100 * x, 100 * (y - shift)) for x, y in corners)
    high = max(y for _, y in outline)
    low = -min(y for _, y in outline)
    return Space(outline=outline, left=wall((0.0, high)), right=wall((0.0, low)), roof=((0.0, 1000.0), (1.0, 1000.0)))


# G1 from matheass.eu (area, centroid), G2 from macosa.dima.unige.it.
EXAMPLES = [
    ([(0, 0), (4, 1), (6, 0), (5, 7)], 18.0, (3.72222, 2.66667)),
    ([(1, 0), (12, 2), (8, 10), (2, 4)], 57.0, (6.473684, 4.105263)),
]


@pytest.mark.parametrize(("corners", "area", "centroid"), EXAMPLES)
def test_floor_area_of_published_polygons(
    corners: list[tuple[float, float]], area: float, centroid: tuple[float, float]
) -> None:
    """Floor area, volume and centroid of polygons whose figures are published (matheass.eu; macosa.dima.unige.it)."""
    space = _space(corners, 3.0)
    middle = space.region(0.0).centroid

    assert space.floor_area == pytest.approx(area * 1e4)
    assert space.volume == pytest.approx(area * 1e4 * 1000)
    assert (middle.x / 100, middle.y / 100 + 3.0) == pytest.approx(centroid, abs=1e-5)


def test_volume_of_a_leaning_room_against_numerical_integration() -> None:
    """Volume agrees with numpy's integration over 2,000 slices of trapezia, each area by the shoelace formula."""
    lean = wall((0.0, 850.0), (600.0, 880.0), (1400.0, 790.0), (1800.0, 610.0))
    space = Space(
        outline=((0.0, -850.0), (3150.0, -850.0), (3150.0, 850.0), (0.0, 850.0)), left=lean, right=lean,
        roof=((0.0, 1800.0), (3150.0, 1800.0)),
    )  # fmt: skip
    heights = np.linspace(0, 1800, 2001)
    halves = np.interp(heights, [0, 600, 1400, 1800], [850, 880, 790, 610])

    assert space.volume == pytest.approx(float(np.trapezoid(2 * halves * 3150, heights)), rel=1e-6)


def test_room_of_plain_arithmetic_and_room_of_polygons_agree() -> None:
    """At 500 random points, inside by the polygon is inside by interpolating the wall with numpy."""
    rng = np.random.default_rng(7)
    profile = ((0.0, 850.0), (600.0, 880.0), (1400.0, 790.0), (1800.0, 610.0))
    lean = wall(*profile)
    space = Space(
        outline=((0.0, -850.0), (3150.0, -850.0), (3150.0, 850.0), (0.0, 850.0)), left=lean, right=lean,
        roof=((0.0, 1700.0), (3150.0, 1800.0)),
    )  # fmt: skip
    for x, y, z in rng.uniform((0, -900, 0), (3150, 900, 1800), (500, 3)):
        half = np.interp(z, *zip(*profile, strict=True))
        inside = abs(y) <= half and z <= 1700 + 100 * x / 3150
        assert bool(space.region(z).intersects(Polygon([(x, y), (x + 1e-6, y), (x, y + 1e-6)]))) == inside
