"""A bicycle's way is one that can be walked; where none is said to be left, the whole search finds none either."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from layout.checks.bicycle_no_way import Relaxed, common_outline, turned
from layout.checks.bicycle_places import Places, empty_room
from layout.checks.bicycle_search import Wheeled
from layout.checks.bicycle_stood import covered
from layout.checks.bicycle_ways import Ways
from layout.checks.context import meets
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.carry_room import opened
from layout.space.parts import Obstacle
from tests.checks.bicycle_scenes import (
    FRAME,
    LIFT,
    Pose,
    bicycle,
    block,
    blocks,
    carried_out,
    met_at,
    put,
    room,
    search_of,
    shell,
    stands,
)

CHILD = bicycle("bicycles/child-20")
CITY = bicycle("bicycles/city-28", front_wheel="removed")
bikes = st.sampled_from([CHILD, CITY])


def _scene(thing: object, stand: tuple[int, int, int, int], solids: list[Solid]) -> tuple[Placed, list[Placed]]:
    """Return a bicycle that stands free, and those of the blocks that it does not stand in and that end at the wall.

    The yard is free whatever reaches out there.
    """
    placed = put(thing, *stand)  # type: ignore[arg-type]  # hypothesis does not tell what it draws
    assume(not meets(placed.solids, shell()))
    kept = [solid for solid in solids if solid.bounds[0] >= -FRAME and not meets(placed.solids, [solid])]
    return placed, [block(f"block {i}", solid) for i, solid in enumerate(kept)]


@pytest.mark.parametrize("step", [15.0, 3.0])
@settings(max_examples=25)
@given(thing=bikes, stand=stands, solids=blocks)
def test_a_way_that_is_found_can_be_walked(
    step: float, thing: object, stand: tuple[int, int, int, int], solids: list[Solid]
) -> None:
    """Pose by pose, half a degree, 20 or 25 mm apart, the bicycle's own solids meet neither block, wall, roof nor floor."""
    placed, others = _scene(thing, stand, solids)
    search = search_of(placed, others, step)
    if search.found():
        _walk(search, placed, others)


def _walk(search: Wheeled, placed: Placed, others: list[Placed]) -> list[Pose]:
    """Return the poses of the way that is found, after a look that nothing is met from its place to the yard."""
    poses, (x, y, _) = list(carried_out(search)), search.unit.at
    assert poses[0][:2] == pytest.approx((x, y), abs=0.05)
    assert poses[-1][0] < -4000
    assert met_at(placed.thing, poses, [*shell(), *(solid for other in others for solid in other.solids)]) == []
    return poses


@pytest.mark.parametrize("step", [15.0, 3.0])
def test_from_across_it_is_turned(step: float) -> None:
    """Across the room, 1513 by 610 and stiff: through a door 1150 wide in a wall of 80 it goes at an angle a to the way.

    For that 1150 cos a > 610 + 80 sin a, up to a = 54: it is turned by 36 degrees at least.
    """
    placed = put(CITY, 1300.0, 0.0, 0.0, 90.0)
    poses = _walk(search_of(placed, [], step), placed, [])

    assert max(abs(angle - 90.0) for *_, angle in poses) >= 36.0


def test_over_a_sill_it_is_lifted() -> None:
    """A sill of 310 across the room is passed with the foot above it, and lifted where it stands as told."""
    placed = put(CHILD, 1900.0, 100.0, 0.0, 0.0)
    corners = ((300.0, -850.0), (400.0, -850.0), (400.0, 850.0), (300.0, 850.0))
    sill = block("sill", Solid(name="sill", outline=corners, z0=0.0, z1=310.0))
    poses = _walk(search_of(placed, [sill], 15.0), placed, [sill])

    assert 310.0 <= max(z for _, _, z, _ in poses) <= LIFT + 1.0


@settings(max_examples=30)
@given(thing=bikes, stand=stands, solids=blocks)
def test_where_nothing_is_left_the_search_finds_none(
    thing: object, stand: tuple[int, int, int, int], solids: list[Solid]
) -> None:
    """Every proof against the searches in turns of 15 and of 3 degrees, and the answer of all together against both."""
    placed, others = _scene(thing, stand, solids)
    wide, fine = search_of(placed, others, 15.0), search_of(placed, others, 3.0)
    found = wide.found() or fine.found()
    proofs = [
        Relaxed(search=fine, sector=sector, levels=levels).leads_nowhere()
        for sector in (15.0, 45.0)
        for levels in ("one", "each")
    ]
    assert not (found and any(proofs))
    assert Ways(space=room(), frame=FRAME, lift=LIFT).out(placed, others) == found


def test_some_are_shown_to_be_held() -> None:
    """Behind a wall across the room that leaves 300 beside it, nothing is left, at one level and at each."""
    placed = put(CITY, 1700.0, 0.0, 0.0, 0.0)
    wall = block("wall", Solid(name="wall", outline=((500, -850), (520, -850), (520, 550), (500, 550)), z0=0, z1=1400))
    fine = search_of(placed, [wall], 3.0)

    assert Relaxed(search=fine, sector=15.0, levels="one").leads_nowhere()
    assert Relaxed(search=fine, sector=15.0, levels="each").leads_nowhere()
    assert not fine.found()
    assert not Relaxed(search=search_of(placed, [], 3.0), sector=15.0, levels="one").leads_nowhere()


@settings(max_examples=40)
@given(
    solids=blocks, angle=st.sampled_from([0, 20, 90]), low=st.integers(0, 600), high=st.integers(20, 700),
    sizes=st.tuples(st.integers(50, 1500), st.integers(50, 700)),
)  # fmt: skip
def test_places_are_those_of_the_room_with_the_blocks_built_in(
    solids: list[Solid], angle: int, low: int, high: int, sizes: tuple[int, int]
) -> None:
    """Against the room whose obstacles the blocks are, in one go: the same areas, to a thousandth along their edges."""
    long, wide = sizes
    outline = turned(np.array([(-long, -wide), (long, -wide), (long, wide), (-long, wide)]) / 2, angle)
    space, places = room(), Places(room=empty_room(room(), FRAME))
    for i, solid in enumerate(solids):
        places.add(str(i), [solid])
    mine = places.free([(outline, low, low + high)], [[str(i) for i in range(len(solids))]])
    built = tuple(Obstacle(name="block", outline=s.outline, z0=s.z0, z1=s.z1) for s in solids)
    whole = opened(replace(space, obstacles=built), space.doors, FRAME)
    theirs = whole.clear(low, low + high).places(outline)

    near = shapely.box(-3000, -3000, 3000, 3000)
    differ = mine.symmetric_difference(theirs).intersection(near)
    assert differ.buffer(-0.01).is_empty


@settings(max_examples=50)
@given(long=st.integers(100, 2000), wide=st.integers(100, 900), start=st.integers(0, 360), gap=st.integers(1, 45))
def test_what_is_common_to_a_sector_is_inside_at_every_angle(long: int, wide: int, start: int, gap: int) -> None:
    """Tried at 40 angles of the sector."""
    own = np.array([(-long, -wide), (long, -wide), (long, wide), (-long, wide)]) / 2
    inner = shapely.Polygon(common_outline(own, start, gap))
    angles = np.linspace(start, start + gap, 40)

    assert inner.area > 0
    assert all(shapely.Polygon(turned(own, angle)).buffer(1e-6).covers(inner) for angle in angles)


@given(
    boxes=st.lists(st.tuples(*[st.integers(0, 8)] * 2, *[st.integers(1, 6)] * 2, st.booleans()), min_size=1, max_size=9)
)
def test_what_is_left_out_is_covered_by_what_is_not(boxes: list[tuple[int, int, int, int, bool]]) -> None:
    """Whatever is said to lie in a box lies in one that stays, and that is a box; only what lies in none stays."""
    bounds = np.array([(x, y, x + w, y + h) for x, y, w, h, _ in boxes], dtype=float)
    square = np.array([is_box for *_, is_box in boxes])
    gone = covered(bounds, square)

    def holds(i: int, j: int) -> bool:
        return bool((bounds[i, :2] <= bounds[j, :2]).all() and (bounds[j, 2:] <= bounds[i, 2:]).all())

    stays = [i for i in range(len(boxes)) if not gone[i]]
    assert all(any(square[i] and holds(i, j) for i in stays) for j in range(len(boxes)) if gone[j])
    assert not any(square[i] and i != j and holds(i, j) for i in stays for j in stays)
