"""Fold-down tables: panels by hand, open and folded, what they sweep, and refusals."""

from __future__ import annotations

import random
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest
import shapely

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.motion import Motion
from layout.model.thing import Thing
from layout.things.fold_table import FoldTable
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

SIZE = {"depth": 480.0, "width": 820.0, "height": 700.0}


def _table(t: float = 15.0, leaf: float = 18.0, **more: Any) -> Thing:
    said = {**SIZE, "sheet": "ply", "leaf_sheet": "leaf", **more}
    return FoldTable(kind="fold-down table", **said).make("t", "t", shop(ply=t, leaf=leaf))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the bookbinder's van."""
    return load(str(Path(__file__).parent / "fold-down-table.yaml"))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Both tables go together folded and open, and open where they hang."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    for name in ("table", "side table"):
        table = next(thing for thing in plan.layout.things if thing.name == name)
        assert faults(table) == faults(table.forms["open"]) == ()


def test_every_panel_by_hand(plan: Plan) -> None:
    """A leaf 480 × 820 in sheet 14.9, its top at 700: legs are 700 - 14.9 = 685.1 long; its rail 80 high is as wide.

    Bands 1 thick on three edges of the leaf, not at its hinge: sawn 820 - 2 by 480 - 1.
    """
    table = next(thing for thing in plan.layout.things if thing.name == "table")

    for form in (table, table.forms["open"]):
        assert sizes(form, "upright") == [(700, 60)] * 2
        assert sizes(form, "rail") == [(820, 80)]
        assert sizes(form, "leaf") == [(820, 480)]
        assert sizes(form, "leg") == [(685.1, 60)] * 2
        [leaf] = [panel for panel in form.panels if panel.name == "leaf"]
        assert (leaf.cut_length, leaf.cut_width) == pytest.approx((818, 479))
    # Two uprights and a rail stand 2 × 14.9 out; folded, the leaf hangs 14.9 before that, open it reaches 480 out.
    assert outer(table)[3] == pytest.approx(44.7)
    assert outer(table.forms["open"])[3] == pytest.approx(509.8)
    # Open: between the uprights, 820 - 120; and the knees: 480 deep, between legs 40 + 14.9 in, 685.1 high.
    assert openings(table.forms["open"]) == [(14.9, 700, 620), (480, 710.2, 685.1)]


def test_what_is_bought(plan: Plan) -> None:
    """A piano hinge, a latch, and for each leg a hinge and a foot; inserts at a wall, bolts through a unit."""
    tables = {thing.name: bought(thing) for thing in plan.layout.things if "table" in thing.name}

    # Uprights 700 high: (700 - 80) / 300 is over two fields, so four points each. Those 600 high: three each.
    assert tables["table"] == {
        "hinge-piano": 1, "latch-toggle": 1, "hinge-butt-60": 2, "foot-rubber": 2, "insert-m8-body": 8, "bolt-m8x40": 8,
    }  # fmt: skip
    assert tables["side table"] == {
        "hinge-piano": 1, "latch-toggle": 1, "stay-lid": 2, "bolt-m6x30": 6, "tee-nut-m6": 6,
    }  # fmt: skip


def test_it_hangs_before_its_rail_and_its_legs_behind_it() -> None:
    """Folded down, the leaf is before the rail, from 682 down to 202; the legs are behind it, below the rail."""
    table = _table()

    places = {p.name: p.solid for p in table.panels}
    leaf, leg, rail = places["leaf"], places["leg"], places["rail"]
    assert (leaf.bounds[0], leaf.bounds[2], leaf.z0, leaf.z1) == (30, 48, 202, 682)
    assert (rail.bounds[0], rail.bounds[2], rail.z0, rail.z1) == (15, 30, 620, 700)
    assert (leg.bounds[0], leg.bounds[2]) == (15, 30)
    assert leg.z1 <= rail.z0


def test_it_stands_up_before_its_rail() -> None:
    """Folded up, the leaf stands on the height of the table, before a rail half of which is above it; legs in front."""
    places = {p.name: p.solid for p in _table(folds="up").panels}
    leaf, leg, rail = places["leaf"], places["leg"], places["rail"]

    assert (leaf.bounds[0], leaf.bounds[2], leaf.z0, leaf.z1) == (30, 48, 700, 1180)
    assert (rail.z0, rail.z1) == (660, 740)
    assert (leg.bounds[0], leg.bounds[2]) == (48, 63)


@pytest.mark.parametrize("folds", ["down", "up"])
def test_the_sweep_holds_the_leaf_at_every_angle(folds: str) -> None:
    """The leaf with its thickness and its folded legs is turned degree by degree about the rail's edge, by hand.

    All of it that is before the face of the rail lies in what the motion sweeps, or in the folded leaf itself; the
    sweep ends no more than 2 % of the leaf beyond it; and one that opens less far never sweeps more.
    """
    table = _table(folds=folds)
    motion = next(m for m in table.motions if m.kind == "flap")
    swept = _swept(motion, 90)
    own = shapely.union_all([_side(p.solid.bounds[0], p.solid.bounds[2], p.solid.z0, p.solid.z1) for p in table.panels])
    # From the hinge: 480 along, and 18 thick; folded up the legs, 15, turn with it on its far side.
    hinge, thick = (30, 682 if folds == "down" else 700), (0.0, 18.0) if folds == "down" else (-33.0, 0.0)
    for angle in range(91):
        turn = radians(angle - 90 if folds == "down" else 90 - angle)
        corners = [(0, thick[0]), (480, thick[0]), (480, thick[1]), (0, thick[1])]
        ring = [
            (hinge[0] + r * cos(turn) - s * sin(turn), hinge[1] + r * sin(turn) + s * cos(turn)) for r, s in corners
        ]
        before = shapely.Polygon(ring).intersection(_side(30, 2000, -100, 2000))
        assert before.difference(swept.union(own)).area < 1
    assert all(_swept(motion, a).difference(_swept(motion, a + 10)).area < 1e-3 for a in range(0, 90, 10))
    assert swept.equals(shapely.union_all([_side(s.bounds[0], s.bounds[2], s.z0, s.z1) for s in motion.swept]))
    assert swept.bounds[2] < 30 + 480 * 1.02
    assert swept.bounds[2] >= 30 + 480


def _swept(motion: Motion, angle: float) -> shapely.Polygon:
    """Return what is swept at an opening, seen from the side."""
    assert motion.opening is not None
    return shapely.union_all([_side(s.bounds[0], s.bounds[2], s.z0, s.z1) for s in motion.opening.swept(angle)])


def _side(x0: float, x1: float, z0: float, z1: float) -> shapely.Polygon:
    return shapely.box(x0, z0, x1, z1)


def test_legs_need_the_room_under_the_leaf() -> None:
    """Legs come out through a box under the leaf, once that is open; an open table has nothing that moves."""
    legs = next(m for m in _table().motions if m.name == "legs")

    [swept] = legs.swept
    # Legs 60 wide, 3 apart, 40 inside the edge of the leaf, which begins 30 out: 387 - 70 to 30 + 440.
    assert swept.bounds == pytest.approx((347, -370, 470, 370))
    assert (swept.z0, swept.z1) == (0, 682)
    assert legs.after == "leaf"
    assert _table(open="yes").motions == ()


def test_a_box_in_the_way_of_the_leaf_is_found(tmp_path: Path) -> None:
    """A box 300 before the wall is in the way of a leaf 480 deep."""
    text = (Path(__file__).parent / "fold-down-table.yaml").read_text(encoding="utf-8")
    text = text.replace("  bench: {kind", "  crate: {kind: box, length: 300, width: 300, height: 600}\n  bench: {kind")
    path = tmp_path / "crate.yaml"
    path.write_text(
        text.replace("  bench: {rear", "  crate: {rear: 1100, left: 300}\n  bench: {rear"), encoding="utf-8"
    )

    found = [(f.rule, f.things) for f in load(str(path)).findings if f.severity == "fail"]
    assert ("sweep", ("table", "crate")) in found


def _random(seed: int) -> tuple[dict[str, Any], float, float]:
    dice = random.Random(seed)
    t, leaf = dice.choice([11.6, 12.0, 15.0, 17.7, 18.0]), dice.choice([11.7, 14.9, 18.0, 21.0])
    folds, legs = dice.choice(["down", "up"]), dice.choice(["legs", "stays"])
    height = dice.uniform(400, 900)
    width = dice.uniform(height + 70, 1400) if legs == "legs" else dice.uniform(130, 1400)
    said = {
        "height": height, "width": width, "folds": folds, "rests_on": legs,
        "depth": dice.uniform(270, height - 42 if folds == "down" else 700), "on": dice.choice(["wall", "unit"]),
        "band": dice.choice([0.0, 1.0]), "leg": dice.choice([None, 50.0, 70.0]) if legs == "legs" else None,
    }  # fmt: skip
    return said, t, leaf


@pytest.mark.parametrize("seed", range(50))
@pytest.mark.parametrize("is_open", ["yes", "no"])
def test_any_size_goes_together(seed: int, is_open: str) -> None:
    """Outside as said, no piece in another, mass as volume × density, open and folded, whatever size and sheet."""
    said, t, leaf = _random(seed)
    table = _table(t, leaf, open=is_open, **said)
    deep, high, up = said["depth"], said["height"], said["folds"] == "up"
    legs = t if said["rests_on"] == "legs" and up else 0.0

    assert faults(table) == ()
    assert misnamed(table) == []
    out = 2 * t + deep if is_open == "yes" else 2 * t + leaf + legs
    top = high + (40 if up else 0) if is_open == "yes" or not up else high + deep
    half = said["width"] / 2
    assert outer(table) == pytest.approx((0, -half, 0, out, half, top))
    assert volume(table) == pytest.approx(union(table), rel=1e-9)
    assert table.mass_kg == pytest.approx(volume(table) * DENSITY * 1e-9)


@pytest.mark.parametrize("seed", range(50))
def test_both_forms_are_of_the_same_pieces(seed: int) -> None:
    """Open and folded, a table is sawn from the same panels with the same bands, and bought alike."""
    said, t, leaf = _random(seed)
    folded, opened = (_table(t, leaf, open=is_open, **said) for is_open in ("no", "yes"))

    assert [(p.name, round(p.cut_length, 6), round(p.cut_width, 6)) for p in folded.panels] == [
        (p.name, round(p.cut_length, 6), round(p.cut_width, 6)) for p in opened.panels
    ]
    assert bought(folded) == bought(opened)


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
def test_a_thinner_sheet_keeps_leaf_and_height(nominal: float, real: float) -> None:
    """Leaf and height stay; there is so much more room for the knees as leaf and legs are thinner."""
    thick, less = (_table(t, t, open="yes") for t in (nominal, real))

    assert faults(less) == ()
    assert sizes(less, "leaf") == sizes(thick, "leaf")
    assert outer(less)[5] == outer(thick)[5] == 700
    (_, a, b), (_, c, d) = openings(thick)[1], openings(less)[1]
    assert (c - a, d - b) == pytest.approx((2 * (nominal - real), nominal - real))


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("width", {"width": 700.0}, "at least 762 wide; or rests_on: stays"),
        ("width", {"width": 120.0, "rests_on": "stays"}, "more than 120"),
        ("height", {"height": 80.0, "rests_on": "stays"}, "more than 80"),
        ("depth", {"depth": 670.0}, "at most 662, or folds: up"), ("depth", {"depth": 200.0}, "at least 225 deep"),
        ("depth", {"depth": 150.0, "folds": "up"}, "at least 163 deep"),
        ("leg", {"leg": 15.0}, "more than 15"), ("leg", {"leg": 50.0, "rests_on": "stays"}, "leave it out"),
        ("leaf_sheet", {"leaf_sheet": "oak"}, "no sheet 'oak'"),
        ("leaf_sheet", {"leaf": 40.0, "folds": "up"}, "less than 40"), ("leaf_sheet", {"leaf": 80.0}, "less than 80"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """Legs longer than the leaf, a leaf on the floor, a rail that the leaf covers: refused, with what goes."""
    with pytest.raises(ValueFaultError) as caught:
        _table(**more)

    assert caught.value.path == ("things", "t", key)
    assert words in caught.value.text
