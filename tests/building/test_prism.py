"""Prisms: what they share and where they touch, held against sums over thin slices."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.building.prism import Prism, apart, meeting, of_panel, of_solid, shared, shared_volume
from layout.model.panel import Panel
from layout.model.solid import box
from tests.building.made import PLY, flat

_SLICES = 400


def _prism(axis: int, at: tuple[float, ...], taper: float, thick: float) -> Prism:
    """Return a trapezium with a notch, 100 wide at its foot, set anywhere."""
    x, y = at[0], at[1]
    ring = [(x, y), (x + 100, y), (x + 100 - taper, y + 60), (x + 60, y + 60), (x + 60, y + 40), (x + 30, y + 40),
            (x + 30, y + 60), (x + taper, y + 60)]  # fmt: skip
    return Prism(axis=axis, low=at[2], high=at[2] + thick, face=shapely.Polygon(ring))


def _slice(prism: Prism, z: float) -> shapely.Geometry:
    """Return the plan of a prism at a height: its outline, or its sections side by side."""
    if prism.axis == 2:
        return prism.face if prism.low <= z < prism.high else shapely.Polygon()
    cut = prism.face.intersection(shapely.LineString([(-1000, z), (1000, z)]))
    lines = [part.bounds for part in shapely.get_parts(cut) if part.length > 0]
    if prism.axis == 0:
        return shapely.union_all([shapely.box(prism.low, b[0], prism.high, b[2]) for b in lines])
    return shapely.union_all([shapely.box(b[0], prism.low, b[2], prism.high) for b in lines])


def _by_slices(a: Prism, b: Prism) -> float:
    low, high = max(a.box[2][0], b.box[2][0]), min(a.box[2][1], b.box[2][1])
    if high <= low:
        return 0.0
    step = (high - low) / _SLICES
    heights = (low + (i + 0.5) * step for i in range(_SLICES))
    return sum(_slice(a, z).intersection(_slice(b, z)).area for z in heights) * step


_PLACE = st.tuples(*(st.integers(-60, 60) for _ in range(3)))


@given(
    st.tuples(st.integers(0, 2), st.integers(0, 2)), _PLACE, _PLACE, st.integers(0, 29), st.integers(-20, 29),
    st.integers(5, 80),
)  # fmt: skip
def test_shared_volume_is_that_of_thin_slices(
    axes: tuple[int, int], here: tuple[float, ...], there: tuple[float, ...], taper: float, other: float, thick: float
) -> None:
    """What two notched trapezia share, however they stand, is what a sum over 400 thin slices says."""
    a, b = _prism(axes[0], here, taper, thick), _prism(axes[1], there, other, 30.0)

    assert shared_volume(a, b) == pytest.approx(shared_volume(b, a), rel=1e-9, abs=1e-6)
    # A slice may miss by its own thickness where an outline ends.
    assert shared_volume(a, b) == pytest.approx(_by_slices(a, b), rel=0.01, abs=0.01 * min(a.volume, b.volume))


def test_shared_volume_of_whole_and_of_nothing() -> None:
    """A prism shares all of its volume with itself, turned corners or not, and none with one beside it."""
    for axis in range(3):
        one = _prism(axis, (0, 0, 0), 17, 12)
        assert shared_volume(one, one) == pytest.approx(one.volume)
        assert shared_volume(one, one.moved(axis, 12)) == 0
        assert shared(one, one.moved(axis, 12)) is None


@pytest.mark.parametrize("way", ["xy", "yx", "xz", "zx", "yz", "zy"])
def test_a_panel_stands_where_its_solids_do(way: str) -> None:
    """The prism of a panel has the box and the volume of the solids that the checks see, whichever way it stands."""
    outline = ((0.0, 0.0), (500.0, 0.0), (500.0, 120.0), (300.0, 200.0), (0.0, 200.0))
    panel: Panel = flat("p", way, (10.0, 20.0, 30.0), (1.0, 1.0), outline=outline)
    prism = of_panel(panel)
    solids = [of_solid(solid) for solid in panel.solids]

    assert prism.volume == pytest.approx(sum(solid.volume for solid in solids))
    assert prism.volume == pytest.approx((500 * 200 - 200 * 80 / 2) * PLY.thickness)
    assert sum(shared_volume(prism, solid) for solid in solids) == pytest.approx(prism.volume, rel=0.01)
    assert apart(prism, of_solid(panel.solid)) == pytest.approx(panel.span)


@pytest.mark.parametrize("depth", [0.0, 3.0, 6.0])
@pytest.mark.parametrize("slope", [0.0, 0.25, -0.4])
def test_depth_and_area_of_a_slanting_edge(depth: float, slope: float) -> None:
    """An edge 400 high that leans, 12 thick, against one that leans alike meets it over 400 x 12, as deep as it is set."""
    lean = 400 * slope
    left = Prism(
        axis=1, low=0, high=12, face=shapely.Polygon([(0, 0), (300 + depth, 0), (300 + depth + lean, 400), (0, 400)])
    )
    right = Prism(axis=1, low=0, high=12, face=shapely.Polygon([(300, 0), (600, 0), (600, 400), (300 + lean, 400)]))
    met = meeting(left, right, 0)

    assert met is not None
    assert (met.depth, met.area) == (pytest.approx(depth, abs=1e-6), pytest.approx(400 * 12))
    assert meeting(left.moved(0, -depth - 0.1), right, 0) is None


def test_boxes_that_touch_at_an_edge_only_do_not_meet() -> None:
    """Two boxes corner to corner share no face along any axis; one pushed along its side still does."""
    a, b = of_solid(box("a", (0, 10), (0, 10), (0, 10))), of_solid(box("b", (10, 20), (10, 20), (0, 10)))
    beside = of_solid(box("c", (10, 20), (9, 19), (0, 10)))

    assert [meeting(a, b, axis) for axis in range(3)] == [None] * 3
    assert [m is not None for m in (meeting(a, beside, axis) for axis in range(3))] == [True, False, False]
