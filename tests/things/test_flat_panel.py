"""Panels by their own outline: flat, across or along, turned, with holes."""

from pathlib import Path
from random import Random
from typing import Any

import pytest
import shapely
from shapely.affinity import translate

from layout.building.rebuild import faults
from layout.jobs.load import Plan, load
from layout.model.thing import Thing
from layout.things.flat_panel import FlatPanel
from tests.things.followed import leaning, mass, refused, shop_in, union, volume


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the baker's van."""
    return load(str(Path(__file__).parent / "panel.yaml"))


def _of(plan: Plan, name: str) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == name)


def _spec(**more: Any) -> FlatPanel:
    return FlatPanel(**{"kind": "panel", "sheet": "ply", **more})


def _made(t: float = 18.0, **more: Any) -> Thing:
    return _spec(**more).make("it", "it", shop_in(leaning(), ply=t))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Three panels stand in a van: one across with a slanting edge, one flat with a hole, one along the wall."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert [faults(_of(plan, name)) for name in ("cheek", "shelf", "guard")] == [(), (), ()]


def test_a_turned_panel_across_by_hand(plan: Plan) -> None:
    """Its corners say 1200 along its length; turned across the room that is its height, and 450 its breadth.

    Area 1200 x 450 less the corner sawn off, 400 x 200 / 2 = 500 000; of 17.8 at 680 that is 6.05 kg.
    """
    cheek = _of(plan, "cheek")
    panel = cheek.panels[0]

    assert (panel.along, panel.across, panel.through) == ("z", "y", "x")
    assert (panel.length, panel.width) == (1200, 450)
    assert panel.area == pytest.approx(500_000)
    assert cheek.mass_kg == pytest.approx(500_000 * 17.8 * 680e-9)
    assert cheek.box.bounds == pytest.approx((0, -225, 17.8, 225))
    assert cheek.box.z1 == pytest.approx(1200)


def test_a_flat_panel_with_a_hole_by_hand(plan: Plan) -> None:
    """900 x 380 less a corner of 80 x 80 / 2 and a hole of 50 x 50: 336 300 mm²."""
    shelf = _of(plan, "shelf")

    assert shelf.panels[0].area == pytest.approx(900 * 380 - 3200 - 2500)
    assert shelf.box.bounds == pytest.approx((0, -190, 900, 190))
    assert (shelf.box.z0, shelf.box.z1) == (0, 17.8)


@pytest.mark.parametrize(
    ("stands", "turned", "along", "size"),
    [
        ("flat", "no", "x", (900, 300, 18)),
        ("flat", "yes", "y", (300, 900, 18)),
        ("across", "no", "y", (18, 900, 300)),
        ("across", "yes", "z", (18, 300, 900)),
        ("along", "no", "x", (900, 18, 300)),
        ("along", "yes", "z", (300, 18, 900)),
    ],
)
def test_each_way_to_stand(stands: str, turned: str, along: str, size: tuple[float, ...]) -> None:
    """A panel of 900 x 300 in 18 has its length and its three sizes along the axes that its words say."""
    thing = _made(length=900.0, width=300.0, stands=stands, turned=turned)

    x0, y0, x1, y1 = thing.box.bounds
    assert (x1 - x0, y1 - y0, thing.box.z1 - thing.box.z0) == size
    assert (x0, y0 + y1, thing.box.z0) == (0, 0, 0)
    assert thing.panels[0].along == along
    assert (thing.panels[0].length, thing.panels[0].width) == (900, 300)
    assert faults(thing) == ()


@pytest.mark.parametrize("seed", range(25))
def test_outlines_by_chance(seed: int) -> None:
    """A ring of corners by chance with a hole: area, mass and volume are those of the outline, wherever it stands.

    Turned or not, its outline is the ring's own, but for where it begins; the referee finds nothing.
    """
    dice = Random(seed)
    ring = shapely.Polygon([(dice.uniform(0, 1500), dice.uniform(0, 900)) for _ in range(9)]).convex_hull
    hole = ring.centroid.buffer(dice.uniform(15, 30), quad_segs=2)
    corners = tuple((float(x), float(y)) for x, y in ring.exterior.coords[:-1])
    inner = tuple((float(x), float(y)) for x, y in hole.exterior.coords[:-1])
    t = dice.choice([9.2, 11.6, 12.0, 17.7])
    for stands in ("flat", "across", "along"):
        for turned in ("no", "yes"):
            thing = _made(t, corners=corners, holes=(inner,), stands=stands, turned=turned)
            assert faults(thing) == ()
            assert thing.mass_kg == pytest.approx(mass(thing))
            assert thing.panels[0].area == pytest.approx(ring.area - hole.area, rel=1e-6)
            assert union(thing) == pytest.approx(volume(thing), rel=1e-6)
            own = shapely.Polygon(thing.panels[0].outline)
            low = ring.bounds[:2]
            assert own.symmetric_difference(translate(ring, -low[0], -low[1])).area < 0.1


@pytest.mark.parametrize(
    ("more", "key", "words"),
    [
        ({"corners": ((0.0, 0.0), (500.0, 500.0), (500.0, 0.0), (0.0, 500.0))}, "corners", "crosses itself"),
        ({"corners": ((0.0, 0.0), (500.0, 500.0))}, "corners", "encloses nothing"),
        ({"length": 500.0, "width": 12.0}, "sheet", "only 12 wide"),
        (
            {"length": 500.0, "width": 300.0, "holes": (((400.0, 100.0), (600.0, 100.0), (600.0, 200.0)),)},
            "holes", "reaches to the edge",
        ),
        (
            {"length": 500.0, "width": 300.0, "holes": (((50.0, 50.0), (150.0, 50.0), (150.0, 150.0)),) * 2},
            "holes", "reach into each other",
        ),
        ({"length": 500.0, "width": 300.0, "sheet": "oak"}, "sheet", "no sheet 'oak'"),
    ],
)  # fmt: skip
def test_bad_outlines_are_refused(more: dict[str, Any], key: str, words: str) -> None:
    """Each refusal names the key and says what is wrong."""
    found, text = refused(_spec(**more), shop_in(leaning(), ply=18.0))

    assert words in text
    assert found == key


@pytest.mark.parametrize(
    "sizes", [{}, {"length": 500.0}, {"length": 500.0, "width": 300.0, "corners": ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))}]
)
def test_an_outline_is_said_once(sizes: dict[str, Any]) -> None:
    """A panel has either length and width, or corners."""
    with pytest.raises(ValueError, match="give either"):
        _spec(**sizes)
