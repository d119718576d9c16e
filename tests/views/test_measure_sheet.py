"""Measure sheets: blank ones for every kind and unit, filled ones for every project; all boxes, and readable."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.text_width import Box, overlap
from layout.errors import InputError
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.measure_sheets import blank_measure_sheets, measure_sheets, sketch_of
from layout.views.measure_sheet.entries import check_groups, cross_groups, floor_groups, side_groups, ways
from layout.views.measure_sheet.sketch import KINDS, Sketch, generic, heights_of
from tests.builders import EXAMPLES, ROOT, plan_of
from tests.survey.tape import TWELVE

THINGS = sorted((ROOT / "tests" / "things").glob("*.yaml"))
RULES = ROOT / "tests" / "checks" / "rules"


def _said(sheets: Sequence[Drawing]) -> list[str]:
    return [mark.text for sheet in sheets for mark in sheet.marks if isinstance(mark, Text)]


def _boxes(drawing: Drawing) -> list[Box]:
    return [
        (min(x for x, _ in m.points), min(y for _, y in m.points), max(x for x, _ in m.points), max(y for _, y in m.points))
        for m in drawing.marks
        if not isinstance(m, Text) and m.layer == "form" and len(m.points) == 4
    ]  # fmt: skip


@pytest.mark.parametrize("paper", [None, "A4", "A2", "Letter"])
@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("kind", list(KINDS))
def test_blank_sheets_can_be_read(
    kind: str, units: str, paper: str | None, text_faults: Callable[[Drawing], list[str]]
) -> None:
    """No text overlaps another or leaves the frame; boxes lie apart, and are high enough for a pencil."""
    sheets = blank_measure_sheets(units, Paper(name=paper), kind)  # type: ignore[arg-type]  # plain strings
    for sheet in sheets:
        assert text_faults(sheet) == [], sheet.name
        boxes = _boxes(sheet)
        assert not any(overlap(a, b) for i, a in enumerate(boxes) for b in boxes[:i])
        assert all(b[3] - b[1] >= 8 and b[2] - b[0] >= 12 for b in boxes)
    assert len({sheet.name for sheet in sheets}) == len(sheets)


@pytest.mark.parametrize("paper", [None, "A4", "Letter"])
@pytest.mark.parametrize("path", EXAMPLES + THINGS, ids=lambda p: p.stem)
def test_sheets_of_projects_can_be_read(
    path: Path, paper: str | None, text_faults: Callable[[Drawing], list[str]]
) -> None:
    """The same holds for every example and every thing's own project."""
    for sheet in measure_sheets(load(str(path)), Paper(name=paper)):
        assert text_faults(sheet) == [], sheet.name


def _names(sketch: Sketch) -> list[str]:
    makers = (floor_groups, side_groups, cross_groups, check_groups)
    return [name for make in makers for g in make(sketch) for e in g.entries for _, name in e.boxes]


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_box_is_there_once_on_the_sheets(kind: str) -> None:
    """As many boxes are drawn as are asked for, each with a name of its own."""
    names = _names(generic(kind, 300.0))
    sheets = blank_measure_sheets("mm", Paper(), kind)  # type: ignore[arg-type]  # plain strings

    assert len(names) == len(set(names))
    assert sum(len(_boxes(sheet)) for sheet in sheets) == len(names)


def test_the_blank_floor_asks_for_twelve_readings() -> None:
    """The readings of the sheet are the twelve of which a wrong one can be named: six lengths from both ends."""
    said = _said(blank_measure_sheets("mm", Paper()))

    assert {f"{a}-{b}" for a, b in TWELVE} <= set(said)
    assert len(ways(generic("van", 300.0))) == 6


def test_widths_are_asked_for_at_several_heights_on_both_sides() -> None:
    """A van is measured at seven heights at three places, left, right and across; inches are whole feet up."""
    assert heights_of(1880.0, 300.0) == (0, 300, 600, 900, 1200, 1500, 1800)
    assert heights_of(540.0, 300.0) == (0, 150, 300, 450)
    said = _said(blank_measure_sheets("in", Paper()))
    assert {'12"', '24"', '72"'} <= set(said)
    assert said.count("left") >= 3 * 7 + 1
    assert said.count("left") == said.count("right")
    assert "609.6" not in "".join(said)


def test_more_corners_are_reached_from_two_known_ones() -> None:
    """A floor of five corners is measured round its sides and from its first two corners to all others."""
    sketch = generic("trailer", 300.0)
    five = Sketch(
        kind="", corners=(*sketch.corners, ("E", (0.0, 500.0))), profile=sketch.profile, roof=sketch.roof, heights=()
    )

    assert {("A", "C"), ("A", "D"), ("B", "D"), ("B", "E")} <= set(ways(five))


def test_a_project_s_figures_stand_in_the_boxes() -> None:
    """What the file says is printed: the wheel wells of the catalogue's van, its roof, its door; what it lacks is blank."""
    plan = load(str(ROOT / "examples" / "market-van.yaml"))
    known = sketch_of(plan.project.said.space, plan.project.space, "mm").known

    assert (known["well 1 x0"], known["well 1 width"], known["roof 2 z"]) == (640, 200, 1870)
    assert known["station 1 1000 left"] == known["station 1 1000 right"] == 868
    assert known["side door start"] == 1850
    assert "A-B" not in known
    said = _said(measure_sheets(plan, Paper()))
    assert {"640", "1450", "868", "1850", "3150"} <= set(said)


def test_a_survey_s_readings_and_their_differences_are_printed() -> None:
    """The readings of a surveyed floor stand in the boxes as read, and how far apart two of one length are."""
    plan = load(str(RULES / "survey-bad.yaml"))
    known = sketch_of(plan.project.said.space, plan.project.space, "mm").known

    assert (known["A-C"], known["C-A"], known["apart A-C"]) == (3756, 3577, 179)
    assert known["alike sides"] == 1


def test_each_key_of_the_sketch_has_its_box() -> None:
    """No arrow has a key without boxes, and no key of a box is missing on the sketch."""
    for sheet in blank_measure_sheets("mm", Paper())[:3]:
        texts = [m for m in sheet.marks if isinstance(m, Text)]
        keys = {m.text for m in texts if m.layer == "keys"}
        asked = {part for m in texts if m.layer == "form" and m.anchor == "middle" for part in m.text.split()}
        assert keys == asked


def test_an_unknown_kind_is_refused() -> None:
    """A kind of space without a blank sheet is refused, and those that there are named."""
    with pytest.raises(InputError, match="there are: van, trailer, truck bed"):
        blank_measure_sheets("mm", Paper(), "barge")  # type: ignore[arg-type]  # wrong on purpose


def test_a_bare_room_is_a_sheet_too(tmp_path: Path) -> None:
    """A project that says no more than a floor and a roof has all sheets, mostly blank."""
    sheets = measure_sheets(plan_of(tmp_path), Paper())

    assert [sheet.title for sheet in sheets] == [f"measure, {word}" for word in ("floor", "side", "across", "checks")]
