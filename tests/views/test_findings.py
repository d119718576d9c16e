"""What the checks found, on paper: where, which way and how far."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.draw import Paper, drawings
from layout.jobs.load import Plan
from layout.model.cure import Cure
from layout.model.finding import Finding
from layout.model.solid import box
from tests.builders import plan_of

THINGS = {"a": {"kind": "box", "length": "500", "width": "400", "height": "500"}}
FAIL = Finding(
    rule="overlap", severity="fail", things=("a",), states=(), text="a is 200 mm too far left", cure="move a 200 mm right",
    where=box("a", (1000, 1500), (0, 400), (0, 500)), does=Cure(things=("a",), shift=(0.0, -200.0, 0.0)),
)  # fmt: skip


def _plan(folder: Path, *findings: Finding) -> Plan:
    plan = plan_of(folder, things=THINGS, arrangement={"a": {"at": ["1000", "200", "0"]}})
    return replace(plan, findings=findings)


def _marks(drawing: Drawing) -> list[Line]:
    return [m for m in drawing.marks if isinstance(m, Line) and m.layer == "findings"]


def test_a_failure_is_shaded_and_its_cure_is_an_arrow_to_scale(tmp_path: Path) -> None:
    """A move of 200 to the right is an arrow down the plan, 200 on the drawing's scale, from the thing's middle."""
    plan = drawings(_plan(tmp_path, FAIL), Paper(name="A2", scale=10))[0]
    heads = [m for m in _marks(plan) if m.fill == 0.0]
    bands = [m for m in _marks(plan) if m.pen.grey == 1.0]

    assert len(heads) == len(bands) == 1
    (x0, y0), (x1, y1) = bands[0].points
    assert (x1 - x0, y1 - y0) == (pytest.approx(0.0), pytest.approx(-20.0, abs=0.01))
    assert len([m for m in _marks(plan) if m.pen.width == 0.25]) > 5
    said = " ".join(m.text for m in plan.marks if isinstance(m, Text) and m.layer == "notes")
    assert "FAILS: a is 200 mm too far left." in said
    assert "move a 200 mm right" in said


def test_a_small_move_is_still_seen(tmp_path: Path) -> None:
    """A move of 3 mm is 0.15 mm on 1:20, so its arrow is drawn 9 mm long."""
    small = replace(FAIL, does=Cure(things=("a",), shift=(3.0, 0.0, 0.0)))
    [band] = [m for m in _marks(drawings(_plan(tmp_path, small), Paper(scale=20))[0]) if m.pen.grey == 1.0]

    assert band.points[1][0] - band.points[0][0] == pytest.approx(9.0, abs=0.01)


def test_a_warning_is_not_shaded_and_an_accepted_one_not_drawn(tmp_path: Path) -> None:
    """A warning has an outline alone; what the owner accepts leaves no mark."""
    warned = drawings(_plan(tmp_path, replace(FAIL, severity="warn", does=None)), Paper())[0]
    accepted = drawings(_plan(tmp_path, replace(FAIL, accepted="it is soft")), Paper())[0]

    assert [m.pen.dash for m in _marks(warned)] == ["dashed"]
    assert _marks(accepted) == []


def test_a_narrow_place_is_drawn_in_plan_and_a_way_too(tmp_path: Path) -> None:
    """A gap of 600 is a line with two heads, 60 mm at 1:10; a way of three points a chain line."""
    gap = Finding(
        rule="aisle",
        severity="note",
        things=(),
        states=(),
        text="600 mm wide",
        wanted=450.0,
        line=((800, -850, 0), (800, -250, 0)),
    )
    way = replace(gap, line=((0, 0, 0), (500, 0, 0), (900, 300, 0)))
    narrow, route = (drawings(_plan(tmp_path, one), Paper(name="A2", scale=10))[0] for one in (gap, way))

    assert len([m for m in _marks(narrow) if m.fill == 0.0]) == 2
    [band] = [m for m in _marks(narrow) if m.pen.grey == 1.0]
    assert abs(band.points[1][1] - band.points[0][1]) == pytest.approx(60.0, abs=0.01)
    assert [m.pen.dash for m in _marks(route)] == ["chain"]


def test_states_that_look_the_same_are_drawn_once(tmp_path: Path) -> None:
    """A plan in which nothing moves has one set of drawings, which names all its states."""
    sheets = drawings(_plan(tmp_path), Paper())
    one = drawings(_plan(tmp_path, replace(FAIL, states=("camp",))), Paper())

    assert sheets[0].title == "plan, drive, camp, sleep"
    assert [s.name for s in sheets] == [
        "plan-drive",
        "left-side-drive",
        "right-side-drive",
        "rear-drive",
        "front-drive",
    ]
    assert [s.title for s in one if s.title.startswith("plan")] == ["plan, drive, sleep", "plan, camp"]


def test_words_stay_apart(tmp_path: Path, text_faults: Callable[[Drawing], list[str]]) -> None:
    """Many findings at one place leave every text readable."""
    many = tuple(replace(FAIL, text=f"finding {i} of a thing that stands where it should not") for i in range(12))
    for drawing in drawings(_plan(tmp_path, *many), Paper(name="A4")):
        assert text_faults(drawing) == []
