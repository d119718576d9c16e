"""The adjustment against arithmetic of another kind, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable
from math import dist

import numpy as np
import pytest

from layout.errors import ValueFaultError
from layout.model.survey import Alone, Axes, Beside, Measure, Place, Reading, Survey, Tape
from layout.survey.adjust import adjust
from layout.survey.functions import Distance, Function, Offset
from layout.survey.outline import squared
from tests.survey.tape import TWELVE, distance, floor, survey, taped


@pytest.mark.parametrize("function", [Distance(0, 2), Offset(4, 0, 2, out=False), Offset(4, 0, 2, out=True)])
def test_slopes_are_those_of_the_value(function: Function) -> None:
    """Each slope is what a small step of its unknown changes."""
    u = np.array([10.0, 20.0, 3100.0, 240.0, 700.0, 900.0])
    _, slopes = function.at(u)
    told = np.zeros(6)
    for index, slope in slopes:
        told[index] += slope
    steps = np.eye(6) * 1e-3
    found = [(function.at(u + step)[0] - function.at(u - step)[0]) / 2e-3 for step in steps]

    assert told == pytest.approx(np.array(found), abs=1e-6)


def test_exact_readings_give_the_floor_back() -> None:
    """Distances without an error give every corner back, in axes at the middle of the rear."""
    rng = np.random.default_rng(2)
    points = floor(rng)
    found = adjust(survey([distance(a, b, dist(points[a], points[b])) for a, b in TWELVE]))

    assert found.points["A"][0] == pytest.approx(0, abs=1e-6)
    assert found.points["A"][1] == pytest.approx(-found.points["D"][1], abs=1e-6)
    for a, b in TWELVE:
        assert dist(found.points[a], found.points[b]) == pytest.approx(dist(points[a], points[b]), abs=1e-6)
    assert found.points["C"][0] > 0


def _descended(start: list[float], cost: Callable[[list[float]], float]) -> list[float]:
    """Return the least of a function by steps along single unknowns, halved when none helps; slow and simple."""
    best, step = list(start), 16.0
    while step > 1e-5:
        tries = [
            [v + (s if i == k else 0) for i, v in enumerate(best)] for k in range(len(best)) for s in (step, -step)
        ]
        better = min(tries, key=cost)
        if cost(better) < cost(best):
            best = better
        else:
            step /= 2
    return best


def test_it_is_the_least_sum_of_squares() -> None:
    """A descent that knows no slopes finds no better place for the corners than the adjustment."""
    rng = np.random.default_rng(4)
    measures = taped(floor(rng), rng)
    found = adjust(survey(measures), Tape(critical=100.0, swap=100.0))

    def cost(u: list[float]) -> float:
        places: dict[str, Place] = {"A": (0.0, u[0]), "D": (0.0, -u[0]), "B": (u[1], u[2]), "C": (u[3], u[4])}
        return sum((dist(places[m.name[0]], places[m.name[2]]) - m.reading.mm) ** 2 for m in measures)

    u = [found.points["A"][1], *found.points["B"], *found.points["C"]]
    assert _descended(u, cost) == pytest.approx(u, abs=1e-3)
    assert sum(c.residual**2 for c in found.checked) == pytest.approx(cost(u), rel=1e-9)


def test_redundancy_numbers_add_up() -> None:
    """Twelve distances of four corners leave 12 - (8 - 3) = 7 to check with: the sum of all redundancy numbers."""
    rng = np.random.default_rng(4)
    found = adjust(survey(taped(floor(rng), rng)), Tape(critical=100.0, swap=100.0))

    assert sum(c.redundancy for c in found.checked) == pytest.approx(7.0, abs=1e-6)


def test_expected_is_what_the_others_say() -> None:
    """The expected value of a reading is that of an adjustment without it."""
    rng = np.random.default_rng(4)
    measures = taped(floor(rng), rng)
    found = adjust(survey(measures), Tape(critical=100.0, swap=100.0))
    without = adjust(survey([m for m in measures if m.name != "B-D"]), Tape(critical=100.0, swap=100.0))
    told = next(c for c in found.checked if c.measure.name == "B-D")

    assert told.expected == pytest.approx(dist(without.points["B"], without.points["D"]), abs=0.05)


def _beside(point: str, along: float, out: float, line: tuple[str, str] | None) -> list[Measure]:
    return [
        Measure(name=f"{point} {axis}", what=Beside(point=point, axis=axis, line=line), reading=Reading(mm=mm))
        for axis, mm in (("along", along), ("out", out))
    ]


def test_offsets_lie_to_the_left_of_their_line() -> None:
    """Along a line of 3000 that runs 30 degrees up, a point 1000 along and 500 to its left."""
    known = {"A": (0.0, 0.0), "B": (3000 * 3**0.5 / 2, 1500.0)}
    found = adjust(Survey(measures=tuple(_beside("P", 1000.0, 500.0, ("A", "B"))), known=known))

    assert found.points["P"] == pytest.approx((1000 * 3**0.5 / 2 - 250, 500 + 250 * 3**0.5), abs=1e-6)


def test_offsets_from_the_centreline_join_a_floor_of_distances() -> None:
    """With axes laid by the rear corners, a wheel well is measured off the centreline, and is where it was read."""
    corners = {"A": (0.0, -850.0), "B": (3000.0, -850.0), "C": (3000.0, 850.0), "D": (0.0, 850.0)}
    measures = [distance(a, b, dist(corners[a], corners[b])) for a, b in TWELVE]
    found = adjust(survey([*measures, *_beside("W", 640.0, -650.0, None)]))

    assert found.points["W"] == pytest.approx((640.0, -650.0), abs=1e-6)
    assert found.points["C"] == pytest.approx((3000.0, 850.0), abs=1e-6)


def test_a_mirrored_floor_is_turned_by_the_point_to_the_left() -> None:
    """Distances alone do not know left from right; the point that lies left of the centreline settles it."""
    corners = {"A": (0.0, -850.0), "B": (3000.0, -850.0), "C": (3000.0, 850.0), "D": (0.0, 850.0)}
    measures = tuple(distance(a, b, dist(corners[a], corners[b])) for a, b in TWELVE)
    ways = [adjust(Survey(measures=measures, axes=Axes(origin="A", forward="B", left=p))) for p in ("C", "D")]

    assert [way.points["D"] for way in ways] == [pytest.approx((0.0, 1700.0), abs=1e-6)] * 2


def test_parts_that_add_up_share_what_is_missing() -> None:
    """A height of 1740 and parts of 618 and 1119 miss 3 mm: each gives way by one."""
    read = {"height": 1740.0, "sill": 618.0, "door": 1119.0}
    measures = tuple(Measure(name=n, what=Alone(), reading=Reading(mm=mm)) for n, mm in read.items())
    found = adjust(Survey(measures=measures, sums={"height": ("sill", "door")}))

    assert found.lengths == pytest.approx({"height": 1739.0, "sill": 619.0, "door": 1120.0}, abs=1e-3)
    assert found.suspects == ()


def test_a_sum_that_does_not_hold_names_all_its_parts() -> None:
    """Nothing in one sum tells its parts apart; one that changed digits would set right is named first."""
    read = {"height": ("1740", 1740.0), "sill": ("620", 620.0), "door": ("1211", 1211.0)}
    measures = tuple(Measure(name=n, what=Alone(), reading=Reading(mm=mm, text=t)) for n, (t, mm) in read.items())
    (suspect,) = adjust(Survey(measures=measures, sums={"height": ("sill", "door")})).suspects

    assert suspect.checked.measure.name == "door"
    assert set(suspect.others) == {"height", "sill"}
    assert suspect.swapped is not None
    assert suspect.swapped.mm == 1121.0


def test_points_of_one_line_are_placed_by_their_sum() -> None:
    """A point between two corners has no place aside from two flat distances; the sum says that it is on the line."""
    corners = {"A": (0.0, -850.0), "B": (3000.0, -850.0), "C": (3000.0, 850.0), "D": (0.0, 850.0)}
    measures = [distance(a, b, dist(corners[a], corners[b])) for a, b in TWELVE]
    parts = [distance("A", "P", 1200.0), distance("P", "B", 1800.0)]
    whole = survey([*measures, *parts])
    found = adjust(Survey(measures=whole.measures, axes=whole.axes, order=whole.order, sums={"A-B": ("A-P", "P-B")}))

    assert found.points["P"] == pytest.approx((1200.0, -850.0), abs=1e-3)
    with pytest.raises(ValueFaultError, match="P lies nearly on the line through A and B"):
        adjust(whole)


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ([("A", "B"), ("B", "C"), ("C", "D"), ("D", "A")], "C is tied to"),
        ([("A", "B"), ("B", "C"), ("A", "C"), ("E", "F")], "E is tied to F, but to no point with a place; measure E-A"),
        (
            [("A", "B"), ("B", "C"), ("A", "C"), ("A", "P")],
            "P is tied to A alone, and can go round it; measure P-B too",
        ),
    ],
)
def test_too_few_measurements_name_the_point(pairs: list[tuple[str, str]], words: str) -> None:
    """A point that can still move is named, with what to measure."""
    with pytest.raises(ValueFaultError, match=words):
        adjust(Survey(measures=tuple(distance(a, b, 1000.0 if (a, b) != ("A", "C") else 1400.0) for a, b in pairs)))


def test_two_circles_that_do_not_meet_are_refused() -> None:
    """500 and 600 from two points that are 3000 apart meet nowhere; that is said, not a number that is none."""
    known = {"A": (0.0, 0.0), "B": (3000.0, 0.0)}
    with pytest.raises(ValueFaultError, match="cannot meet in one place"):
        adjust(Survey(measures=(distance("A", "P", 500.0), distance("B", "P", 600.0)), known=known))


def test_an_end_out_of_square_is_squared_inward() -> None:
    """A front end 3 mm out of square gets the nearer corner's x; one 40 mm out keeps both."""
    ring = ((0.0, -850.0), (3003.0, -850.0), (3000.0, 850.0), (0.0, 850.0))

    assert squared(ring, 5.0)[1:3] == ((3000.0, -850.0), (3000.0, 850.0))
    assert squared(ring[::-1], 5.0)[1:3] == ((3000.0, 850.0), (3000.0, -850.0))
    assert squared(((0.0, -850.0), (3040.0, -850.0), (3000.0, 850.0), (0.0, 850.0)), 5.0)[1] == (3040.0, -850.0)


def test_no_survey_ends_in_a_traceback() -> None:
    """Surveys by chance, most of them too few or contradictory, give finite places or say what is wrong."""
    rng, given, refused = np.random.default_rng(11), 0, 0
    for _ in range(120):
        points = {name: (rng.uniform(0, 4000), rng.uniform(-900, 900)) for name in "ABCD"}
        measures = {}
        for _ in range(int(rng.integers(1, 14))):
            a, b = (str(p) for p in rng.choice(list(points), 2, replace=False))
            slip = float(rng.choice([0, 0, 0, 0, 900, -400]))
            measures[a, b] = distance(a, b, max(1.0, dist(points[a], points[b]) + slip))
        try:
            found = adjust(Survey(measures=tuple(measures.values()), order=("A", "B", "C")))
        except ValueFaultError as error:
            assert error.text
            refused += 1
        else:
            assert all(np.isfinite(place).all() for place in found.points.values())
            given += 1

    assert min(given, refused) > 10
