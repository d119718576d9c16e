"""Views of the room in DXF: every thing where the layout has it, dimensions that say true distances, names as they are."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from io import StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import read as load_dxf

from layout.drawing.text_width import overlap
from layout.export.dxf import DATA
from layout.export.dxf_labels import Names
from layout.export.dxf_measures import measures_round
from layout.jobs.dxf_files import dxf_files, stem
from layout.jobs.load import Plan
from layout.units.length import drawn_unit, parse_length
from tests.builders import EXAMPLES, plan_of
from tests.export.test_dxf_panels import BUILT
from tests.export.test_dxf_panels import loaded as plan_at

THINGS = ("things", "furniture", "things hidden", "furniture hidden")
HOSTILE = ("=1+1", "a/b\\c", "100%%d", "x\\Py {z}", "^J caret", "<b>&amp;", "|*?:`,", "ü漢😀", "0")


@cache
def loaded(path: Path) -> tuple[Plan, dict[str, Any]]:
    """Return a plan and its files, made once for all tests."""
    plan = plan_at(path)
    return plan, drawn(plan)


def example(name: str) -> Path:
    return next(path for path in EXAMPLES if path.stem == name)


def drawn(plan: Plan) -> dict[str, Any]:
    """Return the files of the room, by state, as another program reads them."""
    return {
        name.removeprefix("layout-").removesuffix(".dxf"): load_dxf(StringIO(data.decode()))
        for name, data in dxf_files(plan, None).items()
        if name.startswith("layout-")
    }


def unit_of(plan: Plan) -> float:
    return {"mm": 1.0, "in": 25.4}[drawn_unit(plan.project.said.units)]


def boxes(document: Any, view: str, unit: float) -> dict[str, tuple[float, ...]]:
    """Return the box in mm round all outlines of each thing in a view, by name."""
    points: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for line in document.modelspace().query("LWPOLYLINE"):
        if line.dxf.layer in THINGS and line.get_xdata(DATA)[1].value == view:
            assert line.closed
            points[line.get_xdata(DATA)[0].value] += [(x * unit, y * unit) for x, y in line.get_points("xy")]
    ends = {name: tuple(zip(*some, strict=True)) for name, some in points.items()}
    return {name: (min(xs), min(ys), max(xs), max(ys)) for name, (xs, ys) in ends.items()}


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_every_thing_is_drawn_where_it_stands(path: Path) -> None:
    """In the plan every thing has an outline at the project's own coordinates, and nothing else has one."""
    plan, files = loaded(path)

    assert plan.project.said.states[0] in files
    for state, document in files.items():
        found = document.audit()
        units = drawn_unit(plan.project.said.units)
        assert (found.errors, found.fixes) == ([], [])
        assert document.header["$INSUNITS"] == {"mm": 4, "in": 1}[units]
        placed = {p.name: p.box.bounds for p in plan.layout.placed[state]}
        assert boxes(document, "plan", unit_of(plan)) == {
            name: pytest.approx(bounds, abs=0.01) for name, bounds in placed.items()
        }


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_every_dimension_is_true(path: Path) -> None:
    """The figure of each dimension is the distance between its two points, and the room's own sizes are among them."""
    plan, files = loaded(path)
    unit, units = unit_of(plan), drawn_unit(plan.project.said.units)
    rounded = {"mm": 0.05, "in": 25.4 / 32}[units] + 1e-3
    x0, y0, x1, y1 = plan.project.space.shell(0.0).bounds
    highest = max(z for _, z in plan.project.space.long_section())
    for document in files.values():
        told = []
        for dimension in document.modelspace().query("DIMENSION"):
            i = 1 if dimension.dxf.angle == 90 else 0
            apart = abs(dimension.dxf.defpoint2[i] - dimension.dxf.defpoint3[i]) * unit
            (shown,) = [e.plain_text() for e in dimension.get_geometry_block() if e.dxftype() == "MTEXT"]
            assert dimension.get_measurement() * unit == pytest.approx(apart, abs=1e-4)
            assert float(parse_length(shown, units)) == pytest.approx(apart, abs=rounded)
            told.append(apart)
        for size in (x1 - x0, y1 - y0, highest):
            assert any(one == pytest.approx(size, abs=0.01) for one in told), size


def test_largest_things_are_measured() -> None:
    """The bed's length and width, and the height of its deck, are among the dimensions."""
    plan, files = loaded(example("market-van"))
    told = [d.get_measurement() for d in files["drive"].modelspace().query("DIMENSION")]
    bed = next(p for p in plan.layout.placed["drive"] if p.name == "bed").box
    x0, y0, x1, y1 = bed.bounds

    for size in (x1 - x0, y1 - y0, bed.z1):
        assert any(one == pytest.approx(size) for one in told), size


def test_elevations_show_true_heights_and_sides() -> None:
    """In the side views a thing on the left stands in the left one only, as long and as high as it is."""
    plan, files = loaded(example("market-van"))
    document = files["drive"]
    left, right, rear = (boxes(document, view, 1.0) for view in ("left side", "right side", "rear"))
    water = next(p for p in plan.layout.placed["drive"] if p.name == "water 1").box
    x0, y0, x1, _ = water.bounds
    box = left["water 1"]

    assert y0 > 0
    assert "water 1" not in right
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((x1 - x0, water.z1 - water.z0))
    # The left side stands above the plan with the same x, and is moved by whole steps of 100 mm.
    assert box[0] == pytest.approx(x0)
    assert (box[1] - water.z0) % 100 == pytest.approx(0, abs=1e-6)
    bed = next(p for p in plan.layout.placed["drive"] if p.name == "bed").box.bounds
    assert rear["bed"][2] - rear["bed"][0] == pytest.approx(bed[3] - bed[1])


def test_states_that_look_alike_share_a_file() -> None:
    """A plan in which nothing moves has one file, and its title names all states."""
    _, files = loaded(example("high-roof-inches"))
    titles = [text.plain_text() for text in files["drive"].modelspace().query("TEXT")]

    assert list(files) == ["drive"]
    assert "plan, drive, camp, sleep" in titles


@pytest.mark.parametrize("path", BUILT, ids=lambda p: p.stem)
def test_paper_holds_each_view_whole(path: Path) -> None:
    """Each view has a sheet of paper, at one scale, and the window on it lies inside the sheet."""
    for document in loaded(path)[1].values():
        sheets = [document.layout(name) for name in document.layout_names_in_taborder() if name != "Model"]
        scales = set()
        assert [sheet.name for sheet in sheets] == ["plan", "left side", "right side", "rear"]
        for sheet in sheets:
            window = next(v for v in sheet.query("VIEWPORT") if v.dxf.id > 1)
            wide, high = window.dxf.width / 2, window.dxf.height / 2
            size = sheet.dxf.paper_width / 25.4, sheet.dxf.paper_height / 25.4
            assert size[0] > 10
            assert window.dxf.center.x - wide > 0
            assert window.dxf.center.y - high > 0
            scales.add(round(window.dxf.view_height / window.dxf.height, 3))
        assert len(scales) == 1
        assert scales <= {20.0, 50.0, 100.0}


def test_hostile_names_are_names(tmp_path: Path) -> None:
    """Names full of signs that mean something in such files break nothing, format nothing, and are read as they are."""
    things = {name: {"kind": "box", "length": "300", "width": "200", "height": "100"} for name in HOSTILE}
    at = {name: {"at": [str(250 + 310 * (i % 8)), str(-400 + 300 * (i // 8)), "0"]} for i, name in enumerate(HOSTILE)}
    state = "%%u {\\H9x;night}"
    plan = plan_of(tmp_path, things=things, arrangement=at, states=[state])
    document = drawn(plan)[stem(state)]
    texts = [text.plain_text() for text in document.modelspace().query("TEXT")]
    found = boxes(document, "plan", 1.0)

    assert {name.replace("^ ", "^") for name in found} == set(HOSTILE)
    assert all(texts.count(name) >= 1 for name in HOSTILE)
    assert f"plan, {state}" in texts


def test_states_called_nearly_alike_have_files_of_their_own(tmp_path: Path) -> None:
    """States whose names differ in signs that no file may have, or in capitals, do not overwrite each other."""
    states = ["a/b", "a-b", "A b"]
    things = {"crate": {"kind": "box", "length": "300", "width": "200", "height": "100"}}
    at = {
        "crate": {
            "at": ["100", "0", "0"],
            "states": {s: {"at": [str(200 * i), "0", "0"]} for i, s in enumerate(states)},
        }
    }
    plan = plan_of(tmp_path, things=things, arrangement=at, states=states)

    assert list(drawn(plan)) == ["a-b", "a-b-2", "A-b-3"]


def test_names_dodge_each_other() -> None:
    """Two things at one place have names at two, and a name is made smaller where there is little room."""
    names = Names(20)
    first, second = names.put("text", "cups 1", (0, 0, 600, 400)), names.put("text", "cups 5", (0, 0, 600, 400))
    small = names.put("text", "a rather long name", (1000, 0, 1300, 60))

    assert not overlap(names.taken[0], names.taken[1])
    assert first.at != second.at
    assert small.height < first.height == 50.0


def test_rows_of_dimensions_do_not_run_into_each_other() -> None:
    """Spans that overlap have rows of their own, equal ones are told once, short ones not at all, the whole is last."""
    spans = [(0.0, 1000.0), (1000.0, 1800.0), (500.0, 1500.0), (0.0, 1000.0), (0.0, 50.0)]
    made = measures_round((0, 0, 2000, 900), spans, [], (0, 0, 2000, 900), 20)
    level = [(m.start[0], m.end[0], m.base[1]) for m in made if not m.upright]

    assert sorted(level, key=lambda m: -m[2])[-1][:2] == (0.0, 2000.0)
    assert sorted(m[:2] for m in level) == [(0.0, 1000.0), (0.0, 2000.0), (500.0, 1500.0), (1000.0, 1800.0)]
    rows = defaultdict(list)
    for low, high, at in level:
        rows[at].append((low, high))
    for row in rows.values():
        ordered = sorted(row)
        assert all(a[1] <= b[0] for a, b in pairwise(ordered))
