"""The adjustment against numeric examples that others published; the source stands beside each."""

from __future__ import annotations

import numpy as np
import pytest

from layout.model.survey import Alone, Measure, Reading, Survey, Tape
from layout.survey.adjust import adjust
from layout.survey.functions import Entry, Row
from layout.survey.network import Network
from layout.survey.solve import least_squares, linear
from tests.survey.tape import distance

# Test cases of a code golf question on trilateration, codegolf.stackexchange.com; recomputed by least squares.
TRILATERATIONS = [
    (((24.234, -13.902, 31.46), (12.3242, 234.12, 229.953), (23.983, 0.321, 25.572)), (-1.234, 4.567), 2e-4),
    (((973.23, -123.221, 1398.016), (-12.123, -98.001, 990.537), (-176.92, 0.0, 912.087)), (12.345, 892.234), 5e-4),
    (((1.0, 2.0, 1.414), (1.0, 1.0, 2.236), (2.0, 2.0, 1.0)), (2.0, 3.0), 2e-3),
]


@pytest.mark.parametrize(("anchors", "place", "close"), TRILATERATIONS)
def test_a_point_from_three_known_ones(
    anchors: tuple[tuple[float, float, float], ...], place: tuple[float, float], close: float
) -> None:
    """Three rounded distances from known points give the published place."""
    measures = tuple(distance(f"K{i}", "P", r) for i, (_, _, r) in enumerate(anchors))
    known = {f"K{i}": (x, y) for i, (x, y, _) in enumerate(anchors)}

    found = adjust(Survey(measures=measures, known=known))

    assert found.points["P"] == pytest.approx(place, abs=close)
    assert found.suspects == ()


# Traverse computations at jerrymahun.com: lengths of legs, raw latitudes and departures, and those adjusted by the
# compass rule (recomputed): an error of closure is shared out by the legs' lengths.
LEGS = (472.68, 216.13, 276.52, 382.24)
LATITUDES = ((-176.357, 203.395, 192.357, -219.312), (-176.386, 203.382, 192.340, -219.336))
DEPARTURES = ((-438.548, -73.093, 198.651, 313.065), (-438.574, -73.105, 198.636, 313.044))
SECOND_LEGS = (639.15, 523.69, 409.54, 815.93)
SECOND_LATITUDES = ((-436.662, 523.690, -234.660, 147.517), (-436.631, 523.715, -234.640, 147.556))
SECOND_DEPARTURES = ((-466.732, 0.0, -335.645, 802.484), (-466.761, -0.023, -335.663, 802.447))


@pytest.mark.parametrize(
    ("legs", "case"),
    [(LEGS, LATITUDES), (LEGS, DEPARTURES), (SECOND_LEGS, SECOND_LATITUDES), (SECOND_LEGS, SECOND_DEPARTURES)],
)
def test_a_closed_traverse_by_the_compass_rule(
    legs: tuple[float, ...], case: tuple[tuple[float, ...], tuple[float, ...]]
) -> None:
    """Weights of one over the leg's length and a sum that must be nought are the compass rule."""
    raw, adjusted = case
    # The first leg is turned about, so that it should be the sum of the three others.
    signed = (-raw[0], *raw[1:])
    measures = tuple(
        Measure(name=f"leg {i}", what=Alone(), reading=Reading(mm=value), weight=1 / leg)
        for i, (value, leg) in enumerate(zip(signed, legs, strict=True))
    )

    found = adjust(Survey(measures=measures, sums={"leg 0": ("leg 1", "leg 2", "leg 3")}))

    lengths = [found.lengths[f"leg {i}"] for i in range(4)]
    assert (-lengths[0], *lengths[1:]) == pytest.approx(adjusted, abs=1.1e-3)


def test_three_observations_of_two_unknowns() -> None:
    """X + y = 3.0, 2x - y = 1.5, x - y = 0.2 (of the kind of the textbooks, from memory; recomputed with numpy)."""
    wanted = np.linalg.lstsq(np.array([[1, 1], [2, -1], [1, -1]]), np.array([3.0, 1.5, 0.2]), rcond=None)[0]
    x, y = Entry(0), Entry(1)
    rows = [
        Row(name=f"row {value}", value=value, sigma=1.0, terms=((a, x), (b, y)))
        for value, a, b in ((3.0, 1, 1), (1.5, 2, -1), (0.2, 1, -1))
    ]
    net = Network(points=(), lengths=("x", "y"), rows=tuple(rows), fixed=frozenset(), absolute=True)

    u = least_squares(net, np.zeros(2))

    assert u == pytest.approx([1.51429, 1.44286], abs=5e-6)
    assert u == pytest.approx(wanted, abs=1e-12)
    assert -linear(net, u).misfit == pytest.approx([-0.04286, 0.08571, -0.12857], abs=5e-6)


def test_a_triangle_of_three_four_five() -> None:
    """Two distances of 2500 from the ends of a line of 3000 meet 1500 along it and 2000 aside."""
    measures = (distance("A", "B", 3000.0), distance("A", "C", 2500.0), distance("B", "C", 2500.0))

    found = adjust(Survey(measures=measures, order=("A", "B", "C")), Tape())

    assert found.points["C"] == pytest.approx((1500.0, 2000.0), abs=1e-6)
    assert [c.redundancy for c in found.checked] == [0.0, 0.0, 0.0]
