"""Panels in DXF: each is as large as the lists of parts say, what is cut in lies where the pieces meet."""

from __future__ import annotations

from collections import Counter
from functools import cache
from io import StringIO
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import shapely
from ezdxf.filemanagement import read as load_dxf

from layout.building.contacts import CUT_IN, contacts
from layout.building.prism import shared_volume
from layout.export.dxf import DATA, dxf
from layout.export.dxf_panels import cad_panels, panel_drawing, panels_drawing
from layout.export.dxf_pockets import pockets, seen_face
from layout.export.dxf_shapes import as_circle
from layout.jobs.dxf_files import PANELS, distinct_panels, dxf_files, panel_dxf_files
from layout.jobs.load import Plan, load
from layout.jobs.panels import parts_of
from layout.model.panel import Joint, Panel, Sheet
from layout.model.thing import Thing
from layout.units.length import drawn_unit
from tests.builders import EXAMPLES, ROOT

# In one example nothing has its place yet, so that there is nothing to draw.
DECIDED = [path for path in EXAMPLES if path.stem != "beekeepers"]
BUILT = [*DECIDED, *sorted((ROOT / "tests" / "things").glob("*.yaml"))]
PLY = Sheet(material="ply", thickness=18.0, density_kg_m3=600.0)
Box = tuple[float, float, float, float]


def read(data: bytes) -> Any:
    """Return a file as another program reads it."""
    return load_dxf(StringIO(data.decode()))


def outlines(document: Any, view: str, unit: float) -> list[tuple[str, str, Box]]:
    """Return name, layer and box in mm of all outlines of a view."""
    found = []
    for line in document.modelspace().query("LWPOLYLINE"):
        if line.has_xdata(DATA) and line.get_xdata(DATA)[1].value == view:
            xs, ys = zip(*line.get_points("xy"), strict=True)
            box = (min(xs) * unit, min(ys) * unit, max(xs) * unit, max(ys) * unit)
            found.append((line.get_xdata(DATA)[0].value, line.dxf.layer, box))
    return found


@cache
def loaded(path: Path) -> Plan:
    """Return the plan of a file, read once for all tests."""
    return load(str(path))


def unit_of(plan: Plan) -> float:
    return {"mm": 1.0, "in": 25.4}[drawn_unit(plan.project.said.units)]


def square(name: str, at: tuple[float, float, float], size: tuple[float, float], axes: str, **more: Any) -> Panel:
    """Return a rectangular panel of 18 mm."""
    corners = ((0.0, 0.0), (size[0], 0.0), size, (0.0, size[1]))
    return Panel(name=name, sheet=PLY, outline=corners, at=at, along=axes[0], across=axes[1], **more)  # type: ignore[arg-type]


def unit(*panels: Panel) -> Thing:
    """Return a thing of the given panels."""
    solids = tuple(panel.solid for panel in panels)
    return Thing(name="unit", group="unit", kind="cabinet", solids=solids, panels=panels)


def shelf_and_side(side_y: float, **more: Any) -> Thing:
    """Return a standing side 400 x 300 and a shelf that reaches 6 mm into it, 350 long, 100 up, from 50 on."""
    side = square("side", (0.0, side_y, 0.0), (400.0, 300.0), "xz", **more)
    joint = Joint(kind="housing", to="side", side="bottom" if side_y == 0 else "top", depth=6.0)
    shelf = square("shelf", (50.0, 12.0, 100.0), (350.0, 200.0), "xy", joints=(joint,))
    return unit(side, shelf)


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_every_panel_is_as_large_as_its_part(path: Path) -> None:
    """What a machine cuts out is what the list of parts says that the saw must produce, within 0.01 mm."""
    plan = loaded(path)
    files = dxf_files(plan, None)
    parts = {(p.name, round(p.length, 2), round(p.width, 2)) for p in parts_of(plan.layout.things)}
    if not parts:
        assert PANELS not in files
        return
    document = read(files[PANELS])
    found = outlines(document, "outline", unit_of(plan))

    assert document.audit().errors == []
    assert len(found) == len(distinct_panels(plan))
    for name, _, (x0, y0, x1, y1) in found:
        near = [p for p in parts if p[0] == name and abs(x1 - x0 - p[1]) <= 0.01 and abs(y1 - y0 - p[2]) <= 0.01]
        assert near, (name, x1 - x0, y1 - y0)
    assert {name for name, *_ in found} == {name for name, *_ in parts}
    for (_, _, a), (_, _, b) in combinations(found, 2):
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_all_pieces_are_counted_and_whole(path: Path) -> None:
    """The pieces told under the outlines are all panels of the project, and their areas are the panels' own."""
    plan = loaded(path)
    panels = [panel for thing in plan.layout.things for panel in thing.panels]
    made = distinct_panels(plan)

    assert sum(panel.count for panel in made) == len(panels)
    area = sum(p.count * (shapely.Polygon(p.outline, p.holes).area) for p in made)
    assert area == pytest.approx(sum(panel.area for panel in panels), rel=1e-6)


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_what_is_cut_in_is_what_the_pieces_share(path: Path) -> None:
    """All grooves, rebates and housings together are as much wood as the pieces reach into each other."""
    plan = loaded(path)
    made = distinct_panels(plan)
    cut_in = sum(p.count * (k.box[2] - k.box[0]) * (k.box[3] - k.box[1]) * k.depth for p in made for k in p.pockets)
    reached = [
        shared_volume(c.piece.prism, c.to.prism)
        for thing in plan.layout.things
        for c in contacts(thing)
        if c.joint.kind in CUT_IN and c.joint.depth > 0 and isinstance(c.to.made_of, Panel)
    ]

    assert cut_in == pytest.approx(sum(reached), rel=1e-3, abs=1.0)
    for panel in made:
        u0, v0, u1, v1 = shapely.Polygon(panel.outline).bounds
        for pocket in panel.pockets:
            low, high = pocket.box[:2], pocket.box[2:]
            assert pocket.depth < panel.thickness
            assert u0 - 0.1 <= low[0] < high[0] <= u1 + 0.1
            assert v0 - 0.1 <= low[1] < high[1] <= v1 + 0.1


def test_a_housing_lies_where_the_shelf_meets_the_side() -> None:
    """By hand: a shelf 350 long, 18 thick, 100 up, from 50 on, 6 deep in the face of a side 400 long."""
    found = pockets(shelf_and_side(0.0))

    assert list(found) == [0]
    (pocket,) = found[0]
    assert (pocket.kind, pocket.face) == ("housing", "high")
    assert pocket.box == pytest.approx((50.0, 100.0, 400.0, 118.0))
    assert pocket.depth == pytest.approx(6.0)


def test_the_face_that_is_cut_into_lies_up() -> None:
    """By hand: seen with its length to the right and its height up, the side shows its other face, so it is turned."""
    left, right = shelf_and_side(0.0), shelf_and_side(206.0)
    turned, plain = (cad_panels([thing], lambda t, p: p.name)[0] for thing in (left, right))

    assert seen_face(left.panels[0]) == "low"
    assert pockets(right)[0][0].face == "low"
    assert [(p.face, p.box) for p in turned.pockets] == [("high", (0.0, 100.0, 350.0, 118.0))]
    assert [(p.face, p.box) for p in plain.pockets] == [("high", (50.0, 100.0, 400.0, 118.0))]


def test_cutting_into_both_faces_is_told() -> None:
    """What is cut from below has a layer of its own, so that nobody cuts it from above."""
    below = Joint(kind="housing", to="middle", side="top", depth=6.0)
    above = Joint(kind="groove", to="middle", side="bottom", depth=5.0)
    middle = square("middle", (0.0, 206.0, 0.0), (400.0, 300.0), "xz")
    left = square("left", (50.0, 12.0, 100.0), (350.0, 200.0), "xy", joints=(below,))
    right = square("right", (0.0, 219.0, 40.0), (400.0, 150.0), "xy", joints=(above,))
    panel = cad_panels([unit(middle, left, right)], lambda t, p: p.name)[0]
    layers = {mark.layer for mark in panel_drawing(panel, "mm").marks}

    assert {p.kind: (p.face, p.depth) for p in panel.pockets} == {"housing": ("high", 6.0), "groove": ("low", 5.0)}
    assert {"housing 6 mm deep", "groove 5 mm deep from below"} <= layers


def test_edge_bands_and_what_is_left_on_change_what_is_cut() -> None:
    """By hand: 2 mm of band at one end, 1 mm along the top, 10 mm left on: 400 x 300 becomes 408 x 309."""
    banded = square("a", (0.0, 0.0, 0.0), (400.0, 300.0), "xy", bands=(("left", 2.0), ("top", 1.0)))
    both = square("b", (0.0, 0.0, 0.0), (400.0, 300.0), "xy", bands=(("left", 2.0), ("top", 1.0)), oversize=10.0)
    first, second = cad_panels([unit(banded), unit(both)], lambda t, p: p.name)

    assert shapely.Polygon(first.cut).bounds == pytest.approx((2.0, 0.0, 400.0, 299.0))
    assert shapely.Polygon(second.cut).bounds == pytest.approx((-3.0, -5.0, 405.0, 304.0))
    assert (both.cut_length, both.cut_width) == (408.0, 309.0)
    document = read(dxf(panels_drawing([first, second], "mm")))
    assert [box[2] - box[0] for _, _, box in outlines(document, "finished size", 1.0)] == pytest.approx([400.0, 400.0])


def test_a_band_goes_along_when_a_panel_is_turned() -> None:
    """A panel whose good face lies up mirrored has its left band at the right."""
    flat = square("a", (0.0, 0.0, 0.0), (400.0, 300.0), "xy", bands=(("left", 2.0),), good="low")
    (panel,) = cad_panels([unit(flat)], lambda t, p: p.name)

    assert panel.banded == ("right",)
    assert shapely.Polygon(panel.cut).bounds == pytest.approx((0.0, 0.0, 398.0, 300.0))


def test_left_and_right_are_two_panels_and_equal_ones_one() -> None:
    """Mirror images are not the same piece; two equal sides are one outline, told to be cut twice."""
    left, again, right = shelf_and_side(0.0), shelf_and_side(0.0), shelf_and_side(206.0)
    made = cad_panels([left, again, right], lambda t, p: p.name)

    assert Counter({(p.name, p.pockets): p.count for p in made})[made[0].name, made[0].pockets] == 2
    assert sorted((p.name, p.count) for p in made) == [("shelf", 3), ("side", 1), ("side", 2)]


def test_layers_tell_thickness_material_and_depth() -> None:
    """Who makes paths for a tool picks by layer: what goes through, how thick it is there, and how deep the rest is."""
    panels = cad_panels([shelf_and_side(0.0)], lambda t, p: p.name)
    hole = square("lid", (0.0, 0.0, 0.0), (300.0, 300.0), "xy", holes=(((50.0, 50.0), (90.0, 50.0), (90.0, 70.0)),))
    drawing = panels_drawing([*panels, *cad_panels([unit(hole)], lambda t, p: p.name)], "mm")
    document = read(dxf(drawing))
    kinds = {e.dxf.layer: e.dxftype() for e in document.modelspace()}

    assert kinds == {
        "outline 18 mm ply": "LWPOLYLINE", "hole 18 mm ply": "LWPOLYLINE", "housing 6 mm deep": "LWPOLYLINE",
        "grain": "LWPOLYLINE", "text": "TEXT",
    }  # fmt: skip
    assert {mark.layer for mark in panels_drawing(panels, "in").marks} >= {
        "outline 0.7087 in ply",
        "housing 0.2362 in deep",
    }
    assert all(line.closed for line in document.modelspace().query("LWPOLYLINE") if line.dxf.layer != "grain")


def test_a_ring_of_many_sides_is_a_circle() -> None:
    """A round hole is told as one, so that it can be drilled; a square and an oblong are not taken for circles."""
    from math import cos, pi, sin

    ring = [(100 + 20 * cos(i * pi / 12), 50 + 20 * sin(i * pi / 12)) for i in range(24)]
    oblong = [(x * 1.1, y) for x, y in ring]

    found = as_circle(ring)
    assert found is not None
    assert (*found[0], found[1]) == pytest.approx((100.0, 50.0, 20.0))
    assert as_circle(oblong) is None
    assert as_circle([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) is None


def test_one_file_a_panel() -> None:
    """Each distinct panel alone lies at the origin, in a file with its number and name."""
    plan = load(str(ROOT / "tests" / "things" / "bench.yaml"))
    files = panel_dxf_files(plan)

    assert len(files) == len(distinct_panels(plan))
    assert next(iter(files)).startswith("panel-01-rods-")
    for data in files.values():
        ((_, _, box),) = outlines(read(data), "outline", 1.0)
        assert box[:2] == pytest.approx((0.0, 0.0))


def test_the_grain_runs_as_the_panel_wants_it() -> None:
    """The arrow lies along the length, stands across it, or is missing where it does not matter."""
    for grain, way in (("along", (1, 0)), ("across", (0, 1)), ("free", None)):
        (panel,) = cad_panels(
            [unit(square("a", (0.0, 0.0, 0.0), (400.0, 300.0), "xy", grain=grain))], lambda t, p: p.name
        )
        arrows = [mark for mark in panel_drawing(panel, "mm").marks if mark.layer == "grain"]
        if way is None:
            assert arrows == []
            continue
        (ax, ay), (bx, by) = arrows[0].points  # type: ignore[union-attr]
        assert (bx - ax != 0, by - ay != 0) == (way == (1, 0), way == (0, 1))
