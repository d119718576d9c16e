"""The set-out at full size: what lies on the paper lies on the floor, and strips show the same where they overlap."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.jobs.set_out_sheets import full_size_sheets
from layout.views.set_out_marks import floor_marks
from tests.builders import EXAMPLES, ROOT, plan_of

VAN = ROOT / "examples" / "market-van.yaml"
INCHES = ROOT / "examples" / "high-roof-inches.yaml"


def _outlines(sheet: Drawing, name: str) -> set[tuple[float, float]]:
    """Return the ends of the edges of a thing on a strip, mm of the floor, by the labels of its crosses alone."""
    dx, dy = _origin(sheet)
    edges = [m for m in sheet.marks if isinstance(m, Line) and m.layer == "outlines" and m.id == name]
    return {(round(x - dx, 2), round(y - dy, 2)) for mark in edges for x, y in mark.points}


def _origin(sheet: Drawing) -> tuple[float, float]:
    """Return where x 0 on the centreline is on the paper, as the cross nearest to a label says it, mm."""
    crosses = {
        (round((m.points[0][0] + m.points[1][0]) / 2, 3), round(m.points[0][1], 3))
        for m in sheet.marks
        if isinstance(m, Line) and m.layer == "grid" and m.points[0][1] == m.points[1][1]
    }
    for mark in sheet.marks:
        if isinstance(mark, Text) and mark.layer == "names" and mark.text.replace(",", "").split(" ")[0].isdigit():
            at = min(crosses, key=lambda c: abs(c[0] - mark.at[0]) + abs(c[1] + 10 - mark.at[1]))
            x, _, side = mark.text.partition(", ")
            y = float(side.split(" ")[0]) * (1 if side.endswith("left") else -1) if side else 0.0
            return at[0] - float(x), at[1] - y
    raise AssertionError("no cross has a label")


def _plan(path: Path) -> Plan:
    return load(str(path))


def test_edges_lie_where_the_crosses_say() -> None:
    """Measured from a labelled cross, the foot of the bed is where the layout has it: 60 to 1900, 410 to 660 left."""
    sheets = [s for s in full_size_sheets(_plan(VAN), Paper()) if "drive" in s.name]
    found = {corner for sheet in sheets for corner in _outlines(sheet, "bed")}
    marks = [m for m in floor_marks(_plan(VAN).layout.placed["drive"]) if m.name == "bed"]

    assert len(marks) == 2
    for mark in marks:
        for x, y in mark.corners:
            assert min(abs(x - fx) + abs(y - fy) for fx, fy in found) <= 0.1


def test_strips_have_the_same_crosses_where_they_overlap() -> None:
    """Neighbours are laid together by crosses that both have: at least one every 500 mm along the seam."""
    sheets = [s for s in full_size_sheets(_plan(VAN), Paper()) if "drive" in s.name]
    seen = []
    for sheet in sheets:
        dx, dy = _origin(sheet)
        grid = [
            m.points
            for m in sheet.marks
            if isinstance(m, Line) and m.layer == "grid" and m.points[0][1] == m.points[1][1]
        ]
        seen.append({(round((a[0] + b[0]) / 2 - dx, 1), round(a[1] - dy, 1)) for a, b in grid})

    assert len(sheets) == 3
    assert all(len(one & other) >= 6 for one, other in pairwise(seen))


@pytest.mark.parametrize(("path", "length"), [(VAN, 1000.0), (INCHES, 1016.0)], ids=["mm", "in"])
def test_every_strip_goes_on_a_roll_and_can_be_measured(path: Path, length: float) -> None:
    """Strips are at most 900 mm wide and 5 m long, at 1:1, each with a length to measure of 1000 mm or 40 in."""
    for sheet in full_size_sheets(_plan(path), Paper()):
        (check,) = (m for m in sheet.marks if isinstance(m, Line) and m.id == "check-length")
        assert check.points[1][0] - check.points[0][0] == pytest.approx(length)
        assert sheet.scale == 1
        assert sheet.height <= 900
        assert sheet.width <= 5080


def test_a_long_floor_is_cut_along_too(tmp_path: Path) -> None:
    """A floor of 8 m goes on two lengths, since no page of a PDF is longer than 5.08 m."""
    space = {"floor": {"length": "8000", "width": "1200"}, "roof": {"0": "1800"}}
    crate = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "1"}
    long = plan_of(tmp_path, space=space, things={"crate": crate}, arrangement={"crate": {"at": ["3900", "0", "0"]}})
    sheets = full_size_sheets(long, Paper())

    assert len(sheets) == len(long.project.said.states and {s.name[-1] for s in sheets}) == 4
    assert all(sheet.width <= 5080 for sheet in sheets)
    assert all(_outlines(sheet, "crate") for sheet in sheets[:2])


def test_nothing_on_the_floor_no_strips() -> None:
    """A van in which nothing stands yet has nothing to set out."""
    empty = next(path for path in EXAMPLES if path.stem == "beekeepers")
    assert full_size_sheets(_plan(empty), Paper()) == ()
