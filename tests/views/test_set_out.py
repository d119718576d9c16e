"""Set-out sheets: every figure is the layout's own, and can be read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from layout.drawing.model import SMALLEST_TEXT, Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.jobs.set_out_sheets import set_out_sheets
from layout.units.length import parse_length
from layout.views.options import ViewOptions
from layout.views.set_out import HEADER, distinct, mark_rows
from layout.views.set_out_marks import FloorMark, floor_marks
from tests.builders import EXAMPLES, ROOT, plan_of

THINGS = sorted((ROOT / "tests" / "things").glob("*.yaml"))


def _signed(said: str) -> float:
    number = said.removesuffix(" left").removesuffix(" right")
    return float(parse_length(number, "mm")) * (-1 if said.endswith("right") else 1)


def _on_floor(plan: Plan, state: str, name: str) -> set[tuple[float, float]]:
    """Return the corners of all that the thing has on the floor."""
    placed = next(p for p in plan.layout.placed[state] if p.name == name)
    return {(round(x, 1), round(y, 1)) for s in placed.solids if abs(s.z0) < 1 for x, y in s.outline}


@pytest.mark.parametrize("path", EXAMPLES + THINGS, ids=lambda p: p.stem)
def test_the_table_says_corners_of_the_layout(path: Path) -> None:
    """Every x and y of an outline is that of a corner of a solid that stands on the floor, in the table's own words."""
    plan = load(str(path))
    for state in plan.project.said.states:
        marks = floor_marks(plan.layout.placed[state])
        rows = [row for row in mark_rows(marks, ViewOptions()) if row[1] != "corner"]
        for mark, row in zip(marks, rows, strict=True):
            if mark.above:
                continue
            corners = _on_floor(plan, state, mark.name)
            for x in row[2:4]:
                assert round(float(parse_length(x, "mm")), 1) in {cx for cx, _ in corners}, row
            for y in row[4:6]:
                assert round(_signed(y), 1) in {cy for _, cy in corners}, row


def test_every_foot_of_what_is_built_has_its_letter() -> None:
    """The corners of all pieces on the floor lie on or within some outline, and no letter stands twice."""
    for path in EXAMPLES:
        plan = load(str(path))
        marks = floor_marks(plan.layout.placed["camp"])
        assert len({mark.letter for mark in marks}) == len(marks)
        for placed in plan.layout.placed["camp"]:
            for solid in placed.solids:
                if abs(solid.z0) < 1 and placed.thing.kind != "mattress":
                    boxes = [mark.box for mark in marks if mark.name == placed.name]
                    x0, y0, x1, y1 = solid.bounds
                    assert any(
                        b[0] <= x0 + 0.01 and b[1] <= y0 + 0.01 and b[2] >= x1 - 0.01 and b[3] >= y1 - 0.01 for b in boxes
                    )  # fmt: skip


def test_a_box_is_told_by_its_edges_and_its_diagonal(tmp_path: Path) -> None:
    """A box of 400 by 300 with its rear at 1000, right edge on the centreline: 1000, 1400, 0, 300 left, 500 across."""
    things = {"chest": {"kind": "box", "length": "400", "width": "300", "height": "250"}}
    plan = plan_of(tmp_path, things=things, arrangement={"chest": {"at": ["1000", "150", "0"]}})
    rows = mark_rows(floor_marks(plan.layout.placed["camp"]), ViewOptions())

    assert rows == (("A", "chest", "1000", "1400", "0", "300 left", "500"),)
    assert len(rows[0]) == len(HEADER)


def test_an_outline_that_is_no_rectangle_has_its_corners() -> None:
    """An L is told by its six corners beside its edges; they run anticlockwise from the rear right."""
    ring = ((0.0, 0.0), (600.0, 0.0), (600.0, 200.0), (200.0, 200.0), (200.0, 500.0), (0.0, 500.0))
    rows = mark_rows((FloorMark(letter="A", name="corner bench", corners=ring),), ViewOptions(units="mm"))

    assert [row[0] for row in rows] == ["A", "A1", "A2", "A3", "A4", "A5", "A6"]
    assert rows[3][2:5] == ("600", "", "200 left")


def test_states_that_mark_the_floor_alike_share_a_sheet() -> None:
    """The bicycles that ride along in drive make it other than camp and sleep, which are one sheet."""
    plan = load(str(ROOT / "examples" / "market-van.yaml"))

    assert distinct(plan.layout, plan.project.said.states) == (("drive",), ("camp", "sleep"))
    assert [sheet.title for sheet in set_out_sheets(plan, Paper())] == ["set-out, drive", "set-out, camp, sleep"]


def test_nothing_on_the_floor_is_no_sheet(tmp_path: Path) -> None:
    """An empty room has no set-out sheet, and that is no error."""
    assert set_out_sheets(plan_of(tmp_path), Paper()) == ()


def test_outlines_are_to_scale() -> None:
    """The bed's bearer on the paper, times the scale, is as long as in the layout."""
    plan = load(str(ROOT / "examples" / "market-van.yaml"))
    sheet = set_out_sheets(plan, Paper())[0]
    line = next(m for m in sheet.marks if isinstance(m, Line) and m.layer == "outlines" and m.id == "bed")
    mark = next(m for m in floor_marks(plan.layout.placed["drive"]) if m.name == "bed")
    spans = sorted(max(p[i] for p in line.points) - min(p[i] for p in line.points) for i in (0, 1))

    assert sheet.scale is not None
    assert spans[1] * sheet.scale == pytest.approx(mark.box[2] - mark.box[0])


@pytest.mark.parametrize("paper", [None, "A4", "A2", "Letter"])
@pytest.mark.parametrize("path", EXAMPLES + THINGS, ids=lambda p: p.stem)
def test_texts_can_be_read(path: Path, paper: str | None, text_faults: Callable[[Drawing], list[str]]) -> None:
    """No text overlaps another, leaves the frame or is under 1.8 mm; each letter stands on the plan."""
    plan = load(str(path))
    for drawing in set_out_sheets(plan, Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name
        texts = [m for m in drawing.marks if isinstance(m, Text)]
        assert all(m.height >= SMALLEST_TEXT for m in texts)
    for group in distinct(plan.layout, plan.project.said.states):
        first = next(d for d in set_out_sheets(plan, Paper(name=paper)) if d.name == f"set-out-{group[0]}")
        letters = {m.text for m in first.marks if isinstance(m, Text) and m.layer == "letters"}
        assert {m.letter for m in floor_marks(plan.layout.placed[group[0]])} <= letters
