"""Carrying in: against the formula of the corner, a flood over a grid, sampled points, and plain arithmetic."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely
from shapely import affinity

from layout.model.solid import box
from layout.space.carry_body import Piece, Unit, block, stepped
from layout.space.carry_in import fitting_poses, goes_in, height_to_stand_up, may_stand_up, stands, tightest
from layout.space.carry_pose import TIPS, posed, tilted
from layout.space.carry_room import OpenRoom, opened
from layout.space.carry_search import _swept
from layout.space.carry_smaller import least_cut
from layout.space.parts import Door, Obstacle, Ribs
from layout.space.space import Space
from tests.builders import cube, plain_space, wall

Rect = tuple[float, float, float, float]


def _rear(width: float = 1520.0, top: float = 1700.0, sill: float = 0.0) -> Door:
    return Door(name="rear door", side="rear", kind="two leaves", low=-width / 2, high=width / 2, sill=sill, top=top)


def _side(low: float, high: float, top: float = 1700.0, sill: float = 0.0) -> Door:
    return Door(name="side door", side="right", kind="sliding", low=low, high=high, sill=sill, top=top)


def _room(space: Space, frame: float = 80.0) -> OpenRoom:
    return opened(space, space.doors, frame)


def _unit(length: float, width: float, height: float, at: tuple[float, float, float], turn: float = 0.0) -> Unit:
    sizes = (length, width, height)
    return Unit(sizes=sizes, pieces=(block(sizes),), at=at, turn_deg=turn)


def _obstacle(name: str, x: tuple[float, float], y: tuple[float, float], top: float) -> Obstacle:
    return Obstacle(name=name, outline=((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])), z0=0.0, z1=top)


WELLS = (
    _obstacle("wheel well left", (640, 1450), (670, 850), 240),
    _obstacle("wheel well right", (640, 1450), (-850, -670), 240),
)


def test_free_places_are_those_that_sampled_points_say() -> None:
    """At 400 random places of a turned outline in a random room, the area of free places and a plain overlap agree."""
    rng = random.Random(4)
    lean = wall((0.0, 800.0), (600.0, 850.0), (1800.0, 600.0))
    space = plain_space(left=lean, right=lean, obstacles=WELLS, doors=(_rear(), _side(1800, 2900)))
    clear = _room(space).clear(0.0, 900.0)
    counts = {True: 0, False: 0}
    for _ in range(400):
        angle, x, y = rng.uniform(0, 180), rng.uniform(-900, 3600), rng.uniform(-1700, 1700)
        body = affinity.rotate(shapely.box(-450, -250, 450, 250), angle, origin=(0, 0))
        free = clear.places(shapely.get_coordinates(body.exterior)[:-1])
        overlap = affinity.translate(body, x, y).difference(clear.hull.difference(clear.solid)).area
        if not 0 < overlap < 1:
            counts[overlap == 0] += 1
            assert free.covers(shapely.Point(x, y)) == (overlap == 0)

    assert min(counts.values()) > 50


def test_what_is_swept_is_inside_the_hull() -> None:
    """Every corner of an outline, at twenty angles on the way of a turn, lies in the hull told for that turn."""
    outline = np.array([(-900.0, -200.0), (700.0, -200.0), (700.0, 400.0), (-900.0, 400.0)])
    for angle, gap in ((0.0, 0.5), (33.0, -3.0), (90.0, 10.0)):
        hull = shapely.convex_hull(shapely.multipoints(_swept(outline, angle, gap))).buffer(1e-6)
        for i in range(21):
            t = radians(angle + gap * i / 20)
            turned = [(x * cos(t) - y * sin(t), x * sin(t) + y * cos(t)) for x, y in outline]
            assert hull.covers(shapely.MultiPoint(turned))


def test_a_tilt_is_held_by_its_box() -> None:
    """At every degree between two steps of a tip, a turned rectangle is no longer and no higher than told."""
    for tip in TIPS:
        along, across, up = posed((1600.0, 500.0, 700.0), tip[0])
        turns = along if tip == TIPS[0] else across
        for first, last in ((0, 1), (1, 3), (5, 6), (0, 6)):
            long, wide, high = tilted((1600.0, 500.0, 700.0), tip, first, last)
            most = long if tip == TIPS[0] else wide
            for t in (radians(d) for d in range(first * 15, last * 15 + 1)):
                assert turns * cos(t) + up * sin(t) <= most + 1e-6
                assert turns * sin(t) + up * cos(t) <= high + 1e-6

    assert tilted((1600.0, 500.0, 700.0), TIPS[0], 0, 6)[2] == pytest.approx(hypot(1600, 700))


def test_the_section_against_all_six_ways_round() -> None:
    """A box passes an opening in some pose exactly when one of its six ways round has height and width to spare."""
    rng = random.Random(1)
    for _ in range(200):
        sizes = (rng.uniform(300, 2000), rng.uniform(300, 2000), rng.uniform(300, 2000))
        room = _room(plain_space(height=2500, doors=(_rear(rng.uniform(600, 1700), rng.uniform(900, 1900), 100),)))
        door = room.doors[0]
        by_hand = any(w <= door.width and h <= door.top - 100 for _, w, h in permutations(sizes))

        assert any(fitting_poses(room, sizes).values()) == by_hand
        assert (tightest(room, sizes).wanted <= tightest(room, sizes).measured) == by_hand


# ------------------------------------------------------------------ the turn, against others' arithmetic


def _corner(width: float, depth: float, breadth: float) -> float:
    """Return the longest rectangle of that breadth that goes round a corner between ways of `width` and `depth`.

    At the angle t its inner side touches the corner and its two outer corners the far walls: then
    width cos t + depth sin t = breadth + length sin t cos t. The least length over all t goes round.
    """
    angles = np.radians(np.arange(0.5, 90, 0.05))
    lengths = (width * np.cos(angles) + depth * np.sin(angles) - breadth) / (np.sin(angles) * np.cos(angles))
    return float(lengths.min())


def _longest_round(width: float, depth: float, breadth: float) -> float:
    """Return the longest unit for which a way is found, to 5 mm, round the corner of a long passage and a room."""
    space = plain_space(length=8000.0, width=depth, doors=(_side(0.0, width),))
    room = _room(space, frame=8000.0)
    low, high = breadth, 8000.0
    while high - low > 5.0:
        length = (low + high) / 2
        found = goes_in(room, _unit(length, breadth, 1100.0, (8000.0 - length / 2, 0.0, 0.0)))
        low, high = (length, high) if found else (low, length)
    return low


@pytest.mark.parametrize(("width", "depth", "breadth"), [(1200, 1700, 500), (800, 1200, 400), (900, 1100, 650)])
def test_the_turn_against_the_formula_of_the_corner(width: float, depth: float, breadth: float) -> None:
    """Round a corner no unit longer than the formula's goes, and one 2 % shorter does."""
    longest = _longest_round(width, depth, breadth)

    assert _corner(width, depth, breadth) * 0.98 - 5 < longest <= _corner(width, depth, breadth)


def test_the_turn_through_a_side_door() -> None:
    """A unit 1900 x 500 goes through a side door 1200 wide into a room 1700 deep, where it must turn; 1690 wide not.

    It is longer than the room is deep, and than the door is wide, so it can go in neither straight nor sideways.
    """
    room = _room(plain_space(length=3000, width=1700, doors=(_side(1700, 2900),)))

    assert goes_in(room, _unit(1900, 500, 1200, (1500, 0, 0)))
    assert not goes_in(room, _unit(1900, 1690, 1200, (1500, 0, 0)))


class Flood:
    """A unit in plan on a grid of places and angles: which the yard reaches, walls being rectangles. Shares no code."""

    GRID, ANGLE = 30.0, 3.0

    def __init__(self, depth: float, length: float, door: tuple[float, float], frame: float) -> None:
        half, far = depth / 2, 9000.0
        self.walls: tuple[Rect, ...] = (
            (-far, -half - frame, 0, far), (length, -half - frame, far, far), (-far, half, far, far),
            (-far, -half - frame, door[0], -half), (door[1], -half - frame, far, -half),
        )  # fmt: skip
        self.xs = np.arange(-1600.0, length + 1600.0, self.GRID)
        self.ys = np.arange(-half - frame - 2400.0, half, self.GRID)
        self.angles = np.arange(0.0, 180.0, self.ANGLE)

    def reaches(self, length: float, breadth: float, at: tuple[float, float], more: float) -> bool:
        """Return whether the unit, larger by `more` times the grid's coarseness all round, gets from `at` to the yard.

        Between two neighbours of the grid no point of the unit moves more than half a step of both. With `more` +1 a way
        over the grid is a way; with -1 a way is one over the grid.
        """
        coarse = self.GRID / 2 * 2**0.5 + hypot(length, breadth) / 2 * radians(self.ANGLE / 2)
        a, b = length + 2 * more * coarse, breadth + 2 * more * coarse
        free = np.stack([self._free(a, b, angle) for angle in self.angles])
        start = (0, int(np.abs(self.ys - at[1]).argmin()), int(np.abs(self.xs - at[0]).argmin()))
        return bool(self._flooded(free, start)[:, 0, :].any())

    def _free(self, a: float, b: float, angle: float) -> np.ndarray:
        """Return which middles are free: two rectangles are apart if they are along one of their four axes."""
        x, y = np.meshgrid(self.xs, self.ys)
        c, s = abs(cos(radians(angle))), abs(sin(radians(angle)))
        ux, uy = cos(radians(angle)), sin(radians(angle))
        free = np.ones(x.shape, dtype=bool)
        for x0, y0, x1, y1 in self.walls:
            dx, dy, hx, hy = x - (x0 + x1) / 2, y - (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2
            free &= (
                (np.abs(dx) >= hx + (a * c + b * s) / 2) | (np.abs(dy) >= hy + (a * s + b * c) / 2)
                | (np.abs(dx * ux + dy * uy) >= a / 2 + hx * c + hy * s)
                | (np.abs(dy * ux - dx * uy) >= b / 2 + hx * s + hy * c)
            )  # fmt: skip
        return free

    @staticmethod
    def _flooded(free: np.ndarray, start: tuple[int, int, int]) -> np.ndarray:
        reached = np.zeros_like(free)
        reached[start] = free[start]
        count = 0
        while reached.sum() > count:
            count = int(reached.sum())
            wider = reached | np.roll(reached, 1, axis=0) | np.roll(reached, -1, axis=0)
            wider[:, 1:] |= reached[:, :-1]
            wider[:, :-1] |= reached[:, 1:]
            wider[:, :, 1:] |= reached[:, :, :-1]
            wider[:, :, :-1] |= reached[:, :, 1:]
            reached = wider & free
        return reached


def test_the_turn_against_a_flood_over_a_grid() -> None:
    """Where a slightly larger unit gets in over a grid, a way is found; where a slightly smaller one does not, none is."""
    rng = random.Random(8)
    said = {True: 0, False: 0}
    for _ in range(12):
        depth, breadth, length = rng.uniform(700, 1500), rng.uniform(250, 600), rng.uniform(1100, 2300)
        low, width = rng.uniform(300, 900), rng.uniform(450, 1000)
        flood = Flood(depth, 2600.0, (low, low + width), 80.0)
        space = plain_space(length=2600.0, width=depth, height=1500, doors=(_side(low, low + width, top=1500),))
        found = goes_in(_room(space), _unit(length, breadth, 1450.0, (2590.0 - length / 2, 0.0, 0.0)))
        surely = flood.reaches(length, breadth, (2500.0 - length / 2, 0.0), 1.0)
        perhaps = flood.reaches(length, breadth, (2590.0 - length / 2, 0.0), -1.0)

        assert surely <= found <= perhaps
        if surely == perhaps:
            said[found] += 1

    assert min(said.values()) >= 2


# ------------------------------------------------------------------ straight, lifted, tipped


def test_straight_in_needs_no_room_to_turn() -> None:
    """A unit from wall to wall goes straight in through an opening as wide as the room; with 10 less, it does not."""
    unit = _unit(1900, 1700, 1000, (2000, 0, 0))

    assert goes_in(_room(plain_space(doors=(_rear(1700),))), unit)
    assert not goes_in(_room(plain_space(doors=(_rear(1690),))), unit)


def test_wall_to_wall_is_not_turned() -> None:
    """A unit 1690 long that stands across a room of 1700 does not turn there: not even its short way in helps."""
    room = _room(plain_space(doors=(_rear(1600, top=1750),)))

    assert not goes_in(room, _unit(1690, 600, 1600, (2500, 0, 0), 90))
    assert goes_in(room, _unit(1690, 600, 1600, (2000, 0, 0)))


def test_lifted_over_wheel_wells() -> None:
    """A unit 1400 x 1400 goes over wells 1340 apart and 240 high when 240 + its height passes under the door's 1700."""
    room = _room(plain_space(height=1800, obstacles=WELLS, doors=(_rear(1520, 1700),)))

    assert goes_in(room, _unit(1400, 1400, 1455, (2200, 0, 0)))
    assert not goes_in(room, _unit(1400, 1400, 1465, (2200, 0, 0)))
    assert goes_in(room, _unit(1400, 1330, 1465, (2200, 0, 0)))


def test_a_deck_wider_than_its_legs() -> None:
    """A deck 1640 wide on legs 1300 apart stands between wells where its box does not, and goes straight in so."""
    solids = (cube(0, -650, 0, 300), cube(1200, 350, 0, 300), cube(0, -820, 300, 1640))
    pieces = stepped(solids, 2)
    room = _room(plain_space(height=2100, obstacles=WELLS, doors=(_rear(1660, 2050),)))
    sizes = (1640.0, 1640.0, 1940.0)
    unit = Unit(sizes=sizes, pieces=pieces, at=(1600.0, 0.0, 0.0))

    assert [(p.y, p.z) for p in pieces] == [((-650, 650), (0, 300)), ((-820, 820), (300, 1940))]
    assert not stands(room, _unit(*sizes, (1600.0, 0.0, 0.0)))
    assert stands(room, unit)
    assert goes_in(room, unit)
    assert not goes_in(_room(plain_space(height=2100, obstacles=WELLS, doors=(_rear(1630, 2050),))), unit)


def test_a_unit_that_leans_with_the_wall() -> None:
    """Of 60 slabs that draw in by 240 ten boxes are made, no less than each slab, and they stand where the box does not."""
    slabs = [box("slab", (0, 1000), (-820 + 4 * i, 820 - 4 * i), (20 * i, 20 * i + 20)) for i in range(60)]
    lean = wall((0.0, 862.0), (1200.0, 622.0), (1800.0, 600.0))
    room = _room(plain_space(left=lean, right=lean, doors=(_rear(1645),)))
    units = [Unit(sizes=(1000, 1640, 1200), pieces=stepped(slabs, most), at=(1500, 0, 0)) for most in (1, 10)]

    assert [len(unit.pieces) for unit in units] == [1, 10]
    assert all(any(p.z[0] <= s.z0 and s.z1 <= p.z[1] and p.y[1] >= s.bounds[3] for p in units[1].pieces) for s in slabs)
    assert [stands(room, unit) for unit in units] == [False, True]
    assert goes_in(room, units[1])


def test_on_its_side_and_stood_up() -> None:
    """1600 wide and 700 high passes 1520 x 1700 on its side; standing it up takes hypot(1600, 700) = 1746.4 of height."""
    unit = _unit(1900, 1600, 700, (1500, 0, 0))
    under = {height: _room(plain_space(width=1780, height=height, doors=(_rear(),))) for height in (1740.0, 1750.0)}

    assert [pose for pose, doors in fitting_poses(under[1750.0], unit.sizes).items() if doors] == ["on its side"]
    assert may_stand_up(under[1750.0], unit.sizes)
    assert goes_in(under[1750.0], unit)
    assert not may_stand_up(under[1740.0], unit.sizes)
    assert not goes_in(under[1740.0], unit)
    assert not goes_in(_room(plain_space(width=1780, height=1750, doors=(_rear(top=1590),))), unit)


def test_standing_up_wants_room_beside() -> None:
    """A room 1740 wide is too narrow for the 1746.4 that the unit takes across in the course of the tip."""
    assert not goes_in(_room(plain_space(width=1740, doors=(_rear(),))), _unit(1900, 1600, 700, (1500, 0, 0)))


def test_two_tips_where_one_is_too_high() -> None:
    """A cupboard 900 x 300 x 1600 that passes 400 x 1000 on end only is laid flat, and stood up from there.

    At once it would take hypot(900, 1600) = 1836 of height; laid flat it takes 949, and stood up then 1628.
    """
    sizes = (900.0, 300.0, 1600.0)
    rooms = [_room(plain_space(height=height, doors=(_rear(400, 1000),))) for height in (1640.0, 1620.0)]

    assert [pose for pose, doors in fitting_poses(rooms[0], sizes).items() if doors] == ["on end"]
    assert height_to_stand_up(rooms[0], sizes) == pytest.approx(hypot(300, 1600))
    assert [goes_in(room, _unit(*sizes, (1500, 0, 0))) for room in rooms] == [True, False]


def test_open_doors_do_not_block_and_posts_do() -> None:
    """What is called closed is away while a door is open; a post of the body in the opening stays."""
    unit = _unit(1900, 1300, 1300, (1500, 0, 0))
    closed = _obstacle("closed rear door", (0, 50), (-760, 760), 1500)
    post = _obstacle("post", (0, 50), (-30, 30), 1500)

    assert goes_in(_room(plain_space(obstacles=(closed,), doors=(_rear(),))), unit)
    assert not goes_in(_room(plain_space(obstacles=(post,), doors=(_rear(),))), unit)


def test_a_leaning_wall_opens_with_its_door() -> None:
    """Through a side door in a wall that leans in by 200 a unit goes in upright when it is no higher."""
    lean = wall((0.0, 850.0), (1800.0, 650.0))
    room = _room(plain_space(left=lean, right=lean, doors=(_side(1000, 2000, top=1600),)))

    assert goes_in(room, _unit(990, 990, 1590, (1500, 0, 0)))
    assert not goes_in(room, _unit(990, 990, 1610, (1500, 0, 0)))


def test_no_rib_stands_in_an_opening() -> None:
    """Ribs 40 deep along the wall are not in the way where the door is, and beside it they are."""
    space = replace(
        plain_space(doors=(_side(1000, 2000, top=1600),)), ribs=Ribs(at=(1500.0, 2400.0), width=60, depth=40)
    )

    assert goes_in(_room(space), _unit(990, 990, 1590, (1500, 0, 0)))
    assert stands(_room(space), _unit(300, 500, 1590, (2200, -600, 0)))
    assert not stands(_room(space), _unit(300, 500, 1590, (2300, -600, 0)))


def test_a_sill_is_lifted_over() -> None:
    """An opening from 300 to 1700 takes 1400 of height, not 1410, and the unit is set down behind it."""
    room = _room(plain_space(doors=(_rear(1520, 1700, sill=300),)))

    assert goes_in(room, _unit(1300, 1200, 1400, (2000, 0, 0)))
    assert not goes_in(room, _unit(1300, 1200, 1410, (2000, 0, 0)))


def test_a_turned_place_is_reached() -> None:
    """A unit that stands at 37 degrees is turned to that, and one that does not stand there has no way."""
    room = _room(plain_space(doors=(_rear(),)))

    assert goes_in(room, _unit(1200, 500, 900, (1500, 0, 0), 37))
    assert not goes_in(room, _unit(1200, 500, 900, (1500, 400, 0), 37))


# ------------------------------------------------------------------ larger doors, smaller units


def _cases() -> Iterator[tuple[Door, tuple[float, float, float], float]]:
    rng = random.Random(11)
    for i in range(15):
        width, top = rng.uniform(400, 1200), rng.uniform(800, 1600)
        low = rng.uniform(200, 2600 - width)
        sizes = (rng.uniform(700, 1900), rng.uniform(400, 1300), rng.uniform(400, 1500))
        door = _rear(width, top) if i % 3 == 0 else _side(low, low + width, top)
        yield door, sizes, rng.choice([0.0, 90.0])


def _wider(door: Door) -> Door:
    return Door(name=door.name, side=door.side, kind=door.kind, low=door.low - 60, high=door.high + 60,
                sill=door.sill, top=door.top + 60)  # fmt: skip


def test_a_larger_door_or_a_smaller_unit_never_fails_what_passed() -> None:
    """15 random units: what passes also does through a larger opening, and when it is made smaller any way."""
    lean = wall((0.0, 830.0), (600.0, 850.0), (1800.0, 650.0))
    steps, said = (3.0,), {True: 0, False: 0}
    for door, sizes, turn in _cases():
        spaces = [plain_space(left=lean, right=lean, obstacles=WELLS, doors=(d,)) for d in (door, _wider(door))]
        unit = _unit(*sizes, (1900.0, 0.0, 0.0), turn)
        if stands(_room(spaces[0]), unit):
            passed = goes_in(_room(spaces[0]), unit, steps)
            said[passed] += 1
            assert passed <= goes_in(_room(spaces[1]), unit, steps)
            assert all(passed <= goes_in(_room(spaces[0]), unit.smaller(axis, 70.0), steps) for axis in range(3))

    assert min(said.values()) >= 4


def test_the_least_cut_is_the_least() -> None:
    """A unit 1560 wide for an opening 1520 x 1500 is 40 too wide; one 7 too high to stand up is told so to 0.1 mm."""
    low = _room(plain_space(doors=(_rear(1520, 1500),)))
    roof = _room(plain_space(width=1780, height=1740, doors=(_rear(),)))

    assert least_cut(low, _unit(1900, 1560, 700, (1500, 0, 0)), 1, 500) == pytest.approx(40)
    assert least_cut(low, _unit(1900, 1560, 700, (1500, 0, 0)), 1, 39) is None
    assert least_cut(roof, _unit(1900, 1600, 700, (1500, 0, 0)), 1, 500) == pytest.approx(
        1600 - (1740**2 - 700**2) ** 0.5
    )


def test_pieces_keep_their_share_when_a_unit_is_made_smaller() -> None:
    """Of a unit 1000 high on legs of 400, made 100 lower, the legs are 360; its length and middle stay."""
    legs, top = Piece(x=(-300, -200), y=(-400, 400), z=(0, 400)), Piece(x=(-500, 500), y=(-400, 400), z=(400, 1000))
    unit = Unit(sizes=(1000, 800, 1000), pieces=(legs, top), at=(0, 0, 0)).smaller(2, 100)

    assert unit.sizes == (1000, 800, 900)
    assert [p.z for p in unit.pieces] == [pytest.approx((0, 360)), pytest.approx((360, 900))]
    assert unit.pieces[0].x == (-300, -200)
