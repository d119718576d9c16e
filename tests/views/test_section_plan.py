"""The plan at any height: what is cut there, below and above it, and what must stay free."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.errors import InputError
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.section_sheets import plan_at
from layout.model.layout import Layout, Placed
from layout.model.solid import box
from layout.model.thing import Thing
from layout.views.options import ViewOptions
from layout.views.plan import plan
from tests.builders import EXAMPLES, ROOT, plain_space, wall

Check = Callable[[Drawing], list[str]]
MARKET = str(ROOT / "examples" / "market-van.yaml")
BUILT = [ROOT / "tests" / "things" / f"{name}.yaml" for name in ("cabinet", "chest", "fold-down-table", "lidded-bin")]


def _box(name: str, x: tuple[float, float], z: tuple[float, float]) -> Placed:
    solid = box(name, x, (-300, 300), z)
    return Placed(thing=Thing(name=name, group=name, kind="box", solids=(solid,)), solids=(solid,), box=solid)


def _layers(drawing: Drawing, name: str) -> set[str]:
    return {m.layer for m in drawing.marks if isinstance(m, Line) and m.id == name}


@pytest.mark.parametrize("path", [*EXAMPLES, *BUILT], ids=lambda p: p.stem)
def test_texts_of_every_level_can_be_read(path: Path, text_faults: Check) -> None:
    """No text overlaps another, leaves the frame or is under 1.8 mm, whatever the height."""
    project = load(str(path))
    for state, z in ((s, z) for s in project.project.said.states for z in (0.0, 320.0, 1100.0)):
        assert text_faults(plan_at(project, Paper(), state=state, z=z, findings=True)) == []


def test_what_is_cut_below_and_above() -> None:
    """At 500 a box up to 400 is below, one from 300 to 700 is cut, one from 600 is above and dashed."""
    things = (
        _box("low", (0, 500), (0, 400)),
        _box("cut", (700, 1200), (300, 700)),
        _box("high", (1500, 2000), (600, 900)),
    )
    layout = Layout(things=tuple(p.thing for p in things), people=(), placed={"day": things}, outside={"day": ()})
    drawing = plan(plain_space(), layout, "day", at_height=500.0)

    assert _layers(drawing, "low") == {"beyond"}
    assert "cut" in _layers(drawing, "cut")
    assert _layers(drawing, "high") == {"above"}
    assert {m.pen.dash for m in drawing.marks if isinstance(m, Line) and m.layer == "above"} == {"dashed"}
    assert any(isinstance(m, Text) and m.text.startswith("dashed, above it: high") for m in drawing.marks)


def test_what_stands_under_something_is_hidden() -> None:
    """A box under a larger one is not drawn in a plan over both."""
    things = (_box("under", (100, 400), (0, 200)), _box("over", (0, 500), (200, 400)))
    layout = Layout(things=tuple(p.thing for p in things), people=(), placed={"day": things}, outside={"day": ()})
    drawing = plan(plain_space(), layout, "day", at_height=1000.0)

    assert _layers(drawing, "under") == set()
    assert _layers(drawing, "over") == {"beyond"}


def test_the_walls_are_those_of_that_height() -> None:
    """Where walls lean from 850 at the floor to 650 at 1800 the room is 1700 - 2 x 200 / 2 = 1500 wide at 900."""
    lean = wall((0.0, 850.0), (1800.0, 650.0))
    layout = Layout(things=(), people=(), placed={"day": ()}, outside={"day": ()})
    drawing = plan(plain_space(left=lean, right=lean), layout, "day", (), ViewOptions(scale=20), at_height=900.0)
    ys = [y for m in drawing.marks if isinstance(m, Line) and m.layer == "walls" for _, y in m.points]

    assert max(ys) - min(ys) == pytest.approx(1500 / 20)
    assert "1500" in [m.text for m in drawing.marks if isinstance(m, Text)]


def test_zones_are_shown_and_told() -> None:
    """The doors of a cabinet sweep a chain line, by name; without zones nothing of it is drawn."""
    project = load(str(ROOT / "tests" / "things" / "cabinet.yaml"))
    state = project.project.said.states[-1]
    space, layout = project.project.space, project.layout
    with_, without = (plan(space, layout, state, with_zones=zones) for zones in (True, False))
    said = [m.text for m in with_.marks if isinstance(m, Text)]

    assert any(m.layer == "zones" for m in with_.marks)
    assert any("door" in text for text in said)
    assert "chain line: what moving parts sweep" in said
    assert not any(m.layer == "zones" for m in without.marks)


def test_a_doorway_to_keep_clear_is_told() -> None:
    """High roof in inches: the side door has 24 of 49 in to keep free, while the plane passes through it."""
    project = load(str(ROOT / "examples" / "high-roof-inches.yaml"))
    said = [m.text for m in plan_at(project, Paper(), state="camp", z=500.0).marks if isinstance(m, Text)]
    over = [m.text for m in plan_at(project, Paper(), state="camp", z=1800.0).marks if isinstance(m, Text)]

    assert 'side door: keep 24" of 49" free' in said
    assert not any("keep" in text for text in over)


@pytest.mark.parametrize("z", [-10.0, 5000.0])
def test_a_height_outside_is_refused(z: float) -> None:
    """What is wrong is said with the heights that can be written."""
    with pytest.raises(InputError, match="write a height from 0 to less than"):
        plan_at(load(MARKET), Paper(), state="drive", z=z)


def test_without_a_height_the_plan_is_as_before() -> None:
    """The plan from above is drawn as it was where nobody asks for a height, people or zones."""
    project = load(MARKET)
    drawing = plan(project.project.space, project.layout, "camp", project.findings)

    assert drawing.name == "plan-camp"
    assert {"cut", "above", "people", "zones"}.isdisjoint(drawing.layers)
