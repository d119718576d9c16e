"""Every drawing of every example: texts apart, inside the frame, large enough; to scale."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from layout.drawing.model import SMALLEST_TEXT, Drawing, Text
from layout.jobs.draw import Paper, drawings
from layout.jobs.load import Plan, load
from tests.builders import EXAMPLES


@cache
def _plan(path: Path) -> Plan:
    return load(str(path))


@pytest.mark.parametrize("paper", ["A4", "A2"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_texts_of_every_example_can_be_read(
    path: Path, paper: str, text_faults: Callable[[Drawing], list[str]]
) -> None:
    """No text of a plan or elevation overlaps another, leaves the frame or is under 1.8 mm, on small paper and large."""
    for drawing in drawings(_plan(path), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name
        assert all(mark.height >= SMALLEST_TEXT for mark in drawing.marks if isinstance(mark, Text))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_plan_is_to_scale(path: Path) -> None:
    """The walls on paper, times the scale, are as long as the space, and the check length is 100 mm or 4 in."""
    plan = _plan(path)
    drawing = drawings(plan, Paper())[0]
    xs = [x for mark in drawing.marks if mark.layer == "walls" for x, _ in mark.points]  # type: ignore[union-attr]
    check = 101.6 if plan.project.said.units == "in" else 100.0
    lines = [
        abs(m.points[-1][0] - m.points[0][0]) for m in drawing.marks if not isinstance(m, Text) and len(m.points) == 2
    ]

    assert drawing.scale is not None
    assert (max(xs) - min(xs)) * drawing.scale == pytest.approx(plan.project.space.length, abs=0.01)
    assert any(length == pytest.approx(check) for length in lines)
