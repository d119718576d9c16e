"""Lidded bins: every panel by hand, and that they do all that a bought bin does."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.things.lidded_bin import LiddedBin
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

FILE = Path(__file__).parent / "lidded-bin.yaml"


def _bin(t: float = 12.0, thin: float = 9.0, **more: Any) -> Thing:
    said = {"length": 600.0, "width": 400.0, "sheet": "ply", "base_sheet": "thin", **more}
    if "walls" not in said:
        said.setdefault("height", 350.0)
    return LiddedBin(kind="lidded bin", **said).make("b", "b", shop(ply=t, thin=thin))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the mycologist's van."""
    return load(str(FILE))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Six bins stand two high and come out, two open in place; the referee finds nothing in any."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert {faults(thing) for thing in plan.layout.things} == {()}


def test_every_panel_by_hand(plan: Plan) -> None:
    """560 × 380 × 340 outside in 9.2: walls 330.8 high under the lid, ends 380 - 18.4 = 361.6 between the sides.

    The base lies between all, 560 - 18.4 = 541.6 by 361.6. Cleats: 361.6 - 2 × (30 + 3) = 295.6. Free inside:
    330.8 - 9.2 of base - 9.2 of cleats = 312.4.
    """
    kit = plan.layout.things[0]

    assert sizes(kit, "seen side") == sizes(kit, "side") == [(560, 330.8)]
    assert sizes(kit, "end") == [(361.6, 330.8)] * 2
    assert sizes(kit, "base") == [(541.6, 361.6)]
    assert sizes(kit, "lid") == [(560, 380)]
    assert sizes(kit, "cleat") == [(295.6, 30)] * 4
    assert openings(kit) == [(541.6, 361.6, 312.4)]
    assert bought(kit) == {"latch-toggle": 2, "handle-slot": 2}


def test_its_own_mass_comes_from_its_panels(plan: Plan) -> None:
    """9 kg of contents, and 690 kg/m³ of all that is sawn, without two slots of 100 × 25."""
    kit = plan.layout.things[0]
    area = 2 * 560 * 330.8 + 2 * (361.6 * 330.8 - 100 * 25) + 541.6 * 361.6 + 560 * 380 + 4 * 295.6 * 30

    assert kit.mass_kg == pytest.approx(9 + area * 9.2 * 690e-9)


@pytest.mark.parametrize("size", [(600.0, 400.0, 350.0), (600.0, 300.0, 500.0)])
def test_the_slots_lie_level_in_the_middle_of_both_ends(size: tuple[float, float, float]) -> None:
    """100 long across the end and 25 high, 50 below the rim, whichever way the panel's length runs."""
    length, width, height = size
    thing = _bin(length=length, width=width, height=height)
    rim = height - 12

    for end in (p for p in thing.panels if p.name == "end"):
        [hole] = end.holes
        y, z = _of_hole(end, hole)
        assert y == pytest.approx((-50, 50))
        assert z == pytest.approx((rim - 75, rim - 50))
    assert not any(p.holes for p in thing.panels if p.name != "end")


def _of_hole(panel: Panel, hole: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], tuple[float, float]]:
    spans = {panel.along: [u for u, _ in hole], panel.across: [v for _, v in hole]}
    y, z = spans["y"], spans["z"]
    return (min(y) + panel.at[1], max(y) + panel.at[1]), (min(z) + panel.at[2], max(z) + panel.at[2])


def test_walls_may_be_given_in_place_of_the_height() -> None:
    """Walls of 405 under a lid of 12 are 417 outside, which is also where the next one stands."""
    thing = _bin(walls=405.0)

    assert sizes(thing, "seen side") == [(600, 405)]
    assert (thing.box.z1, thing.stack_step) == (417, 417)


def test_it_stands_comes_out_and_is_told_as_a_bought_bin_of_its_size(tmp_path: Path) -> None:
    """With bought bins of the same outside and mass in its stead, boxes stand alike and come out alike."""
    home = load(str(FILE))
    masses = {thing.group: f"{thing.mass_kg:.3f}" for thing in home.layout.things}
    text = FILE.read_text(encoding="utf-8")
    start, end = text.index("  kit:"), text.index("arrangement:")
    own = (
        f"  kit: {{kind: bin, length: 560, width: 380, height: 340, mass: {masses['kit']}, count: 6}}\n"
        f"  seat: {{kind: bin, length: 500, width: 400, height: 420, mass: {masses['seat']}, count: 2}}\n\n"
    )
    path = tmp_path / "bought.yaml"
    path.write_text(text[:start] + own + text[end:], encoding="utf-8")
    shop_bought = load(str(path))

    for mine, theirs in zip(home.layout.placed["camp"], shop_bought.layout.placed["camp"], strict=True):
        assert (*mine.box.bounds, mine.box.z0, mine.box.z1) == pytest.approx(
            (*theirs.box.bounds, theirs.box.z0, theirs.box.z1)
        )
    told = [[f.text for f in p.findings if f.rule == "reach"] for p in (home, shop_bought)]
    assert told[0] == told[1]
    assert any("kit 1 after kit 4" in text for text in told[0])


def test_one_that_is_opened_in_place_wants_room_above_it(tmp_path: Path) -> None:
    """Opened in place, six bins under others find those on top of their lids; taken out to be opened, none does."""
    text = FILE.read_text(encoding="utf-8")
    path = tmp_path / "van.yaml"
    path.write_text(text.replace("mass: 9, count: 6}", "mass: 9, count: 6, opened: in place}"), encoding="utf-8")
    lids = [f.text for f in load(str(path)).findings if f.rule == "lids"]

    assert "before the lid of kit 1 opens, kit 4 must be lifted off (1 thing)" in lids
    assert len(lids) == 3
    assert not [f for f in load(str(FILE)).findings if f.rule == "lids"]


def _random(seed: int) -> tuple[dict[str, Any], tuple[float, float]]:
    dice = random.Random(seed)
    thick = (dice.choice([6.5, 9.2, 11.6, 12.0, 17.7, 18.0]), dice.choice([4.0, 5.9, 9.2]))
    said = {
        "length": dice.uniform(300, 900), "width": dice.uniform(250, 600), "base": dice.choice(["inset", "groove", "planted"]),
        "corner": dice.choice(["butt", "rebate"]), "groove": 3.0, "cleats": dice.choice([None, "cleat"]),
        "slots": dice.choice(["yes", "no"]), dice.choice(["walls", "height"]): dice.uniform(200, 500),
        "mass": dice.uniform(0, 12),
    }  # fmt: skip
    return said, thick


def _cut_away(said: dict[str, Any], t: float, thin: float) -> float:
    """Return the volume in which the panels reach into each other, mm³."""
    walls: float = said.get("walls", said.get("height", 0.0) - t) - (thin if said["base"] == "planted" else 0.0)
    corners = 4 * 3.0 * t * walls if said["corner"] == "rebate" else 0.0
    if said["base"] != "groove":
        return corners
    # In both sides over all its length, and in both ends between these.
    length, width = float(said["length"]) - 2 * t, float(said["width"]) - 2 * t
    return corners + 2 * 3.0 * thin * (length + 6.0) + 2 * 3.0 * thin * width


@pytest.mark.parametrize("seed", range(40))
def test_any_size_goes_together(seed: int) -> None:
    """Outside as said, nothing in nothing but by its joints, mass as volume × density, whatever size and sheet."""
    said, (t, thin) = _random(seed)
    thing = _bin(t, thin, **said)
    half, top = said["width"] / 2, said.get("height", said.get("walls", 0.0) + t)

    assert faults(thing) == ()
    assert misnamed(thing) == []
    assert outer(thing) == pytest.approx((0, -half, 0, said["length"], half, top))
    assert (*thing.box.bounds, thing.box.z1) == pytest.approx((0, -half, said["length"], half, top))
    assert volume(thing) - _cut_away(said, t, thin) == pytest.approx(union(thing), rel=1e-9)
    battens = sum(b.length * 18 * 30 for b in thing.battens)
    sawn = volume(thing) - battens - (2 * 100 * 25 * t if said["slots"] == "yes" else 0.0)
    assert thing.mass_kg == pytest.approx(said["mass"] + sawn * DENSITY * 1e-9 + battens * 480e-9)


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("base", ["inset", "groove", "planted"])
def test_a_thinner_sheet_keeps_the_outside(nominal: float, real: float, base: str) -> None:
    """Outside stays as the file says; inside there is twice the difference more, both ways."""
    thick, less = _bin(nominal, base=base, groove=3.0), _bin(real, base=base, groove=3.0)

    assert faults(less) == ()
    for thing in (thick, less):
        assert outer(thing) == pytest.approx((0, -200, 0, 600, 200, 350))
    [(a, b, _)], [(c, d, _)] = openings(thick), openings(less)
    assert (c - a, d - b) == pytest.approx((2 * (nominal - real), 2 * (nominal - real)), abs=2e-3)


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("height", {"walls": 300.0, "height": 350.0}, "not both"), ("length", {"length": 60.0}, "leaves 36 inside"),
        ("width", {"width": 60.0}, "leaves 36 inside"), ("height", {"height": 60.0}, "leaves 39 inside"),
        ("walls", {"walls": 50.0}, "leaves 41 inside"), ("groove", {"groove": 7.0}, "at most 6"),
        ("slot", {"slot": (380.0, 25.0)}, "slots: no"), ("slot", {"height": 90.0}, "reaches the base"),
        ("slot", {"slot_down": 320.0}, "reaches the base"), ("cleat", {"cleat": (375.0, 30.0)}, "at most 370 long"),
        ("cleat", {"width": 85.0, "slots": "no"}, "do not go under the lid"), ("sheet", {"sheet": "oak"}, "no sheet"),
        ("lid_sheet", {"lid_sheet": "oak"}, "no sheet"), ("base_sheet", {"base_sheet": "oak"}, "no sheet"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """Sizes that leave no room, slots and cleats that do not go in, are refused, naming the key."""
    with pytest.raises(ValueFaultError) as caught:
        _bin(**more)

    assert caught.value.path == ("things", "b", key)
    assert words in caught.value.text
