"""Every drawing of every example: texts apart, inside the frame, large enough; to scale."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from layout.drawing.model import SMALLEST_TEXT, Drawing, Text
from layout.jobs import cut
from layout.jobs.draw import Paper, drawings, view_options
from layout.jobs.load import load
from layout.jobs.panels import job_of, panel_table
from layout.views.tables import table_pages
from tests.builders import EXAMPLES


@pytest.mark.parametrize("paper", [None, "A4", "A2", "Letter"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_texts_of_every_example_can_be_read(
    path: Path, paper: str | None, text_faults: Callable[[Drawing], list[str]]
) -> None:
    """No text of a plan or elevation overlaps another, leaves the frame or is under 1.8 mm, on small paper and large."""
    for drawing in drawings(load(str(path)), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name
        assert all(mark.height >= SMALLEST_TEXT for mark in drawing.marks if isinstance(mark, Text))


@pytest.mark.parametrize("path", [p for p in EXAMPLES if "compact" not in p.stem], ids=lambda p: p.stem)
def test_texts_of_every_cutting_page_can_be_read(path: Path, text_faults: Callable[[Drawing], list[str]]) -> None:
    """The same holds for the cutting diagrams and the printed lists."""
    plan = load(str(path))
    options = view_options(plan, Paper())
    upright = replace(options, orientation="portrait")
    cuts = cut.solve(job_of(plan))
    sheets = [
        *cut.diagrams(cuts, options),
        *cut.pages(cuts, plan.project.said.units, "EUR", upright),
        *table_pages("Panels", *panel_table(plan), upright),
    ]
    for drawing in sheets:
        assert text_faults(drawing) == [], drawing.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_plan_is_to_scale(path: Path) -> None:
    """The walls on paper, times the scale, are as long as the space, and the check length is 100 mm or 4 in."""
    plan = load(str(path))
    drawing = drawings(plan, Paper())[0]
    xs = [x for mark in drawing.marks if mark.layer == "walls" for x, _ in mark.points]  # type: ignore[union-attr]
    check = 101.6 if plan.project.said.units == "in" else 100.0
    lines = [
        abs(m.points[-1][0] - m.points[0][0]) for m in drawing.marks if not isinstance(m, Text) and len(m.points) == 2
    ]

    assert drawing.scale is not None
    assert (max(xs) - min(xs)) * drawing.scale == pytest.approx(plan.project.space.length, abs=0.01)
    assert any(length == pytest.approx(check) for length in lines)
