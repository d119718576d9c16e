"""The rule headroom: the words by person, the sum from the floor to the roof, and cures carried out."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as example_settings
from hypothesis import strategies as st

from layout.checks.headroom import check
from layout.checks.moves import shifted
from layout.checks.postures import VERDICTS, rank, verdict
from layout.checks.stack import heads, overhead
from layout.model.finding import Finding
from layout.model.person import Person
from layout.space.parts import Obstacle
from tests.builders import BASE, plain_space, plan_of, wall
from tests.checks.beds import RULES, context_of, stood

RULE = RULES["headroom"]
ADA = Person(name="Ada", stature=1780.0)
SPACE: dict[str, Any] = BASE["space"]  # type: ignore[assignment]  # the builder's table holds texts and tables


def _found(things: list[Any], people: tuple[Person, ...] = (ADA,), height: float = 1800.0, **more: Any) -> Finding:
    [finding] = check(context_of(plain_space(height=height, **more), things, people))
    return finding


def _bed(foot: float, *names: str, thickness: float = 100.0) -> Any:
    return stood("bed", (1900.0, 1300.0, thickness), (300.0, 0.0, foot), sleeps=names or ("Ada",))


@pytest.mark.parametrize(
    ("free", "word"),
    [
        (349.0, "cannot lie"), (350.0, "lies"), (569.0, "lies"), (570.0, "crawls"), (709.0, "crawls"),
        (710.0, "stoops"), (890.0, "stoops"), (891.0, "sits"), (960.0, "sits"), (961.0, "sits erect"),
    ],
)  # fmt: skip
def test_the_words_by_height(free: float, word: str) -> None:
    """Protects the words: Ada sits 0.523 x 1780 = 930.9 high, so erect in 960.9 and slumped in 890.9."""
    assert verdict(RULE, ADA, free) == word


def test_a_measured_sitting_height_counts_before_the_share() -> None:
    """Protects long backs: who sits 1000 high is not erect in 1020 but in 1030."""
    tall = replace(ADA, sitting=1000.0)

    assert verdict(RULE, tall, 1029.0) == "sits"
    assert verdict(RULE, tall, 1030.0) == "sits erect"


@given(st.floats(1000, 2100), st.floats(1000, 2100), st.floats(200, 1200), st.floats(200, 1200))
def test_more_height_or_less_stature_never_gives_a_lesser_word(a: float, b: float, free: float, other: float) -> None:
    """Protects the order of the words, in the height and in the stature."""
    short, tall = (Person(name="Ada", stature=s) for s in sorted((a, b)))
    low, high = sorted((free, other))

    assert rank(verdict(RULE, tall, low)) <= rank(verdict(RULE, short, low)) <= rank(verdict(RULE, short, high))
    assert verdict(RULE, short, low) in VERDICTS


@example_settings(max_examples=30)
@given(st.lists(st.floats(0, 1650), min_size=2, max_size=4), st.lists(st.floats(1750, 2000), min_size=2, max_size=3))
def test_a_higher_bed_or_a_lower_roof_is_never_better(feet: list[float], roofs: list[float]) -> None:
    """Protects the measure: free height only falls when the mattress goes up or the roof comes down; so does the verdict."""
    grave = {"note": 0, "warn": 1, "fail": 2}
    for roof in roofs:
        by_foot = [_found([_bed(foot)], height=roof) for foot in sorted(feet)]
        assert all(grave[a.severity] <= grave[b.severity] for a, b in pairwise(by_foot))
        assert all((a.measured or 0) >= (b.measured or 0) for a, b in pairwise(by_foot))
    by_roof = [_found([_bed(feet[0])], height=roof) for roof in sorted(roofs)]
    assert all(grave[a.severity] >= grave[b.severity] for a, b in pairwise(by_roof))


def test_each_person_is_told_and_the_worst_decides() -> None:
    """Protects couples: in 920 Ada (erect in 961, slumped in 891) sits, and Bo of 1640 (erect in 888) sits erect."""
    finding = _found([_bed(780.0, "Ada", "Bo")], people=(ADA, Person(name="Bo", stature=1640.0)))

    assert (finding.severity, finding.measured) == ("note", pytest.approx(920))
    assert "Ada sits; Bo sits erect" in finding.text


def test_somebody_short_is_not_warned_of_what_is_enough() -> None:
    """Protects children: who is 1200 tall sits 627.6 high, slumped in 587.6; so 590 is no warning, but 587 is."""
    child = (Person(name="Ada", stature=1200.0),)
    enough, less = _found([_bed(1110.0)], people=child), _found([_bed(1113.0)], people=child)

    assert (enough.severity, less.severity) == ("note", "warn")
    assert (less.measured, less.wanted) == (pytest.approx(587), pytest.approx(587.6))
    assert _found([_bed(1110.0)]).severity == "warn"


def _summed(text: str) -> tuple[float, float]:
    """Return the sum of the terms that a text tells, and the total that it tells."""
    terms, said = re.findall(r"[^;]*$", text)[0].split(" = ")
    return sum(float(term.split()[-1]) for term in terms.split(" + ")), float(said.split()[0])


def test_the_sum_goes_from_the_bare_floor_to_the_bare_roof(tmp_path: Path) -> None:
    """Protects the height that vanishes: floor 24, two totes of 320, air, beam 42 and deck 15, mattress, air, ceiling 30."""
    space = {**SPACE, "roof": {"0": "1860"}, "build_up": {"floor": "24", "ceiling": "30"}}
    things = {
        "beam": {"kind": "box", "length": "1900", "width": "60", "height": "42"},
        "deck": {"kind": "box", "length": "1900", "width": "1300", "height": "15"},
        "totes": {"kind": "bin", "length": "600", "width": "400", "height": "320", "count": "8", "mass": "9"},
        "m": {"kind": "mattress", "length": "1900", "width": "1300", "thickness": "100", "sleeps": ["Ada"]},
    }
    said = {
        "beam": {"at": ["0", "-200", "724"]}, "deck": {"at": ["0", "0", "766"]}, "m": {"on": "deck"},
        "totes": {"at": ["30", "0", "0"], "grid": ["2", "2", "2"], "gap": "10"},
    }  # fmt: skip
    plan = plan_of(tmp_path, space=space, people={"Ada": {"stature": "1780"}}, things=things, arrangement=said)
    [finding] = [f for f in plan.findings if f.rule == "headroom"]

    # Most is stacked where the beam goes over the totes.
    told = "floor 24 + totes 640 + free 84 + beam 42 + deck 15 + m 100 + free 925 + ceiling 30 = 1860 mm up to the roof"
    assert finding.text.endswith(told)
    assert _summed(finding.text) == (1860, 1860)
    assert finding.measured == 925


@example_settings(max_examples=40)
@given(
    st.floats(1700, 2100), st.floats(0, 40), st.floats(0, 40),
    st.lists(st.tuples(st.floats(50, 200), st.floats(0, 60)), max_size=3), st.floats(60, 180),
)  # fmt: skip
def test_the_sum_always_adds_up(
    roof: float, floor: float, ceiling: float, boxes: list[tuple[float, float]], thickness: float
) -> None:
    """Protects the arithmetic that is printed: the terms add up to the total, in tenths, whatever the sizes."""
    things, z = [], 0.0
    for i, (size, gap) in enumerate(boxes):
        things.append(stood(f"box {i}", (500.0, 500.0, size), (400.0, 0.0, z)))
        z += size + gap
    space = replace(plain_space(height=roof), floor_build_up=floor, ceiling_build_up=ceiling)
    [finding] = check(context_of(space, [*things, _bed(z, thickness=thickness)], (ADA,)))
    terms, total = _summed(finding.text)

    assert terms == pytest.approx(total, abs=1e-6)
    assert total == pytest.approx(roof + floor + ceiling, abs=0.051)


def test_nested_rims_are_counted_once(tmp_path: Path) -> None:
    """Protects stacks of bins: two bins of 280 that step 265 stand 545 high, and that is what the sum says."""
    things = {
        "c": {"use": "bins/euro-600x400x280", "count": "2"},
        "m": {"kind": "mattress", "length": "1900", "width": "700", "thickness": "100", "sleeps": ["Ada"]},
    }
    said = {"c": {"at": ["600", "0", "0"], "grid": ["1", "1", "2"]}, "m": {"at": ["100", "0", "545"]}}
    plan = plan_of(tmp_path, people={"Ada": {"stature": "1780"}}, things=things, arrangement=said)
    [finding] = [f for f in plan.findings if f.rule == "headroom"]

    assert finding.text.endswith("c 545 + m 100 + free 1155 = 1800 mm up to the roof")


def test_what_is_inside_something_else_is_not_counted_twice() -> None:
    """Protects the sum where things overlap: a book of 50 in a chest of 300 adds nothing, and one that sticks out, 20."""
    chest, book = stood("chest", (500.0, 500.0, 300.0), (400.0, 0.0, 0.0)), (100.0, 100.0, 50.0)
    inside, out = (stood("book", book, (500.0, 0.0, z)) for z in (50.0, 270.0))

    assert _found([chest, inside, _bed(400.0)]).text.endswith(
        "; chest 300 + free 100 + bed 100 + free 1300 = 1800 mm up to the roof"
    )
    assert "; chest 300 + book 20 + free 80 + bed 100 + " in _found([chest, out, _bed(400.0)]).text


def test_what_hangs_over_is_where_the_sum_ends() -> None:
    """Protects heads below a cupboard: with its underside at 1200 above a bed of 500, 700 are free, and it is named."""
    cupboard = stood("cupboard", (600.0, 300.0, 400.0), (900.0, 0.0, 1200.0))
    aside = stood("cupboard", (600.0, 100.0, 400.0), (900.0, 600.0, 1200.0))
    finding = _found([_bed(400.0), cupboard])

    assert (finding.severity, finding.measured) == ("warn", pytest.approx(700))
    assert finding.text.endswith("free 400 + bed 100 + free 700 = 1200 mm up to cupboard")
    # Over the outermost 150 of the mattress no head comes: 650 - 150 = 500, and this one begins at 550.
    assert _found([_bed(400.0), aside]).measured == pytest.approx(1300)


def test_a_sloping_roof_counts_where_it_is_lowest_over_the_heads() -> None:
    """Protects front ends: a roof from 1800 to 1500 over 3000 is 1800 - 0.1 x (2200 - 150) = 1595 over the last head."""
    space = replace(plain_space(), roof=((0.0, 1800.0), (3000.0, 1500.0)))
    [finding] = check(context_of(space, [_bed(500.0)], (ADA,)))

    assert finding.measured == pytest.approx(1595 - 600)


def test_fixed_lockers_and_leaning_walls_are_overhead() -> None:
    """Protects what the body of the van takes: a locker at 1300, and a wall that comes in to the head's place.

    The wall goes from 850 at 900 to 300 at 1400; a head 150 inside the edge of 1300 is at 500: 900 + 500 x 350 / 550.
    """
    locker = Obstacle(name="locker", outline=((500.0, -300.0), (900.0, -300.0), (900.0, 300.0), (500.0, 300.0)),
                      z0=1300.0, z1=1700.0)  # fmt: skip
    leaning = wall((0.0, 850.0), (900.0, 850.0), (1400.0, 300.0))
    under_locker = _found([_bed(400.0)], obstacles=(locker,))
    under_wall = _found([_bed(400.0)], left=leaning, right=leaning)

    assert (under_locker.measured, "locker" in under_locker.text) == (pytest.approx(800), True)
    assert under_wall.measured == pytest.approx(900 + 500 * 350 / 550 - 500, abs=0.02)
    assert "the leaning wall" in under_wall.text


def test_a_hanging_bed_is_lowered_and_then_passes() -> None:
    """Protects the cure as numbers: at 1100 under 1800, 600 are free and 710 wanted; 110 lower there are 710."""
    bed, shelf = _bed(1100.0), stood("shelf", (1900.0, 1300.0, 50.0), (300.0, 0.0, 1050.0))
    [finding] = check(context_of(plain_space(), [shelf, bed], (ADA,)))
    assert finding.does is not None
    lowered = [shifted(p, finding.does.shift) for p in (shelf, bed)]
    [after] = check(context_of(plain_space(), lowered, (ADA,)))

    assert finding.cure == "bring bed and shelf 110 mm lower, to 990 mm"
    assert (set(finding.does.things), finding.does.shift) == ({"bed", "shelf"}, (0, 0, -110))
    assert (after.severity, after.measured, after.cure) == ("note", pytest.approx(710), "")


def test_a_failing_bed_is_lowered_to_where_nothing_is_left_to_warn_of() -> None:
    """Protects from a cure by halves: 500 of 570 free fails, and 710 are offered where they can be had, else 570."""
    high, low = _found([_bed(1200.0)]), _found([_bed(150.0)], height=750.0)
    assert high.does is not None
    assert low.does is not None
    passed = _found([shifted(_bed(1200.0), high.does.shift)])
    warned = _found([shifted(_bed(150.0), low.does.shift)], height=750.0)

    assert (high.severity, high.wanted, high.cure) == ("fail", 570, "bring bed 210 mm lower, to 990 mm")
    # 650 is all there is over the floor, so 710 is out of reach.
    assert (low.severity, low.cure) == ("fail", "bring bed 70 mm lower, to 80 mm")
    assert (passed.severity, warned.severity) == ("note", "warn")


def test_what_is_stowed_under_a_hanging_bed_is_not_crushed() -> None:
    """Protects what lies below: with a chest 1000 high under the shelf at 1050, the shelf cannot come down 110."""
    things = [
        stood("chest", (600.0, 400.0, 1000.0), (500.0, 0.0, 0.0)),
        stood("shelf", (1900.0, 1300.0, 50.0), (300.0, 0.0, 1050.0)),
        _bed(1100.0),
    ]
    [finding] = check(context_of(plain_space(), things, (ADA,)))

    assert finding.does is None
    assert finding.cure == "a deck at 990 mm, 110 mm lower, gives 710 mm; chest under it would have to be 60 mm lower"


def test_the_air_over_what_is_stowed_may_be_enough() -> None:
    """Protects the easy way out: a platform on legs at 1050 over a chest of 800 has 250 of air, and 110 are wanted."""
    things = [
        stood("chest", (600.0, 400.0, 800.0), (500.0, 0.0, 0.0)),
        stood("leg", (50.0, 50.0, 1050.0), (300.0, 0.0, 0.0)),
        stood("deck", (1900.0, 1300.0, 50.0), (300.0, 0.0, 1050.0)),
        _bed(1100.0),
    ]
    [finding] = check(context_of(plain_space(), things, (ADA,)))

    assert finding.does is None
    assert finding.cure.startswith(
        "a deck at 990 mm, 110 mm lower, gives 710 mm; what carries it (leg) is so much too high"
    )
    assert finding.cure.endswith("; the air over chest is enough for it")


def test_no_deck_height_under_a_low_roof() -> None:
    """Protects from false hope: under 780 a mattress of 100 leaves 680 on the floor itself, and 710 are wanted."""
    raised, flat = _found([_bed(50.0)], height=780.0), _found([_bed(0.0)], height=780.0)

    assert raised.cure == "no deck height gives 710 mm: on the floor itself 680 mm would be left at most"
    assert (
        flat.cure
        == "no deck height gives 710 mm: the bed lies on the floor already; lay it elsewhere, or a thinner one"
    )


def test_a_bed_that_is_not_inside_is_left_to_the_rule_inside() -> None:
    """Protects from figures about a bed that cannot be: half in the front wall, nothing is told."""
    assert not list(
        check(
            context_of(
                plain_space(), [stood("bed", (1900.0, 700.0, 100.0), (1500.0, 0.0, 400.0), sleeps=("Ada",))], (ADA,)
            )
        )
    )


def test_overhead_against_sampling() -> None:
    """Protects the ceiling: a column a hair under the height told is in the room, one a hair over is not."""
    leaning = wall((0.0, 850.0), (700.0, 870.0), (1200.0, 640.0), (1800.0, 500.0))
    space = plain_space(left=leaning, right=wall((0.0, 850.0)))
    context = context_of(space, [], (ADA,))
    for foot in (0.0, 300.0, 650.0, 900.0):
        place = heads(context, _bed(foot))
        over = overhead(context, (), place, foot)
        low, high = (stood("c", (1.0, 1.0, 1.0), (0.0, 0.0, 0.0)).solids[0] for _ in "ab")
        low, high = (
            replace(low, outline=place, z0=foot, z1=over.z - 0.1),
            replace(high, outline=place, z0=foot, z1=over.z + 0.1),
        )
        assert (space.holds(low), space.holds(high)) == (True, False)
