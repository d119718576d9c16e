"""The bin rack is sized from its bins, and keeps them in."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.checks.context import shared_box
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.panel import Sheet
from layout.model.thing import Thing
from layout.things.base import Shop
from layout.things.bin import Bin
from layout.things.bin_rack import BinRack
from layout.things.lidded_bin import LiddedBin
from tests.builders import plan_of
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

CRATE = Bin(kind="bin", length=600.0, width=400.0, height=300.0)


def _rack(thickness: float = 12.0, takes: str = "crate", **more: Any) -> Thing:
    tub = LiddedBin(kind="lidded bin", length=600.0, width=400.0, walls=288.0, sheet="ply")
    made = shop({"crate": CRATE, "tub": tub}, ply=thickness, thin=6.0)
    said = {"columns": 2, "rows": 3, "sheet": "ply", **more}
    return BinRack(kind="bin rack", takes=takes, **said).make("rack", "rack", made)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the puppeteer's van."""
    return load(str(Path(__file__).parent / "bin-rack.yaml"))


def _of(plan: Plan, name: str) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == name)


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Bins come out of both racks, over the lips of the one; the referee finds nothing in either."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert {faults(thing) for thing in plan.layout.things if thing.panels} == {()}
    reach = [f.text for f in plan.findings if f.rule == "reach"]
    assert any("marionettes 1" in text and "props 4" in text for text in reach)


def test_outside_by_hand() -> None:
    """Two columns of 400 + 2 x 5 with three walls of 12, three rows of 300 + 30 with four boards of 12, 600 + 10 + 12 deep."""
    rack = _rack()

    assert rack.box.bounds == pytest.approx((0, -(2 * 410 + 3 * 12) / 2, 622, (2 * 410 + 3 * 12) / 2))
    assert rack.box.z1 == pytest.approx(3 * 330 + 4 * 12)


def test_a_rack_told_as_ever_has_the_panels_that_it_always_had() -> None:
    """Of nothing but bins, columns, rows and sheet: a planted back, all butt, names, order and sizes as they were.

    856 wide and 1038 high outside, 610 deep before the back; 832 between the sides, 1014 between bottom and top.
    """
    plain = Shop(sheets={"ply": Sheet(material="ply", thickness=12.0, density_kg_m3=700)}, specs={"crate": CRATE})
    rack = BinRack(kind="bin rack", takes="crate", columns=2, rows=3, sheet="ply").make("rack", "rack", plain)

    assert [(p.name, round(p.length, 6), round(p.width, 6), p.grain) for p in rack.panels] == [
        ("back", 1038, 856, "along"), ("side", 1038, 610, "along"), ("side", 1038, 610, "along"),
        ("divider", 1014, 610, "along"), ("bottom", 832, 610, "along"), ("top", 832, 610, "along"),
        *[("shelf", 610, 410, "along")] * 4,
    ]  # fmt: skip
    assert rack.slots == tuple((12, y, z) for z in (12, 354, 696) for y in (-211, 211))
    assert faults(rack) == ()


@pytest.mark.parametrize("thickness", [9.2, 12.0, 17.7])
@pytest.mark.parametrize("takes", ["crate", "tub"])
def test_every_bin_has_its_gaps_whatever_the_sheet(thickness: float, takes: str) -> None:
    """In each of the six places a bin touches no panel, and the opening round it is 5 at each side and 30 above."""
    rack = _rack(thickness, takes)

    assert len(rack.slots) == 6
    height = 300.0 if takes == "crate" else 288.0 + thickness
    crate = Bin(kind="bin", length=600.0, width=400.0, height=height).make("c", "c", Shop(sheets={}, specs={}))
    for slot in rack.slots:
        body = crate.solids[0].moved(*slot)
        assert not any(shared_box(body, panel) for panel in rack.solids)
        wider = body.moved(0, 4.9, 29.9)
        assert not any(shared_box(wider, panel) for panel in rack.solids)
        assert any(shared_box(body.moved(0, 5.1, 1), panel) for panel in rack.solids)
        assert any(shared_box(body.moved(0, 0, 30.1), panel) for panel in rack.solids)


def test_panels_do_not_overlap() -> None:
    """No two panels of the rack take the same room."""
    panels = _rack().panels

    assert [
        (a.name, b.name) for i, a in enumerate(panels) for b in panels[i + 1 :] if shared_box(a.solid, b.solid)
    ] == []


def test_housings_a_back_in_a_rebate_and_lips_by_hand(plan: Plan) -> None:
    """Three columns of 320 + 10, two rows of 280 + 40, in 11.8, a back of 9.2 in rebates, lips of 20 before the bins.

    A divider has shelves in both faces, so that housings are 11.8 / 2 / 2 = 2.95 deep, and rebates with them. Outside
    3 × 330 + 4 × 11.8 = 1037.2 wide, 2 × 320 + 3 × 11.8 = 675.4 high, 9.2 + 570 + 11.8 = 591 deep.
    """
    rack = _of(plan, "rack")

    assert outer(rack) == pytest.approx((0, -518.6, 0, 591, 518.6, 675.4))
    assert sizes(rack, "side") == [(675.4, 579.2)] * 2
    # 1037.2 - 23.6 = 1013.6 and 675.4 - 23.6 = 651.8 inside, 5.9 more in housings and rebates.
    assert sizes(rack, "bottom") == sizes(rack, "top") == [(1019.5, 579.2)]
    assert sizes(rack, "back") == [(1019.5, 657.7)]
    assert sizes(rack, "divider") == [(657.7, 570)] * 2
    assert sizes(rack, "shelf") == [(570, 335.9)] * 3
    assert sizes(rack, "lip") == [(1037.2, 31.8)] * 2
    assert openings(rack)[0] == (570, 330, 320)
    assert openings(rack)[-1] == (11.8, 330, 300)


def test_straps_and_fastenings_are_counted(plan: Plan) -> None:
    """A strap for each of two rows where nothing else keeps bins in; four fastenings each, by brackets without a back."""
    assert bought(_of(plan, "low rack")) == {
        "strap-ratchet": 2, "insert-m8-body": 4, "bolt-m8x40": 4, "bracket-angle": 4, "bolt-m6x30": 4, "tee-nut-m6": 4,
    }  # fmt: skip
    assert bought(_of(plan, "rack")) == {"insert-m8-body": 4, "bolt-m8x40": 4}
    assert sizes(_of(plan, "low rack"), "back") == []


def test_bins_behind_a_lip_come_out_only_over_it(tmp_path: Path) -> None:
    """With 40 above a bin it goes over a lip of 20; with a lip as high as the room above it, the rack is refused."""
    things = {
        "c": {"kind": "lidded bin", "length": "560", "width": "320", "height": "280", "sheet": "ply", "count": "2"},
        "rack": {"kind": "bin rack", "takes": "c", "columns": "2", "rows": "1", "sheet": "ply", "keeps": "lip",
                 "top_gap": "40"},
    }  # fmt: skip
    arrangement = {"rack": {"rear": "900", "left": "wall", "turn": "-90"}, "c": {"into": "rack"}}
    workshop = {"sheets": {"ply": {"use": "sheets/birch-12"}}}
    plan = plan_of(tmp_path, things=things, arrangement=arrangement, workshop=workshop)

    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    things["c"]["take_out"] = "right"
    level = plan_of(tmp_path, things=things, arrangement=arrangement, workshop=workshop)
    assert any("c 1 cannot be taken out" in f.text for f in level.findings if f.rule == "reach")


def _random(seed: int) -> tuple[dict[str, Any], float]:
    dice = random.Random(seed)
    said = {
        "columns": dice.randint(1, 4), "rows": dice.randint(1, 4), "joint": dice.choice(["butt", "groove", "housing"]),
        "back": dice.choice(["planted", "rebate", "groove", "none"]), "keeps": dice.choice(["strap", "lip", "nothing"]),
        "groove": dice.choice([None, 2.0]), "side_gap": dice.uniform(2, 10), "top_gap": dice.uniform(25, 60),
        "depth_gap": dice.uniform(0, 20), "takes": dice.choice(["crate", "tub"]), "back_sheet": dice.choice([None, "thin"]),
    }  # fmt: skip
    return said, dice.choice([9.2, 11.6, 12.0, 17.7, 18.0])


def _cut_away(said: dict[str, Any], t: float) -> float:
    """Return the volume in which panels reach into each other, mm³."""
    columns, rows, joint = said["columns"], said["rows"], said["joint"] != "butt"
    most = 0.5 * t / (2 if joint and columns > 1 and rows > 1 else 1)
    deep, back = said["groove"] or min(5.0, most), 6.0 if said["back_sheet"] else t
    inside = 600.0 + said["depth_gap"]
    before = {"planted": 0.0, "rebate": back, "groove": 10.0 + back, "none": 0.0}[said["back"]]
    height = 300.0 if said["takes"] == "crate" else 288.0 + t
    wide = columns * (400 + 2 * said["side_gap"] + t) - t
    high = rows * (height + said["top_gap"] + t) - t
    cut = 0.0
    if joint:
        # Bottom and top in both sides over their depth, dividers in bottom and top, shelves in what is beside them.
        cut += 4 * deep * t * (inside + before) + 2 * (columns - 1) * deep * t * inside
        cut += 2 * (rows - 1) * columns * deep * t * inside
    if said["back"] in ("rebate", "groove"):
        cut += 2 * deep * back * (high + 2 * deep) + 2 * deep * back * wide
    return cut


@pytest.mark.parametrize("seed", range(40))
def test_any_size_goes_together(seed: int) -> None:
    """Outside from the bins, nothing in nothing but by its joints, mass as volume × density, whatever size and sheet."""
    said, t = _random(seed)
    rack = _rack(t, **said)

    assert faults(rack) == ()
    assert misnamed(rack) == []
    assert volume(rack) - _cut_away(said, t) == pytest.approx(union(rack), rel=1e-9)
    # A strap goes through a slot of 35 x 10 in each side.
    slots = 2 * said["rows"] * 35 * 10 * t if said["keeps"] == "strap" else 0.0
    assert rack.mass_kg == pytest.approx((volume(rack) - slots) * DENSITY * 1e-9)
    wide = said["columns"] * (400 + 2 * said["side_gap"] + t) + t
    assert outer(rack)[4] - outer(rack)[1] == pytest.approx(wide)
    assert bought(rack).get("strap-ratchet", 0) == (said["rows"] if said["keeps"] == "strap" else 0)


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("joint", ["butt", "housing"])
def test_a_thinner_sheet_keeps_the_openings(nominal: float, real: float, joint: str) -> None:
    """Openings stay as the bins want them; the rack is narrower and lower by what its walls have lost."""
    thick, less = _rack(nominal, joint=joint), _rack(real, joint=joint)

    assert faults(less) == ()
    assert openings(less) == openings(thick) == [(610, 410, 330)] * 6
    lost = nominal - real
    assert [a - b for a, b in zip(outer(thick)[3:], outer(less)[3:], strict=True)] == pytest.approx(
        [lost, 1.5 * lost, 4 * lost]
    )


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("takes", {"takes": "crates"}, "there is no thing called 'crates'"), ("takes", {"takes": "rack"}, "is not a bin"),
        ("takes", {"takes": "both"}, "mend those first"), ("lip", {"keeps": "lip", "lip": 30.0}, "more top_gap"),
        ("sheet", {"sheet": "oak"}, "no sheet"),
        ("groove", {"joint": "housing", "groove": 4.0}, "at most 3"), ("back_sheet", {"back_sheet": "oak"}, "no sheet"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """A rack for what is no bin, a lip that no bin goes over, joints that meet in a divider: refused, naming the key."""
    rack = BinRack(kind="bin rack", takes="crate", columns=1, rows=1, sheet="ply")
    both = LiddedBin(kind="lidded bin", length=600.0, width=400.0, walls=288.0, height=300.0, sheet="ply")
    said: dict[str, Any] = {"takes": "crate", "columns": 2, "rows": 3, "sheet": "ply", **more}
    with pytest.raises(ValueFaultError) as caught:
        BinRack(kind="bin rack", **said).make(
            "rack", "rack", shop({"crate": CRATE, "rack": rack, "both": both}, ply=12.0)
        )

    assert caught.value.path == ("things", "rack", key)
    assert words in caught.value.text
