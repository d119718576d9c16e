"""Outline figures of people: to scale, where they are said to be, in every view."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.files.rules import read_building
from layout.jobs.draw import Paper, drawings, view_options
from layout.jobs.load import load
from layout.jobs.section_people import people_in
from layout.jobs.section_sheets import section_at
from layout.model.person import Person
from layout.model.spot import Spot
from layout.views import people_figure as figures
from layout.views.elevation import rear_elevation, side_elevation
from layout.views.options import ViewOptions
from layout.views.people import Figure, body_of, in_spot
from layout.views.plan import plan
from tests.builders import EXAMPLES, ROOT, plan_of

SHARES = {name: number.value for name, number in read_building()["people"].numbers.items()}
Check = Callable[[Drawing], list[str]]


def _body(stature: float = 1780.0, sitting: float | None = None) -> figures.Body:
    return body_of(Person(name="Ada", stature=stature, sitting=sitting), SHARES)


def _size(outline: figures.Outline) -> tuple[float, float]:
    x0, y0, x1, y1 = outline[0].bounds
    return x1 - x0, y1 - y0


@pytest.mark.parametrize("stature", [1450.0, 1780.0, 2050.0])
def test_figures_are_as_long_as_the_stature(stature: float) -> None:
    """Whoever stands is as high, whoever lies as long as the stature, from the side, from the front and from above."""
    body = _body(stature)

    assert _size(figures.standing_side(body))[1] == pytest.approx(stature, abs=1)
    assert _size(figures.standing_front(body))[1] == pytest.approx(stature, abs=1)
    assert _size(figures.lying_side(body))[0] == pytest.approx(stature, abs=1)
    assert _size(figures.lying_above(body))[0] == pytest.approx(stature, abs=1)


def test_a_sitting_height_that_was_measured_is_kept() -> None:
    """Over the seat somebody is as high as measured; else 0.523 of 1780, which is 930.9."""
    assert figures.sitting_side(_body(1780, 970), 450)[0].bounds[3] == pytest.approx(970, abs=1)
    assert figures.sitting_side(_body(1780), 450)[0].bounds[3] == pytest.approx(930.9, abs=1)


def test_feet_reach_the_floor_but_no_further() -> None:
    """From a seat of 300 the feet stand on the floor, from one of 800 they hang as far as the lower legs are long."""
    body = _body()

    assert figures.sitting_side(body, 300)[0].bounds[1] == pytest.approx(-300, abs=1)
    assert figures.sitting_side(body, 800)[0].bounds[1] == pytest.approx(-(0.285 - 0.045) * 1780, abs=1)


def test_shoulders_are_as_broad_in_every_posture() -> None:
    """0.28 of 1780 is 498: from the front, from above and along the body."""
    body, wanted = _body(), 0.28 * 1780
    across = (
        _size(figures.standing_front(body))[0], _size(figures.standing_above(body))[1],
        _size(figures.sitting_front(body, 450))[0], _size(figures.lying_above(body))[1],
        _size(figures.lying_end(body, feet_first=True))[0],
    )  # fmt: skip

    assert across == pytest.approx([wanted] * 5, abs=3)


def test_every_figure_is_one_closed_outline() -> None:
    """A figure is a body in one piece, without holes that would be taken for something else."""
    body = _body()
    for outline in (
        figures.standing_side(body), figures.standing_front(body), figures.standing_above(body),
        figures.sitting_side(body, 450), figures.sitting_side(body, 0), figures.sitting_front(body, 450),
        figures.sitting_above(body, 450), figures.lying_above(body), figures.lying_side(body),
        figures.lying_end(body, feet_first=False),
    ):  # fmt: skip
        assert outline[0].geom_type == "Polygon"
        assert outline[0].is_valid
        assert not outline[0].interiors


def test_a_turned_sleeper_keeps_the_length() -> None:
    """Turned by 30 degrees in plan the crown is as far from the heels as the stature."""
    lying = Figure(name="Ada", does="lie", at=(500, 0, 400), toward=(3**0.5 / 2, 0.5), body=_body())
    outline = lying.seen("z")[0]
    along = [x * 3**0.5 / 2 + y * 0.5 for x, y in outline.exterior.coords]
    across = [y * 3**0.5 / 2 - x * 0.5 for x, y in outline.exterior.coords]

    assert max(along) - min(along) == pytest.approx(1780, abs=1)
    assert max(across) - min(across) == pytest.approx(0.28 * 1780, abs=3)


def test_who_sits_looks_where_told_and_stands_on_the_floor() -> None:
    """The knees are before the trunk, and who stands in a well stands at its depth."""
    seat = Spot(name="bench", at=(800, 600), does="sit", seat=450)
    person = Person(name="Ada", stature=1780)
    left = in_spot(seat, person, SHARES, foot=450, ground=0, toward=(0, -1))
    stands = in_spot(
        Spot(name="well", at=(800, 0), does="stand"), person, SHARES, foot=-120, ground=-120, toward=(1, 0)
    )

    assert left.span("y")[0] < 600 - 400
    assert left.span("y")[1] < 600 + 200
    assert left.span("z") == pytest.approx((450 - 0.24 * 1780, 450 + 0.523 * 1780), abs=1)
    assert stands.span("z") == pytest.approx((-120, 1660), abs=1)


# A bed that does not fit, and one that has no place yet.
NOBODY_SLEEPS = ("crosswise-wish", "beekeepers")


@pytest.mark.parametrize("path", [p for p in EXAMPLES if p.stem not in NOBODY_SLEEPS], ids=lambda p: p.stem)
def test_sleepers_lie_on_their_mattress(path: Path) -> None:
    """At night all who sleep lie on the mattress side by side, as long as they are; on the road nobody does."""
    plan_ = load(str(path))
    lying = people_in(plan_, "sleep")
    statures = {person.name: person.stature for person in plan_.layout.people}
    [bed] = [p for p in plan_.layout.placed["sleep"] if p.thing.sleeps]

    assert people_in(plan_, "drive") == ()
    assert sorted(f.name for f in lying) == sorted(bed.thing.sleeps)
    for figure in lying:
        x0, x1 = figure.span("x")
        assert x1 - x0 == pytest.approx(statures[figure.name], abs=1)
        assert bed.box.bounds[0] - 1 <= x0
        assert x1 <= bed.box.bounds[2] + 1
        assert figure.at[2] == pytest.approx(bed.box.z1)
    spans = sorted(figure.span("y") for figure in lying)
    assert all(a[1] <= b[0] for a, b in pairwise(spans))


def test_nobody_is_in_two_places(tmp_path: Path) -> None:
    """Ada, who has a bed and a chair, lies at night and sits by day; asked awake, she sits at night too."""
    project = plan_of(
        tmp_path,
        people={"Ada": {"stature": "1700"}},
        things={"m": {"kind": "mattress", "length": "1900", "width": "700", "thickness": "100", "sleeps": ["Ada"]}},
        arrangement={"m": {"at": ["100", "-400", "400"]}},
        spots={"chair": {"x": "2500", "y": "600", "does": "sit", "seat": "430"}},
    )  # fmt: skip

    assert [f.does for f in people_in(project, "sleep")] == ["lie"]
    assert [f.does for f in people_in(project, "camp")] == ["sit"]
    assert [f.does for f in people_in(project, "sleep", awake=True)] == ["sit"]


def test_people_are_drawn_in_every_view(text_faults: Check) -> None:
    """Plan, elevations and sections show the sleepers by name, to scale: Jon of 1780 is 89 long at 1:20."""
    project = load(str(ROOT / "examples" / "market-van.yaml"))
    space, layout, who = project.project.space, project.layout, people_in(project, "sleep")
    options = ViewOptions(scale=20)
    sheets = [
        plan(space, layout, "sleep", project.findings, options, people=who, with_zones=True),
        side_elevation(space, layout, "sleep", "left", people=who, options=options),
        section_at(project, Paper(scale=20), state="sleep", y=300.0),
    ]
    for sheet in sheets:
        points = [
            p for m in sheet.marks if isinstance(m, Line) and m.layer == "people" and m.id == "Jon" for p in m.points
        ]
        assert max(x for x, _ in points) - min(x for x, _ in points) == pytest.approx(89, abs=0.1)
        assert text_faults(sheet) == []
        assert any(isinstance(m, Text) and "Jon" in m.text for m in sheet.marks)
    rear = rear_elevation(space, layout, "sleep", options=view_options(project, Paper()), people=who)
    assert {m.id for m in rear.marks if m.layer == "people"} == {"Ines", "Jon"}
    assert text_faults(rear) == []


def test_a_side_shows_who_is_on_that_side() -> None:
    """Ines lies at the right, Jon at the left: each elevation shows the one on its side."""
    project = load(str(ROOT / "examples" / "market-van.yaml"))
    who = people_in(project, "sleep")
    left = side_elevation(project.project.space, project.layout, "sleep", "left", people=who)
    right = side_elevation(project.project.space, project.layout, "sleep", "right", people=who)

    assert {m.id for m in left.marks if m.layer == "people"} == {"Jon"}
    assert {m.id for m in right.marks if m.layer == "people"} == {"Ines"}


def test_printed_views_show_people_and_say_when() -> None:
    """Sleepers lie in the elevations of camp and sleep, whose things stand alike, with a line that says they sleep."""
    plan_ = load(str(ROOT / "examples" / "market-van.yaml"))
    made = {drawing.name: drawing for drawing in drawings(plan_, Paper())}

    def said(name: str) -> set[str]:
        return {mark.text for mark in made[name].marks if isinstance(mark, Text)}

    assert {"Jon", "people as in: sleep"} <= said("left-side-camp")
    assert {"Ines", "people as in: sleep"} <= said("right-side-camp")
    assert {"Ines", "Jon"} <= said("rear-camp") & said("front-camp")
    assert not any({"Ines", "Jon", "people as in: sleep"} & said(name) for name in made if name.endswith("drive"))
    # Over the dashed bins below the bed nobody could tell the lines apart.
    assert "Jon" not in said("plan-camp")


def test_people_who_are_always_there_need_no_line_that_says_when() -> None:
    """Somebody who stands in a spot is drawn in plan and elevations; on the road nobody is there, and that is said."""
    plan_ = load(str(ROOT / "tests" / "checks" / "rules" / "standing-good.yaml"))
    said = [m.text for drawing in drawings(plan_, Paper()) for m in drawing.marks if isinstance(m, Text)]
    parked = [m.text for drawing in drawings(plan_, Paper(), "camp") for m in drawing.marks if isinstance(m, Text)]

    assert said.count("Henk") == said.count("people as in: camp, sleep") >= 3
    assert parked.count("Henk") >= 3
    assert not [text for text in parked if text.startswith("people as in")]
