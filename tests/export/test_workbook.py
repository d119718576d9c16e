"""The workbook: numbers are numbers in the project's units, names are never formulas, sheets are ready to print."""

from __future__ import annotations

import csv
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl  # type: ignore[import-untyped]  # has no types
import pytest

from layout.cutting.listing import cut_list
from layout.errors import LayoutError
from layout.export.csv_table import csv_table
from layout.export.workbook import Column, SheetTable, workbook
from layout.jobs.building import Building, building
from layout.jobs.building_tables import hardware_table
from layout.jobs.load import Plan
from layout.jobs.panels import panel_table, parts_of, solve_plan
from layout.jobs.workbook_files import WORKBOOK, workbook_files
from layout.jobs.workbook_masses import masses_table, together, weight_in_build_up, weight_of
from layout.jobs.workbook_tables import workbook_tables
from layout.model.cutting import CutPlan
from layout.model.layout import Placed
from layout.model.sawing import steps
from layout.model.solid import Solid, box, outer_box
from layout.model.thing import Thing
from layout.units.length import drawn_unit, parse_length
from layout.units.mass import parse_mass
from tests.builders import ROOT, plan_of
from tests.export.test_dxf_panels import DECIDED, loaded

FORMULAS = ("=1+1", "+1", "-1+2", "@SUM(A1)", '=HYPERLINK("http://a.b")', "\t=1", "http://a.b", "1e5", "007", "{=1}")
SOME = [
    *DECIDED,
    *(ROOT / "tests" / "things" / f"{name}.yaml" for name in ("chest", "lining", "floor-panels", "bed-platform-legs")),
]


@cache
def made(path: Path) -> tuple[Plan, CutPlan | None, Building]:
    """Return a plan with its cuts, if there is anything to cut, and what building it takes."""
    plan = loaded(path)
    try:
        cuts = solve_plan(plan)
    except LayoutError:
        cuts = None
    return plan, cuts, building(plan)


def read(data: bytes) -> Any:
    return openpyxl.load_workbook(BytesIO(data))


def rows_of(path: Path, sheet: str) -> list[dict[str, Any]]:
    """Return the rows of a sheet as another program reads them, by what the first row says."""
    header, *rows = read(workbook_files(*made(path))[WORKBOOK])[sheet].iter_rows(values_only=True)
    end = next((i for i, row in enumerate(rows) if all(cell is None for cell in row)), len(rows))
    return [dict(zip(header, row, strict=True)) for row in rows[:end]]


def number(row: dict[str, Any], word: str) -> float:
    """Return the number in the column whose head begins with a word and ends with a unit."""
    (value,) = (cell for head, cell in row.items() if head.rpartition(" ")[0] == word)
    assert isinstance(value, (int, float))
    return value


def table(*cells: Any, kind: Any = "text") -> SheetTable:
    return SheetTable(name="t", columns=(Column(head="head", kind=kind),), rows=tuple((cell,) for cell in cells))


@pytest.mark.parametrize("text", FORMULAS)
def test_a_name_is_never_a_formula(text: str) -> None:
    """A text that a spreadsheet would work out, link or turn into a number is a plain text, sign by sign."""
    cell = read(workbook([table(text)], text, "mm"))["t"]["A2"]

    assert cell.data_type == "s"
    assert cell.value == text.replace("\t", " ")
    assert cell.hyperlink is None


def test_signs_that_cannot_be_stored_are_blanks() -> None:
    """A workbook with control signs, lone halves of signs or endless texts opens all the same."""
    sheet = read(workbook([table("a\x00\x0bb\ud800c", "x" * 40000, "_x0041_")], "&L\x07 && title" * 40, "mm"))["t"]

    assert sheet["A2"].value == "a  b c"
    assert len(sheet["A3"].value) == 32767
    # Signs by their number are spelled out in the file, so that this one is not read as an A.
    assert sheet["A4"].value in ("_x0041_", "_x005F_x0041_")


def test_sheets_are_ready_to_print() -> None:
    """Landscape, as wide as the paper, the head bold, frozen and on each page, the columns as wide as their texts."""
    tables = [table("a text as long as this one", "b" * 200)]
    for units, paper in (("mm", 9), ("in", 1)):
        sheet = read(workbook(tables, "A & B", units))["t"]  # type: ignore[arg-type]

        assert (sheet.page_setup.orientation, int(sheet.page_setup.paperSize)) == ("landscape", paper)
        assert (sheet.page_setup.fitToWidth or 1, int(sheet.page_setup.fitToHeight)) == (1, 0)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.freeze_panes == "A2"
        assert sheet["A1"].font.b
        assert not sheet["A2"].font.b
        assert 26 <= sheet.column_dimensions["A"].width <= 63
        assert sheet["A3"].alignment.wrap_text
        assert "A && B" in str(sheet.oddHeader.left.text) or "A & B" in str(sheet.oddHeader.left.text)


def test_a_sum_is_bold_and_a_note_stands_below() -> None:
    """Rows that sum others up are seen at once."""
    sums = SheetTable(
        name="t", columns=(Column(head="kg", kind="mass"),), rows=((1.0,), (2.5,), (3.5,)), strong=(2,), note="n"
    )
    sheet = read(workbook([sums], "", "mm"))["t"]

    assert [sheet[f"A{i}"].font.b for i in (2, 3, 4)] == [False, False, True]
    assert [sheet[f"A{i}"].value for i in (4, 5, 6)] == [3.5, None, "n"]


def test_inches_are_numbers_shown_as_on_a_tape() -> None:
    """Each length is shown with the denominator that its nearest 64th has, and is the full number underneath."""
    sheet = read(workbook([table(24.0, 23.625, 0.5, 31.594016, 7.015625, kind="length")], "", "in"))["t"]

    assert [sheet[f"A{i}"].value for i in range(2, 7)] == [24.0, 23.625, 0.5, 31.594016, 7.015625]
    assert [sheet[f"A{i}"].number_format for i in range(2, 7)] == ["0", "# ?/8", "# ?/2", "# ??/32", "# ??/64"]


@pytest.mark.parametrize("path", SOME, ids=lambda p: p.stem)
def test_panels_say_what_the_table_of_panels_says(path: Path) -> None:
    """Every row of the printed table is there as numbers, in the unit that the head names."""
    plan = made(path)[0]
    header, wanted = panel_table(plan)
    if not wanted:
        assert "panels" not in read(workbook_files(*made(path))[WORKBOOK]).sheetnames
        return
    units = drawn_unit(plan.project.said.units)
    mm = {"mm": 1.0, "in": 25.4}[units]
    rows = rows_of(path, "panels")
    assert f"length {units}" in rows[0]
    for said in (dict(zip(header, row, strict=True)) for row in wanted):
        sizes = [float(parse_length(said[f"{word} {units}"], units)) for word in ("thickness", "length", "width")]
        same = [
            row
            for row in rows
            if (row["unit"], row["panel"], row["material"], row["grain"])
            == (said["unit"], said["panel"], said["material"], said["grain"])
            and [number(row, word) * mm for word in ("thickness", "length", "width")] == pytest.approx(sizes, abs=0.21)
        ]
        assert sum(row["count"] for row in same) >= int(said["count"])
        for row in same:
            kg = number(row, "mass each") * {"mm": 1.0, "in": 0.45359237}[units]
            assert kg == pytest.approx(float(parse_mass(said["mass each"])), abs=0.06)
            assert number(row, "mass in all") == pytest.approx(number(row, "mass each") * row["count"], abs=0.01)
    assert sum(row["count"] for row in rows) == sum(len(thing.panels) for thing in plan.layout.things)


@pytest.mark.parametrize("path", SOME, ids=lambda p: p.stem)
def test_parts_and_cuts_are_those_of_the_lists(path: Path) -> None:
    """Each part is there as large as it is sawn; each cut with its fence, in the order of the cut list."""
    plan, cuts, _ = made(path)
    if cuts is None:
        return
    units = drawn_unit(plan.project.said.units)
    mm = {"mm": 1.0, "in": 25.4}[units]
    parts, order = rows_of(path, "parts"), rows_of(path, "cut order")
    wanted = parts_of(plan.layout.things)
    assert [(r["part"], r["count"]) for r in parts] == [(p.name, p.count) for p in wanted]
    assert [number(r, "length") * mm for r in parts] == pytest.approx([p.length for p in wanted], abs=1e-3)
    assert [number(r, "width") * mm for r in parts] == pytest.approx([p.width for p in wanted], abs=1e-3)
    made_cuts = [step for m in cuts.materials for sheet in m.sheets for step in steps(sheet)]
    assert [number(row, "fence") * mm for row in order] == pytest.approx([s.fence for s in made_cuts], abs=1e-3)
    listed = cut_list(cuts, units)[1]
    assert [(row["cut"], row["setting"], row["from"]) for row in order if row["by"] == "home"] == [
        (row[3], row[7], row[9]) for row in listed
    ]


@pytest.mark.parametrize("path", SOME, ids=lambda p: p.stem)
def test_money_adds_up(path: Path) -> None:
    """What is to be paid in all is the sum of its rows, and the sheets cost what the plan of cuts says."""
    _, cuts, built = made(path)
    if not built.units or cuts is None:
        return
    rows = rows_of(path, "shopping")
    (cost,) = {head for head in rows[0] if head.startswith("cost")}
    assert rows[-1]["material"] == "in all"
    assert rows[-1][cost] == pytest.approx(sum(row[cost] for row in rows[:-1]), abs=0.01)
    sheets = {material.material: material.cost for material in cuts.materials}
    assert {row["material"]: row[cost] for row in rows if row["material"] in sheets} == pytest.approx(sheets)
    hardware = rows_of(path, "hardware")
    assert {row["item"]: row["count"] for row in hardware} == {row[0]: row[2] for row in hardware_table(built, "")[1]}


@pytest.mark.parametrize("path", SOME, ids=lambda p: p.stem)
def test_masses_of_every_state_add_up(path: Path) -> None:
    """Left and right, and front and rear, are the whole; the sum of a state is the sum of what stands in it."""
    plan = made(path)[0]
    kg = {"mm": 1.0, "in": 0.45359237}[drawn_unit(plan.project.said.units)]
    rows = rows_of(path, "masses")
    built_in = [thing for thing in plan.layout.things if thing.in_build_up]
    for state, placed in plan.layout.placed.items():
        things = [*(p.thing for p in placed), *built_in]
        own = [row for row in rows if row["state"] == state]
        assert [row["thing"] for row in own] == [*(thing.name for thing in things), "all together"]
        known = [row for row in own if row[next(h for h in row if h.startswith("mass"))] is not None]
        for row in known:
            mass = number(row, "mass")
            assert number(row, "left") + number(row, "right") == pytest.approx(mass, abs=0.002)
            assert number(row, "front") + number(row, "rear") == pytest.approx(mass, abs=0.002)
        total = sum(thing.mass_kg for thing in things)
        assert (number(own[-1], "mass") * kg if total else 0.0) == pytest.approx(total, abs=0.001)


def placed(mass: float, *solids: Solid) -> Placed:
    thing = Thing(name="a", group="a", kind="box", solids=solids, mass_kg=mass)
    return Placed(thing=thing, solids=solids, box=outer_box(solids))


def test_a_mass_is_shared_by_where_its_volume_lies() -> None:
    """By hand: 12 kg in a box from y -100 to 300 and x 0 to 600: 9 kg left, and 4 kg ahead of x = 400."""
    one = weight_of(placed(12.0, box("a", (0, 600), (-100, 300), (0, 200))), 400.0)

    assert (one.left, one.front) == pytest.approx((9.0, 4.0))
    assert one.centre == pytest.approx((300.0, 100.0, 100.0))


def test_two_solids_weigh_by_their_volume() -> None:
    """By hand: a triangle of 0.5 x 600 x 300 x 100 mm and a box of 300 x 300 x 100 mm weigh alike, 5 kg each."""
    triangle = Solid(name="t", outline=((0, 0), (600, 0), (0, 300)), z0=0, z1=100)
    one = weight_of(placed(10.0, triangle, box("b", (700, 1000), (-300, 0), (100, 200))), 700.0)

    assert (one.left, one.front) == pytest.approx((5.0, 5.0))
    assert one.centre == pytest.approx(((200 + 850) / 2, (100 - 150) / 2, (50 + 150) / 2))


def test_the_centre_of_all_is_the_lever_of_their_masses() -> None:
    """By hand: 10 kg at x 100 and 30 kg at x 500 balance at x 400; nothing has no centre."""
    light, heavy = (
        weight_of(placed(kg, box("a", (x - 50, x + 50), (0, 100), (0, 100))), 300.0)
        for kg, x in ((10.0, 100), (30.0, 500))
    )
    both = together([light, heavy])

    assert both is not None
    assert (both.mass, both.centre[0], both.left, both.front) == pytest.approx((40.0, 400.0, 40.0, 30.0))
    assert together([]) is None


def test_linings_weigh_on_their_walls_and_floors_where_they_lie() -> None:
    """What took its room from the build-up is carried all the same: left wall left, right wall right, floor in between."""
    lining, floor = (loaded(ROOT / "tests" / "things" / f"{name}.yaml") for name in ("lining", "floor-panels"))
    things = {thing.name: thing for plan in (lining, floor) for thing in plan.layout.things}
    left, right, boards = (
        weight_in_build_up(things[name], 1000.0) for name in ("left lining", "right lining", "boards")
    )

    assert left.left == left.mass == things["left lining"].mass_kg > 10
    assert right.left == 0
    assert left.centre[1] > 800
    assert right.centre[1] < -800
    # More than half, since a step takes floor off the right.
    assert 0.50 * boards.mass < boards.left < 0.55 * boards.mass
    assert -40 < boards.centre[2] < 0


def test_things_without_a_mass_are_told(tmp_path: Path) -> None:
    """A cell without a number is no nought, and the note says how many there are."""
    things = {
        name: {"kind": "box", "length": "300", "width": "200", "height": "100", **more}
        for name, more in (("a", {"mass": "5"}), ("b", {}))
    }
    plan = plan_of(
        tmp_path, things=things, arrangement={"a": {"rear": "10", "centre": "0"}, "b": {"rear": "500", "centre": "0"}}
    )
    found = masses_table(plan)

    assert [row[2] for row in found.rows if row[0] == "drive"] == [5.0, None, 5.0]
    assert "1 of 2 things have no mass" in found.note


@pytest.mark.parametrize("path", SOME, ids=lambda p: p.stem)
def test_findings_are_all_there(path: Path) -> None:
    """Each finding has its row, with its text and what was measured; the CSV says the same."""
    plan, cuts, built = made(path)
    mm = {"mm": 1.0, "in": 25.4}[drawn_unit(plan.project.said.units)]
    rows = rows_of(path, "findings")
    files = workbook_files(plan, cuts, built)
    assert [(row["severity"], row["rule"], row["finding"]) for row in rows] == [
        (f.severity, f.rule, f.text) for f in plan.findings
    ]
    for row, finding in zip(rows, plan.findings, strict=True):
        if finding.measured is not None:
            assert number(row, "measured") * mm == pytest.approx(finding.measured, abs=0.06)
    listed = list(csv.DictReader(files["findings.csv"].decode().splitlines()))
    assert [row["finding"] for row in listed] == [f.text for f in plan.findings]


def test_without_cuts_there_is_no_order_of_cuts() -> None:
    """A plan that is not cut yet has a workbook of what is known."""
    plan = loaded(DECIDED[0])
    sheets = [table.name for table in workbook_tables(plan, None, None)]

    assert sheets == ["parts", "panels", "masses", "findings"]


def test_hostile_names_of_a_project_stay_names(tmp_path: Path) -> None:
    """Names that begin like formulas go through the whole program and come out as text, in XLSX and in CSV."""
    names = ("=1+1", "+x", "-5", "@sum", "a;=2", "&L&P")
    things = {name: {"kind": "box", "length": "200", "width": "200", "height": "100", "mass": "1"} for name in names}
    at = {name: {"at": [str(300 + 250 * i), "0", "0"]} for i, name in enumerate(names)}
    plan = plan_of(tmp_path, title="=cmd|' /C calc'!A0 & more", things=things, arrangement=at)
    files = workbook_files(plan, None, None)
    sheet = read(files[WORKBOOK])["masses"]
    cells = [cell for (cell,) in sheet.iter_rows(min_row=2, min_col=2, max_col=2, max_row=1 + len(names))]

    assert [(cell.data_type, cell.value) for cell in cells] == [("s", name) for name in names]
    listed = [row["thing"] for row in csv.DictReader(files["masses.csv"].decode().splitlines())][: len(names)]
    assert listed == ["'=1+1", "'+x", "'-5", "'@sum", "a;'=2", "&L&P"]


@pytest.mark.parametrize(
    ("text", "safe"),
    [
        ("=1", "'=1"), (" =1", "' =1"), ("a;=1", "a;'=1"), ("a; -x", "a;' -x"), ("a\n=2", "a\n'=2"), ("\uff1d1", "'\uff1d1"),
        ("\tx", "'\tx"), ("x-1", "x-1"), ("3 - 4", "3 - 4"), ("", ""), ("a, b = c", "a, b = c"), ("'=1", "'=1"),
    ],
)  # fmt: skip
def test_csv_shows_what_looks_like_a_formula_as_text(text: str, safe: str) -> None:
    """An apostrophe stands before each sign that some spreadsheet would take for the beginning of a formula."""
    ((cell, after),) = csv.reader(csv_table([[text, 7]]).decode().splitlines(keepends=True))

    assert (cell, after) == (safe, "7")


def test_the_same_workbook_has_the_same_bytes() -> None:
    """No time gets into the file, nor into the list of its members."""
    path = DECIDED[0]
    assert workbook_files(*made(path)) == workbook_files(*made(path))
