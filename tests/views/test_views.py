"""Views of layouts: readable, complete, to scale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

import pytest

from layout.drawing.model import Drawing, Path, Text
from layout.errors import ScaleError
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.model.finding import Finding
from layout.model.layout import Layout
from layout.space.space import Space
from layout.views.elevation import front_elevation, rear_elevation, side_elevation
from layout.views.options import ViewOptions
from layout.views.plan import plan

Check = Callable[[Drawing], list[str]]
Faults = tuple[Finding, ...]

PAPERS = (
    ViewOptions(paper="A4"),
    ViewOptions(paper="A4", orientation="portrait", units="in"),
    ViewOptions(paper="A3"),
    ViewOptions(paper="A1"),
    ViewOptions(paper="Letter", units="in"),
    ViewOptions(paper="Tabloid", orientation="portrait", units="in"),
)


def _texts(drawing: Drawing) -> str:
    return "\n".join(mark.text for mark in drawing.marks if isinstance(mark, Text))


def _width(drawing: Drawing, layer: str) -> tuple[float, float]:
    points = [p for m in drawing.marks if isinstance(m, Path) and m.layer == layer for p in m.points]
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("options", PAPERS, ids=lambda o: f"{o.paper}-{o.orientation}-{o.units}")
def test_texts_never_overlap(
    spaces: tuple[Space, Space], camping: Layout, faults: Faults, text_faults: Check, options: ViewOptions
) -> None:
    """Protects every view on every paper: no text on another, none outside the frame, none too small."""
    drawings = [plan(space, camping, "night", faults, options) for space in spaces]
    van = spaces[0]
    for side in ("left", "right"):
        drawings.append(side_elevation(van, camping, "night", side, findings=faults, options=options))
    drawings.append(rear_elevation(van, camping, "night", faults, options))
    assert [fault for drawing in drawings for fault in text_faults(drawing)] == []


def test_the_overlap_check_can_fail(text_faults: Check) -> None:
    """Protects the check itself: it must see an overlap, a text outside the frame and one too small."""
    marks = tuple(Text(layer="a", at=(x, 50), text="word") for x in (100, 102, 15))
    page = Drawing(name="a", title="a", width=210, height=297, scale=None, marks=marks)
    assert any("overlaps" in fault for fault in text_faults(page))
    assert any("leaves the frame" in fault for fault in text_faults(page))
    tiny = replace(page, marks=(replace(marks[0], height=1.7),))
    assert any("too small" in fault for fault in text_faults(tiny))


def test_plan_is_to_scale(van: Space, camping: Layout) -> None:
    """Protects the true size: a floor of 3400 × 1780 mm at 1:20 is 170 × 89 mm on the paper."""
    drawing = plan(van, camping, "night", (), ViewOptions(paper="A3", scale=20))
    assert drawing.scale == 20
    assert _width(drawing, "walls") == pytest.approx((170, 89))


def test_plan_goes_upright_where_that_is_larger(trailer: Space, camping: Layout) -> None:
    """Protects portrait paper from a needlessly small plan: the front is then up."""
    drawing = plan(trailer, camping, "night", (), ViewOptions(paper="A2", orientation="portrait"))
    width, height = _width(drawing, "walls")
    assert height > width


def test_plan_tells_its_sizes(van: Space, camping: Layout) -> None:
    """Protects the dimensions that are asked of a plan: length, width, between the wheel wells."""
    said = _texts(plan(van, camping, "night")).split("\n")
    assert {"3400", "1780", "1380"} <= set(said)
    inches = _texts(plan(van, camping, "night", (), ViewOptions(units="in"))).split("\n")
    assert {'133 7/8"', '70 1/16"', '54 5/16"'} <= set(inches)


def test_plan_names_every_thing(van: Space, camping: Layout) -> None:
    """Protects against a thing that loses its name, in the figure or in the list."""
    said = _texts(plan(van, camping, "night")).replace("\n", " ")
    for thing in camping.things:
        assert all(word in said for word in thing.name.split()), thing.name


def test_hidden_things_are_dashed(van: Space, camping: Layout) -> None:
    """Protects the difference between on top and below: bins under the deck are dashed, the mattress not."""
    marks = [m for m in plan(van, camping, "night").marks if isinstance(m, Path)]
    assert {m.pen.dash for m in marks if m.id == "bin 1"} == {"dashed"}
    assert {m.pen.dash for m in marks if m.id == "mattress"} == {"solid"}


def test_only_what_is_found_in_the_state_is_shown(van: Space, camping: Layout, faults: Faults) -> None:
    """Protects the list from what fails in another state; a warning stands there as one."""
    drawing = plan(van, camping, "night", faults)
    assert "FAILS: bicycle and bin rack" in _texts(drawing)
    assert "far" not in _texts(drawing).split()
    dashed = [m for m in drawing.marks if m.layer == "findings" and m.pen.dash == "dashed"]  # type: ignore[union-attr]
    assert "TAKE CARE: narrow" in _texts(drawing)
    assert len(dashed) == 2


@pytest.mark.parametrize("side", ["left", "right"])
def test_side_says_how_it_is_seen(van: Space, camping: Layout, side: Literal["left", "right"]) -> None:
    """Protects from mixing up the sides: seen from the aisle, the left wall has the front to the right."""
    drawing = side_elevation(van, camping, "night", side)
    other = {"left": "right", "right": "left"}[side]
    assert drawing.title == f"{side} side, night, seen from the aisle, front to the {other}"
    bed = [m for m in drawing.marks if isinstance(m, Path) and m.id == "bed platform"]
    water = [m for m in drawing.marks if isinstance(m, Path) and m.id == "water can"]
    assert bool(water) == (side == "left")
    middle = drawing.width / 2
    assert all((x < middle) == (side == "left") for m in bed for x, _ in m.points)


def test_elevations_tell_deck_and_roof(van: Space, camping: Layout) -> None:
    """Protects the heights that are asked of an elevation."""
    for drawing in (side_elevation(van, camping, "night", "left"), rear_elevation(van, camping, "night")):
        assert "718" in _texts(drawing).split("\n")
    assert "1900" in _texts(side_elevation(van, camping, "night", "left")).split("\n")
    assert "1850" in _texts(rear_elevation(van, camping, "night")).split("\n")


def test_seen_from_behind_left_is_left(van: Space, camping: Layout) -> None:
    """Protects from a mirrored view from behind: the rack at the left wall stands at the left."""
    drawing = rear_elevation(van, camping, "night")
    rack = [p for m in drawing.marks if isinstance(m, Path) and m.id == "bin rack" for p in m.points]
    walls = [p for m in drawing.marks if isinstance(m, Path) and m.layer == "walls" for p in m.points]
    middle = sum(x for x, _ in walls) / len(walls)
    assert all(x < middle for x, _ in rack)


def test_an_asked_scale_is_kept_or_refused(van: Space, camping: Layout) -> None:
    """Protects from a silently smaller drawing."""
    assert plan(van, camping, "night", (), ViewOptions(paper="A4", scale=50)).scale == 50
    with pytest.raises(ScaleError, match="1:20 fits; 1:10 fits on A2"):
        plan(van, camping, "night", (), ViewOptions(paper="A3", scale=10))


def test_an_empty_state_is_drawn(van: Space, camping: Layout, text_faults: Check) -> None:
    """Protects the first drawing that a person makes: the empty van."""
    for drawing in (plan(van, camping, "bare"), side_elevation(van, camping, "bare", "left")):
        assert text_faults(drawing) == []


def test_same_layout_same_bytes(van: Space, camping: Layout, faults: Faults) -> None:
    """Protects comparing drawings between runs."""
    first, second = (plan(van, camping, "night", faults) for _ in range(2))
    assert svg(first) == svg(second)
    assert pdf([first]) == pdf([second])


def test_seen_from_the_front_left_is_on_the_right(van: Space, camping: Layout) -> None:
    """From the front the rack, which stands on the left before the bed, hides it; from behind the bed hides the rack."""
    front, rear = front_elevation(van, camping, "night"), rear_elevation(van, camping, "night")
    middle = front.width / 2

    def rack(drawing: Drawing) -> list[float]:
        marks = [m for m in drawing.marks if isinstance(m, Path) and m.layer == "outlines" and m.id == "bin rack"]
        return [x for mark in marks for x, _ in mark.points]

    # 400 to 886 mm left of the middle at 1:10, all of it seen from the front.
    assert "front, night, seen from the front" in _texts(front)
    assert max(rack(front)) - min(rack(front)) == pytest.approx(48.6, abs=0.1)
    assert min(rack(front)) > middle - 20
    assert max(rack(rear)) < min(rack(front)) + 1
