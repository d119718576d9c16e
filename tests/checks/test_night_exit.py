"""The rule night-exit: who climbs over whom, which ways out count, and that one more box frees nobody."""

from __future__ import annotations

import re

import numpy as np
import pytest
from numpy.typing import NDArray

from layout.checks.context import Context
from layout.checks.walking.beds import strips
from layout.model.finding import Finding
from tests.builders import BASE
from tests.checks.one_rule import context_of, found, found_in

RULE = "night-exit"
SPACE = BASE["space"]
NAMES = ("Ada", "Bo", "Cy")
PEOPLE = {name: {"stature": "1700"} for name in NAMES}
# Room 3000 long, 1700 wide, 1800 high, rear door 1500 wide and 1700 high: one door, so one way out is ever missing.
ONE_IS_ENOUGH = {RULE: {"exits": "1"}}
Said = dict[str, object]


def _bed(length: float, width: float, *names: str) -> Said:
    return {
        "kind": "mattress", "length": str(length), "width": str(width), "thickness": "100",
        "sleeps": list(names or ("Ada", "Bo")),
    }  # fmt: skip


def _box(length: float, width: float, height: float, **more: object) -> Said:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height), **more}


def _at(x: float, y: float, z: float = 0.0, turn: float = 0.0) -> Said:
    return {"at": [str(x), str(y), str(z)], "turn": str(turn)}


def _found(things: Said, stood: Said, **more: object) -> list[Finding]:
    return found(RULE, **{"people": PEOPLE, "things": things, "arrangement": stood, "rules": ONE_IS_ENOUGH, **more})


def _alone(bed: Said, at: Said, **more: object) -> list[Finding]:
    return _found({"bed": bed}, {"bed": at}, **more)


def _climbing(findings: list[Finding]) -> list[str]:
    return [f.text.split(" to get out")[0] for f in findings if "climbs over" in f.text]


def test_across_at_the_front_the_one_at_the_wall_climbs() -> None:
    """Across the whole front, turned left by 90, the first of sleeps lies at the rear and the second at the front wall."""
    [finding] = _alone(_bed(1700, 1300), _at(1700, 0, 400, turn=90))

    assert (finding.severity, finding.states) == ("warn", ("camp", "sleep"))
    assert finding.text == ("Bo climbs over Ada to get out of bed: nothing remains along Bo's own edges, 400 mm wanted")
    assert (finding.measured, finding.wanted, finding.short_by) == (0, 400, 400)
    assert finding.where is not None
    assert finding.where.bounds == pytest.approx((2350, -850, 3000, 850))


def test_turned_the_other_way_the_other_climbs() -> None:
    """Turned right by 90 the first of sleeps lies at the front wall."""
    assert _climbing(_alone(_bed(1700, 1300), _at(1700, 0, 400, turn=-90))) == ["Ada climbs over Bo"]


def test_of_three_the_innermost_climbs_over_both() -> None:
    """Three across at the front: the third climbs over the second and the first, the second over the first."""
    climbing = _climbing(_alone(_bed(1700, 1500, *NAMES), _at(1500, 0, 400, turn=90)))

    assert climbing == ["Bo climbs over Ada", "Cy climbs over Ada and Bo"]


@pytest.mark.parametrize(("gap", "climbing"), [(400, []), (399, ["Bo climbs over Ada"])])
def test_a_gap_of_just_a_body_at_the_foot_frees_the_inner_one(gap: float, climbing: list[str]) -> None:
    """A bed across that leaves 400 between its end and the right wall lets the inner sleeper out there; 399 do not."""
    findings = _alone(_bed(1700 - gap, 1300), _at(1700, gap / 2, 400, turn=90))

    assert _climbing(findings) == climbing
    assert [f.measured for f in findings if f.severity == "warn"] == ([pytest.approx(399)] if climbing else [])


def test_lengthwise_at_the_door_both_get_straight_out() -> None:
    """With the feet at the rear door both are free, whatever stands in front: each end is 650 of the door."""
    [finding] = _alone(_bed(1900, 1300), _at(50, 0, 400))

    assert finding.severity == "note"
    assert finding.text == "out of bed: Ada by the rear door, Bo by the rear door; ways out: the rear door"


@pytest.mark.parametrize(("top", "free"), [(900, True), (899, False)])
def test_an_opening_over_a_bed_is_high_enough(top: float, free: bool) -> None:
    """Over a bed 500 high a door that ends at 900 leaves the 400 to climb out by; one that ends at 899 does not."""
    space = {**SPACE, "rear_door": {"width": "1500", "height": str(top), "kind": "two leaves"}}  # type: ignore[dict-item]
    [finding] = _alone(_bed(1900, 1700), _at(50, 0, 400), space=space)

    assert finding.severity == ("note" if free else "fail")


@pytest.mark.parametrize(("gap", "free"), [(1340, True), (1341, False)])
def test_a_bag_at_the_foot_leaves_a_body_beside_it(gap: float, free: bool) -> None:
    """Ada has 850 of the bed and 750 of the door's left half; a bag that leaves 400 of that lets her out, 399 do not."""
    width = gap - 990
    things = {"bed": _bed(1900, 1700), "bag": _box(100, width, 300)}
    findings = _found(things, {"bed": _at(50, 0, 400), "bag": _at(60, 750 - width / 2, 500)})

    assert _climbing(findings) == ([] if free else ["Ada climbs over Bo"])


def test_beside_the_wall_lengthwise_far_from_the_door() -> None:
    """A bed along the left wall at the front, 1000 wide: only the one on the right reaches the floor beside it.

    The head is at the front wall, and a cabinet as wide as the inner strip closes the foot.
    """
    things = {"bed": _bed(1300, 1000), "cabinet": _box(300, 500, 1700)}
    findings = _found(things, {"bed": _at(1700, 350, 400), "cabinet": _at(1400, 600)})

    assert _climbing(findings) == ["Ada climbs over Bo"]
    assert not _climbing(_found(things, {"bed": _at(1700, 350, 400), "cabinet": _at(1000, 600)}))


def test_two_mattresses_side_by_side_count_as_one_bed() -> None:
    """Two across at the front, one behind the other: whoever has the front one climbs over what is no higher."""
    things = {"rear": _bed(1700, 650, "Ada"), "front": _bed(1700, 650, "Bo")}
    findings = _found(things, {"rear": _at(1700, 0, 400, turn=90), "front": _at(2350, 0, 400, turn=90)})

    assert [(f.severity, f.things[0]) for f in findings] == [("note", "rear"), ("warn", "front")]
    assert "only by climbing over what is no higher, to the rear door: Bo" in findings[1].text


def test_a_mattress_on_the_floor_is_not_walked_over() -> None:
    """On the floor itself, across at the front, the inner one still climbs over the outer, though that is no step high."""
    assert _climbing(_alone(_bed(1700, 1300), _at(1700, 0, 0, turn=90))) == ["Bo climbs over Ada"]


def test_a_bunk_over_a_bed_bars_nobody_below() -> None:
    """A bunk over the bed is no neighbour: both sleepers get out on their open side."""
    things = {"bed": _bed(1000, 700, "Ada"), "bunk": _bed(1000, 700, "Bo")}
    findings = _found(things, {"bed": _at(1900, 500, 300), "bunk": _at(1900, 500, 1000)})

    assert [f.severity for f in findings] == ["note", "note"]


def test_a_wall_of_things_lets_nobody_out() -> None:
    """A box from wall to wall, as high as the bed's top and 401 more, fails and is named; no higher than the bed it warns."""
    bed, at = _bed(1000, 1300), _at(1900, 0, 400)
    high, low = (
        _found({"bed": bed, "wall": _box(200, 1700, h)}, {"bed": at, "wall": _at(1500, 0)}) for h in (1750, 500)
    )

    assert [f.severity for f in high] == ["fail"]
    assert high[0].text == "no way out of bed for Ada and Bo: the rear door is barred by wall"
    assert high[0].things == ("bed", "wall")
    assert [f.severity for f in low] == ["warn"]
    assert "only by climbing over what is no higher, to the rear door" in low[0].text


def test_nobody_is_asked_while_driving() -> None:
    """The state drive is not looked at."""
    assert all("drive" not in f.states for f in _alone(_bed(1700, 1300), _at(1700, 0, 400, turn=90)))


# The second way out.
TWO = {RULE: {"exits": "2"}}
SIDE = {"side": "left", "start": "1500", "width": "700", "height": "1600", "kind": "sliding"}
WINDOW = {"side": "left", "x": ["2200", "2700"], "z": ["700", "1100"]}


def _ways(space: Said, things: Said | None = None, stood: Said | None = None) -> list[Finding]:
    """Return what is found of a bed for one, in the middle of the front, with more things."""
    return _found(
        {"bed": _bed(1000, 1300, "Ada"), **(things or {})}, {"bed": _at(1900, 0, 400), **(stood or {})},
        space={**SPACE, **space}, rules=TWO,  # type: ignore[dict-item]
    )  # fmt: skip


def test_one_door_is_one_way_out() -> None:
    """With the rear door alone there is one way out, and what would be a second is told."""
    [finding] = _ways({})

    assert (finding.severity, finding.text) == ("warn", "only 1 way out of bed, the rear door")
    assert "at least 450 mm × 330 mm" in finding.cure


def test_two_doors_are_two_unless_one_does_not_open_from_inside() -> None:
    """A sliding door beside the rear door makes two; with a lock outside only it is none."""
    [two] = _ways({"side_doors": {"slider": SIDE}})
    [one] = _ways({"side_doors": {"slider": {**SIDE, "opens_inside": "no"}}})

    assert (two.severity, two.text) == (
        "note", "out of bed: Ada by the rear door or the slider; ways out: the rear door and the slider",
    )  # fmt: skip
    assert one.text == "only 1 way out of bed, the rear door; the slider does not open from inside"


def test_no_door_that_opens_from_inside_is_no_way_out() -> None:
    """The only door has no handle inside: nobody gets out."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "opens_inside": "no"}
    [finding] = _ways({"rear_door": door})

    assert finding.severity == "fail"
    assert finding.text == "no way out of bed for Ada: the rear door does not open from inside"


def test_a_window_counts_when_it_is_large_enough() -> None:
    """500 by 400 comes up to two published figures; 500 by 320 to none."""
    [large] = _ways({"ways_out": {"window": WINDOW}})
    [small] = _ways({"ways_out": {"window": {**WINDOW, "z": ["700", "1020"]}}})

    assert large.severity == "note"
    assert "the rear door and window (as large as 49 CFR 393.62 and FMVSS 217 asks)" in large.text
    assert small.text == "only 1 way out of bed, the rear door; window is smaller than any published figure"


def test_a_window_alone_is_better_than_nothing() -> None:
    """Behind a wall of things, a window at the bed turns the failure into a warning."""
    wall, at = {"wall": _box(200, 1700, 1750)}, {"wall": _at(1500, 0)}
    [finding] = _ways({"ways_out": {"window": WINDOW}}, wall, at)

    assert finding.severity == "warn"
    assert finding.text.startswith("out of bed by no door, only by window: Ada")


def test_a_load_before_a_window_bars_it() -> None:
    """A locker before the window up to 770 leaves 500 by 330, which counts; up to 771 it does not, and is named."""
    low, high = (
        _ways({"ways_out": {"window": WINDOW}}, {"locker": _box(600, 150, h)}, {"locker": _at(2150, 775)})
        for h in (770, 771)
    )

    assert [f.severity for f in low] == ["note"]
    assert low[0].text.endswith("window (as large as 49 CFR 393.62 and FMVSS 217 asks)")
    assert high[0].text == "only 1 way out of bed, the rear door; window is barred by locker"
    assert high[0].things == ("bed", "locker")


@pytest.mark.parametrize(("sill", "good"), [(1118, True), (1119, False)])
def test_a_window_too_high_over_the_floor_is_not_reached(sill: float, good: bool) -> None:
    """A window beside free floor, away from the bed, counts with its sill up to 1118 over the floor."""
    far = {"side": "left", "x": ["800", "1300"], "z": [str(sill), str(sill + 400)]}
    [finding] = _ways({"ways_out": {"window": far}})

    assert (finding.severity == "note") == good


def test_a_hatch_in_the_roof_over_the_bed_counts() -> None:
    """A hatch of 500 by 400 over the bed is a second way out; with a net 100 below it, it is barred."""
    hatch = {"hatch": {"side": "roof", "x": ["2200", "2700"], "y": ["-200", "200"]}}
    net = {"net": _box(700, 700, 20)}
    [free], [barred] = _ways({"ways_out": hatch}), _ways({"ways_out": hatch}, net, {"net": _at(2100, 0, 1650)})

    assert free.severity == "note"
    assert barred.text.endswith("hatch is barred by net")


def test_windows_in_the_ends_count() -> None:
    """A window over the bed in the front end, as one to the cab, is a second way out."""
    [finding] = _ways({"ways_out": {"hatch to the cab": {"side": "front", "y": ["-300", "300"], "z": ["700", "1200"]}}})

    assert finding.severity == "note"


@pytest.mark.parametrize(("y", "past"), [(300, False), (299, True)])
def test_a_door_past_a_flame_does_not_count(y: float, past: bool) -> None:
    """A stove at y 100 or more over a floor that ends at -850 leaves 950: 300 to keep off, and a body of 650.

    A cabinet fills what is left on the other side of the stove.
    """
    fill = 850 - (y + 200)
    things = {"stove": _box(300, 400, 900, hazards=["flame"]), "fill": _box(300, fill, 1700)}
    stood = {"stove": _at(800, y), "fill": _at(800, 850 - fill / 2)}
    rules = {RULE: {"exits": "1", "width": "650"}}
    [finding] = _found({"bed": _bed(1000, 1300, "Ada"), **things}, {"bed": _at(1900, 0, 400), **stood}, rules=rules)

    assert (finding.severity == "warn") == past
    assert ("the rear door lies past stove" in finding.text) == past


def test_what_is_stowed_is_no_flame() -> None:
    """A stove under a shelf is stowed, and bars no way; so is one of no hazard."""
    stove = _box(300, 900, 100, hazards=["flame"])
    shelf = {"stove": stove, "shelf": _box(300, 900, 20)}
    at = {"stove": _at(700, 0), "shelf": _at(700, 0, 150)}
    rules = ONE_IS_ENOUGH
    bed, lies = {"bed": _bed(1000, 1300, "Ada")}, {"bed": _at(1900, 0, 400)}
    [open_] = _found({**bed, "stove": stove}, {**lies, "stove": _at(700, 0)}, rules=rules)
    [stowed] = _found(bed | shelf, lies | at, rules=rules)
    [cold] = _found({**bed, "stove": _box(300, 900, 100)}, {**lies, "stove": _at(700, 0)}, rules=rules)

    assert open_.text == "no good way out of bed; the rear door lies past stove"
    assert stowed.severity == cold.severity == "note"


def test_strips_are_equal_and_in_order_from_the_left() -> None:
    """1500 for three: the first has the left 500; only the outer ones have an edge beside the mattress's side."""
    context = context_of(people=PEOPLE, things={"bed": _bed(1900, 1500, *NAMES)}, arrangement={"bed": _at(100, 0, 400)})
    found_strips = strips(context.layout.placed["sleep"][0], 300.0)

    assert [(s.sleeper, s.body.bounds[1], s.body.bounds[3]) for s in found_strips] == [
        ("Ada", 250, 750), ("Bo", -250, 250), ("Cy", -750, -250),
    ]  # fmt: skip
    assert [len(s.beside) for s in found_strips] == [3, 2, 3]


ROOMS = range(40)
Array = NDArray[np.float64]
ORDER = ("fail", "warn", "note")


def _random_room(seed: int, less: int = 0) -> Context:
    """Return a bed for two somewhere in front, and 2 to 7 boxes of any height anywhere else, the last `less` left out."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(2, 8))
    low = chance.uniform((50, -850), (1700, 650), (count, 2))
    high = np.minimum(low + chance.uniform(100, 900, (count, 2)), (2950, 850))
    heights, gap = chance.uniform(250, 1750, count), float(chance.choice([0, 300, 450]))
    turned = bool(chance.random() < 0.5)
    boxes = [(f"box {k}", *low[k], *high[k], heights[k]) for k in range(count)][: count - less]
    things = {n: _box(x1 - x0, y1 - y0, h) for n, x0, y0, x1, y1, h in boxes}
    stood = {n: _at(x0, (y0 + y1) / 2) for n, x0, y0, x1, y1, _ in boxes}
    bed = _bed(1700 - gap, 1200) if turned else _bed(1200, 1700 - gap)
    space = {**SPACE, "side_doors": {"slider": SIDE}, "ways_out": {"window": WINDOW}}  # type: ignore[dict-item]
    return context_of(
        people=PEOPLE, things={"bed": bed, **things}, space=space,
        arrangement={"bed": _at(1800, gap / 2, 400, turn=90 if turned else 0), **stood},
    )  # fmt: skip


def _freedom(context: Context) -> tuple[int, int, int]:
    """Return how grave the worst finding is, how many need not climb, and how many ways out are good."""
    findings = found_in(context, RULE)
    worst = min(ORDER.index(f.severity) for f in findings)
    text = " ".join(f.text for f in findings)
    trapped = 2 if re.search("no way out|only by", text) else len(_climbing(findings))
    faults = len(re.findall("is barred by|is not reached|lies past", text))
    return worst, 2 - trapped, 3 - faults


@pytest.mark.parametrize("seed", ROOMS)
def test_one_more_box_frees_nobody(seed: int) -> None:
    """With the last box left out, no finding is graver, nobody more climbs, and no way out is lost."""
    more, less = _freedom(_random_room(seed)), _freedom(_random_room(seed, less=1))

    assert more[0] <= less[0]
    assert more[1] <= less[1]


def test_the_random_rooms_are_of_all_kinds() -> None:
    """Among them are some that nobody leaves, some with somebody trapped, some with all free."""
    worst = [_freedom(_random_room(seed)) for seed in ROOMS]

    assert {grave for grave, _, _ in worst} == {0, 1, 2}
    assert {free for _, free, _ in worst} == {0, 1, 2}
