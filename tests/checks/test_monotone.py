"""Less room and larger things never mend anything: what inside and overlap find stays found."""

import random
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from layout.checks import inside, overlap
from layout.files.rules import read_rules
from layout.model.layout import Placed
from layout.model.rule import Rule
from layout.model.solid import Solid, box
from layout.space.space import Space
from layout.space.walls import Wall
from tests.checks.chance import context_of, layout_of, near_touching, some_things, stood
from tests.checks.tape import Tape

Key = tuple[str, ...]


@pytest.fixture(scope="module")
def rules() -> dict[str, Rule]:
    """Return the rules as they are shipped."""
    return dict(read_rules())


def _failing(space: Space, things: Sequence[Placed], rules: dict[str, Rule]) -> set[Key]:
    context = context_of(space, layout_of(things), rules)
    names = [placed.name for placed in things]
    alone = {(names[k],) for k in inside.outside(context, "drive", range(len(things)))}
    pairs = overlap.overlapping(context, "drive", overlap.near_pairs(context, "drive"))
    return alone | {(names[a], names[b]) for a, b in pairs}


def _lower_roof(rng: random.Random, space: Space) -> Space:
    """Return the space with the roof lower at one of its measurements."""
    k, by = rng.randrange(len(space.roof)), rng.uniform(1, 150)
    return replace(space, roof=tuple((x, z - by if i == k else z) for i, (x, z) in enumerate(space.roof)))


def _lean_wall(rng: random.Random, space: Space) -> Space:
    """Return the space with one wall further in at one height of one station, above the floor."""
    wall, by = space.left, rng.uniform(1, 150)
    k = rng.randrange(len(wall.stations))
    j = rng.randrange(1, len(wall.stations[k].profile))
    profile = tuple((z, w - by if i == j else w) for i, (z, w) in enumerate(wall.stations[k].profile))
    changed = replace(wall.stations[k], profile=profile)
    return replace(space, left=Wall(stations=(*wall.stations[:k], changed, *wall.stations[k + 1 :])))


def _grow_well(rng: random.Random, space: Space) -> Space:
    """Return the space with each wheel well higher, longer and wider, as rounded as it was."""
    by = rng.uniform(1, 80)
    wells = [o for o in space.obstacles if o.name.startswith("wheel well")]
    grown = [
        replace(o, z1=o.z1 + by, outline=_longer(tuple((x, y - by if y > 0 else y + by) for x, y in o.outline), by))
        for o in wells
    ]
    return replace(space, obstacles=(*(o for o in space.obstacles if o not in wells), *grown))


def _longer(outline: tuple[tuple[float, float], ...], by: float) -> tuple[tuple[float, float], ...]:
    low = min(x for x, _ in outline)
    return tuple((x - by if x == low else x + by, y) for x, y in outline)


def _deepen_ribs(rng: random.Random, space: Space) -> Space:
    """Return the space with deeper and wider ribs, if it has some."""
    ribs = space.ribs and replace(
        space.ribs, depth=space.ribs.depth + rng.uniform(1, 60), width=space.ribs.width + rng.uniform(1, 60)
    )
    return replace(space, ribs=ribs)


@pytest.mark.parametrize("less", [_lower_roof, _lean_wall, _grow_well, _deepen_ribs])
def test_less_room_mends_nothing(less: Callable[[random.Random, Space], Space], rules: dict[str, Rule]) -> None:
    """Everything found in a room is found in one with a lower roof, a wall further in, larger wells or ribs: 100 pairs each."""
    some = 0
    for seed in range(20):
        rng = random.Random(seed)
        space = Tape(rng).space()
        for _ in range(5):
            things = [near_touching(rng, space, p) if rng.random() < 0.7 else p for p in some_things(rng, 5, space)]
            before = _failing(space, things, rules)
            after = _failing(less(rng, space), things, rules)
            some += after > before
            assert before <= after

    assert some > 2


def _larger(rng: random.Random, placed: Placed) -> Placed:
    """Return the thing with each of its solids larger at all sides, but no lower."""
    return stood(
        replace(placed.thing, solids=tuple(_grown(rng, s) for s in placed.thing.solids)), placed.at, placed.turn_deg
    )


def _grown(rng: random.Random, solid: Solid) -> Solid:
    x0, y0, x1, y1 = solid.bounds
    by = [rng.uniform(0, 60) for _ in range(5)]
    return box(solid.name, (x0 - by[0], x1 + by[1]), (y0 - by[2], y1 + by[3]), (solid.z0, solid.z1 + by[4]))


def test_a_larger_thing_mends_nothing(rules: dict[str, Rule]) -> None:
    """Everything found is found when one of the things grows: 100 pairs."""
    some = 0
    for seed in range(20):
        rng = random.Random(seed)
        space = Tape(rng).space()
        for _ in range(5):
            things = [near_touching(rng, space, p) if rng.random() < 0.7 else p for p in some_things(rng, 5, space)]
            k = rng.randrange(len(things))
            before = _failing(space, things, rules)
            after = _failing(space, [*things[:k], _larger(rng, things[k]), *things[k + 1 :]], rules)
            some += after > before
            assert before <= after

    assert some > 5
