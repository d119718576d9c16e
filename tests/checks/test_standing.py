"""The rule standing: heights where people stand, sit and lie, by hand arithmetic; its cures carried out."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as example_settings
from hypothesis import strategies as st

from layout.checks.moves import shifted
from layout.checks.standing import check
from layout.model.finding import Finding
from layout.model.person import Person
from layout.model.spot import Posture, Spot
from layout.space.parts import Hole, Obstacle
from layout.space.space import Space
from tests.builders import plain_space, wall
from tests.checks.beds import context_of, stood

ADA, BO = Person(name="Ada", stature=1780.0), Person(name="Bo", stature=1640.0)


def _spot(does: Posture, *people: str, at: tuple[float, float] = (1500.0, 0.0), seat: float = 0.0) -> Spot:
    return Spot(name="here", at=at, does=does, seat=seat, people=people)


def _found(spot: Spot, *things: Any, space: Space | None = None, people: tuple[Person, ...] = (ADA, BO)) -> Finding:
    [finding] = check(context_of(space or plain_space(), things, people, (spot,)))
    return finding


def _lined(height: float) -> Space:
    """Return a room of that bare height with a floor of 24 and a ceiling of 30."""
    return replace(plain_space(height=height - 54), floor_build_up=24.0, ceiling_build_up=30.0)


def test_stature_shoes_and_a_hair_under_the_roof() -> None:
    """Protects the standing height: Ada wants 1780 + 25 + 10 = 1815; under 1860 less 54 she stoops by 9, and Bo stands."""
    finding = _found(_spot("stand", "Ada", "Bo"), space=_lined(1860.0))

    assert finding.severity == "warn"
    assert (finding.measured, finding.wanted, finding.short_by) == (1806, 1815, 9)
    assert finding.text == (
        "here: 1806 mm up to the ceiling; Ada stoops by 9 mm; Bo stands; "
        "floor 24 + free 1806 + ceiling 30 = 1860 mm up to the roof"
    )
    assert finding.cure == "nowhere in this room: its roof is at most 1806 mm above the floor"
    assert _found(_spot("stand", "Ada", "Bo"), space=_lined(1869.0)).severity == "note"


def test_who_is_not_named_is_told_but_not_warned_of() -> None:
    """Protects low vans: with nobody named for the place, stooping is a note."""
    finding = _found(_spot("stand"))

    assert (finding.severity, finding.cure) == ("note", "")
    assert "Ada stoops by 15 mm" in finding.text


def test_nothing_is_told_while_driving() -> None:
    """Protects the drive: a place is used in every state but that, unless it says otherwise."""
    context = context_of(plain_space(), (), (ADA,), (_spot("stand"),))
    driving = replace(context, layout=replace(context.layout, placed={"drive": ()}))

    assert list(check(context))
    assert not list(check(driving))


def test_what_hangs_within_a_breadth_is_overhead_and_can_be_hung_higher() -> None:
    """Protects heads: a cupboard whose side is 200 aside and underside at 1600 counts; 215 higher Ada stands."""
    space = plain_space(height=2300.0)
    near = stood("cupboard", (800.0, 300.0, 400.0), (1100.0, 350.0, 1600.0))
    far = stood("cupboard", (800.0, 300.0, 400.0), (1100.0, 380.0, 1600.0))
    finding = _found(_spot("stand", "Ada"), near, space=space)
    assert finding.does is not None
    after = _found(_spot("stand", "Ada"), shifted(near, finding.does.shift), space=space)

    assert (finding.severity, finding.measured, finding.things) == ("warn", 1600, ("cupboard",))
    assert (finding.cure, finding.does.shift) == ("hang cupboard 215 mm higher", (0, 0, 215))
    assert (after.severity, after.measured) == ("note", 1815)
    # Its side is 230 aside, and half the breadth is 225.
    assert _found(_spot("stand", "Ada"), far, space=space).measured == 2300


def test_a_cupboard_that_cannot_go_higher_is_not_told_to() -> None:
    """Protects from a cure into the roof: 400 high under 2000, it would reach 2215."""
    hung = stood("cupboard", (800.0, 300.0, 400.0), (1100.0, 0.0, 1600.0))
    finding = _found(_spot("stand", "Ada"), hung, space=plain_space(height=2000.0))

    assert finding.does is None
    assert finding.cure == "choose a place with 1815 mm of height; the roof is highest at x 0 mm"


def test_what_lies_on_the_floor_is_stood_on() -> None:
    """Protects the step that is forgotten: on a box of 120, 1700 are left of 1820, and without it Ada stands."""
    box = stood("step", (400.0, 400.0, 120.0), (1300.0, 0.0, 0.0))
    finding = _found(_spot("stand", "Ada"), box, space=plain_space(height=1820.0))

    assert finding.measured == 1700
    assert finding.text.endswith("step 120 + free 1700 = 1820 mm up to the roof")
    assert finding.cure == "without step underfoot it would do"


def test_what_stands_there_is_in_the_way() -> None:
    """Protects the floor: a chest 100 aside reaches into a body 300 deep; one 160 aside does not; nor a well or wall."""
    near, aside = (stood("chest", (500.0, 500.0, 800.0), (1250.0, y + 250.0, 0.0)) for y in (100.0, 160.0))
    finding = _found(_spot("stand", "Ada"), near)
    well = Obstacle(name="wheel well left", outline=((1000.0, 600.0), (2000.0, 600.0), (2000.0, 850.0), (1000.0, 850.0)),
                    z0=0.0, z1=250.0)  # fmt: skip
    in_well = _found(_spot("stand", at=(1500.0, 550.0)), space=plain_space(obstacles=(well,)))
    in_wall = _found(_spot("stand", at=(1500.0, 800.0)))

    assert (finding.severity, finding.things) == ("warn", ("chest",))
    assert finding.text == "here: chest is where somebody stands"
    assert "where somebody" not in _found(_spot("stand", "Ada"), aside).text
    assert _found(_spot("stand", "Ada"), aside).measured == 1800
    assert "wheel well left is where somebody stands" in in_well.text
    assert "the wall is where somebody stands" in in_wall.text


def test_a_step_well_gives_its_depth() -> None:
    """Protects the one place to stand: 200 below the floor there are 2000 under 1800, and Ada stands.

    Round the well the floor has a step of 90, which does not count where the well is.
    """
    deep = ((1200.0, -300.0), (1800.0, -300.0), (1800.0, 300.0), (1200.0, 300.0))
    wide = ((1000.0, -500.0), (2000.0, -500.0), (2000.0, 500.0), (1000.0, 500.0))
    holes = (Hole(name="step", outline=wide, depth=90.0), Hole(name="well", outline=deep, depth=200.0))
    finding = _found(_spot("stand", "Ada"), space=plain_space(holes=holes))

    assert (finding.severity, finding.measured) == ("note", 2000)
    assert finding.text.endswith("below the floor -200 + free 2000 = 1800 mm up to the roof")
    assert _found(_spot("stand", at=(1100.0, 0.0)), space=plain_space(holes=holes)).measured == 1800


def test_walls_that_lean_over_the_place_count() -> None:
    """Protects the side of a low van: a wall from 850 at 900 to 300 at 1800 reaches a body 150 deep at y 350.

    Round a disc of 150 the polygon's corner is at 150 / cos(11.25 degrees) = 152.94; so y = 502.94, at height
    900 + 900 x (850 - 502.94) / 550 = 1467.9.
    """
    leaning = wall((0.0, 850.0), (900.0, 850.0), (1800.0, 300.0))
    finding = _found(_spot("stand", "Bo", at=(1500.0, 350.0)), space=plain_space(left=leaning))

    assert finding.measured == pytest.approx(900 + 900 * (850 - 502.94) / 550, abs=0.05)
    assert "up to the leaning wall" in finding.text


def test_sitting_over_a_seat() -> None:
    """Protects backs: 0.523 x 1780 + 30 = 960.9 over a bench of 450 is 1410.9; under 1400 it is 10.9 too little."""
    bench = stood("bench", (600.0, 500.0, 450.0), (1200.0, 0.0, 0.0))
    finding = _found(_spot("sit", "Ada"), bench, space=plain_space(height=1400.0), people=(ADA,))
    bent = _found(_spot("sit", "Ada"), bench, space=plain_space(height=1200.0), people=(ADA,))
    lower = stood("bench", (600.0, 500.0, 450.0 - 211.0), (1200.0, 0.0, 0.0))

    assert (finding.severity, finding.measured, finding.wanted) == ("note", 950, pytest.approx(960.94))
    assert "Ada sits, 10.9 mm short of sitting erect" in finding.text
    assert finding.text.endswith("bench 450 + free 950 = 1400 mm up to the roof")
    assert (bent.severity, bent.cure) == ("warn", "a seat 211 mm lower, at 239 mm, would do")
    assert "Ada stoops" in bent.text
    assert "Ada sits erect" in _found(_spot("sit", "Ada"), lower, space=plain_space(height=1200.0), people=(ADA,)).text


def test_a_table_before_the_lap_is_not_overhead() -> None:
    """Protects the dinette: a table at 720, 180 before the middle of a seat, is beside; over the seat it is in the way."""
    table = stood("table", (600.0, 600.0, 30.0), (1680.0, 0.0, 720.0))
    over = stood("table", (600.0, 600.0, 30.0), (1400.0, 0.0, 720.0))

    assert _found(_spot("sit", "Ada", seat=450.0), table).measured == 1350
    assert "table is where somebody sits" in _found(_spot("sit", "Ada", seat=450.0), over).text


def test_lying_is_told_as_over_a_mattress() -> None:
    """Protects bunks: on 1100 under 1800 there are 700, in which Ada crawls; 10 lower she stoops."""
    finding = _found(_spot("lie", "Ada", seat=1100.0), people=(ADA,))

    assert (finding.severity, finding.measured) == ("warn", 700)
    assert "Ada crawls" in finding.text
    assert finding.cure == "a bed 10 mm lower, at 1090 mm, would do"
    assert _found(_spot("lie", "Ada", seat=1090.0), people=(ADA,)).severity == "note"


def test_without_people_the_height_is_told_all_the_same() -> None:
    """Protects plans without names: the height and the sum, as a note, and nothing wanted."""
    finding = _found(_spot("stand"), people=())

    assert (finding.severity, finding.measured, finding.wanted, finding.short_by) == ("note", 1800, None, None)
    assert finding.text == "here: 1800 mm up to the ceiling; free 1800 = 1800 mm up to the roof"


@example_settings(max_examples=30)
@given(
    st.lists(st.floats(1200, 2100), min_size=2, max_size=4), st.lists(st.floats(1300, 2200), min_size=2, max_size=4),
    st.sampled_from(["stand", "sit", "lie"]),
)  # fmt: skip
def test_taller_people_and_lower_roofs_are_never_better_off(
    statures: list[float], roofs: list[float], does: Posture
) -> None:
    """Protects the order: what is missing only grows with the stature, and with what is taken off the roof."""

    def short(stature: float, roof: float) -> float:
        person = Person(name="Ada", stature=stature)
        finding = _found(_spot(does, "Ada", seat=400.0), space=plain_space(height=roof), people=(person,))
        return finding.short_by or 0.0

    by_stature = [short(stature, roofs[0]) for stature in sorted(statures)]
    by_roof = [short(statures[0], roof) for roof in sorted(roofs)]
    assert all(a <= b + 1e-6 for a, b in pairwise(by_stature))
    assert all(a >= b - 1e-6 for a, b in pairwise(by_roof))
