"""A van for two people, of 1760 and 1640, arranged in three ways, spring and autumn: every figure reckoned by hand.

Half-widths on bare metal: 860 at the floor, 880 at 600, 862 at 1000, 790 at 1500, 640 at 1850, straight between; floor
25, walls 18, ceiling 30. Heights over the bare floor are 25 more than those over the finished one, which files say.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from layout.jobs.load import Plan, stale_accepts
from layout.space.measures import measures
from layout.space.space import TOUCH, Space
from tests.cli.test_commands import run
from tests.scenarios.variants import HERE, changed, failing, found, plan

ACROSS, ALONG, TURNED, NARROW = "s8a-across.yaml", "s8b-along.yaml", "s8b-one-turned.yaml", "s8b-narrow.yaml"
SPRING, AUTUMN, TALL, FRIDGE = "s8c-lockers.yaml", "s8c-autumn.yaml", "s8c-tall-unit.yaml", "s8c-fridge-left.yaml"
FLOOR, WIRING, UNIT_X = 25.0, 25.0, 2100.0
TOTES = tuple(f"totes {i}" for i in range(1, 6))


def _depth(space: Space, bare_z: float, front: float) -> float:
    """Return how deep a unit on the left is behind its front at a height over the bare floor, less the wiring, mm."""
    return space.half_width(UNIT_X, bare_z - FLOOR, left=True) - WIRING - front


def _heights(space: Space, deep: float, front: float) -> list[int]:
    """Return the heights over the bare floor at which the unit is so deep."""
    return [z for z in range(25, 1526) if _depth(space, z, front) >= deep]


@pytest.mark.parametrize(
    ("bare_z", "depth"),
    [(25, 387.83), (425, 401.17), (600, 407), (825, 396.88), (1225, 356.6), (1525, 306.29)],
)
def test_how_deep_the_tall_unit_is(bare_z: float, depth: float) -> None:
    """Protects the totes: 860 + 20 x 25 / 600 - 18 - 25 - 430 = 387.8 at the floor, 407 at the widest, 306.3 at the top."""
    assert _depth(plan(TALL).project.space, bare_z, 430) == pytest.approx(depth, abs=0.01)


def test_the_command_measures_the_same() -> None:
    """Protects who does not program: --at 575 between the unit's ends says 2 x (880 - 18) = 1724, so 862 - 430 - 25."""
    done = run("check", str(HERE / TALL), "--at", "575", "--from", "1850", "--to", "2350", "--json")

    assert json.loads(done.stdout)["width"] == pytest.approx(1724)


@pytest.mark.parametrize(
    ("deep", "front", "low", "high"), [(400, 430, 390, 755), (400, 400, 25, 1131), (350, 430, 25, 1270)]
)
def test_between_which_heights_totes_go_in(deep: float, front: float, low: int, high: int) -> None:
    """Protects the shelves: 400 deep wants 873 of metal, from 390 to 755; with the front at 400 it wants 843, up to 1131.

    350 deep wants 823: 862 - 72 (z - 1000) / 500 = 823 at 1270.8; a tape that says 1260 there has been rounded down.
    """
    heights = _heights(plan(TALL).project.space, deep, front)

    assert heights == list(range(low, high + 1))


def _fitting(unit: Plan) -> list[str]:
    """Return the totes of which neither the wall nor the wiring takes anything."""
    return [name for name in TOTES if not (found(unit, "inside", name) or found(unit, "air-gap", name))]


def test_one_shelf_of_five_takes_totes_400_deep() -> None:
    """Protects from five shelves of the wrong depth: only the second tote, from 425 to 705, has 400 and the wiring.

    Totes are 280 high; the narrowest is at 25, 705, 1105, 1505 and 1805: 842.83, 857.28, 828.88, 769.86 and 641.29 inside the
    lining, so behind 430 + 400 there are 12.83, 27.28, -1.12, -60.14 and -188.71.
    """
    unit = plan(TALL)
    inside = {f.things[0]: f.short_by for f in found(unit, "inside")}
    [air] = found(unit, "air-gap", "totes 1")

    assert _fitting(unit) == ["totes 2"]
    assert inside == pytest.approx({"totes 3": 1.12, "totes 4": 60.143, "totes 5": 188.714}, abs=0.01)
    assert air.measured == pytest.approx(12.83, abs=0.01)
    assert air.wanted == WIRING


@pytest.mark.parametrize(("width", "middle"), [(350, 605), (400, 600)], ids=["350 deep", "400 deep, the front at 400"])
def test_two_ways_to_three_shelves(width: float, middle: float, tmp_path: Path) -> None:
    """Protects the wish for many shelves: totes 350 deep, or a front brought to 400, use the lower three of five.

    At 1105, the top of the third, 828.88 - 25 - 430 = 373.9 and 828.88 - 25 - 400 = 403.9; at 1505 344.9 are left at most.
    """
    tote = f"totes: {{use: s8/tote, width: {width},"
    other = changed(tmp_path, TALL, ("totes: {use: s8/tote,", tote), ("[1950, 630,", f"[1950, {middle:g},"))

    assert _fitting(other) == ["totes 1", "totes 2", "totes 3"]


def test_the_belt_tower_is_forward_of_the_tall_unit() -> None:
    """Protects the unit's front end: it ends at 2350 and the tower begins at 2810."""
    unit = plan(TALL)
    [tower] = [o for o in unit.project.space.obstacles if o.name == "belt tower"]

    assert min(x for x, _ in tower.outline) - max(p.box.bounds[2] for p in unit.layout.placed["drive"]) == 460


@pytest.mark.parametrize(("z", "short_by"), [(0, 37.17), (160, 31.83), (600, 85.68), (1100, 255.86)])
def test_the_fridge_does_not_fit_the_unit_at_any_height(z: float, short_by: float, tmp_path: Path) -> None:
    """Protects the fridge: 450 deep is in the wall by itself, and 120 of air behind it are wanted besides.

    It is 720 high. The wall leaves least at its foot or its top: 842.83, 848.17, 794.32 and 624.14 inside the lining, where
    430 + 450 = 880 end. The least of all is 31.8, where foot and top are alike: 860 + a / 30 = 880 - 0.045 (a + 120).
    """
    other = changed(tmp_path, FRIDGE, ("[1865, 655, 0]", f"[1865, 655, {z:g}]"))
    [inside] = found(other, "inside", "fridge")
    [behind] = [f for f in found(other, "air-gap", "fridge") if "on its left" in f.text]

    assert inside.severity == "fail"
    assert inside.short_by == pytest.approx(short_by, abs=0.01)
    assert behind.measured == pytest.approx(0, abs=TOUCH)
    assert behind.wanted == 120


def test_nowhere_up_the_wall_is_there_room_for_the_fridge() -> None:
    """Protects the claim itself: tried at every 5 mm, the wall leaves at most 848.2 - 430 = 418.2 of 450 + 120."""
    space = plan(FRIDGE).project.space
    feet = range(0, 1115, 5)
    depths = [min(space.half_width(UNIT_X, z, left=True) for z in space.bends(foot, foot + 720)) - 430 for foot in feet]

    assert len(depths) == 223
    assert max(depths) == pytest.approx(418.2, abs=0.1)


def test_the_fridge_has_its_air_in_the_right_locker() -> None:
    """Protects it there: 265 + 450 + 120 = 835 of 842.8, 60 + 470 + 60 = 590 of 614 between uprights, 65 of 50 above."""
    autumn = plan(AUTUMN)

    assert len(next(t for t in autumn.layout.things if t.name == "fridge").clears) == 4
    assert not [f for rule in ("inside", "overlap", "air-gap") for f in found(autumn, rule, "fridge")]


def test_by_day_a_bicycle_shuts_the_fridge(tmp_path: Path) -> None:
    """Protects breakfast: a bicycle in the aisle lets the fridge's door open by 3 degrees; at night it opens wholly."""
    door = "top: 50}, moving: {door: {does: door, face: left, hinge: rear, states: [camp, sleep]}}}\n  battery"
    [finding] = found(changed(tmp_path, AUTUMN, ("top: 50}}\n  battery", door)), "sweep", "fridge")

    assert (finding.severity, finding.states) == ("fail", ("camp",))
    assert "opens to 3 of 90 degrees; bicycle 2 is in the way" in finding.text


def test_across_is_too_short_for_both() -> None:
    """Protects both of them: the mattress, from 850 to 950, is as long as the wall at its top, 2 x (864.25 - 18) = 1692.5.

    At its foot it would be 2 x (868.75 - 18) = 1701.5. Ilse wants 1760 + 70 and Noor 1640 + 70; 1692.5 suits 1622.5.
    """
    [finding] = found(plan(ACROSS), "bed-size")
    foot = measures(plan(ACROSS).project.space, 850 - FLOOR, (0.0, 1300.0))

    assert foot is not None
    assert foot.width == pytest.approx(1701.5)
    assert (finding.severity, finding.measured, finding.wanted) == ("fail", 1692.5, 1830)
    assert "Ilse (1760 mm) lies on 1692.5 mm of 1830 mm wanted" in finding.text
    assert "Noor (1640 mm) lies on 1692.5 mm of 1710 mm wanted" in finding.text
    assert "for people up to 1622.5 mm tall" in finding.cure


def test_bicycles_do_not_go_under_a_deck_of_850() -> None:
    """Protects from a picture: without its wheel a bicycle is 1090 - (736 / 2 - 110) = 832 high, the deck's foot at 767.

    So 65 are missing: it is in all 58 of the deck, and 7 in the mattress.
    """
    overlaps = {(f.things[0], f.things[1]): f.short_by for f in found(plan(ACROSS), "overlap")}

    assert overlaps == {(what, f"bicycle {i}"): mm for what, mm in (("deck", 58), ("mattress", 7)) for i in (1, 2)}


def test_beside_a_bed_of_1250_the_pedals_fill_what_is_left() -> None:
    """Protects the lane: 2 x 842.83 - 1250 = 435.7 at the finished floor, and pedals are 430 wide.

    From the bare metal's 860 it is 434.
    """
    space = plan(ALONG).project.space
    floor = measures(space, 0.0, (1400.0, 1900.0))
    bed = next(p for p in plan(ALONG).layout.placed["drive"] if p.name == "deck").box.bounds
    bicycle = next(p for p in plan(ALONG).layout.placed["drive"] if p.name == "bicycle 1")
    pedals = next(s for s in bicycle.solids if s.name == "pedals").bounds

    assert floor is not None
    assert floor.width - (bed[3] - bed[1]) == pytest.approx(435.67, abs=0.01)
    assert pedals[3] - pedals[1] == 430


def test_two_bicycles_end_to_end_are_longer_than_the_van() -> None:
    """Protects from a second bicycle: 2 x 1850 = 3700 of 3050, 650 too long; and the first has its pedals in the well.

    The well's face is 650 from the centreline, the pedals reach to 626 + 215 = 841.
    """
    inside = {f.things[0]: f for f in found(plan(ALONG), "inside")}

    assert (inside["bicycle 2"].severity, inside["bicycle 2"].short_by) == ("fail", 650)
    assert inside["bicycle 1"].short_by == pytest.approx(191)
    assert "pedals" in inside["bicycle 1"].text
    assert "wheel well left" in inside["bicycle 1"].text


def test_under_the_bars_nobody_sits() -> None:
    """Protects the night in B: the bars, 780 wide, reach over the bed, 965 - 575 = 390 above the mattress."""
    [finding] = found(plan(ALONG), "headroom")

    assert (finding.severity, finding.measured) == ("fail", 390)
    assert "Ilse lies; Noor lies" in finding.text


def test_one_bicycle_goes_with_its_bars_turned(tmp_path: Path) -> None:
    """Protects the bars: 609 + 390 = 999 is 171.6 beyond the wall, 862 - 72 x 115 / 500 - 18 = 827.4 at their top.

    Turned along the frame they are free, past the wheel well and with the deck against the wall at its own height.
    """
    straight = changed(tmp_path, TURNED, ("bars: turned", "bars: straight"))
    [finding] = found(straight, "inside")

    assert finding.things == ("bicycle",)
    assert finding.short_by == pytest.approx(171.56, abs=0.01)
    assert "bars" in finding.text
    assert "left wall" in finding.text
    assert not [f for rule in ("inside", "overlap", "bicycles") for f in found(plan(TURNED), rule)]


def test_with_it_there_is_no_aisle(tmp_path: Path) -> None:
    """Protects who wants to stand beside the bed: with the bicycle there is no way at all, and without it too little.

    The mattress ends at 392.7, and at 1300, the height of somebody who stoops, the wall is 862 - 72 x 325 / 500 - 18 =
    797.2 from the centreline: 404.5 are between them.
    """
    [finding] = found(plan(TURNED), "aisle", "beside the bed")
    out = "  bicycle: {outside: [drive, camp, sleep]}\n"
    [alone] = found(changed(tmp_path, TURNED, ("  bicycle: {at: [1000, 609, 0]}\n", out)), "aisle", "beside the bed")
    rule = plan(TURNED).project.rules["aisle"]

    assert (finding.severity, finding.measured, finding.wanted) == ("fail", 0, rule["least"])
    assert finding.things == ("beside the bed", "bicycle")
    assert rule["stoop"] == 1300
    assert (alone.severity, alone.measured, alone.wanted) == ("warn", 404.5, rule["squeeze"])


def test_a_bed_of_1050_lets_the_bars_be_but_is_for_one(tmp_path: Path) -> None:
    """Protects the variant worth drawing: 430 + 390 = 820 is inside 827.4, but two want 2 x 580 = 1160.

    With Ilse alone on it nothing fails.
    """
    [finding] = found(plan(NARROW), "bed-size")
    alone = changed(tmp_path, NARROW, ("sleeps: [Ilse, Noor]", "sleeps: [Ilse]"))

    assert (finding.severity, finding.measured, finding.wanted, finding.short_by) == ("fail", 1050, 1160, 110)
    assert failing(alone) == set()


@pytest.mark.parametrize("name", [SPRING, AUTUMN])
def test_lockers_and_bridge_work_for_both(name: str) -> None:
    """Protects the one that works as drawn: 1840 is long enough for 1830, and 1890 - 25 - 900 - 30 = 935 is free above.

    Ilse sits 1760 x 0.523 = 920 high: slumped in 880, erect only in 950; Noor erect in 888.
    """
    lockers = plan(name)
    [finding] = found(lockers, "headroom")

    assert not found(lockers, "bed-size")
    assert (finding.severity, finding.states, finding.measured) == ("note", ("sleep",), 935)
    assert "Ilse sits; Noor sits erect" in finding.text


@pytest.mark.parametrize("name", [SPRING, AUTUMN])
def test_what_is_put_out_at_night(name: str) -> None:
    """Protects the evening: two bicycles go out, nothing else; by day they fill the aisle one after the other."""
    placed = plan(name).layout.placed
    [finding] = found(plan(name), "bicycles")

    assert {p.name for p in placed["camp"]} - {p.name for p in placed["sleep"]} == {"bicycle 1", "bicycle 2"}
    assert (finding.severity, finding.things) == ("warn", ("bicycle 2", "bicycle 1"))


def test_two_bicycles_head_to_tail_are_shorter_than_end_to_end() -> None:
    """Protects the day: staggered by 895 two bicycles take 895 + 1850 = 2745 of 3050, between lockers 715 apart."""
    bicycles = [p.box.bounds for p in plan(SPRING).layout.placed["drive"] if p.name.startswith("bicycle")]

    assert max(b[2] for b in bicycles) - min(b[0] for b in bicycles) == pytest.approx(2745)
    assert not found(plan(SPRING), "overlap")


@pytest.mark.parametrize(("stagger", "short_by"), [(894, None), (893, 1)])
def test_the_least_stagger(stagger: float, short_by: float | None, tmp_path: Path) -> None:
    """Protects that figure: the bars end 368 + 1114 - 260 + 100 = 1322 from the rear, the frame begins 428 from the front.

    So 1322 - 428 = 894 is the least at which the bars of each are past the frame of the other, which is as high.
    """
    nearer = changed(tmp_path, SPRING, ("[905, -19, 0]", f"[{10 + stagger}, -19, 0]"))

    assert [f.short_by for f in found(nearer, "overlap", "bicycle 1", "bicycle 2")] == ([short_by] if short_by else [])
    assert any("meet" in f.text for f in found(nearer, "bicycles")) == bool(short_by)


def test_nothing_of_spring_is_thrown_away() -> None:
    """Protects the money: all things of spring are in autumn too, of the same sizes."""
    spring, autumn = ({t.name: t.solids for t in plan(name).layout.things} for name in (SPRING, AUTUMN))

    assert {name: autumn.get(name) for name in spring} == spring
    assert {"fridge", "battery", "heater", "top tote"} <= set(autumn)


@pytest.mark.parametrize(
    ("name", "rules"),
    [
        (ACROSS, {"inside", "overlap", "bed-size"}),
        (ALONG, {"inside", "headroom"}),
        (TURNED, {"aisle"}),
        (NARROW, {"bed-size"}),
        (SPRING, set()),
        (AUTUMN, set()),
    ],
)
def test_by_which_rules_each_arrangement_fails(name: str, rules: set[str]) -> None:
    """Protects the choice: of all that was drawn only the lockers fail by no rule, in spring and in autumn."""
    assert failing(plan(name)) == rules
    assert not stale_accepts(plan(name))


def test_what_the_lockers_ask_of_both() -> None:
    """Protects from a choice without its price: what lies behind the bicycles by day is told.

    In spring the totes of the middle bay; in autumn also those in the tall unit.
    """
    spring, autumn = (
        next(f.text for f in found(plan(name), "reach") if "drive" in f.states) for name in (SPRING, AUTUMN)
    )

    assert "middle totes 1 after bicycle 1 and middle totes 2; middle totes 2 after bicycle 1" in spring
    assert "top tote after bicycle 2" not in spring
    assert "front totes 1 after bicycle 2; front totes 2 after bicycle 2; top tote after bicycle 2" in autumn
