"""Boxes over wheel wells: clear of the well, following the wall, with and without a lid."""

from pathlib import Path
from random import Random
from typing import Any

import pytest
import shapely

from layout.building.rebuild import faults
from layout.jobs.load import Plan, load
from layout.model.solid import box
from layout.model.thing import Thing
from layout.space.space import Space
from layout.things.wheel_well_box import WheelWellBox
from tests.things.built import bought, sizes
from tests.things.followed import by_chance, in_room, leaning, mass, refused, shop_in, thinner, union, volume


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the potter's van."""
    return load(str(Path(__file__).parent / "wheel-well-box.yaml"))


def _of(plan: Plan, name: str) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == name)


def _spec(**more: Any) -> WheelWellBox:
    return WheelWellBox(**{"kind": "wheel-well box", "side": "left", "sheet": "ply", **more})


def _made(space: Space, t: float = 12.0, **more: Any) -> Thing:
    return _spec(**more).make("it", "it", shop_in(space, ply=t))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Both boxes stand over their wells without a line of their own, and the lid opens."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert [faults(_of(plan, name)) for name in ("cutters", "bench")] == [(), ()]
    stood = {p.name: p.box.bounds for p in plan.layout.placed["drive"]}
    assert (stood["cutters"][0], stood["cutters"][2]) == pytest.approx((800 - 31.8, 1600 + 31.8))
    assert (stood["bench"][0], stood["bench"][2], stood["bench"][3]) == pytest.approx((700, 1900, -480))


def test_a_box_with_a_hinged_lid_by_hand(plan: Plan) -> None:
    """The well of 800 x 245 over the floor, 20 clear all round, panels 11.8, battens 18 x 44.

    It is 800 + 40 + 23.6 = 863.6 long. Its front is 640 - 20 - 18 - 11.8 = 590.2 off the centreline; the underside of
    its top is 245 + 20 + 18 = 283 up. The ends begin at 602. The wall, 10 of lining off: at the floor 840.45 out at the
    rear end of the room and 840.15 at the front; at 485 it is 855 and 845. The narrowest place of the rear end is its
    front face, at 780: at the floor 840.45 - 0.3 x 0.3 = 840.36, at 283 847.15: less 5, and 602, 233.36 and 240.15.
    """
    cutters = _of(plan, "cutters")

    assert sizes(cutters, "front") == [(863.6, 283.0)]
    rear, front = [p for p in cutters.panels if p.name == "end"]
    share = 780.0 / 2600
    at_foot = 840.45 + (840.15 - 840.45) * share
    station = [840.45 + (855 - 840.45) * 283 / 485, 840.15 + (845 - 840.15) * 283 / 485]
    at_top = station[0] + (station[1] - station[0]) * share
    assert {round(v, 2) for _, v in rear.outline} == {0.0, round(at_foot - 607, 2), round(at_top - 607, 2)}
    assert {u for u, _ in rear.outline} == {0.0, 283.0}
    assert front.width < rear.width
    assert sizes(cutters, "lid")[0][0] == sizes(cutters, "top strip")[0][0] == 863.6
    # The top reaches as far as the wall leaves, less 5, at its narrowest; the strip is 100 of that.
    strip, lid = sizes(cutters, "top strip")[0][1], sizes(cutters, "lid")[0][1]
    end = 1631.8 / 2600
    out = station[0] + (station[1] - station[0]) * end - 5
    assert lid == pytest.approx(out - 590.2 - 100, abs=0.01)
    assert strip == pytest.approx(100 + 863.6 * (station[0] - station[1]) / 2600, abs=0.05)
    assert bought(cutters) == {
        "insert-m8-body": 8, "bolt-m8x40": 8, "hinge-butt-60": 2, "stay-lid": 1, "latch-push": 1,
    }  # fmt: skip
    assert [(m.name, m.kind) for m in cutters.motions] == [("lid", "lid")]


def test_a_plain_bench_by_hand(plan: Plan) -> None:
    """1200 long, 420 high, its front 480 off the centreline: a front of 1200 x 408.2, both ends notched nowhere.

    They stand at 700 and at 1900, clear of the well by 88.2 and more; the top is 1200 long.
    """
    bench = _of(plan, "bench")

    assert sizes(bench, "front") == [(1200, 408.2)]
    assert [len(p.outline) for p in bench.panels if p.name == "end"] == [4, 4]
    assert sizes(bench, "top")[0][0] == 1200
    assert bench.box.z1 == pytest.approx(420)


@pytest.mark.parametrize("seed", range(25))
def test_it_holds_together_and_keeps_clear(seed: int) -> None:
    """In rooms by chance: the referee finds nothing, the union has the volume, it is inside, and clear of the well."""
    space, dice = by_chance(seed), Random(seed)
    t, clearance = dice.choice([9.2, 11.6, 12.0, 17.7]), dice.uniform(5, 40)
    more: dict[str, Any] = {"side": dice.choice(["left", "right"]), "lid": dice.choice(["none", "lift off", "hinged"])}
    thing = _made(space, t, clearance=clearance, bar=dice.choice([None, "batten"]), **more)

    assert faults(thing) == ()
    assert union(thing) == pytest.approx(volume(thing), rel=1e-6)
    assert thing.mass_kg == pytest.approx(mass(thing))
    solids = in_room(thing)
    assert all(space.holds_all(solids))
    well = next(o for o in space.obstacles if o.name.endswith(more["side"]))
    x0, y0, x1, y1 = shapely.Polygon(well.outline).bounds
    c = clearance - 0.01
    near = box("near", (x0 - c, x1 + c), (y0 - c, y1 + c), (0.0, well.z1 + c))
    for solid in solids:
        apart = shapely.Polygon(near.outline).intersection(shapely.Polygon(solid.outline)).area < 1.0
        assert apart or solid.z0 >= near.z1 - 0.01


def test_ends_over_the_well_are_notched_round_it() -> None:
    """From 1800 to 2400 over a well at 1700 to 2500, 650 off the centreline and 230 high: notches from 630, 250 high.

    The front stands at 550, so the ends begin at 562: 68 of wood is left before the notch.
    """
    thing = _made(leaning(), x=(1800.0, 2400.0), front=550.0, height=400.0, clearance=20.0)

    assert faults(thing) == ()
    ends = [p for p in thing.panels if p.name == "end"]
    assert [len(p.outline) for p in ends] == [6, 6]
    for end in ends:
        corners = {(round(u, 3), round(v, 3)) for u, v in end.outline}
        assert {(0.0, 0.0), (0.0, 68.0), (250.0, 68.0), (388.0, 0.0)} <= corners
    assert thing.promise is not None
    assert [o.z1 for o in thing.promise.openings] == [250.0]


def test_the_thickness_of_the_sheet_changes_no_outside() -> None:
    """Where x, front and height are given the box stays the same, from 18 to 17.7 and from 12 to 11.6, and so its room."""
    for thick, thin in ((18.0, 17.7), (12.0, 11.6)):
        spec = _spec(x=(1600.0, 2600.0), front=560.0, height=340.0, bar="batten", lid="hinged")
        shop = shop_in(leaning(), ply=thick)
        things = [spec.make("it", "it", s) for s in (shop, thinner(shop, ply=thin))]
        outsides = [thing.promise.outside for thing in things if thing.promise]
        (ax0, _, ax1, _), (bx0, _, bx1, _) = (o.bounds for o in outsides)
        assert (ax0, ax1, outsides[0].z1) == pytest.approx((bx0, bx1, outsides[1].z1))
        fronts = [
            min(abs(y + thing.home[1]) for y in o.bounds[1::2])
            for thing, o in zip(things, outsides, strict=True)
            if thing.home
        ]
        assert fronts == pytest.approx([560.0, 560.0])
        assert [faults(thing) for thing in things] == [(), ()]


@pytest.mark.parametrize(
    ("more", "key", "words"),
    [
        ({"count": 2}, "count", "each its own name"),
        ({"well": 2}, "well", "no wheel well left 2; it has: wheel well left"),
        ({"front": 630.0}, "front", "at most 618"),
        ({"bar": "batten", "front": 610.0}, "front", "at most 600"),
        ({"height": 255.0}, "height", "at least 262"),
        ({"x": (1800.0, 1830.0), "front": 400.0}, "x", "too short"),
        ({"x": (1800.0, 2400.0)}, "x", "no one place for its end"),
        ({"x": (1600.0, 3049.0)}, "x", "from 1600 to 3045"),
        ({"lid": "hinged", "strip": 300.0}, "strip", "leaves no lid"),
        ({"x": (1800.0, 2400.0), "front": 500.0, "lid": "hinged"}, "height", "ends stop before the well"),
        ({"gap": 0.0}, "gap", "leave at least"),
        ({"sheet": "oak"}, "sheet", "no sheet 'oak'"),
    ],
)
def test_bad_sizes_are_refused(more: dict[str, Any], key: str, words: str) -> None:
    """Each refusal names the key and says what is wrong, or how much would do."""
    found, text = refused(_spec(**more), shop_in(leaning(), ply=12.0))

    assert words in text
    assert found == key
