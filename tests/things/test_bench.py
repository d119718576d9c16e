"""Benches: every panel by hand, lids and what holds them, whatever the sheet measures."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.thing import Thing
from layout.things.bench import Bench
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume


def _bench(t: float = 12.0, thin: float = 9.0, top: float = 15.0, **more: Any) -> Thing:
    said = {"length": 450.0, "width": 1200.0, "sheet": "ply", "base_sheet": "thin", "lid_sheet": "top", **more}
    return Bench(kind="bench", **said).make("b", "b", shop(ply=t, thin=thin, top=top))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the anglers' van."""
    return load(str(Path(__file__).parent / "bench.yaml"))


def _of(plan: Plan, name: str) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == name)


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Both lids open; the referee finds nothing."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert [faults(thing) for thing in plan.layout.things] == [(), ()]


def test_a_hinged_bench_by_hand(plan: Plan) -> None:
    """A seat at 450 under a cushion of 50: the lid's top at 400, 14.9 thick, so walls of 385.1 in 14.9.

    Ends 450 - 29.8 = 420.2 between front and back; the bottom, of 11.8, 1300 - 29.8 = 1270.2 by 420.2 between all; a
    divider 385.1 - 11.8 = 373.3 high, and two compartments of (1270.2 - 14.9) / 2 = 627.65.
    """
    rods = _of(plan, "rods")

    assert rods.box.z1 == pytest.approx(400)
    assert sizes(rods, "back") == sizes(rods, "front") == [(1300, 385.1)]
    assert sizes(rods, "end") == [(420.2, 385.1)] * 2
    assert sizes(rods, "bottom") == [(1270.2, 420.2)]
    assert sizes(rods, "divider") == [(420.2, 373.3)]
    assert sizes(rods, "lid") == [(1300, 450)]
    assert openings(rods) == [(420.2, 627.65, 373.3)] * 2
    area = 2 * 1300 * 385.1 + 2 * 420.2 * 385.1 + 420.2 * 373.3 + 1300 * 450
    assert rods.mass_kg == pytest.approx((area * 14.9 + 1270.2 * 420.2 * 11.8) * 690e-9)
    # 1300 of piano hinge is 2 m; longer than 900, so two stays and two latches.
    assert bought(rods) == {"hinge-piano": 2, "stay-lid": 2, "latch-toggle": 2, "insert-m8-body": 4, "bolt-m8x40": 4}


def test_a_lid_that_lifts_off_by_hand(plan: Plan) -> None:
    """A seat at 440 under 50: the lid's top at 390, 14.9 thick, walls of 375.1 in 11.8; a bottom in a groove 5 deep.

    Bottom: 900 - 23.6 + 10 = 886.4 by 420 - 23.6 + 10 = 406.4, 10 above the lower edges. Four cleats of 18 × 30: the
    shorter side inside, 396.4, less 30 + 3 at both ends, is 330.4. Free: 375.1 - 18 - 10 - 11.8 = 335.3.
    """
    food = _of(plan, "food")

    assert food.box.z1 == pytest.approx(390)
    assert sizes(food, "end") == [(396.4, 375.1)] * 2
    assert sizes(food, "bottom") == [(886.4, 406.4)]
    assert [(b.length, b.solid.z0, b.solid.z1) for b in food.battens] == [pytest.approx((330.4, 357.1, 375.1))] * 4
    assert openings(food) == [(396.4, 876.4, 335.3)]
    assert [m.kind for m in food.motions] == ["lift off"]
    assert bought(food) == {"latch-toggle": 2, "insert-m8-body": 4, "bolt-m8x40": 4}


def test_a_lid_on_its_rear_edge_stands_up_as_high_as_it_is_deep(plan: Plan) -> None:
    """450 deep, on a bench whose top is at 400, it reaches 850 when it stands upright."""
    [lid] = _of(plan, "rods").motions

    assert (lid.name, lid.kind) == ("lid", "lid")
    assert max(solid.z1 for solid in lid.swept) == pytest.approx(850, abs=0.02 * 450)


@pytest.mark.parametrize(("hinge", "metres", "stays"), [("rear", 2, 2), ("left", 1, 1), ("front", 2, 2)])
def test_hinge_and_stays_follow_the_edge_that_it_turns_on(hinge: str, metres: int, stays: int) -> None:
    """Along 1200 two metres of hinge and two stays, along 450 one of each."""
    thing = _bench(hinge=hinge)

    assert (bought(thing)["hinge-piano"], bought(thing)["stay-lid"]) == (metres, stays)
    [lid] = [p for p in thing.panels if p.name == "lid"]
    assert [j.to for j in lid.joints if j.kind == "hinge"] == [{"rear": "back", "left": "end", "front": "front"}[hinge]]
    assert faults(thing) == ()


def test_the_cushion_takes_from_the_walls() -> None:
    """Where the file does not say, people sit at 450, cushion included."""
    assert (_bench().box.z1, _bench(cushion=80.0).box.z1, _bench(seat=470.0).box.z1) == pytest.approx((450, 370, 470))


def _random(seed: int) -> tuple[dict[str, Any], tuple[float, float, float]]:
    dice = random.Random(seed)
    thick = (dice.choice([9.2, 11.6, 12.0, 17.7, 18.0]), dice.choice([5.9, 9.2]), dice.choice([11.7, 14.9, 18.0]))
    said = {
        "length": dice.uniform(250, 600), "width": dice.uniform(500, 1800), "seat": dice.uniform(300, 500),
        "cushion": dice.choice([0.0, 60.0]), "lid": dice.choice(["hinged", "lift off"]), "groove": 4.0,
        "hinge": dice.choice(["rear", "front", "left", "right"]), "base": dice.choice(["inset", "groove", "planted"]),
        "corner": dice.choice(["butt", "rebate"]), "dividers": dice.randint(0, 2), "angle": dice.choice([80.0, 110.0]),
        "cleats": dice.choice([None, "cleat"]),
    }  # fmt: skip
    return said, thick


def _cut_away(said: dict[str, Any], t: float, thin: float, lid: float) -> float:
    """Return the volume in which the panels reach into each other, mm³."""
    walls: float = said["seat"] - said["cushion"] - lid - (thin if said["base"] == "planted" else 0.0)
    corners = 4 * 4.0 * t * walls if said["corner"] == "rebate" else 0.0
    if said["base"] != "groove":
        return corners
    long: float = said["width"] - 2 * t
    short: float = said["length"] - 2 * t
    # In front and back over all its length, and in both ends between these.
    return corners + 2 * 4.0 * thin * (long + 8.0) + 2 * 4.0 * thin * short


@pytest.mark.parametrize("seed", range(40))
def test_any_size_goes_together(seed: int) -> None:
    """Outside as said, nothing in nothing but by its joints, mass as volume × density, whatever size and sheet."""
    said, (t, thin, lid) = _random(seed)
    thing = _bench(t, thin, lid, **said)
    half, top = said["width"] / 2, said["seat"] - said["cushion"]

    assert faults(thing) == ()
    assert misnamed(thing) == []
    assert outer(thing) == pytest.approx((0, -half, 0, said["length"], half, top))
    assert volume(thing) - _cut_away(said, t, thin, lid) == pytest.approx(union(thing), rel=1e-9)
    battens = sum(b.length * 18 * 30 for b in thing.battens)
    assert thing.mass_kg == pytest.approx((volume(thing) - battens) * DENSITY * 1e-9 + battens * 480e-9)
    cleats = len(thing.battens) + len(sizes(thing, "cleat"))
    assert cleats == (4 if said["lid"] == "lift off" else 0)


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("seed", range(5))
def test_a_thinner_sheet_keeps_the_outside(nominal: float, real: float, seed: int) -> None:
    """Outside and seat stay; the room inside is deeper by twice the difference."""
    said, (_, thin, lid) = _random(seed)
    thick, less = _bench(nominal, thin, lid, **said), _bench(real, thin, lid, **said)

    assert faults(less) == ()
    assert outer(less) == pytest.approx(outer(thick))
    for a, b in zip(openings(thick), openings(less), strict=True):
        assert b[0] - a[0] == pytest.approx(2 * (nominal - real), abs=2e-3)


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("length", {"length": 60.0}, "leaves 36 inside"), ("width", {"width": 70.0}, "leaves 46 inside"),
        ("seat", {"seat": 60.0}, "leaves 36 inside"), ("seat", {"cushion": 400.0}, "leaves 26 inside"),
        ("dividers", {"dividers": 12, "width": 700.0}, "at least 50"), ("angle", {"angle": 0.0}, "more than 0"),
        ("groove", {"groove": 7.0}, "at most 6"), ("sheet", {"sheet": "oak"}, "no sheet"),
        ("lid_sheet", {"lid_sheet": "oak"}, "no sheet"), ("base_sheet", {"base_sheet": "oak"}, "no sheet"),
        ("cleat", {"lid": "lift off", "cleat": (430.0, 30.0)}, "at most 420 long"),
        ("cleat", {"lid": "lift off", "length": 90.0}, "do not go under the lid"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """Sizes that leave no room are refused, naming the key and what is left."""
    with pytest.raises(ValueFaultError) as caught:
        _bench(**more)

    assert caught.value.path == ("things", "b", key)
    assert words in caught.value.text
