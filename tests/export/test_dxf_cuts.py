"""Sheets to cut in DXF: parts where the plan of cuts has them, the saw's lines in the middle of what it takes."""

from __future__ import annotations

from collections import Counter
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import shapely
from ezdxf.filemanagement import read as load_dxf

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.export.dxf import DATA, dxf
from layout.export.dxf_cuts import cuts_drawing
from layout.jobs.dxf_files import CUTS, dxf_files
from layout.jobs.panels import solve_plan
from layout.model.cutting import CutJob, CutPlan, Damage, Part, Shop, Stock
from layout.model.sawing import steps, walk
from layout.units.length import drawn_unit
from tests.export.test_dxf_panels import DECIDED, loaded

MADE = [path for path in DECIDED if "compact" not in path.stem]
HOSTILE = "=1+1 %%d \\P{x} ^J a/b"


@pytest.fixture(scope="module")
def small() -> CutPlan:
    """Return a plan with a damaged sheet, cuts of a shop, parts that turn, and a name full of signs."""
    parts = (
        Part(name=HOSTILE, material="ply", length=700.0, width=300.0, count=4, grain="along"),
        Part(name="narrow", material="ply", length=900.0, width=60.0, count=3, grain="across"),
    )
    stock = Stock(
        name="sheet", material="ply", length=2500.0, width=1250.0, price=50.0,
        damage=(Damage(x=2400.0, y=1200.0, length=500.0, width=500.0),),
    )  # fmt: skip
    return plan_cuts(CutJob(parts=parts, stocks=(stock,), kerf=3.0, trim=10.0, shop=Shop(cuts=2)), Effort())


def lines(document: Any, layer: str, unit: float) -> list[tuple[str, Any]]:
    """Return what a layer has as shapes in mm, with the name kept with each."""
    found = []
    for line in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        points = [(x * unit, y * unit) for x, y in line.get_points("xy")]
        name = line.get_xdata(DATA)[0].value if line.has_xdata(DATA) else ""
        found.append((name, shapely.Polygon(points) if line.closed else shapely.LineString(points)))
    return found


def checked(document: Any, cuts: CutPlan, unit: float) -> None:
    """Assert that sheets, parts and saw lines lie as the plan of cuts says."""
    sheets = lines(document, "sheet", unit)
    parts = lines(document, "parts", unit)
    saw = [one for layer in ("kerf centre", "kerf centre shop") for one in lines(document, layer, unit)]
    wanted = [sheet for material in cuts.materials for sheet in material.sheets]

    assert document.audit().errors == []
    assert len(sheets) == len(wanted)
    for (_, edge), sheet in zip(sheets, wanted, strict=True):
        x, y, *_ = edge.bounds
        assert edge.bounds == pytest.approx((x, y, x + sheet.stock.length, y + sheet.stock.width), abs=1e-5)
        own = sorted(tuple(round(v, 3) for v in p.bounds) for _, p in parts if edge.buffer(1e-6).contains(p))
        leaves = [r for r in walk(sheet.root) if r.kind == "part"]
        boxes = [(r.x + x, r.y + y, r.x + r.length + x, r.y + r.width + y) for r in leaves]
        assert own == [pytest.approx(box, abs=2e-3) for box in sorted(boxes)]
    assert len(saw) == sum(len(steps(sheet)) for sheet in wanted)
    counts = {part.name: part.count for part in cuts.job.parts}
    assert sorted(Counter(name for name, _ in parts).values()) == sorted(counts.values())


@pytest.mark.parametrize("path", MADE, ids=lambda p: p.stem)
def test_sheets_of_every_example_are_as_the_plan_of_cuts_says(path: Path) -> None:
    """Each sheet has its size, each part its place, and there is a line for every cut."""
    plan = loaded(path)
    cuts = solve_plan(plan)
    units = drawn_unit(plan.project.said.units)
    unit = {"mm": 1.0, "in": 25.4}[units]
    document = load_dxf(StringIO(dxf_files(plan, cuts)[CUTS].decode()))

    assert document.header["$INSUNITS"] == {"mm": 4, "in": 1}[units]
    checked(document, cuts, unit)


def test_a_blade_along_the_lines_touches_no_part(small: CutPlan) -> None:
    """A blade as wide as the kerf, run with its middle along every line, takes nothing off any part or leftover."""
    document = load_dxf(StringIO(dxf(cuts_drawing(small, "mm")).decode()))
    checked(document, small, 1.0)
    kept = shapely.union_all([p for layer in ("parts", "offcuts") for _, p in lines(document, layer, 1.0)])
    for layer, kerf in (("kerf centre", small.job.kerf), ("kerf centre shop", Shop(cuts=2).kerf)):
        for _, line in lines(document, layer, 1.0):
            blade = line.buffer(kerf / 2, cap_style="flat")
            assert blade.intersection(kept).area < 1.0
    assert lines(document, "kerf centre shop", 1.0)


def test_a_line_ends_where_its_piece_ends(small: CutPlan) -> None:
    """A cut goes from edge to edge of the piece in hand and no farther."""
    document = load_dxf(StringIO(dxf(cuts_drawing(small, "mm")).decode()))
    wanted = Counter(
        round(step.region.width if step.cut.across == "length" else step.region.length, 3)
        for material in small.materials
        for sheet in material.sheets
        for step in steps(sheet)
    )
    found = Counter(
        round(line.length, 3)
        for layer in ("kerf centre", "kerf centre shop")
        for _, line in lines(document, layer, 1.0)
    )

    assert found == wanted


def test_damage_is_shown_as_far_as_it_is_on_the_sheet(small: CutPlan) -> None:
    """By hand: from 2400, 1200 to the corner of a sheet of 2500 x 1250."""
    document = load_dxf(StringIO(dxf(cuts_drawing(small, "mm")).decode()))
    sheets, damage = lines(document, "sheet", 1.0), lines(document, "damage", 1.0)
    x, y, *_ = sheets[0][1].bounds

    assert damage[0][1].bounds == pytest.approx((x + 2400, y + 1200, x + 2500, y + 1250))


def test_names_stand_on_their_parts_as_they_are(small: CutPlan) -> None:
    """A name full of signs is written once on each of its parts, as it is."""
    document = load_dxf(StringIO(dxf(cuts_drawing(small, "mm")).decode()))
    texts: list[Any] = list(document.modelspace().query("TEXT"))
    said = [text for text in texts if text.plain_text() == HOSTILE]
    parts = [part for name, part in lines(document, "parts", 1.0) if name.replace("^ ", "^") == HOSTILE]

    assert len(said) == len(parts) == 4
    for text in said:
        place = shapely.Point(tuple(text.dxf.align_point)[:2])
        assert any(part.contains(place) for part in parts)


def test_numbers_of_cuts_do_not_cover_each_other(small: CutPlan) -> None:
    """Each cut has its number, and no two stand at one place."""
    marks = [mark for mark in cuts_drawing(small, "mm").marks if mark.layer == "cut numbers"]
    places = [mark.at for mark in marks]  # type: ignore[union-attr]

    assert len(places) == sum(len(steps(sheet)) for material in small.materials for sheet in material.sheets)
    assert len({(round(x), round(y)) for x, y in places}) == len(places)
