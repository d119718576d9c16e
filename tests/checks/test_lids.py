"""Lids open, or it is told how far, and what must come off first: by hand arithmetic, and by points of the turning lid."""

import random
from math import acos, cos, degrees, radians, sin
from typing import Any

import pytest

from layout.model.finding import Finding
from layout.model.layout import Placed
from tests.builders import BASE
from tests.checks.one_rule import context_of, found, found_in

SPACE: Any = BASE["space"]
LID = {"lid": {"does": "lid", "hinge": "rear"}}


def _box(length: float, width: float, height: float, **more: object) -> dict[str, object]:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height), **more}


def _at(x: float, y: float, z: float = 0) -> dict[str, object]:
    return {"at": [str(x), str(y), str(z)]}


def _one(**more: object) -> Finding:
    [finding] = found("lids", **more)
    return finding


BENCH = {"bench": _box(400, 600, 450, moving=LID), "shelf": _box(600, 800, 40)}


def test_a_lid_under_a_shelf_opens_as_far_as_it_is_high() -> None:
    """A lid of 400 with 200 above it opens to asin(200 / 400) = 30 degrees; the shelf past its tip's way is 346.4 off."""
    finding = _one(things=BENCH, arrangement={"bench": _at(1000, 0), "shelf": _at(1000, 0, 650)})

    assert finding.text == "the lid of bench opens to 30 of 90 degrees; shelf is in the way"
    assert (finding.severity, finding.things, finding.states) == ("fail", ("bench", "shelf"), ("camp", "sleep"))
    # The hinge must be behind the shelf by sqrt(400² - 200²) = 346.4, told at most 0.9 % of the lid, 3.6, too far.
    assert finding.does is not None
    assert -350 <= finding.does.shift[0] <= -346.4
    assert not found("lids", things=BENCH, arrangement={"bench": _at(1000, 0), "shelf": _at(1000, 0, 850)})


def test_a_lid_is_no_business_of_the_rule_for_other_parts() -> None:
    """What the lid meets is told once, by this rule."""
    stood = {"bench": _at(1000, 0), "shelf": _at(1000, 0, 650)}

    assert not found("sweep", things=BENCH, arrangement=stood)


def test_a_lid_under_the_roof() -> None:
    """A lid of 500 on a chest of 1500 has 300 to the roof: asin(300 / 500) = 36.9 degrees; 25 to lift it off are free."""
    finding = _one(things={"chest": _box(500, 600, 1500, moving=LID)}, arrangement={"chest": _at(500, 0)})

    assert "opens to 36 of 90 degrees; the roof is in the way" in finding.text
    assert finding.cure == "make it a lid that lifts off: the 25 mm for that are free"
    assert not found("lids", things={"chest": _box(500, 600, 1300, moving=LID)}, arrangement={"chest": _at(500, 0)})


def test_a_lid_that_leans_back_meets_the_wall_behind_it() -> None:
    """Opened past upright, the tip of a lid of 400 is 400 cos(angle) behind its hinge: 100 are met at 104.5 degrees."""
    lean = {"lid": {"does": "lid", "hinge": "rear", "angle": "120"}}
    things = {"bench": _box(400, 600, 450, moving=lean), "wall": _box(100, 1700, 1000)}
    text = _one(things=things, arrangement={"bench": _at(1000, 0), "wall": _at(800, 0)}).text
    angle = int(text.split("opens to ")[1].split(" ")[0])

    assert degrees(acos(-100 / 400)) - 2 <= angle <= degrees(acos(-100 / 400))
    assert not found("lids", things=things, arrangement={"bench": _at(1000, 0), "wall": _at(700, 0)})


def test_a_lid_that_cannot_be_freed_by_a_move_is_hung_on_its_other_edge() -> None:
    """Boxes before and behind leave no move: leaning back by 100 degrees it meets the higher one behind, forward none."""
    lean = {"lid": {"does": "lid", "hinge": "rear", "angle": "100"}}
    things = {"bench": _box(400, 1700, 450, moving=lean), "high": _box(1000, 1700, 1000), "low": _box(1600, 1700, 450)}
    finding = _one(things=things, arrangement={"bench": _at(1000, 0), "high": _at(0, 0), "low": _at(1400, 0)})

    assert finding.cure == "hang it on its other edge, hinge: front: there it opens all the way"


def test_a_lid_that_lifts_off_needs_the_usual_room_or_what_the_file_says() -> None:
    """10 above a top that lifts off are 15 short of the usual 25; with out: 10 they do, with out: 40 they are 30 short."""

    def said(**more: str) -> list[Finding]:
        moving = {"top": {"does": "lift off", **more}}
        things = {"bench": _box(400, 600, 450, moving=moving), "shelf": _box(600, 800, 40)}
        return found("lids", things=things, arrangement={"bench": _at(1000, 0), "shelf": _at(1000, 0, 460)})

    [usual], [more] = said(), said(out="40")

    assert (usual.measured, usual.wanted, usual.short_by) == (10, 25, 15)
    assert usual.text == "the top of bench lifts 10 of 25 mm; shelf is in the way"
    assert more.short_by == 30
    assert said(out="10") == []


def test_only_the_part_of_the_top_that_is_a_lid_counts() -> None:
    """A hatch in the front half of a bench, x 200 .. 400, turns up clear of a shelf over the rear half."""
    hatch = {"hatch": {"does": "lid", "hinge": "front", "x": ["200", "400"], "y": ["-200", "200"]}}
    stood = {"bench": _at(1000, 0), "shelf": _at(600, 0, 500)}
    things = {"bench": _box(400, 600, 450, moving=hatch), "shelf": _box(600, 800, 40)}
    whole = {**things, "bench": _box(400, 600, 450, moving=LID)}

    assert not found("lids", things=things, arrangement=stood)
    assert found("lids", things=whole, arrangement=stood)


MATTRESS = {"kind": "mattress", "length": "1850", "width": "700", "thickness": "100"}


@pytest.mark.parametrize(
    ("reach", "severity"), [(None, "note"), ("rarely", "note"), ("weekly", "note"), ("daily", "warn")]
)
def test_what_lies_on_a_lid_is_lifted_off_first(reach: str | None, severity: str) -> None:
    """A mattress, and the pillow on it, come off in that order, from the top; where it is wanted daily this is a warning."""
    wanted = {"reach": reach} if reach else {}
    things = {
        "bench": _box(400, 600, 450, moving=LID, **wanted),
        "mattress": MATTRESS,
        "pillow": _box(300, 300, 100, take_out="any"),
    }
    stood = {"bench": _at(1000, 0), "mattress": {"on": "bench"}, "pillow": {"on": "mattress"}}
    finding = _one(things=things, arrangement=stood)

    assert finding.severity == severity
    assert finding.text == "before the lid of bench opens, pillow and mattress must be lifted off (2 things)"
    assert finding.things == ("bench", "pillow", "mattress")
    assert bool(finding.cure) == (severity == "warn")


def test_what_comes_off_is_no_help_under_what_stays() -> None:
    """A mattress under a shelf 200 above the lid: the shelf stops the lid, which fails; nothing is said of the mattress."""
    things = {**BENCH, "mattress": MATTRESS}
    stood = {"bench": _at(1000, 0), "mattress": {"on": "bench"}, "shelf": _at(1000, 0, 650)}
    finding = _one(things=things, arrangement=stood)

    assert (finding.severity, finding.things) == ("fail", ("bench", "shelf"))


def test_what_is_to_come_off_and_carries_something_that_stays_fails() -> None:
    """A mattress would come off, but a built-in locker stands on it beside the lid's own way."""
    things = {"bench": _box(400, 600, 450, moving=LID), "mattress": MATTRESS, "locker": _box(300, 300, 400)}
    stood = {"bench": _at(500, 0), "mattress": _at(500, 0, 450), "locker": _at(1900, 0, 550)}
    finding = _one(things=things, arrangement=stood)

    assert finding.severity == "fail"
    assert finding.text.endswith("must be lifted off (2 things), but locker stays in place")


def test_a_bin_under_a_shelf_is_taken_out_to_be_opened() -> None:
    """A bin's lid of 600 with 20 above it opens to asin(20 / 600) = 1.9 degrees; nothing can move: it is opened outside."""
    crate = {"kind": "bin", "length": "600", "width": "1700", "height": "300", "moving": LID}
    things = {"crate": crate, "shelf": _box(3000, 1700, 40)}
    finding = _one(things=things, arrangement={"crate": _at(1000, 0), "shelf": _at(0, 0, 320)})

    assert finding.severity == "fail"
    assert "opens to 1 of 90 degrees; shelf is in the way" in finding.text
    assert "take crate out to open it" in finding.cure


def test_equal_lids_under_one_mattress_are_told_together() -> None:
    """Two seats under one mattress make one note of both."""
    seat = _box(400, 600, 450, moving=LID, count="2")
    stood = {"seat 1": _at(600, 0), "seat 2": _at(1000, 0), "mattress": _at(500, 0, 450)}
    finding = _one(things={"seat": seat, "mattress": MATTRESS}, arrangement=stood)

    assert finding.text == "before the lid of seat 1 and seat 2 open, mattress must be lifted off (1 thing)"
    assert finding.things == ("seat 1", "seat 2", "mattress")


def test_the_next_bin_on_top_is_named() -> None:
    """Of three bins in a stack the lowest has two above it, the middle one one, the uppermost none."""
    crate = {"kind": "bin", "length": "600", "width": "400", "height": "300", "moving": LID, "count": "3"}
    findings = found("lids", things={"crate": crate}, arrangement={"crate": {**_rear(), "grid": ["1", "1", "3"]}})

    assert [(f.things, f.severity) for f in findings] == [
        (("crate 1", "crate 3", "crate 2"), "note"), (("crate 2", "crate 3"), "note"),
    ]  # fmt: skip


def _rear() -> dict[str, object]:
    return {"rear": "500", "centre": "0"}


HINGES = {"rear": (1, 0), "front": (-1, 0), "right": (0, 1), "left": (0, -1)}


def _random(rng: random.Random) -> dict[str, Any]:
    things: dict[str, Any] = {}
    stood: dict[str, Any] = {}
    for i in range(4):
        hinge = rng.choice(list(HINGES))
        moving = {"lid": {"does": "lid", "hinge": hinge, "angle": str(rng.randint(30, 170))}}
        things[f"t{i}"] = _box(*(rng.randint(200, 600) for _ in range(3)), moving=moving)
        stood[f"t{i}"] = _at(rng.randint(0, 2300), rng.randint(-500, 500))
    for i in range(4):
        things[f"s{i}"] = _box(
            rng.randint(200, 600), rng.randint(200, 600), rng.randint(20, 300), **({"take_out": "any"} if i % 2 else {})
        )
        stood[f"s{i}"] = _at(rng.randint(0, 2300), rng.randint(-500, 500), rng.randint(200, 900))
    return {"things": things, "arrangement": stood}


def _met(placed: Placed, others: list[Placed]) -> set[str]:
    """Return the names of the things in which points of the turning lid lie by more than 3 mm."""
    (x0, y0, x1, y1), top = placed.box.bounds, placed.box.z1
    spec: Any = placed.thing.motions[0].opening
    ux, uy = HINGES[spec.hinge]
    edge = {"rear": x0, "front": x1, "right": y0, "left": y1}[spec.hinge]
    leaf, along = (x1 - x0, (y0, y1)) if ux else (y1 - y0, (x0, x1))
    found: set[str] = set()
    for k in range(1, 41):
        angle = radians(spec.full * k / 40)
        for j in range(1, 21):
            far = leaf * j / 20
            u, z = edge + (ux or uy) * far * cos(angle), top + far * sin(angle)
            for i in range(11):
                v = along[0] + (along[1] - along[0]) * i / 10
                x, y = (u, v) if ux else (v, u)
                found |= {p.name for p in others if _in(p, x, y, z)}
    return found


def _in(placed: Placed, x: float, y: float, z: float) -> bool:
    x0, y0, x1, y1 = placed.box.bounds
    return x0 + 3 < x < x1 - 3 and y0 + 3 < y < y1 - 3 and placed.box.z0 + 3 < z < placed.box.z1 - 3


@pytest.mark.parametrize("seed", range(20))
def test_all_that_a_lid_meets_is_named(seed: int) -> None:
    """On random layouts a lid fails when points of it pass through a thing that stays; else all that comes off is named."""
    context = context_of(**_random(random.Random(seed)))
    findings = {f.things[0]: f for f in found_in(context, "lids") if "camp" in f.states}
    things = list(context.layout.placed["camp"])
    for placed in things:
        if placed.thing.motions:
            met = _met(placed, [p for p in things if p.name != placed.name])
            stays = {p.name for p in things if p.name in met and p.thing.take_out is None}
            finding = findings.get(placed.name)
            if stays:
                assert finding is not None
                assert finding.severity == "fail"
                assert stays <= set(finding.things)
            elif met:
                assert finding is not None
                assert finding.severity == "fail" or met <= set(finding.things)


def test_the_points_of_the_random_lids_meet_things_of_both_kinds() -> None:
    """Over the random layouts above at least ten lids meet what stays, and five only what comes off."""
    stays = comes_off = 0
    for seed in range(20):
        context = context_of(**_random(random.Random(seed)))
        things = list(context.layout.placed["camp"])
        for placed in things:
            met = _met(placed, [p for p in things if p.name != placed.name]) if placed.thing.motions else set()
            fixed = {p.name for p in things if p.name in met and p.thing.take_out is None}
            stays += bool(fixed)
            comes_off += bool(met) and not fixed

    assert stays >= 10
    assert comes_off >= 5
