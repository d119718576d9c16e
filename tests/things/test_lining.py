"""Linings: walls and ceiling laid out flat, in panels between the places where they bend."""

from dataclasses import replace
from itertools import combinations, pairwise
from math import hypot
from pathlib import Path
from random import Random
from typing import Any

import pytest
import shapely

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.space.parts import Obstacle
from layout.space.space import Space
from layout.things.lining import Cutout, Lining
from layout.things.unrolled import ridges, twist, wall_facets
from tests.things.followed import by_chance, leaning, mass, refused, shop_in, thinner, union, volume


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the piano tuner's van."""
    return load(str(Path(__file__).parent / "lining.yaml"))


def _spec(**more: Any) -> Lining:
    return Lining(**{"kind": "lining", "surface": "left", "sheet": "ply", **more})


def _made(space: Space, t: float = 6.0, **more: Any) -> Thing:
    """Return a lining in a room told as lined already: its walls have room for it, whatever they were measured at."""
    return _spec(**more).make("it", "it", shop_in(replace(space, wall_build_up=20.0), ply=t))


def _flat(panel: Panel) -> shapely.Polygon:
    """Return a panel as it lies on the surface laid out flat."""
    turned = panel.along == "y"
    ring = [(panel.at[0] + (v if turned else u), panel.at[1] + (u if turned else v)) for u, v in panel.outline]
    holes = [
        [(panel.at[0] + (v if turned else u), panel.at[1] + (u if turned else v)) for u, v in h] for h in panel.holes
    ]
    return shapely.Polygon(ring, holes)


def _straight() -> Space:
    """Return a room whose walls lean alike all along: 860 out at the floor, 900 at 400, 700 at 1600; the roof at 1605."""
    profile = {"0": "860", "400": "900", "1600": "700"}
    return leaning(
        walls={"both": [{"x": "0", "profile": profile}]}, roof={"0": "1605"}, obstacles={}, wheel_wells=[],
        build_up={"floor": "0", "walls": "0", "ceiling": "10"},
    )  # fmt: skip


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Three linings lie in their build-ups; the referee finds nothing, and nobody misses their places."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    linings = [thing for thing in plan.layout.things if thing.in_build_up]
    assert [thing.name for thing in linings] == ["left lining", "right lining", "ceiling"]
    assert [faults(thing) for thing in linings] == [(), (), ()]
    assert plan.layout.unplaced == ()


def test_joints_of_a_wall_lie_on_its_ribs(plan: Plan) -> None:
    """With ribs every 500 each upright joint of the left lining is on one."""
    left = next(thing for thing in plan.layout.things if thing.name == "left lining")
    bounds = [_flat(panel).bounds for panel in left.panels]
    rear = min(b[0] for b in bounds)
    inner = {round(b[0] - rear + 5) for b in bounds} - {5}

    assert inner <= {500, 1000, 1500, 2000, 2500}
    assert len(inner) >= 3


def test_a_wall_alike_all_along_by_hand() -> None:
    """Two strips: 5 off the floor up to 400, and from there up to the roof at 1595 less 5, so 1590.

    The foot at 5 is 860.5 out, so the lower strip is the root of 395² + 39.5² = 396.97 wide; the upper one goes in from
    900 to 900 - 200 x 1190/1200 = 701.67: the root of 1190² + 198.33² = 1206.41, wider than a sheet's 1200, so two of
    603.2. All are 3050 - 10 = 3040 long in two pieces, 2420 at most.
    """
    lining = _made(_straight(), gap=5.0)

    assert faults(lining) == ()
    wide = sorted({round(min(p.length, p.width), 2) for p in lining.panels})
    assert wide == [round(hypot(395, 39.5), 2), round(hypot(1190, 200 * 1190 / 1200) / 2, 2)]
    assert len(lining.panels) == 6
    rows: dict[float, float] = {}
    for panel in lining.panels:
        bounds = _flat(panel).bounds
        rows[round(bounds[1], 3)] = rows.get(round(bounds[1], 3), 0.0) + bounds[2] - bounds[0]
    assert list(rows.values()) == pytest.approx([3040.0] * 3)
    assert {p.oversize for p in lining.panels} == {0.0}


def test_a_door_and_a_well_are_left_out_by_hand() -> None:
    """A door 1000 to 2000, up to 1300, and a well 300 to 800, 250 high, 5 off all round, are cut out of the area.

    The lower strip loses 510 x (255 - 5) of the well, each mm of height being hypot(10, 1)/10 up the wall.
    """
    space = leaning(
        walls={"both": [{"x": "0", "profile": {"0": "860", "400": "900", "1600": "700"}}]}, roof={"0": "1605"},
        obstacles={}, wheel_wells=[{"x": ["300", "800"], "inner": "650", "height": "250"}],
        build_up={"floor": "0", "walls": "0", "ceiling": "10"},
        side_doors={"door": {"side": "left", "start": "1000", "width": "1000", "height": "1300", "kind": "sliding"}},
    )  # fmt: skip
    bare, lined = _made(_straight(), gap=5.0), _made(space, gap=5.0)

    assert faults(lined) == ()
    low, high = hypot(10, 1) / 10, hypot(1200, 200) / 1200
    taken = 510 * 250 * low + 1010 * (395 * low + 905 * high)
    assert sum(p.area for p in bare.panels) - sum(p.area for p in lined.panels) == pytest.approx(taken, rel=1e-6)
    assert lined.promise is not None
    assert [o.name for o in lined.promise.openings] == ["door", "wheel well left"]


def test_a_ceiling_by_hand() -> None:
    """At the roof, 1595 up, the walls are 900 - 200 x 1195/1200 = 700.83 out: less 5, 1391.67 in all.

    That is a row of 1200 and one of 191.67.
    A fan of 400 x 400 is sawn out of it, across the joint in the middle.
    """
    lining = _made(_straight(), surface="ceiling", openings=(Cutout(x=(1000.0, 1400.0), y=(-200.0, 200.0)),))

    assert faults(lining) == ()
    assert {round(min(p.length, p.width), 2) for p in lining.panels} == {1200.0, 191.67}
    area = 3040 * 2 * (900 - 200 * 1195 / 1200 - 5) - 400 * 400
    assert sum(p.area for p in lining.panels) == pytest.approx(area, rel=1e-6)
    assert {p.good for p in lining.panels} == {"low"}


@pytest.mark.parametrize("surface", ["left", "right", "ceiling"])
@pytest.mark.parametrize("seed", range(12))
def test_it_covers_its_surface_once(seed: int, surface: str) -> None:
    """In rooms by chance whose walls taper and twist: the referee finds nothing, and no panel lies on another.

    The area is that of the surface in the room, reckoned by small triangles in space, to half a thousandth; the union
    has the volume; every panel is within what a sheet yields.
    """
    space, dice = by_chance(seed), Random(seed)
    limits = {"x": (0.0, 1897.0)} if surface == "right" else {}
    thing = _made(space, dice.choice([3.7, 5.8, 9.2]), surface=surface, gap=6.0, **limits)

    assert faults(thing) == ()
    assert union(thing) == pytest.approx(volume(thing), rel=1e-5)
    assert thing.mass_kg == pytest.approx(mass(thing))
    shapes = [_flat(panel) for panel in thing.panels]
    assert max((a.intersection(b).area for a, b in combinations(shapes, 2)), default=0.0) < 1.0
    assert all(max(p.length, p.width) <= 2420.01 and min(p.length, p.width) <= 1200.01 for p in thing.panels)
    if surface == "left":
        area = _wall_area(space, 6.0)
        assert sum(shape.area for shape in shapes) == pytest.approx(area, rel=5e-4)


def _wall_area(space: Space, gap: float) -> float:
    """Return the area of the left wall in the room, gap and well off, mm²: cells 2 mm high, in 100 steps along."""
    well = next(o for o in space.obstacles if o.name == "wheel well left")
    length = max(x for x, _ in space.outline)
    total, steps, rise = 0.0, 100, 2.0
    run = (length - 2 * gap) / steps
    for i in range(steps):
        cell = (gap + i * run, gap + (i + 1) * run)
        x, z = sum(cell) / 2, gap + rise / 2
        while z < space.roof_at(x) - gap + rise / 2:
            up = space.half_width(x, z + rise / 2, left=True) - space.half_width(x, z - rise / 2, left=True)
            along = space.half_width(x + 0.5, z, left=True) - space.half_width(x - 0.5, z, left=True)
            part = min(1.0, (space.roof_at(x) - gap - (z - rise / 2)) / rise)
            free = run - _of_the_well(well, cell, z, gap)
            total += free * rise * part * hypot(1.0, up / rise, along)
            z += rise
    return total


def _of_the_well(well: Obstacle, cell: tuple[float, float], z: float, gap: float) -> float:
    """Return how much of a stretch along is in the well at a height, drawn out by the gap."""
    if z > well.z1 + gap:
        return 0.0
    xs = [x for x, _ in well.section(min(max(z - gap, 0.0), well.z1))]
    return max(0.0, min(cell[1], max(xs) + gap) - max(cell[0], min(xs) - gap))


@pytest.mark.parametrize("seed", range(8))
def test_what_a_twisted_panel_is_cut_larger_by(seed: int) -> None:
    """Along the foot, and up the rear end, the wall in the room and laid out flat differ by no more than is left on."""
    space = by_chance(seed)
    thing = _made(space, gap=6.0)
    length = max(x for x, _ in space.outline)

    left_on = max(panel.oversize for panel in thing.panels)
    assert 0 < left_on <= 6
    shapes = [_flat(panel) for panel in thing.panels]
    whole = shapely.union_all(shapes)
    x0, y0, x1, _ = whole.bounds
    feet = [space.half_width(x, 6.0, left=True) for x in (6.0, length - 6.0)]
    assert x1 - x0 == pytest.approx(hypot(length - 12.0, feet[1] - feet[0]), abs=left_on)
    marks = [6.0, *(z for z in space.left.heights if 6.0 < z < space.roof_at(6.0) - 6.0), space.roof_at(6.0) - 6.0]
    points = [(space.half_width(6.0, z, left=True), z) for z in marks]
    up = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    rear = whole.intersection(shapely.box(x0 - 1, y0 - 1, x0 + 1e-6, y0 + 5000))
    assert rear.bounds[3] - rear.bounds[1] == pytest.approx(up, abs=0.01)


def test_a_wall_that_twists_too_much_is_lined_in_shorter_panels() -> None:
    """Between 860 at both ends of the foot and 860 and 800 at both ends of 600 up, one corner is 60 out of the plane.

    Panels of 5 at most: about 12 or more along the 3000.
    """
    space = leaning(
        walls={"both": [{"x": "0", "profile": {"0": "860", "600": "860"}}, {"x": "3050", "profile": {"0": "860", "600": "800"}}]},
        obstacles={}, wheel_wells=[], roof={"0": "600"}, build_up={"floor": "0", "walls": "0", "ceiling": "10"},
    )  # fmt: skip

    assert (
        58 < twist(wall_facets(space.left, (0.0, 3050.0), (0.0, 600.0), left=True), (0.0, 3050.0), (0.0, 600.0)) <= 60
    )
    assert len(_made(space).panels) >= 12


def test_walls_are_cut_where_they_bend_along() -> None:
    """A wall 860 out at both ends and 900 in the middle has a ridge there, and no panel reaches over it."""
    stations = [{"x": x, "profile": {"0": w, "1500": w}} for x, w in (("0", "860"), ("1500", "900"), ("3050", "860"))]
    space = leaning(
        floor={"corners": [["0", "-860"], ["1500", "-900"], ["3050", "-860"], ["3050", "860"], ["1500", "900"], ["0", "860"]]},
        walls={"both": stations}, obstacles={}, wheel_wells=[], roof={"0": "1200"},
        build_up={"floor": "0", "walls": "0", "ceiling": "10"},
    )  # fmt: skip

    assert ridges(wall_facets(space.left, (0.0, 3050.0), (0.0, 1190.0), left=True), 1.0) == (1500.0,)
    bounds = [_flat(panel).bounds for panel in _made(space).panels]
    ridge = hypot(1495.0, 40 * 1495 / 1500) + min(b[0] for b in bounds)
    assert not any(b[0] < ridge - 1 and b[2] > ridge + 1 for b in bounds)


def test_the_thickness_of_the_sheet_changes_no_outline() -> None:
    """From 6 to 5.7 thick every panel has the same outline: its face in the room is what is followed."""
    shop = shop_in(leaning(), ply=6.0)
    things = [_spec().make("it", "it", s) for s in (shop, thinner(shop, ply=5.7))]

    assert [p.outline for p in things[0].panels] == [p.outline for p in things[1].panels]


@pytest.mark.parametrize(
    ("more", "key", "words"),
    [
        ({"count": 2}, "count", "one lining"),
        ({"surface": "ceiling", "z": (0.0, 500.0)}, "z", "limited by x: only"),
        ({"x": (900.0, 300.0)}, "x", "must rise"),
        ({"x": (5000.0, 6000.0)}, "x", "0 surfaces to line"),
        ({"openings": (Cutout(x=(0.0, 100.0), y=(0.0, 100.0)),)}, "openings", "has x: and z:"),
        ({"ribs": (1500.0,), "heaviest": 1.0}, "ribs", "add ribs"),
        ({"sheet": "oak"}, "sheet", "no sheet 'oak'"),
    ],
)
def test_bad_sizes_are_refused(more: dict[str, Any], key: str, words: str) -> None:
    """Each refusal names the key and says what is wrong."""
    found, text = refused(_spec(**more), shop_in(leaning(), ply=6.0))

    assert words in text
    assert found == key


def test_a_wall_lining_thicker_than_its_build_up_is_refused() -> None:
    """21 mm on a wall from which the project took 20 is not made."""
    with pytest.raises(ValueFaultError, match="21 thick, but space: build_up: walls: leaves it 20"):
        _made(_straight(), t=21.0)


def test_a_ceiling_thicker_than_its_build_up_is_refused() -> None:
    """The space gives the ceiling 30; a sheet of 40 does not go in."""
    found, text = refused(_spec(surface="ceiling"), shop_in(leaning(), ply=40.0))

    assert (found, text) == ("sheet", "40 thick, but space: build_up: ceiling: leaves it 30")


def test_a_door_up_to_the_roof_leaves_two_surfaces() -> None:
    """A door as high as the room parts the wall: the refusal says from where to where each part reaches."""
    doors = {"door": {"side": "left", "start": "1000", "width": "1000", "height": "1880", "kind": "sliding"}}
    found, text = refused(_spec(), shop_in(leaning(side_doors=doors), ply=6.0))

    assert found == "x"
    assert "5 to 995, 2005 to 3045" in text


@pytest.mark.parametrize("spans", [{}, {"y": (0.0, 1.0), "z": (0.0, 1.0)}, {"z": (10.0, 0.0)}])
def test_bad_openings_are_refused(spans: dict[str, tuple[float, float]]) -> None:
    """An opening says one of y and z, and its edges rise."""
    with pytest.raises(ValueError, match="opening"):
        Cutout(x=(0.0, 100.0), **spans)
