"""Builders of marks: dimensions, hatching, title block."""

from __future__ import annotations

import pytest

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.lines import arc_points, hatch
from layout.drawing.model import Path, Text
from layout.drawing.paper import paper
from layout.drawing.text_width import inside, overlap, text_box
from layout.drawing.title_block import TitleBlock, sheet_marks, sheet_room

_PAPER = (-20.0, 200.0)


def _dimension(low: float, high: float) -> Dimension:
    return Dimension(low=low, high=high, text=f"{high - low:g}")


def test_dimensions_in_the_same_row_do_not_meet() -> None:
    """Protects the numbers of neighbouring dimensions, also where the text is wider than the stretch."""
    wanted = tuple(_dimension(x, x + w) for x, w in ((0, 3), (3, 3), (6, 40), (10, 20), (50, 5)))
    for side in ("bottom", "top", "left", "right"):
        marks = dimension_marks(in_rows(wanted, 4, _PAPER), side, 100.0)
        boxes = [text_box(mark) for mark in marks if isinstance(mark, Text)]
        assert len(boxes) == 5
        assert not any(overlap(a, b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_a_stretch_is_told_once() -> None:
    """Protects the drawing from the same number six times for six equal things in a row."""
    rows = in_rows((_dimension(0, 40), _dimension(0, 40), _dimension(0.04, 40.04)), 3, _PAPER)
    assert sum(len(row) for row in rows) == 1


def test_rows_are_limited() -> None:
    """Protects the room that was kept free beside the figure."""
    rows = in_rows(tuple(_dimension(0, 40 + i) for i in range(9)), 2, _PAPER)
    assert len(rows) == 2
    assert depth(2) > depth(1) > depth(0) == 0.0


def test_a_text_that_would_leave_the_paper_is_left_out() -> None:
    """Protects the frame from a short dimension at its edge, whose text stands beyond the stretch."""
    assert in_rows((_dimension(0, 3),), 3, (-5.0, 5.0)) == ()
    assert len(in_rows((_dimension(0, 3),), 3, (-5.0, 15.0))) == 1


def test_hatching_stays_in_its_outline() -> None:
    """Protects neighbours of a hatched part, also in an outline with a notch."""
    notch = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0))
    lines = hatch("a", notch, 2.0)
    assert lines
    for mark in lines:
        (ax, ay), (bx, by) = mark.points
        assert bx - ax == pytest.approx(by - ay)
        assert not ((ax + bx) / 2 > 10.001 and (ay + by) / 2 > 10.001)
        assert min(ax, bx, ay, by) >= -1e-9
        assert max(ax, bx, ay, by) <= 20 + 1e-9


def test_arcs_end_where_they_should() -> None:
    """Protects the sweep of a door's leaf: from closed to open."""
    points = arc_points((1.0, 2.0), 5.0, 90, 0)
    assert points[0] == pytest.approx((1.0, 7.0))
    assert points[-1] == pytest.approx((6.0, 2.0))


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", ["A4", "A3", "A1", "Letter", "Tabloid"])
@pytest.mark.parametrize("way", ["landscape", "portrait"])
def test_title_block_on_every_paper(units: str, name: str, way: str) -> None:
    """Protects frame, title block and rulers: nothing overlaps, nothing leaves, the check length is true."""
    sheet = paper(name, way)  # type: ignore[arg-type]  # parameters of tests are plain strings
    block = TitleBlock(
        title="a title so long that it can hardly be set in the block of the smallest sheet of paper",
        project="a project with quite a long name of its own",
        scale=20,
        sheet=12,
        sheets=24,
        units=units,
        program="layout 0.1.0",
    )
    marks = sheet_marks(sheet, block)
    boxes = [text_box(mark) for mark in marks if isinstance(mark, Text)]
    assert all(inside(box, sheet.frame) for box in boxes)
    assert not any(overlap(a, b) for i, a in enumerate(boxes) for b in boxes[:i])
    assert not any(overlap(box, sheet_room(sheet)) for box in boxes)
    (check,) = (mark for mark in marks if isinstance(mark, Path) and mark.id == "check-length")
    assert check.points[1][0] - check.points[0][0] == pytest.approx(101.6 if units == "in" else 100.0)
    said = [mark.text for mark in marks if isinstance(mark, Text)]
    assert {"scale 1:20", "sheet 12 of 24", "layout 0.1.0"} <= set(said)
    assert "check before cutting: not certified for safety" in said
