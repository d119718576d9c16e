"""Cutting diagrams and tables: everything on them, nothing on top of each other."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from layout.drawing.model import Drawing, Path, Text
from layout.model.cutting import CutPlan
from layout.views.cutting import cutting_diagrams
from layout.views.options import ViewOptions
from layout.views.tables import table_pages

Check = Callable[[Drawing], list[str]]
HEADER = ("part", "length", "remark")
ROWS = [(f"rail {i}", f"{100 * i + 5}", "a remark that goes on and on and on " * (1 + i % 4)) for i in range(70)]


def _said(drawing: Drawing) -> list[str]:
    return [mark.text.replace("\u00a0", " ") for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("name", ["A4", "A3", "A2", "Letter"])
@pytest.mark.parametrize("way", ["landscape", "portrait"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_cutting_texts_never_overlap(cut_plan: CutPlan, text_faults: Check, name: str, way: str, units: str) -> None:
    """Protects the numbers on a cutting diagram with few large and with many narrow parts."""
    options = ViewOptions(paper=name, orientation=way, units=units)  # type: ignore[arg-type]  # plain strings
    diagrams = cutting_diagrams(cut_plan, options)
    assert [fault for drawing in diagrams for fault in text_faults(drawing)] == []


def test_a_diagram_shows_parts_cuts_and_fences(cut_plan: CutPlan) -> None:
    """Protects what the person at the saw reads: names, sizes, order of cuts, where to set the fence."""
    first, second = cutting_diagrams(cut_plan, ViewOptions(paper="A3"))
    said = _said(first)
    assert "deck panel 1 1780 × 700" in said
    assert "offcut 657 × 1220" in said
    assert said.count("1") == said.count("2") == 2
    assert {"1780", "left", "700", "bottom", "2440 × 1220", "grain"} <= set(said)
    assert _said(second).count("44") == 2
    assert (first.title, second.title) == ("birch 18 mm, sheet 1 of 2", "birch 18 mm, sheet 2 of 2")


def test_a_cut_is_as_wide_as_the_saw(cut_plan: CutPlan) -> None:
    """Protects the kerf: 3 mm at 1:10 are 0.3 mm, beyond the line of the cut."""
    drawing = cutting_diagrams(cut_plan, ViewOptions(paper="A3", scale=10))[0]
    cut = next(m for m in drawing.marks if isinstance(m, Path) and m.layer == "cuts")
    sheet = next(m for m in drawing.marks if isinstance(m, Path) and m.layer == "sheet edge")
    left = min(x for x, _ in sheet.points)
    assert min(x for x, _ in cut.points) - left == pytest.approx(178.0)
    assert max(x for x, _ in cut.points) - left == pytest.approx(178.3)


@pytest.mark.parametrize("way", ["landscape", "portrait"])
def test_tables_run_over_pages(text_faults: Check, way: str) -> None:
    """Protects long lists: every row once, the header on every page, nothing cut off or overlapping."""
    options = ViewOptions(paper="A4", orientation=way)  # type: ignore[arg-type]  # plain strings
    pages = table_pages("cut list", HEADER, ROWS, options)
    assert len(pages) > 1
    assert [fault for page in pages for fault in text_faults(page)] == []
    said = [text for page in pages for text in _said(page)]
    assert said.count("remark") == len(pages)
    assert [text for text in said if text.startswith("rail ")] == [row[0] for row in ROWS]
    assert f"sheet 1 of {len(pages)}" in said


def test_numbers_stand_to_the_right() -> None:
    """Protects comparing sizes down a column."""
    (page,) = table_pages("sizes", HEADER, ROWS[:3])
    anchors = {mark.text: mark.anchor for mark in page.marks if isinstance(mark, Text)}
    assert anchors["205"] == "end"
    assert anchors["rail 2"] == "start"


def test_an_empty_table_is_a_page() -> None:
    """Protects a project without parts: a header and no rows, not an error."""
    (page,) = table_pages("cut list", HEADER, [])
    assert "remark" in _said(page)
