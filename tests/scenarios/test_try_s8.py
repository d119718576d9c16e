"""The two designers ask for three arrangements: which there are, and for what reasons the others are refused.

Half-widths on bare metal are 860 at the floor and 880 at 600; the linings take 18 of each. On the finished floor, 25
above the bare one, the van is 2 x (860 + 20 x 25 / 600 - 18) = 2 x 842.83 = 1685.7 wide; it is 3050 long.

An expert says: across is out for both, 1.64 wants 1710 and 1.76 wants 1830; along there is one bicycle beside the bed and
not two, with its bars turned; lockers with a bridge over the aisle work as they are, and the bicycles go out at night.
So says the program, each with its own reason.
"""

from __future__ import annotations

import re

import pytest

from layout.arrange.find import Arrangement
from layout.arrange.reduced import left_without
from layout.arrange.several import several
from layout.arrange.solve import Budget
from layout.checks.context import Context
from layout.checks.run import run_checks
from tests.scenarios.tried import HERE, Change, asked, searched, stood, tried

ACROSS, ALONG, LOCKERS = "try-s8-across.yaml", "try-s8-along.yaml", "s8c-lockers.yaml"
ONE: Change = ("count: 2}", "count: 1}")
NARROW: tuple[Change, ...] = (("1240", "1050"), ("[Ilse, Noor]", "[Ilse]"))


def _one(name: str, *changes: Change) -> Arrangement:
    [one] = searched(name, *changes)[0].arrangements
    return one


# --- across -----------------------------------------------------------------------------------------------------------


def test_across_the_bed_is_too_long_for_ilse() -> None:
    """Protects the taller: 1760 + 70 = 1830 of 1685.7, 144.3 too much; the bicycles have no part in it."""
    why = tried(ACROSS).why
    assert why is not None
    assert why.conflict is not None
    [short] = why.shortfalls["bed"]

    assert (tried(ACROSS).verdict, why.conflict.members) == ("impossible", ("bed",))
    assert (short.axis, short.size) == ("across", 1830)
    assert short.less == pytest.approx(1830 - 1685.67, abs=0.5)


def test_what_is_offered_instead_of_across() -> None:
    """Protects the way out: the same bed along, with both bicycles; none across, and no offer is told twice."""
    why = tried(ACROSS).why
    assert why is not None
    words = [way.words for way in why.ways_out]
    [along] = [way.arrangement for way in why.ways_out if way.words == "bed turned otherwise"]
    x0, y0, x1, y1 = stood(along, "bed").box.bounds

    assert len(words) == len(set(words))
    assert (x1 - x0, y1 - y0) == (1830, 1250)
    assert {"bicycle 1", "bicycle 2"} <= {p.name for p in along.layout.placed["drive"]}


def test_a_bed_that_goes_in_across_is_too_short_even_for_noor() -> None:
    """Protects the shorter: 1680 go in across, and she wants 1640 + 70 = 1710; the rule bed-size refuses it for both."""
    found, clash = searched(ACROSS, ("length: 1830", "length: 1680"))
    refused = {f.rule: f.text for f in found.failed}

    assert not found.arrangements
    assert clash is None
    assert "Ilse (1760 mm) lies on 1680 mm of 1830 mm wanted" in refused["bed-size"]
    assert "Noor (1640 mm) lies on 1680 mm of 1710 mm wanted" in refused["bed-size"]


# --- along ------------------------------------------------------------------------------------------------------------


def test_along_there_is_one_bicycle_beside_the_bed() -> None:
    """Protects the variant with turned bars: 1685.7 - 1240 = 445 beside the bed, and pedals are 430 wide."""
    one = _one(ALONG, ONE)
    bed, bicycle = stood(one, "bed").box.bounds, stood(one, "bicycle").box.bounds

    assert bed[2] - bed[0] == 1900
    assert bicycle[2] - bicycle[0] == pytest.approx(1850, abs=1)
    assert bicycle[1] > bed[3] - 20 or bicycle[3] < bed[1] + 20
    assert not one.said.positions["bicycle"].outside


def test_along_two_bicycles_are_refused_with_the_bed() -> None:
    """Protects from a second one: end to end 2 x 1850 = 3700 of 3050, and both sides of the bed together are 445 wide.

    The reason names the bed and both bicycles, and with any one of them left out the rest goes in.
    """
    _, clash = searched(ALONG)
    assert clash is not None
    rest = [left_without(asked(ALONG), [member]) for member in clash.members]

    assert set(clash.members) == {"bed", "bicycle 1", "bicycle 2"}
    assert all(several(ask, Budget(work=0.2), count=1).arrangements for ask in rest)


def test_along_straight_bars_are_refused() -> None:
    """Protects the bars: 780 wide at 1065 they want 827 - 390 = 437 of the bicycle's middle, where pedals are in the bed.

    Their inner end is at 437 - 215 = 222, the bed's side at -842.8 + 1240 = 397.
    """
    _, clash = searched(ALONG, ONE, ("bars: turned, ", ""))

    assert clash is not None
    assert set(clash.members) == {"bed", "bicycle"}


def test_along_a_bed_for_one_lets_the_bars_be() -> None:
    """Protects the variant worth drawing: beside 1050, -842.8 + 1050 = 207 and 207 + 215 = 422, less than 437."""
    one = _one(ALONG, ONE, ("bars: turned, ", ""), *NARROW)
    bed, bicycle = stood(one, "bed").box.bounds, stood(one, "bicycle").box.bounds

    assert bed[3] - bed[1] == 1050
    assert bicycle[3] - bicycle[1] == pytest.approx(780)


# --- lockers ----------------------------------------------------------------------------------------------------------


def _lockers() -> tuple[Change, ...]:
    """Return changes that take the bicycles' places out of the lockers' file, and let them be out at night."""
    text = (HERE / LOCKERS).read_text(encoding="utf-8")
    lines = re.findall(r"  bicycle [12]: \{at: .*\}\n", text)
    assert len(lines) == 2
    return ((lines[0], ""), (lines[1], ""), ("forms:\n", "free:\n  bicycle: {outside: [sleep]}\n\nforms:\n"))


def test_lockers_and_bicycles_in_the_aisle_work() -> None:
    """Protects the one that works: by day both stand in the aisle, head to tail, at night both are outside.

    Staggered by 894 or more the bars of each are past the frame of the other; together they are at most 3050 long.
    """
    one = _one(LOCKERS, *_lockers())
    a, b = (stood(one, f"bicycle {i}").box.bounds for i in (1, 2))

    assert {p.name for p in one.layout.placed["camp"]} - {p.name for p in one.layout.placed["sleep"]} == {
        "bicycle 1", "bicycle 2"}  # fmt: skip
    assert abs(a[0] - b[0]) >= 890
    assert max(a[2], b[2]) - min(a[0], b[0]) <= 3050
    assert sorted(one.said.positions[f"bicycle {i}"].turn for i in (1, 2)) == [0, 180]


def test_lockers_pass_every_check() -> None:
    """Protects who builds it: looked at again, nothing fails."""
    one = _one(LOCKERS, *_lockers())
    ask = one.built.ask
    findings = run_checks(Context(space=ask.space, layout=one.layout, rules=ask.rules, units=ask.units))

    assert not [f.text for f in findings if f.severity == "fail"]


def test_with_the_bicycles_inside_at_night_the_bridge_is_refused() -> None:
    """Protects the evening: the boards and the mattress are where by day the bicycles are, so both inside is impossible."""
    changes = _lockers()
    _, clash = searched(LOCKERS, changes[0], changes[1])

    assert clash is not None
    assert any("bicycle" in member for member in clash.members)
    assert {"boards", "mattress"} & {m.rsplit(" ", 1)[0] for m in clash.members}
