"""Partitions: true outlines along walls that lean, in pieces, with battens and hatches."""

from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
import shapely

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.thing import Thing
from layout.space.space import Space
from layout.things.hatch import Hatch
from layout.things.partition import Partition
from tests.things.built import bought
from tests.things.followed import by_chance, in_room, leaning, mass, refused, shop_in, thinner, union, volume


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the cellists' van."""
    return load(str(Path(__file__).parent / "partition.yaml"))


def _wall(plan: Plan) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == "wall")


def _spec(**more: Any) -> Partition:
    return Partition(**{"kind": "partition", "x": 1000.0, "sheet": "ply", **more})


def _made(space: Space, t: float = 12.0, **more: Any) -> Thing:
    return _spec(**more).make("wall", "wall", shop_in(space, ply=t))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """The wall stands at its x in every state without a line of its own; the tube through its hatch touches nothing."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert faults(_wall(plan)) == ()
    assert plan.layout.unplaced == ()
    for state in ("drive", "camp", "sleep"):
        stood = next(p for p in plan.layout.placed[state] if p.name == "wall")
        assert (stood.box.bounds[0], stood.box.bounds[2]) == pytest.approx((1950 - 18, 1950 + 11.8))


def test_its_pieces_by_hand(plan: Plan) -> None:
    """Half the room less 5, halved at the hatch's middle.

    Over the floor of 20 and inside the lining of 12 the wall is 880 + 15 x 20/500 - 12 = 868.6 out at the floor, 883 at
    480, 858 at 980, 778 at 1480, 678 at 1780; the roof is 1820 - 35 = 1785 up, the board 1780. Less 5: 863.6, 878, 853,
    773, 673 (at 1780 itself). A piece is 1780 x 878; of its area the hatch takes 150 x 200.
    """
    pieces = [panel for panel in _wall(plan).panels if panel.role == "partition"]

    assert [(round(p.length, 3), round(p.width, 3)) for p in pieces] == [(1780, 878)] * 2
    strips = 480 * (863.6 + 878) / 2 + 500 * (878 + 853) / 2 + 500 * (853 + 773) / 2 + 300 * (773 + 673) / 2
    assert [p.area for p in pieces] == pytest.approx([strips - 150 * 200] * 2)
    assert [p.mass_kg for p in pieces] == pytest.approx([(strips - 150 * 200) * 11.8 * 690e-9] * 2)
    left = pieces[1]
    assert (left.along, left.across) == ("z", "y")
    by_hand = [(0, 0), (1250, 0), (1250, 150), (1450, 150), (1450, 0), (1780, 0), (1780, 673), (1480, 773), (980, 853),
               (480, 878), (0, 863.6)]  # fmt: skip
    assert sorted((round(u, 3), round(v, 3)) for u, v in left.outline) == sorted(by_hand)
    assert [p.oversize for p in pieces] == [10, 10]
    assert (left.cut_length, left.cut_width) == pytest.approx((1790, 888))


def test_its_battens_by_hand(plan: Plan) -> None:
    """Of batten 18 x 44: on the floor 2 x 863.6, under the ceiling 2 x 673, over the joint from 44 to 1250, 1450 to 1736.

    A cleat of 150 in the middle of each of the four stretches of wall on each side, its outer edge where the wall is
    narrowest less 5: from 165 up it is 868.6 + 14.4 x 165/480 - 5 = 868.55 out, and so on.
    """
    wall = _wall(plan)
    long = {
        name: [round(b.length, 2) for b in wall.battens if b.name == name] for name in {b.name for b in wall.battens}
    }

    assert long == {
        "foot batten": [1727.2], "head batten": [1346.0], "joint batten": [1206.0, 286.0], "wall cleat": [150.0] * 8,
    }  # fmt: skip
    outer = sorted(b.solid.bounds[3] for b in wall.battens if b.name == "wall cleat" and b.solid.bounds[1] > 0)
    by_hand = [
        778 - 100 * (1705 - 1480) / 300 - 5, 858 - 80 * (1305 - 980) / 500 - 5, 868.6 + 14.4 * 165 / 480 - 5,
        883 - 25 * (805 - 480) / 500 - 5,
    ]  # fmt: skip
    assert outer == pytest.approx(sorted(by_hand))
    # Ends and every 400: 1727.2 is six, 1346 five, each cleat two.
    assert bought(wall) == {"insert-m8-body": 6 + 5 + 8 * 2, "bolt-m8x40": 6 + 5 + 8 * 2}


@pytest.mark.parametrize("seed", range(25))
def test_it_holds_together_and_follows_both_walls(seed: int) -> None:
    """In rooms by chance: the referee finds nothing, its volume is that of its union, it is inside, and off the walls.

    The distance from its outline to the wall is reckoned from the half-widths at both its faces.
    """
    space, dice = by_chance(seed), Random(seed)
    x, t, gap = dice.uniform(60, 1850), dice.choice([9.2, 11.6, 12.0, 17.7]), dice.uniform(4, 9)
    thing = _made(space, t, x=x, gap=gap, bar="batten", battens=dice.choice(["rear", "front"]))

    assert faults(thing) == ()
    assert union(thing) == pytest.approx(volume(thing), rel=1e-6)
    assert thing.mass_kg == pytest.approx(mass(thing))
    assert all(space.holds_all(in_room(thing)))
    assert thing.home is not None
    wells = [o.outline for o in space.obstacles]
    over_a_well = any(min(p[0] for p in w) - 10 < x + t and max(p[0] for p in w) + 10 > x for w in wells)
    for panel in thing.panels:
        for u, v in panel.outline:
            y, z = (v, u) if panel.along == "z" else (u, v)
            y, z = y + panel.at[1] + thing.home[1], z + panel.at[2] + thing.home[2]
            left = y > 0
            wall = min(space.half_width(at, z, left=left) for at in (x, x + t))
            at_the_wall = abs(wall - abs(y) - gap) < 1e-3
            at_a_joint = abs(y) < 500
            assert at_the_wall or at_a_joint or (over_a_well and z < 300) or z > 1400


@pytest.mark.parametrize("lid", ["yes", "no"])
def test_the_thickness_of_the_sheet_changes_no_outside(lid: str) -> None:
    """From 18 to 17.7 and from 12 to 11.6 its width, height and hatch stay; the board stays between its battens."""
    space = leaning()
    for thick, thin in ((18.0, 17.7), (12.0, 11.6)):
        hatch = Hatch(y=(-200.0, 200.0), z=(300.0, 700.0), lid=lid)  # type: ignore[arg-type]  # yes or no
        spec = _spec(bar="batten", hatch=hatch, heaviest=40.0)
        shop = shop_in(space, ply=thick)
        things = [spec.make("wall", "wall", s) for s in (shop, thinner(shop, ply=thin))]
        outsides = [thing.promise.outside for thing in things if thing.promise]
        assert outsides[0].bounds[1::2] == pytest.approx(outsides[1].bounds[1::2])
        assert (outsides[0].z0, outsides[0].z1) == (outsides[1].z0, outsides[1].z1)
        holes = [[(o.bounds[1], o.bounds[3], o.z0, o.z1) for o in t.promise.openings] for t in things if t.promise]
        assert holes[0] == holes[1]
        assert [faults(thing) for thing in things] == [(), ()]


def test_a_hatch_with_a_lid_is_a_hole_in_one_piece() -> None:
    """400 x 400 with a lid lapping 20 all round: a hole, a lid of 440 x 440 on two hinges and a latch, that turns."""
    hatch = Hatch(y=(-300.0, 100.0), z=(400.0, 800.0), lid="yes", hinge="right")

    wall = _made(leaning(), bar="batten", hatch=hatch)

    holes = [hole for panel in wall.panels for hole in panel.holes]
    assert [shapely.Polygon(hole).bounds[2:] for hole in holes] != []
    assert [shapely.Polygon(hole).area for hole in holes] == pytest.approx([400 * 400])
    lid = next(p for p in wall.panels if p.name == "hatch lid")
    assert (lid.length, lid.width) == pytest.approx((440, 440))
    assert bought(wall)["hinge-butt-60"] == 2
    assert bought(wall)["latch-push"] == 1
    assert [(m.name, m.kind, m.face) for m in wall.motions] == [("hatch lid", "door", "front")]
    assert faults(wall) == ()


def test_a_doorway_is_a_notch_at_the_floor() -> None:
    """A hatch from the floor up has no wood below it, and the batten on the floor stops at both its sides."""
    wall = _made(leaning(), bar="batten", hatch=Hatch(y=(-250.0, 250.0), z=(0.0, 900.0)))

    assert faults(wall) == ()
    feet = sorted(y for b in wall.battens if b.name == "foot batten" for y in b.solid.bounds[1::2])
    assert feet == pytest.approx([-837.8333, -250.0, 250.0, 837.8333], abs=1e-3)


def test_pieces_are_as_few_as_one_can_lift_and_a_sheet_yields() -> None:
    """2.95 m² of 12 mm at 650 kg/m³ is 23 kg: two pieces of 20 at most. At 9 at most it takes three.

    The middle one of those is 1714 / 3 wide and 1830 high: 8.2 kg.
    """
    counts = {
        heaviest: sum(p.role == "partition" for p in _made(leaning(), bar="batten", heaviest=heaviest).panels)
        for heaviest in (20.0, 9.0)
    }

    assert counts == {20.0: 2, 9.0: 3}
    long = _made(leaning(), piece=(2500.0, 2000.0), heaviest=30.0)
    assert [p.name for p in long.panels] == ["partition"]


def test_a_low_wall_reaches_no_ceiling() -> None:
    """Over the heights 0 to 800 it has no batten under the ceiling, and its top is level at 800."""
    wall = _made(leaning(), z=(0.0, 800.0), bar="batten")

    assert wall.box.z1 == pytest.approx(800)
    assert "head batten" not in {b.name for b in wall.battens}
    assert faults(wall) == ()


@pytest.mark.parametrize(
    ("more", "key", "words"),
    [
        ({"count": 2}, "count", "each its own name"),
        ({"x": 5000.0}, "x", "no places"),
        ({"gap": 0.5}, "gap", "leave at least 1.6"),
        ({"bar": "batten", "pieces": 1}, "pieces", "larger than 2420 x 1200"),
        ({}, "bar", "2 pieces side by side need battens"),
        ({"bar": "batten", "heaviest": 0.5}, "heaviest", "more than 0.5"),
        ({"bar": "rail"}, None, "no bar 'rail'"),
        ({"bar": "batten", "hatch": Hatch(y=(700.0, 900.0), z=(300.0, 600.0))}, "hatch", "beyond the board"),
        (
            {"bar": "batten", "hatch": Hatch(y=(600.0, 845.0), z=(500.0, 650.0), lid="yes")},
            "hatch",
            "no board for that",
        ),
        (
            {"bar": "batten", "z": (0.0, 800.0), "hatch": Hatch(y=(-200.0, 200.0), z=(0.0, 700.0))},
            "hatch", "no 150 of board for a batten over the joint at y 0",
        ),
        ({"z": (900.0, 300.0)}, "z", "must rise"),
        ({"y": (300.0, -300.0)}, "z", "must rise"),
        ({"z": (-50.0, 300.0)}, "z", "not below the floor"),
        ({"piece": (100.0, 100.0), "bar": "batten"}, "piece", "larger than 100 x 100"),
    ],
)  # fmt: skip
def test_bad_sizes_are_refused(more: dict[str, Any], key: str | None, words: str) -> None:
    """Each refusal names the key and says what is wrong."""
    found, text = refused(_spec(**more), shop_in(leaning(), ply=12.0))

    assert words in text
    assert key is None or found == key


def test_without_a_room_it_is_refused() -> None:
    """When the space itself has faults, the partition says that those come first."""
    with pytest.raises(ValueFaultError, match="mend those first"):
        _spec().make("wall", "wall", replace(shop_in(leaning(), ply=12.0), space=None))


def test_a_hatch_of_no_size_is_refused() -> None:
    """A hatch whose edges do not rise is none."""
    with pytest.raises(ValueError, match="must rise"):
        Hatch(y=(100.0, 100.0), z=(0.0, 500.0))
