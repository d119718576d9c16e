"""Sections: what is cut, what is seen beyond it, and heights that add up; checked against plain arithmetic."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import sqrt
from pathlib import Path

import pytest
import shapely

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.errors import InputError
from layout.export.svg import svg
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.jobs.section_places import heights_at, stack_at
from layout.jobs.section_sheets import alike_states, section_at, section_sheets
from layout.model.layout import Layout, Placed
from layout.model.solid import Solid, box, outer_box
from layout.model.thing import Thing
from layout.space.parts import Obstacle
from layout.units.length import parse_length
from layout.views.options import ViewOptions
from layout.views.section import plane_at, section
from layout.views.section_heights import Heights, Term, said_terms, said_total
from layout.views.section_plane import Plane
from layout.views.section_room import obstacle_cut, room_cut
from layout.views.section_seen import scene
from tests.builders import EXAMPLES, ROOT, plain_space, plan_of

Check = Callable[[Drawing], list[str]]
MARKET = str(ROOT / "examples" / "market-van.yaml")
BUILT = [ROOT / "tests" / "things" / f"{name}.yaml" for name in ("cabinet", "bench", "bike-tray", "lining")]


def _texts(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


def _lines(drawing: Drawing, layer: str) -> list[Line]:
    return [mark for mark in drawing.marks if isinstance(mark, Line) and mark.layer == layer]


def _thing(name: str, *solids: Solid, kind: str = "box") -> Placed:
    thing = Thing(name=name, group=name, kind=kind, solids=solids)
    return Placed(thing=thing, solids=solids, box=outer_box(solids, name))


def _layout(*things: Placed) -> Layout:
    return Layout(things=tuple(p.thing for p in things), people=(), placed={"day": things}, outside={"day": ()})


@pytest.mark.parametrize("path", [*EXAMPLES, *BUILT], ids=lambda p: p.stem)
def test_texts_of_every_section_can_be_read(path: Path, text_faults: Check) -> None:
    """No text of any default section overlaps another, leaves the frame or is under 1.8 mm, on small paper too."""
    plan = load(str(path))
    stands = any(plan.layout.placed.values())
    sheets = section_sheets(plan, Paper(name="A4"))

    # Along the centre line, and across through something where something stands.
    assert len(sheets) >= (2 if stands else 1)
    assert [fault for sheet in sheets for fault in text_faults(sheet)] == []


def test_no_two_sections_have_one_name() -> None:
    """Files written by the drawings' names do not overwrite each other, nor does the view the other way."""
    plan = load(MARKET)
    names = [sheet.name for sheet in section_sheets(plan, Paper())]
    ways = [section_at(plan, Paper(), state="drive", x=980, toward=way).name for way in ("front", "rear")]  # type: ignore[arg-type]  # plain words

    assert len(set(names)) == len(names)
    assert len(set(ways)) == 2


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_heights_add_up_to_the_height_that_was_measured(path: Path) -> None:
    """From bare floor to bare roof the stack is as high as the file says the roof is there, and has no gaps."""
    plan = load(str(path))
    said = plan.project.said.space
    roof = sorted(said.roof.items())
    x0, _, x1, _ = plan.project.space.shell(0.0).bounds
    tried = 0
    for state in plan.project.said.states:
        for share in (0.1, 0.3, 0.45, 0.6):
            at = (x0 + share * (x1 - x0), 0.11 * share * 1000)
            stack = stack_at(plan, state, at)
            assert stack is not None
            assert all(a.z1 == pytest.approx(b.z0, abs=1e-6) for a, b in pairwise(stack.terms))
            if stack.over == "the roof":
                tried += 1
                assert stack.total == pytest.approx(_between(roof, at[0]), abs=0.02)
                assert sum(t.z1 - t.z0 for t in stack.terms) == pytest.approx(stack.total)
    assert tried > 0


def _between(pairs: list[tuple[float, float]], at: float) -> float:
    """Return the value of the broken line through `pairs`, level beyond its ends."""
    for (a, za), (b, zb) in pairwise(pairs):
        if a <= at <= b:
            return za + (zb - za) * (at - a) / (b - a)
    return pairs[0][1] if at < pairs[0][0] else pairs[-1][1]


def test_heights_of_a_bed_by_hand() -> None:
    """Market van at x 980, y 0: 24 + 545 of cups + 60.1 + 80 rail + 14.9 deck + 100 + free + 30 = 1840 + 30/3150 x 980."""
    plan = load(MARKET)
    stack = heights_at(plan, "sleep", plane_at(980.0, None))
    assert stack is not None
    terms = {term.name: term.z1 - term.z0 for term in stack.terms}

    assert [term.name for term in stack.terms] == [
        "floor build-up", "cups", "free", "cross rail", "deck panel", "mattress", "free", "ceiling build-up",
    ]  # fmt: skip
    assert (terms["floor build-up"], terms["mattress"], terms["ceiling build-up"]) == pytest.approx((24, 100, 30))
    assert stack.terms[5].z1 == pytest.approx(800)
    assert stack.total == pytest.approx(1840 + 30 / 3150 * 980, abs=0.01)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_printed_terms_add_up_to_the_printed_sum(units: str) -> None:
    """Three terms of 33.33 are printed so that their sum as printed is that of the whole, in mm and in 1/16 in."""
    terms = tuple(Term(name=f"t{i}", z0=100 / 3 * i, z1=100 / 3 * (i + 1)) for i in range(3))
    options = ViewOptions(units=units)  # type: ignore[arg-type]  # plain string
    heights = Heights(at=(0, 0), terms=terms)
    printed = [float(parse_length(options.said(height), options.units)) for _, height in said_terms(heights, options)]
    total = float(parse_length(options.said(said_total(heights, options)), options.units))

    assert sum(printed) == pytest.approx(total, abs=1e-9)
    assert total == pytest.approx(100, abs=0.05 if units == "mm" else 0.8)


def test_the_sheet_tells_terms_sum_and_verdict() -> None:
    """What the stack says stands on the paper: each term, the sum, and who can do what over the mattress."""
    plan = load(MARKET)
    said = _texts(section_at(plan, Paper(), state="sleep", x=980))

    assert {"cups", "545", "mattress", "100", "ceiling build-up", "30", "up to the roof", "1849.3"} <= set(said)
    assert {"Ines sits erect", "Jon sits erect"} <= set(said)


def test_the_verdict_is_the_rules(tmp_path: Path) -> None:
    """Under a roof of 1800 a mattress at 1000 leaves 800: Ada of 1780 stoops, and 160.9 are missing to sit erect."""
    things = {"m": {"kind": "mattress", "length": "1900", "width": "700", "thickness": "100", "sleeps": ["Ada"]}}
    more = {"people": {"Ada": {"stature": "1780"}}, "arrangement": {"m": {"at": ["500", "0", "900"]}}}
    plan = plan_of(tmp_path, things=things, **more)
    stack = heights_at(plan, "sleep", plane_at(1000.0, None))
    assert stack is not None
    [words] = [term.words for term in stack.terms if term.words]

    # 0.523 x 1780 + 30 = 960.94, less 800; stooping takes 710, sitting slumped 960.94 - 30 - 40 = 890.94
    assert words == ("Ada stoops, 161 mm short of sitting erect",)


def test_who_stands_is_told_with_shoes_and_hair(tmp_path: Path) -> None:
    """Under 1800 somebody of 1780 wants 1780 + 25 + 10 and stoops by 15; somebody of 1700 stands erect."""
    people = {"Ada": {"stature": "1780"}, "Bo": {"stature": "1700"}}
    plan = plan_of(tmp_path, people=people, spots={"sink": {"x": "1000", "y": "0", "does": "stand"}})
    stack = heights_at(plan, "camp", plane_at(1000.0, None))
    assert stack is not None
    [words] = [term.words for term in stack.terms if term.words]

    assert words == ("sink: 1800 mm up to the ceiling", "Ada stoops by 15 mm", "Bo stands erect")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_wall_is_as_it_is_at_that_x(path: Path) -> None:
    """At every height the cut room is as wide as the walls there are apart, by the space's own measures."""
    space = load(str(path)).project.space
    x = space.length * 0.4
    room = room_cut(space, plane_at(x, None)).room
    for z in range(40, int(space.roof_at(x)), 130):
        line = shapely.LineString([(-3000, z), (3000, z)]).intersection(room)
        wanted = space.half_width(x, z, left=True) + space.half_width(x, z, left=False)
        assert line.length == pytest.approx(wanted, abs=0.05)


def test_the_front_leans_in_a_section_along() -> None:
    """Market van: the front leans from x 3150 at 0 to 2950 at 1000 of bare height, 24 of floor: 2954.8 at 952."""
    space = load(MARKET).project.space
    room = room_cut(space, plane_at(None, 0.0)).room
    line = shapely.LineString([(-100, 952), (4000, 952)]).intersection(room)

    assert line.bounds[2] == pytest.approx(3150 - 200 * 976 / 1000, abs=0.05)


def test_a_rounded_wheel_well_is_cut_as_a_circle() -> None:
    """A well 1000 long and 300 high, its ends rounded by 100: 40 in from its end it is 200 + sqrt(100² - 60²) high."""
    outline = ((500.0, 600.0), (1500.0, 600.0), (1500.0, 850.0), (500.0, 850.0))
    well = Obstacle(name="wheel well left", outline=outline, z0=0.0, z1=300.0, top_radius=100.0)
    middle = obstacle_cut(well, plane_at(1000.0, None)).bounds
    end = obstacle_cut(well, plane_at(540.0, None)).bounds

    assert middle == pytest.approx((600, 0, 850, 300))
    assert end[3] == pytest.approx(200 + sqrt(100**2 - 60**2), abs=1.0)


def test_linings_lie_between_room_and_metal() -> None:
    """Market van at x 980: the band of the linings is 18 wide at each wall, 24 below and 30 above."""
    space = load(MARKET).project.space
    cut = room_cut(space, plane_at(980.0, None))
    level = shapely.LineString([(-3000, 500), (3000, 500)]).intersection(cut.lining)
    upright = shapely.LineString([(0, -500), (0, 3000)]).intersection(cut.lining)

    assert sorted(part.length for part in level.geoms) == pytest.approx([18, 18], abs=0.05)
    assert sorted(part.length for part in upright.geoms) == pytest.approx([24, 30], abs=0.05)


def test_only_what_nothing_nearer_hides_is_drawn() -> None:
    """Behind a box 400 high one of 300 is not seen, and of one 700 high the upper 300 are."""
    near = _thing("near", box("b", (1000, 1200), (-300, 300), (0, 400)))
    low = _thing("low", box("b", (1500, 1700), (-200, 200), (0, 300)))
    high = _thing("high", box("b", (2000, 2200), (-100, 100), (0, 700)))
    room = shapely.box(-850, 0, 850, 1800)
    seen = scene(plane_at(500.0, None), (near, low, high), (), fixed=(), room=room, hidden_by=shapely.Polygon())

    assert [one.name for one in seen.beyond] == ["near", "high"]
    assert seen.beyond[1].area.bounds == pytest.approx((-100, 400, 100, 700))
    assert sum(line.length for line in seen.beyond[1].lines) == pytest.approx(300 + 200 + 300, abs=0.1)


def test_what_is_behind_the_eye_is_not_drawn() -> None:
    """A box at x 0 to 400 is cut at 200, beyond at 0 looking forward, and gone at 500 looking forward."""
    thing = _thing("a", box("b", (0, 400), (-300, 300), (0, 400)))
    room = shapely.box(-850, 0, 850, 1800)

    def names(plane: Plane) -> tuple[int, int]:
        seen = scene(plane, (thing,), (), fixed=(), room=room, hidden_by=shapely.Polygon())
        return len(seen.cut), len(seen.beyond)

    assert names(plane_at(200.0, None)) == (1, 0)
    assert names(plane_at(500.0, None)) == (0, 0)
    assert names(plane_at(500.0, None, "rear")) == (0, 1)


def test_a_face_in_the_plane_belongs_to_what_is_beyond() -> None:
    """A box that begins in the plane is cut; one that ends there is neither cut nor seen."""
    plane = plane_at(500.0, None)
    begins, ends = box("b", (500, 900), (0, 100), (0, 100)), box("b", (100, 500), (0, 100), (0, 100))

    assert plane.cut(begins).area == pytest.approx(100 * 100)
    assert plane.cut(ends).area == 0
    assert plane.beyond(ends).area == 0


def test_a_turned_box_is_cut_where_the_plane_crosses_it() -> None:
    """A square of 400 turned by 45 degrees is 2 x (200 x sqrt 2 - 100) wide 100 off its middle."""
    solid = box("b", (-200, 200), (-200, 200), (0, 300)).turned(45)
    x0, z0, x1, z1 = plane_at(100.0, None).cut(solid).bounds

    assert x1 - x0 == pytest.approx(2 * (200 * sqrt(2) - 100), abs=0.01)
    assert (z0, z1) == (0, 300)


def test_a_section_is_to_scale() -> None:
    """A room 1700 wide is 170 wide at 1:10, its box of 600 x 400 60 x 40, drawn wide where it is cut."""
    thing = _thing("chest", box("b", (500, 1500), (-300, 300), (0, 400)))
    drawing = section(plain_space(), _layout(thing), "day", x=1000.0, options=ViewOptions(scale=10, paper="A2"))
    walls = [p for m in _lines(drawing, "walls") for p in m.points]
    [outline] = [m for m in _lines(drawing, "cut") if m.closed]

    assert max(x for x, _ in walls) - min(x for x, _ in walls) == pytest.approx(170)
    assert max(y for _, y in outline.points) - min(y for _, y in outline.points) == pytest.approx(40)
    assert max(x for x, _ in outline.points) - min(x for x, _ in outline.points) == pytest.approx(60)
    assert min(m.pen.width for m in _lines(drawing, "walls")) == 0.5


def test_left_is_left_from_behind_and_right_from_the_front() -> None:
    """A box at the left wall is drawn at the left looking forward, at the right looking rearward."""
    thing = _thing("chest", box("b", (500, 1500), (300, 800), (0, 400)))
    for toward, left in (("front", True), ("rear", False)):
        drawing = section(plain_space(), _layout(thing), "day", x=1000.0, toward=toward)  # type: ignore[arg-type]  # plain words
        walls = [p for m in _lines(drawing, "walls") for p in m.points]
        middle = (min(x for x, _ in walls) + max(x for x, _ in walls)) / 2
        assert all((x < middle) == left for m in _lines(drawing, "cut") for x, _ in m.points)


def test_materials_are_hatched_by_their_kind() -> None:
    """A mattress is hatched closer than goods, whose hatching is grey; both have lines at 45 degrees only."""
    bed = _thing("bed", box("m", (500, 1500), (-800, 0), (400, 500)), kind="mattress")
    chest = _thing("chest", box("b", (500, 1500), (100, 700), (0, 400)))
    drawing = section(plain_space(), _layout(bed, chest), "day", x=1000.0)
    hatching = [m for m in _lines(drawing, "cut") if not m.closed]

    assert {m.pen.grey for m in hatching} == {0.0, 0.55}
    assert all(
        abs(abs(m.points[1][0] - m.points[0][0]) - abs(m.points[1][1] - m.points[0][1])) < 1e-6 for m in hatching
    )


def test_states_that_stand_alike_are_cut_once() -> None:
    """The market van has the bicycles inside on the road only: two kinds of states, each with its sections."""
    plan = load(MARKET)

    assert alike_states(plan) == (("drive",), ("camp", "sleep"))
    assert [sheet.title for sheet in section_sheets(plan, Paper())] == [
        "section across at x = 980, drive, seen from behind",
        "section along at y = 0, drive, toward the left, front to the right",
        "section across at x = 980, camp, sleep, seen from behind",
        "section along at y = 0, camp, sleep, toward the left, front to the right",
    ]


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"state": "night", "x": 100.0}, "no state is called 'night'; there are: drive, camp, sleep"),
        ({"state": "drive"}, "give either x, for a section across, or y, for one along"),
        ({"state": "drive", "x": 1.0, "y": 1.0}, "give either x"),
        ({"state": "drive", "x": 9000.0}, "9000 mm is not inside the space"),
        ({"state": "drive", "y": -2000.0}, "-2000 mm is not inside the space"),
        ({"state": "drive", "x": 100.0, "toward": "left"}, "write front or rear"),
    ],
)
def test_a_section_that_cannot_be_is_refused(wanted: dict[str, object], said: str) -> None:
    """What is wrong is said in words, with what to write instead."""
    with pytest.raises(InputError, match=said):
        section_at(load(MARKET), Paper(), **wanted)  # type: ignore[arg-type]  # wrong on purpose


def test_any_section_can_be_drawn(text_faults: Check) -> None:
    """Any x and any y within the space can be cut, near walls, ends and wells too, and read."""
    plan: Plan = load(str(ROOT / "examples" / "compact-bins.yaml"))
    for x in (5.0, 330.0, 1200.0, 1835.0):
        assert text_faults(section_at(plan, Paper(), state="sleep", x=x)) == []
    for y in (-760.0, -700.0, 300.0, 765.0):
        assert text_faults(section_at(plan, Paper(), state="sleep", y=y)) == []


def test_same_section_same_bytes() -> None:
    """Protects comparing drawings between runs."""
    first, second = (svg(section_at(load(MARKET), Paper(), state="sleep", y=0.0)) for _ in range(2))

    assert first == second
