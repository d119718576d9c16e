"""The view from above a corner: what hides what, held against rays; the sheets against what they must say."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely

from layout.drawing.model import NARROW, WIDE, Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.axonometric_sheets import axonometric_sheets, states_alike
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid, box
from layout.space.parts import Obstacle
from layout.views.axonometric.areas import shown_areas
from layout.views.axonometric.bodies import Body, of_obstacle, of_panel, of_solid
from layout.views.axonometric.camera import ENDS, SIDES, Camera
from layout.views.axonometric.edges import lines_of
from layout.views.axonometric.picture import tones
from layout.views.axonometric.scene import Group, Segment, occluders, strokes
from tests.builders import EXAMPLES, ROOT
from tests.views.conftest import Check

CAMERAS = [Camera(side=side, end=end) for side in SIDES for end in ENDS]
SHEETS = sorted((ROOT / "tests" / "things").glob("*.yaml"))
Floats = np.ndarray


@cache
def _plan(path: Path) -> Plan:
    return load(str(path))


# ---- an oracle: rays against slabs ------------------------------------------------------------------------------


def _scene(seed: int, count: int) -> list[Solid]:
    """Return random boxes that do not reach into each other; many touch, since they stand on a coarse grid."""
    rng = np.random.default_rng(seed)
    made: list[Solid] = []
    while len(made) < count:
        low, size = rng.integers(0, 8, 3) * 100.0, rng.integers(1, 5, 3) * 100.0
        new = box(f"box {len(made)}", *((a, a + s) for a, s in zip(low.tolist(), size.tolist(), strict=True)))
        if not any(_overlap(new, old) for old in made):
            made.append(new)
    return made


def _ends(solid: Solid) -> tuple[Floats, Floats]:
    return np.array([*solid.bounds[:2], solid.z0]), np.array([*solid.bounds[2:], solid.z1])


def _overlap(a: Solid, b: Solid) -> bool:
    (al, ah), (bl, bh) = _ends(a), _ends(b)
    return bool((np.minimum(ah, bh) - np.maximum(al, bl) > 0).all())


def _hits(point: Floats, way: Floats, solid: Solid) -> float:
    """Return how much of the ray from the point lies in the box, mm: by slabs, a method of its own."""
    low, high = _ends(solid)
    near, far = np.sort(np.stack([(low - point) / way, (high - point) / way]), axis=0)
    return float(min(far.min(), 1e6) - max(near.max(), 0.0))


def _on_paper(point: Floats, camera: Camera) -> Floats:
    """Return where a point lies on the picture, worked out from the way to the eye alone."""
    way = camera.to_eye
    right = np.cross((0.0, 0.0, 1.0), way)
    right /= np.linalg.norm(right)
    made: Floats = np.array([point @ right, point @ np.cross(way, right)]) * np.sqrt(1.5)
    return made


def _borders(solids: Sequence[Solid], camera: Camera, but: tuple[Floats, Floats] | None = None) -> shapely.Geometry:
    """Return all edges of all boxes as seen, but one: beside them a ray decides nothing."""
    lines = [
        shapely.LineString([_on_paper(a, camera), _on_paper(b, camera)])
        for solid in solids
        for a, b in _edges_by_hand(solid)
        if but is None or not (np.array_equal(a, but[0]) and np.array_equal(b, but[1]))
    ]
    return shapely.union_all(lines)


def _edges_by_hand(solid: Solid) -> list[tuple[Floats, Floats]]:
    low, high = _ends(solid)
    corners = [np.where([i & 1, i & 2, i & 4], high, low) for i in range(8)]
    return [(corners[i], corners[i ^ bit]) for i in range(8) for bit in (1, 2, 4) if i < i ^ bit]


def _drawn(solids: Sequence[Solid], camera: Camera) -> list[Segment]:
    groups = [Group(name=s.name, bodies=(of_solid(s),)) for s in solids]
    faces, of = occluders(groups, camera)
    return [stroke.ends for stroke in strokes(groups, camera, faces, of)]


@pytest.mark.parametrize("camera", CAMERAS, ids=lambda c: f"{c.end} {c.side}")
@pytest.mark.parametrize("seed", range(6))
def test_hidden_lines_are_those_that_rays_find(seed: int, camera: Camera) -> None:
    """Protects every line: points on all edges of random boxes are drawn exactly where a ray to the eye is free."""
    solids = _scene(seed, 9)
    drawn = shapely.union_all(shapely.linestrings(_drawn(solids, camera)))
    asked = 0
    for solid in solids:
        for a, b in _edges_by_hand(solid):
            others = _borders(solids, camera, (a, b))
            for t in np.linspace(0.03, 0.97, 23):
                point = a + (b - a) * t
                spot = shapely.Point(_on_paper(point, camera))
                # Where another edge crosses as seen, either answer stands; along one, both are the same line.
                if others.distance(spot) < 2.0:
                    continue
                inside = max(_hits(point, camera.to_eye, other) for other in solids)
                asked += 1
                assert (drawn.distance(spot) < 0.1) == (inside < 1e-6), (solid.name, a, b, t)
    assert asked > 200


@pytest.mark.parametrize("seed", range(4))
def test_shaded_areas_are_those_that_rays_find(seed: int) -> None:
    """Protects shading and names: a place of the picture shows the thing that a ray from the eye meets first."""
    camera = CAMERAS[seed]
    solids = _scene(seed + 50, 9)
    groups = [Group(name=s.name, bodies=(of_solid(s),)) for s in solids]
    faces, of = occluders(groups, camera)
    shown = shown_areas(faces, of, tones(groups, faces))
    borders = _borders(solids, camera)
    rng = np.random.default_rng(seed)
    asked = 0
    for _ in range(400):
        point = rng.uniform(0, 1000, 3)
        spot = shapely.Point(_on_paper(point, camera))
        if borders.distance(spot) < 2.0:
            continue
        start = point + camera.to_eye * 1e4
        ways = {i: _reached(start, -camera.to_eye, solid) for i, solid in enumerate(solids)}
        first = min((i for i in ways if ways[i] < np.inf), key=lambda i: ways[i], default=None)
        asked += 1
        assert {s.group for s in shown if s.area.contains(spot)} == ({first} if first is not None else set())
    assert asked > 200


def _reached(point: Floats, way: Floats, solid: Solid) -> float:
    low, high = _ends(solid)
    near, far = np.sort(np.stack([(low - point) / way, (high - point) / way]), axis=0)
    return float(near.max()) if near.max() < far.min() else float(np.inf)


# ---- which lines a thing has --------------------------------------------------------------------------------------


def _length(lines: Floats) -> float:
    return float(np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1).sum())


def test_flush_panels_have_no_seam() -> None:
    """Protects flat faces: two boxes that make one larger box have the lines of that box and no others."""
    camera = Camera()
    halves = [of_solid(box("a", (0, 400), (0, 300), (0, 200))), of_solid(box("b", (400, 1000), (0, 300), (0, 200)))]
    whole = of_solid(box("c", (0, 1000), (0, 300), (0, 200)))
    # The nine edges of a box at which a face looks toward the eye: three of each way.
    assert _length(lines_of([whole], camera)) == pytest.approx(3 * (1000 + 300 + 200))
    assert _length(lines_of(halves, camera)) == pytest.approx(3 * (1000 + 300 + 200), abs=2.0)


def test_a_step_keeps_its_line() -> None:
    """Protects real edges: where the second box is lower, its top meets the first box's side in a line."""
    camera = Camera()
    step = [of_solid(box("a", (0, 400), (0, 300), (0, 300))), of_solid(box("b", (400, 1000), (0, 300), (0, 200)))]
    found = lines_of(step, camera)
    level = [line for line in found if np.allclose(line[:, 0], 400) and np.allclose(line[:, 2], 300)]
    assert _length(np.array(level)) == pytest.approx(300, abs=1.0)
    # Nothing is left of the edge where the flush sides meet.
    assert not [
        line for line in found if np.allclose(line[:, 0], 400) and np.allclose(line[:, 1], 0) and line[:, 2].min() < 199
    ]


def test_a_shelf_in_a_groove_has_its_line() -> None:
    """Protects joints: a shelf that reaches 6 mm into a side shows the line in which its top meets the side."""
    camera = Camera(side="right")
    side, shelf = box("side", (0, 400), (300, 318), (0, 600)), box("shelf", (0, 400), (0, 306), (200, 218))
    found = lines_of([of_solid(side), of_solid(shelf)], camera)
    met = [line for line in found if np.allclose(line[:, 1], 300) and np.allclose(line[:, 2], 218)]
    assert _length(np.array(met)) == pytest.approx(400, abs=1.0)
    assert not [line for line in found if (line[:, 1] > 301).all() and np.allclose(line[:, 2], 218)]


def test_outlines_are_wide_and_inner_edges_narrow() -> None:
    """Protects telling things apart: of a box the six edges of its outline are wide, the three to its near corner narrow."""
    groups = [Group(name="box", bodies=(of_solid(box("box", (0, 1000), (0, 300), (0, 200))),))]
    faces, of = occluders(groups, Camera())
    made = strokes(groups, Camera(), faces, of)
    lengths = {wide: sum(np.hypot(*np.subtract(*s.ends)) for s in made if s.outline == wide) for wide in (True, False)}
    # Isometric, with lengths along the axes at scale.
    assert lengths[True] == pytest.approx(2 * 1500, abs=4.0)
    assert lengths[False] == pytest.approx(1500, abs=4.0)


def test_a_hole_shows_what_is_behind() -> None:
    """Protects panels with holes: their volume lacks the holes, and an edge is seen through one."""
    sheet = Sheet(material="ply", thickness=20.0, density_kg_m3=700)
    hole = ((100.0, 100.0), (300.0, 100.0), (300.0, 300.0), (100.0, 300.0))
    outline = ((0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0))
    panel = of_panel(
        Panel(name="p", sheet=sheet, outline=outline, at=(0, 0, 500), along="x", across="y", holes=(hole,))
    )
    assert panel.volume == pytest.approx((400**2 - 200**2) * 20)
    peg = box("peg", (195, 205), (195, 205), (460, 520))
    camera = Camera()
    groups = [Group(name="p", bodies=(panel,)), Group(name="peg", bodies=(of_solid(peg),))]
    faces, of = occluders(groups, camera)
    shown = {s.group: s.area.area for s in shown_areas(faces, of, np.zeros(len(faces), dtype=np.int64))}
    top = 100 * np.sqrt(3) / 2
    assert shown[1] > top


def test_bodies_of_wells_are_closed_and_round_off() -> None:
    """Protects wells: the flats' volume is that of the true shape to 1 %, and no edge is left open."""
    well = Obstacle(name="well", outline=((0, 0), (800, 0), (800, 200), (0, 200)), z0=0.0, z1=250.0, top_radius=100.0)
    body = of_obstacle(well)
    true = (800 * 250 - 2 * (100**2 - np.pi * 100**2 / 4)) * 200
    assert body.volume == pytest.approx(true, rel=0.01)
    assert all(len(faces) == 2 for faces in body.edges().values())


def _closed(body: Body) -> bool:
    return all(len(faces) == 2 for faces in body.edges().values())


@pytest.mark.parametrize("path", SHEETS, ids=lambda p: p.stem)
def test_panels_keep_their_volume(path: Path) -> None:
    """Protects outlines with many corners and holes: triangles fill each panel's area once, whatever its shape."""
    for thing in _plan(path).layout.things:
        for panel in thing.panels:
            body = of_panel(panel)
            assert body.volume == pytest.approx(panel.area * panel.sheet.thickness, rel=1e-6), panel.name
            assert _closed(body)


# ---- the sheets -----------------------------------------------------------------------------------------------------


def _texts(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("paper", [None, "A4"])
@pytest.mark.parametrize("path", [*EXAMPLES, *SHEETS], ids=lambda p: p.stem)
def test_texts_of_every_view_can_be_read(path: Path, paper: str | None, text_faults: Check) -> None:
    """Protects names and sizes: none overlaps another, leaves the frame or is under 1.8 mm."""
    for drawing in axonometric_sheets(_plan(path), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_everything_is_named_or_said_to_be_hidden(path: Path) -> None:
    """Protects finding things: on each sheet every thing of its state stands by name on it, in the list or as hidden."""
    plan = _plan(path)
    for alike, drawing in zip(states_alike(plan), axonometric_sheets(plan, Paper(name="A2")), strict=True):
        said = " ".join(_texts(drawing))
        for placed in plan.layout.placed[alike[0]]:
            assert all(word in said for word in placed.name.split()), placed.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_lengths_along_the_axes_are_to_scale(path: Path) -> None:
    """Protects the scale bar: the floor's edge along is, on paper, its length by the scale."""
    plan = _plan(path)
    for drawing in axonometric_sheets(plan, Paper()):
        assert drawing.scale is not None
        sizes = [
            float(np.hypot(*np.subtract(*mark.points))) * drawing.scale
            for mark in drawing.marks
            if isinstance(mark, Line) and mark.layer == "dimensions"
        ]
        assert any(size == pytest.approx(plan.project.space.length, abs=1.0) for size in sizes)


def test_two_widths_and_greys_only() -> None:
    """Protects print in black and white: things have lines of two widths of ISO 128, black, on greys."""
    for drawing in axonometric_sheets(_plan(ROOT / "examples" / "market-van.yaml"), Paper()):
        lines = [m for m in drawing.marks if isinstance(m, Line) and m.layer in ("edges", "outlines")]
        assert {(m.layer, m.pen.width, m.pen.grey) for m in lines} == {("edges", NARROW, 0.0), ("outlines", WIDE, 0.0)}
        assert len({m.fill for m in drawing.marks if isinstance(m, Line) and m.layer == "faces"}) == 3


def test_the_same_plan_gives_the_same_sheets() -> None:
    """Protects comparing two books: nothing depends on chance."""
    path = ROOT / "examples" / "market-van.yaml"
    assert axonometric_sheets(load(str(path)), Paper()) == axonometric_sheets(load(str(path)), Paper())


def test_a_hidden_thing_is_said_to_be_hidden() -> None:
    """Protects honesty: bins wholly behind others in the example are told in the notes."""
    plan = _plan(ROOT / "examples" / "market-van.yaml")
    said = " ".join(_texts(axonometric_sheets(plan, Paper())[0]))
    assert "hidden behind others:" in said
    assert "cups 3" in said
