"""The rule bed-size by hand arithmetic, against sampling, and its cures carried out."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, hypot, radians, sin
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import settings as example_settings
from hypothesis import strategies as st

from layout.checks.bed_line import Bed, bed_of, edges_of, free_stretches, longest_body, longest_strip
from layout.checks.bed_size import check, sleepers_on
from layout.checks.deck_height import Wish, search
from layout.checks.moves import shifted
from layout.checks.peak import highest
from layout.model.finding import Finding
from layout.model.person import Person
from layout.space.aisle import longest_straight
from layout.space.parts import Obstacle
from layout.space.space import Space
from tests.builders import plain_space, plan_of, wall
from tests.checks.beds import context_of, stood

ADA, BO = Person(name="Ada", stature=1780.0), Person(name="Bo", stature=1600.0)
# A wall that is widest, 900, at 600 above the floor: 0.2 to the mm below it, 0.1 above.
BULGED = wall((0.0, 780.0), (600.0, 900.0), (1600.0, 800.0))


def _found(space: Space, *things: Any, people: tuple[Person, ...] = (ADA,)) -> list[Finding]:
    return list(check(context_of(space, things, people)))


def _bed(length: float, width: float, at: tuple[float, float, float], turn: float = 0.0, *names: str) -> Any:
    return stood("bed", (length, width, 100.0), at, turn=turn, sleeps=names or ("Ada",))


def _projects(folder: Path, mattress: dict[str, str], at: list[str], **more: Any) -> list[Finding]:
    made = {"kind": "mattress", "thickness": "100", "sleeps": ["Ada"], **mattress}
    said = {"people": {"Ada": {"stature": "1780"}}, "things": {"m": made}, "arrangement": {"m": {"at": at}}, **more}
    return [f for f in plan_of(folder, **said).findings if f.rule == "bed-size"]


def test_a_short_mattress_in_a_long_room(tmp_path: Path) -> None:
    """Protects the plain case: 1780 + 70 is wanted of 1800; 50 longer cures it, one millimetre less does not."""
    [short] = _projects(tmp_path, {"length": "1800", "width": "700"}, ["500", "0", "400"])

    assert short.text == "m: Ada (1780 mm) lies on 1800 mm of 1850 mm wanted"
    assert (short.measured, short.wanted, short.short_by) == (1800, 1850, 50)
    assert short.cure == "make it 50 mm longer"
    assert not _projects(tmp_path, {"length": "1850", "width": "700"}, ["500", "0", "400"])
    assert _projects(tmp_path, {"length": "1849", "width": "700"}, ["500", "0", "400"])


def test_where_it_can_be_made_longer_is_said(tmp_path: Path) -> None:
    """Protects the direction: 20 are free behind a mattress, 1180 before it, so all 50 or 30 of them go forward."""
    size = {"length": "1800", "width": "700"}
    [at_wall] = _projects(tmp_path, size, ["0", "0", "400"])
    [near_wall] = _projects(tmp_path, size, ["20", "0", "400"])
    box = {"kind": "box", "length": "500", "width": "700", "height": "600"}
    things = {"m": {"kind": "mattress", "thickness": "100", "sleeps": ["Ada"], **size}, "chest": box}
    said = {"m": {"at": ["20", "0", "400"]}, "chest": {"at": ["1850", "0", "0"]}}
    [between] = _projects(tmp_path, size, [], things=things, arrangement=said)

    assert at_wall.cure == "make it 50 mm longer: 50 mm at its front end"
    assert near_wall.cure == "make it 50 mm longer: 50 mm at its front end"
    # 20 behind and 30 before: both are used up.
    assert between.cure == "make it 50 mm longer: 20 mm at its rear end and 30 mm at its front end"


def test_what_is_in_the_way_of_a_longer_one_is_named(tmp_path: Path) -> None:
    """Protects from a cure that makes an overlap: beside a chest 1840 behind the front wall, 1850 do not go in."""
    size = {"length": "1800", "width": "700"}
    things = {
        "m": {"kind": "mattress", "thickness": "100", "sleeps": ["Ada"], **size},
        "chest": {"kind": "box", "length": "500", "width": "700", "height": "600"},
        "aside": {"kind": "box", "length": "500", "width": "300", "height": "600"},
        "low": {"kind": "box", "length": "500", "width": "300", "height": "300"},
    }
    said = {"m": {"at": ["0", "0", "400"]}, "chest": {"at": ["1840", "0", "0"]}, "aside": {"at": ["1840", "600", "0"]},
            "low": {"at": ["0", "0", "0"]}}  # fmt: skip
    [finding] = _projects(tmp_path, size, [], things=things, arrangement=said)

    assert finding.cure == "the room is long enough there, but not beside what else stands there (chest)"
    assert finding.does is None


def test_a_bed_in_the_wall_is_told_as_it_is_lain_on_and_moved_out() -> None:
    """Protects the sleeper's truth: of 1900 that begin 80 behind the rear wall, 1820 are lain on; 80 forward cures it."""
    space, bed = plain_space(), _bed(1900.0, 700.0, (-80.0, 0.0, 400.0))
    [finding] = _found(space, bed)
    assert finding.does is not None
    moved = shifted(bed, finding.does.shift)

    assert (finding.measured, finding.cure) == (pytest.approx(1820), "move it 80 mm forward")
    assert finding.does.shift == (80, 0, 0)
    assert not _found(space, moved)
    assert space.holds(moved.solids[0])


def test_no_deck_height_rescues_a_bed_across() -> None:
    """Protects the answer to "could we raise it?": 100 thick, it finds the most where it bridges the widest height.

    The half-width rises by 0.2 to the mm up to 900 at 600 and falls by 0.1 above. From 600 - a to 700 - a both ends are
    equal where 0.2 a = 0.1 (100 - a), so a = 33.3, which takes 6.67 off either side: 1800 - 13.33 = 1786.7.
    """
    space = plain_space(width=1560.0, left=BULGED, right=BULGED)
    [finding] = _found(space, _bed(1850.0, 700.0, (1000.0, -925.0, 800.0), 90.0))

    # On 800 its top is at 900: 900 - 0.1 x 300 = 870 to either side.
    assert finding.measured == pytest.approx(1740, abs=0.01)
    assert "Ada (1780 mm) lies on 1740 mm of 1850 mm wanted" in finding.text
    assert "no deck height rescues it: the widest is 1800 mm at height 600 mm" in finding.text
    assert "over the mattress's thickness 1786.6 mm, on a deck at 566.7 mm" in finding.text
    assert "nor does lying at an angle: 1740 mm" in finding.text
    assert "for people up to 1670 mm tall" in finding.cure
    assert "lay it lengthwise: at this height the room holds 1850 mm × 700 mm" in finding.cure


def test_the_deck_height_that_rescues_is_the_nearest_and_does() -> None:
    """Protects the cure: 1770 wanted is what 885 to either side give, on a deck of 650 at most: 750 - 600 = 10 x 15.

    From above, 885 = 900 - 0.1 (z - 600) at z = 750, the mattress's top.
    """
    space, cleo = plain_space(width=1560.0, left=BULGED, right=BULGED), Person(name="Ada", stature=1700.0)
    bed = _bed(1770.0, 700.0, (1000.0, -885.0, 800.0), 90.0)
    [finding] = _found(space, bed, people=(cleo,))
    lowered, still_high = (shifted(bed, (0.0, 0.0, -by)) for by in (150.0, 149.0))

    assert finding.cure == "at deck height 650 mm it fits"
    assert not _found(space, lowered, people=(cleo,))
    assert space.holds(lowered.solids[0])
    assert _found(space, still_high, people=(cleo,))


def test_what_the_rescued_bed_would_meet_is_named() -> None:
    """Protects from a deck in the totes: down to 650 a mattress meets the chest of 700 that is under it now."""
    space, cleo = plain_space(width=1560.0, left=BULGED, right=BULGED), Person(name="Ada", stature=1700.0)
    bed = _bed(1700.0, 700.0, (1000.0, -850.0, 800.0), 90.0)
    chest = stood("chest", (400.0, 400.0, 700.0), (700.0, 0.0, 0.0))
    [finding] = _found(space, bed, chest, people=(cleo,))

    assert finding.cure == "at deck height 650 mm it fits, made 70 mm longer, once chest made room for it"


def test_a_corner_that_is_cut_off_does_not_condemn_the_bed() -> None:
    """Protects beds round a pillar: 1800 is too short for Ada, and beyond the pillar's corner a longer one finds room."""
    pillar = Obstacle(
        name="pillar", outline=((0.0, 250.0), (300.0, 250.0), (300.0, 850.0), (0.0, 850.0)), z0=0.0, z1=900.0
    )
    space = plain_space(length=2120.0, obstacles=(pillar,))
    [finding] = _found(space, _bed(1800.0, 700.0, (300.0, 0.0, 300.0)))

    # Right of the pillar a body of 570 has 2120; over the whole 700 there are 1820.
    assert finding.measured == 1800
    assert finding.cure == "a longer mattress, cut to fit what is round it, is long enough there"


def test_the_diagonal_is_never_credited() -> None:
    """Protects tall people: 1700 x 1600 has a diagonal of 2335, yet somebody of 1780 wants 1850 and lies on 1700."""
    space = plain_space(length=1700.0, width=1600.0)
    [finding] = _found(space, _bed(1700.0, 1600.0, (0.0, 0.0, 300.0)))
    aslant, _ = longest_body(1700.0, 1600.0, 570.0)

    assert finding.measured == pytest.approx(1700)
    assert aslant > 1760
    assert f"would find {int(aslant * 10) / 10:g} mm, which is not counted" in finding.text


def test_the_taller_takes_the_longer_share() -> None:
    """Protects couples: a post 100 deep at the foot of the right half leaves 1750 there, enough for the shorter of two."""
    post = Obstacle(name="post", outline=((1900.0, -600.0), (2000.0, -600.0), (2000.0, -100.0), (1900.0, -100.0)),
                    z0=0.0, z1=900.0)  # fmt: skip
    space = plain_space(length=2000.0, width=1400.0, obstacles=(post,))
    bed = _bed(1850.0, 1300.0, (150.0, 0.0, 300.0), 0.0, "Ada", "Bo")
    short = (ADA, BO, replace(BO, name="Bo", stature=1700.0))

    assert not _found(space, bed, people=(ADA, BO))
    [finding] = _found(space, bed, people=(short[0], short[2]))
    # 1700 + 70 is wanted of what is left before the post: 1900 - 150.
    assert "Ada (1780 mm) fits; Bo (1700 mm) lies on 1750 mm of 1770 mm wanted" in finding.text


def test_a_narrow_bed_says_how_much_wider_or_that_there_is_no_room(tmp_path: Path) -> None:
    """Protects shoulders: two want 2 x 580; 1000 is 160 short, and between walls 1100 apart no wider one goes in."""
    people = {"Ada": {"stature": "1780"}, "Bo": {"stature": "1600"}}
    size = {"length": "1850", "width": "1000", "sleeps": ["Ada", "Bo"]}
    [wide_room] = _projects(tmp_path, size, ["500", "0", "400"], people=people)  # type: ignore[arg-type]
    [slim] = _found(
        plain_space(width=1100.0), _bed(1850.0, 1000.0, (100.0, 0.0, 0.0), 0.0, "Ada", "Bo"), people=(ADA, BO)
    )

    assert (wide_room.short_by, wide_room.cure) == (160, "make it 160 mm wider")
    assert slim.cure == "160 mm more wanted, and no room for it there; let fewer sleep on it"


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0, 37.0])
def test_a_bed_is_measured_along_itself_however_it_is_turned(turn: float) -> None:
    """Protects from mixing axes: turned about the middle of a wide room, 1800 is lain on as 1800."""
    space = plain_space(length=6000.0, width=6000.0)
    c, s = cos(radians(turn)), sin(radians(turn))
    bed = _bed(1800.0, 700.0, (3000.0 - 900.0 * c, -900.0 * s, 400.0), turn)
    [finding] = _found(space, bed)
    (x0, y0, z0), (x1, y1, z1) = finding.line

    assert finding.measured == pytest.approx(1800)
    assert hypot(x1 - x0, y1 - y0) == pytest.approx(1800, abs=0.01)
    assert (x1 - x0, y1 - y0) == (pytest.approx(1800 * c, abs=0.01), pytest.approx(1800 * s, abs=0.01))
    assert z0 == z1 == 500


def test_the_same_finding_for_every_state_is_one(tmp_path: Path) -> None:
    """Protects the report: a bed that lies the same all day is told once."""
    [finding] = _projects(tmp_path, {"length": "1800", "width": "700"}, ["500", "0", "400"])

    assert finding.states == ("drive", "camp", "sleep")


OUTLINE = [
    (0.0, -700.0),
    (2200.0, -760.0),
    (2100.0, 0.0),
    (2300.0, 650.0),
    (900.0, 720.0),
    (850.0, 500.0),
    (0.0, 480.0),
]


PILLARS = shapely.MultiPolygon(
    [shapely.box(500.0, -500.0, 1400.0, -350.0), shapely.Polygon([(700, -100), (1000, -250), (900, 100)]),
     shapely.box(1600.0, 100.0, 1650.0, 400.0)]
)  # fmt: skip


@given(low=st.floats(-700, 200), breadth=st.floats(50, 900))
def test_free_stretches_are_free_and_end_at_the_border(low: float, breadth: float) -> None:
    """Protects the measure: a stretch's rectangle lies in a crooked room with pillars, and not when 1 longer."""
    room = shapely.Polygon(OUTLINE).difference(PILLARS)
    for u0, u1 in free_stretches(edges_of(room, 0.0), (low, low + breadth)):
        inside = shapely.box(u0, low, u1, low + breadth).buffer(-0.001)
        if u1 - u0 > 1:
            assert room.covers(inside)
            assert not room.covers(shapely.box(u0 - 1, low + 0.01, u1, low + breadth - 0.01))
            assert not room.covers(shapely.box(u0, low + 0.01, u1 + 1, low + breadth - 0.01))


@example_settings(max_examples=40)
@given(breadth=st.floats(300, 700), turn=st.sampled_from([0.0, 90.0, 20.0]))
def test_the_longest_strip_is_not_beaten_by_sampling(breadth: float, turn: float) -> None:
    """Protects exactness: 400 places tried one by one give nothing longer than the strip told, and that is free."""
    crooked = shapely.Polygon(OUTLINE).difference(PILLARS)
    bed = Bed(along=(-500.0, 3000.0), across=(-740.0, 640.0), z=(0.0, 1.0), turn_deg=turn)
    edges = edges_of(shapely.affinity.rotate(crooked, turn, origin=(0, 0)), turn)
    places = np.linspace(-740.0, 640.0 - breadth, 400)
    tried = max(max((b - a for a, b in free_stretches(edges, (v, v + breadth))), default=0.0) for v in places)
    found = longest_strip(edges, bed, bed.across, breadth)
    told = shapely.box(found.along[0], found.at, found.along[1], found.at + breadth)

    assert found.length >= tried - 1e-6
    assert crooked.covers(told.buffer(-0.001, join_style="mitre"))


@given(length=st.floats(800, 2400), width=st.floats(600, 2000), breadth=st.floats(100, 1000))
def test_the_longest_body_at_an_angle_is_not_beaten_by_sampling(length: float, width: float, breadth: float) -> None:
    """Protects the formula: every hundredth of a degree tried one by one finds nothing longer, and nearly as long."""
    turns = np.radians(np.linspace(0.01, 89.99, 8999))
    tried = np.minimum(
        (length - breadth * np.sin(turns)) / np.cos(turns), (width - breadth * np.cos(turns)) / np.sin(turns)
    )
    square = [size for size, other in ((length, width), (width, length)) if breadth <= other]
    best = max([*square, float(tried.max()), 0.0])
    found, angle = longest_body(length, width, breadth)

    assert best - 1e-6 <= found <= best + 1.0
    if 0 < angle < 90:
        t = radians(angle)
        assert found * cos(t) + breadth * sin(t) <= length + 1e-6
        assert found * sin(t) + breadth * cos(t) <= width + 1e-6


def test_the_longest_body_against_the_search_for_long_things() -> None:
    """Protects both: the formula for a rectangle and the search among a floor's corners give the same length."""
    for length, width, breadth in ((1720.0, 1300.0, 550.0), (1500.0, 1500.0, 300.0), (1900.0, 1400.0, 200.0)):
        searched, _ = longest_straight(shapely.box(0.0, 0.0, length, width), breadth)
        assert longest_body(length, width, breadth)[0] == pytest.approx(searched, abs=1.0)
    # At 45 degrees in a square: side x root 2, less the breadth.
    assert longest_body(1500.0, 1500.0, 300.0) == (pytest.approx(1500 * 2**0.5 - 300), pytest.approx(45))


@given(st.lists(st.tuples(st.floats(-3, 3), st.floats(-50, 50)), min_size=1, max_size=6), st.floats(1, 40))
def test_the_peak_of_straight_lines(lines: list[tuple[float, float]], end: float) -> None:
    """Protects the search over heights: the least of straight lines has its peak where two meet, or at an end."""

    def measure(x: float) -> float:
        return min(a * x + b for a, b in lines)

    meets = [(d - b) / (a - c) for (a, b) in lines for (c, d) in lines if abs(a - c) > 1e-9]
    best = max(measure(x) for x in [0.0, end, *(x for x in meets if 0 <= x <= end)])
    _, found = highest(measure, (0.0, end))

    assert best - 0.02 <= found <= best + 1e-9


@example_settings(max_examples=25)
@given(
    st.lists(st.floats(700, 950), min_size=4, max_size=4),
    st.lists(st.floats(700, 950), min_size=4, max_size=4),
    st.floats(40, 200),
)
def test_the_search_of_all_deck_heights_is_not_beaten_by_sampling(
    left: list[float], right: list[float], thickness: float
) -> None:
    """Protects "no deck height rescues it": every 2 mm of height tried one by one finds nothing wider."""
    heights = (0.0, 350.0, 800.0, 1400.0)
    walls = [wall(*zip(heights, half, strict=True)) for half in (left, right)]
    space = plain_space(width=left[0] + right[0], left=walls[0], right=walls[1])
    space = replace(space, outline=((0.0, -right[0]), (3000.0, -right[0]), (3000.0, left[0]), (0.0, left[0])))
    bed = Bed(along=(-2000.0, 2000.0), across=(-1500.0, -800.0), z=(500.0, 500.0 + thickness), turn_deg=90.0)
    found = search(space, bed, Wish(lengths=(3000.0,), breadth=570.0, highest=1100.0), 0.1)

    def clear(z: float) -> float:
        tops = [z, z + thickness, *(h for h in heights if z < h < z + thickness)]
        return sum(min(float(np.interp(t, heights, half)) for t in tops) for half in (left, right))

    best = max(clear(float(z)) for z in np.arange(0.0, 1100.5, 2.0))
    assert best - 0.01 <= found.clear <= best + 4.0
    assert found.clear == pytest.approx(clear(found.at), abs=0.01)
    levels = (*heights[:3], 1100.0 + thickness)
    at_one = [sum(float(np.interp(z, heights, half)) for half in (left, right)) for z in levels]
    assert found.widest == pytest.approx(max(at_one), abs=0.01)


@given(st.lists(st.floats(1400, 2100), min_size=2, max_size=6, unique=True), st.floats(1500, 2200))
def test_nobody_taller_fits_where_somebody_shorter_does_not(statures: list[float], length: float) -> None:
    """Protects the order: along one mattress, whoever is taller is short by at least as much."""
    space, bed = plain_space(), _bed(length, 700.0, (100.0, 0.0, 300.0))
    short = [
        max(
            0.0, *(s.short_by for s in sleepers_on(context_of(space, (bed,), (Person(name="Ada", stature=tall),)), bed))
        )
        for tall in sorted(statures)
    ]
    assert all(a <= b for a, b in pairwise(short))


def test_bed_axes() -> None:
    """Protects the turning back and forth: a bed turned by 90 lies along y, and its quarter along x."""
    bed = bed_of(_bed(1850.0, 700.0, (1000.0, -925.0, 800.0), 90.0))

    assert (bed.length, bed.width, bed.thickness) == (1850, 700, 100)
    assert bed.along == (-925, 925)
    quarter = bed.quarter()
    assert (quarter.length, quarter.width, quarter.turn_deg) == (700, 1850, 180)
