"""Quick answers of the removal search, against the search of the whole room."""

from __future__ import annotations

import random
from collections import Counter
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from shapely.geometry import LineString, Point

import layout.checks.removal.explore as explored
from layout.checks import reach
from layout.checks.context import Context
from layout.checks.removal import Removals
from layout.checks.removal.aside import Aside, aside_out
from layout.checks.removal.body import Body
from layout.checks.removal.explore import explore
from layout.checks.removal.judge import Judge
from layout.checks.removal.pieces import Pieces
from layout.checks.removal.regions import Exit
from layout.checks.removal.room import OpenRoom
from layout.checks.removal.start import first_places, size_of
from layout.checks.removal.straight import straight_out
from layout.files.rules import read_rules
from layout.model.layout import Placed
from layout.model.solid import box
from layout.model.thing import Thing
from layout.placing.stand import placed
from layout.space.parts import Door
from layout.space.space import Space
from tests.bench.fit import room, spread
from tests.builders import plain_space

REAR = Door(name="rear door", side="rear", kind="two leaves", low=-600, high=600, sill=0, top=1500)
SIDE = Door(name="side door", side="left", kind="sliding", low=1500, high=2900, sill=100, top=1600)
RIGHT = Door(name="right door", side="right", kind="sliding", low=3500, high=4400, sill=0, top=1200)


def _room(rng: random.Random) -> Space:
    doors = tuple(rng.sample([REAR, SIDE, RIGHT], rng.randint(1, 3)))
    return plain_space(length=6000.0, height=rng.choice([750.0, 1800.0]), doors=doors)


def _thing(rng: random.Random, name: str) -> Placed:
    """Return a box or a frame of two boxes, square or turned, on the floor or above it; a few stay."""
    x, y, z = rng.uniform(0, 5300), rng.uniform(-800, 400), rng.choice([0.0, 0.0, rng.uniform(0, 900)])
    size = rng.uniform(150, 700), rng.uniform(150, 600), rng.uniform(100, 700)
    solids = [box(name, (0.0, size[0]), (0.0, size[1]), (0.0, size[2]))]
    if rng.random() < 0.3:
        solids.append(box(name, (0.0, size[0] + 300), (0.0, 40.0), (0.0, size[2] + 200)))
    turn = rng.choice([0.0, 0.0, 0.0, rng.uniform(0, 90)])
    thing = Thing(
        name=name, group=name, kind="box", solids=tuple(solids), take_out=rng.choice(["any", "any", "any", None])
    )
    return placed(thing, tuple(s.turned(turn).moved(x, y, z) for s in solids), turn)


def _scene(seed: int) -> tuple[Space, list[Placed]]:
    rng = random.Random(seed)
    return _room(rng), [_thing(rng, f"t{i}") for i in range(rng.randint(8, 16))]


def _bodies(space: Space, things: list[Placed]) -> list[tuple[int, Body, Pieces]]:
    pieces = Pieces(space, things)
    room = OpenRoom(space, space.doors, 120.0)
    found = []
    for i, p in enumerate(things):
        x, y, z = (round(size, 6) for size in size_of(p))
        found.append((i, Body((x, y, z), room, pieces, {z for _, _, z in first_places(p, things, 0.0)}), pieces))
    return found


def test_shortcuts_and_rooms_round_the_start_tell_what_the_whole_room_tells(monkeypatch: pytest.MonkeyPatch) -> None:
    """With some things gone each gets out, or is held by just the same pieces, however it is asked.

    All ways of answering occur: held near by, straight on from somewhere near, and only by the whole room.
    """
    straight = Counter[bool]()
    known = straight_out

    def counted(*asked: object) -> Exit | None:
        found = known(*asked)  # type: ignore[arg-type]  # passed on as it came
        straight[found is not None] += 1
        return found

    monkeypatch.setattr(explored, "straight_out", counted)
    answers = Counter[bool]()
    for seed in range(12):
        space, things = _scene(seed)
        rng = random.Random(seed)
        for i, body, pieces in _bodies(space, things):
            there = sum(1 << k for k in range(len(pieces.names)) if k != i and rng.random() < 0.8)
            present, start = pieces.among(there), first_places(things[i], things, 0.0)[0]
            present &= ~body.hits(start, start)
            if not body.places(body.level(start[2])).covers(_point(start)):
                continue
            whole = explored._Walk(body, present, None).run(start, None, shortcut=False)
            for shortcut in (True, False):
                found = explore(body, start, present, None, shortcut=shortcut)
                assert (found.door is None) == (whole.door is None)
                if whole.door is None:
                    assert (found.bounds == whole.bounds).all()
                else:
                    assert not (body.hits_along(found.path) & present).any()
                    assert not shortcut or _is_outside(space, found.path[-1], body.size)
                assert shortcut or found.door == whole.door
            answers[whole.door is None] += 1
    assert straight[True] > 10
    assert min(answers.values()) > 5


def _point(place: tuple[float, float, float]) -> Point:
    return Point(place[:2])


def _is_outside(space: Space, place: tuple[float, float, float], size: tuple[float, float, float]) -> bool:
    x0, y0, _, y1 = space.bounds
    return place[0] + size[0] <= x0 + 0.02 or place[1] + size[1] <= y0 + 0.02 or place[1] >= y1 - 0.02


def test_a_way_aside_is_a_way_and_what_it_finds_gets_out() -> None:
    """A way that is told from boxes passes nothing, stays in the room, ends outside, and the whole search finds one too."""
    told = held = turned = 0
    for seed in range(14):
        space, things = _scene(300 + seed)
        rng = random.Random(seed)
        for i, body, pieces in _bodies(space, things):
            there = sum(1 << k for k in range(len(pieces.names)) if k != i and rng.random() < 0.9)
            present, start = pieces.among(there), first_places(things[i], things, 0.0)[0]
            present &= ~body.hits(start, start)
            if not body.places(body.level(start[2])).covers(_point(start)):
                continue
            found = aside_out(body, start, present, None)
            whole = explored._Walk(body, present, None).run(start, None, shortcut=False)
            if found.door is None:
                held += 1
                continue
            told += 1
            turned += len({place[:2] for place in found.path}) > 3
            assert whole.door is not None
            assert found.path[0] == start
            assert not (body.hits_along(found.path) & present).any()
            assert _is_outside(space, found.path[-1], body.size)
            for a, b in pairwise(found.path):
                assert sum(p != q for p, q in zip(a, b, strict=True)) <= 1
                spans = range(*sorted((body.level(a[2]), body.level(b[2]) + 1)))
                way = LineString([a[:2], b[:2]]) if a[:2] != b[:2] else _point(a)
                assert all(body.places(span).covers(way) for span in spans)
    assert min(told, held, turned) > 5


def test_what_is_in_the_narrowest_room_is_in_the_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """Told from the narrowest plan of the room or not, the body stays in the room on the same ways, level and upright."""
    rng = random.Random(8)
    asked: list[tuple[Body, str, tuple[Any, ...]]] = []
    for seed in range(4):
        space, things = _scene(400 + seed)
        for _, body, _ in _bodies(space, things):
            low, high = sorted(rng.choices(body.levels, k=2))
            a, b = ((rng.uniform(-300, 5600), rng.uniform(-900, 700), low) for _ in range(2))
            asked += [(body, "goes_up", ((a), high)), (body, "goes_level", ((a, (b[0], a[1], low)),))]
            asked += [(body, "goes_level", ((a, (-9000.0, a[1], low)), door)) for door in space.doors]
    quick = [getattr(body, name)(*more) for body, name, more in asked]
    monkeypatch.setattr(Body, "surely", lambda *_: Point())
    assert quick == [getattr(body, name)(*more) for body, name, more in asked]
    assert 10 < sum(quick) < len(quick) - 10


@pytest.mark.parametrize("seed", [1, 3])
def test_the_rule_says_the_same_without_ways_aside(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """What comes out after what is the same when no way is told from boxes but all by the search through the room."""
    context = Context(space=room(50), layout=spread(50, seed), rules=read_rules())
    quick = list(reach.check(context))
    monkeypatch.setattr(explored, "aside_out", lambda *_: Aside(door=None, path=(), far=0.0))
    assert quick == list(reach.check(context))


@pytest.mark.parametrize("seed", range(4))
def test_what_is_known_to_leave_need_not_be_asked_again(seed: int) -> None:
    """Without one thing, all comes out as a search says that knows nothing of what left with it there."""
    space, things = _scene(100 + seed)
    leaving = Removals(space, things, hand=30, frame=120, most=3).leaving
    for gone in things[::6]:
        rest = [p for p in things if p is not gone]
        anew = Removals(space, rest, hand=30, frame=120, most=3)
        told = Removals(space, rest, hand=30, frame=120, most=3, leaving=leaving)
        assert leaving - {gone.name} <= anew.leaving == told.leaving
        for p in rest:
            if p.thing.take_out:
                one, other = anew.of(p.name), told.of(p.name)
                assert (one.first, one.held_by, one.door) == (other.first, other.held_by, other.door)
                assert told.comes_out(p.name) == one.possible


def test_all_legs_at_once_meet_what_they_meet_one_by_one() -> None:
    """A way of several legs reaches into just what one leg or another reaches into."""
    rng = random.Random(5)
    hits = 0
    for seed in range(3):
        space, things = _scene(200 + seed)
        for _, body, _ in _bodies(space, things):
            path = [(rng.uniform(-500, 5000), rng.uniform(-800, 600), rng.choice(body.levels)) for _ in range(5)]
            path[2] = (*path[1][:2], path[2][2])
            each = [body.hits(a, b) for a, b in pairwise(path)]
            assert (body.hits_along(path) == np.logical_or.reduce(each)).all()
            hits += int(body.hits_along(path).sum())
    assert hits > 20


def test_the_judge_takes_a_shortcut_only_where_one_door_can_be_told() -> None:
    """Out of a crate that is open above, by one of two doors, the door told is the one that a whole search finds."""
    crate = [box("crate", (1000, 2000), (y, y + 20), (0, 600)) for y in (-320.0, 300.0)]
    crate += [box("crate", (x, x + 20), (-300, 300), (0, 600)) for x in (1000.0, 1980.0)]
    fixed = placed(Thing(name="crate", group="crate", kind="box", solids=tuple(crate)), tuple(crate), 0.0)
    lid = box("lid", (1000, 2000), (-320, 320), (900, 920))
    over = placed(Thing(name="lid", group="lid", kind="box", solids=(lid,)), (lid,), 0.0)
    body = box("bin", (1100, 1700), (-200, 200), (0, 200))
    inner = placed(Thing(name="bin", group="bin", kind="bin", solids=(body,), take_out="any"), (body,), 0.0)
    for doors in ((REAR, SIDE), (REAR,), (SIDE,)):
        space = plain_space(length=6000.0, doors=doors)
        judge = Judge([fixed, over, inner], Pieces(space, [fixed, over, inner]), OpenRoom(space, doors, 120.0), 0.0)
        case = judge._case(2)
        present = judge.pieces.among(0b11)
        whole = explored._Walk(case.body, present, None).run(case.start.path[-1], None, shortcut=False)
        assert judge.best_way(2, 0).door == whole.door in {door.name for door in doors}
