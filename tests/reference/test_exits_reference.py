"""Published figures for ways out, against what the rule night-exit makes of them.

Sources: FMVSS 217 (49 CFR 571.217) S5.4.1, an emergency exit of a bus lets pass an ellipsoid of 50 by 33 cm, 20 by
13 in, as NHTSA's letters of interpretation repeat it; 49 CFR 393.62, a push-out window has an area of 1290 cm², 200 in²,
and lets pass a rectangle of 33 by 45 cm, 13 by 17 3/4 in; NFPA 1192, a second way out of a trailer, 24 by 17 in, from memory.
"""

import pytest

from layout.checks.walking.exits import published
from layout.files.rules import read_rules

RULE = read_rules()["night-exit"]


@pytest.mark.parametrize(
    ("sizes", "passes"),
    [((508, 330), True), ((500, 330), True), ((500, 320), False), ((330, 508), True), ((499, 400), False)],
)
def test_fmvss_217(sizes: tuple[float, float], passes: bool) -> None:
    """20 by 13 in pass, upright too; 500 by 320 is too low for the ellipsoid, 499 too short."""
    assert ("FMVSS 217" in published(sizes, RULE)) == passes


@pytest.mark.parametrize(
    ("sizes", "passes"),
    [((330, 450), True), ((450, 330), True), ((329, 450), False), ((330, 449), False), ((600, 220), False)],
)
def test_49_cfr_393_62(sizes: tuple[float, float], passes: bool) -> None:
    """33 by 45 cm pass, and have 1485 of the 1290 cm²; neither side may be less, however long the other."""
    assert ("49 CFR 393.62" in published(sizes, RULE)) == passes


def test_nfpa_1192() -> None:
    """24 by 17 in, 609.6 by 431.8 mm, comes up to the figure in whole millimetres to within half of one."""
    assert "NFPA 1192" in published((610, 432), RULE)
    assert "NFPA 1192" not in published((609, 432), RULE)


def test_the_figures_are_in_order() -> None:
    """Whatever comes up to a greater figure comes up to every lesser one."""
    for sizes in ((610, 432), (508, 330), (450, 330), (400, 300)):
        found = published(sizes, RULE)
        assert found == ("49 CFR 393.62", "FMVSS 217", "NFPA 1192")[: len(found)]


def test_the_numbers_are_those_published() -> None:
    """In inches: 20 by 13, 13 by 17 3/4, 200 square inches, 12 in for an aisle, 44 in for a sill, to the millimetre."""
    aisle = read_rules()["aisle"]

    assert RULE["ellipsoid_long"] == pytest.approx(20 * 25.4, abs=10)
    assert RULE["ellipsoid_short"] == pytest.approx(13 * 25.4, abs=1)
    assert (RULE["pushed_short"], RULE["pushed_long"]) == (
        pytest.approx(13 * 25.4, abs=1), pytest.approx(17.75 * 25.4, abs=1),
    )  # fmt: skip
    assert RULE["pushed_area"] == pytest.approx(200 * 2.54**2, abs=1)
    assert RULE["sill"] == pytest.approx(44 * 25.4, abs=1)
    assert aisle["least"] == pytest.approx(12 * 25.4, abs=5)
