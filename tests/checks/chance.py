"""Random things in random places, as values."""

from __future__ import annotations

import random
from collections.abc import Sequence

from layout.checks.context import Context
from layout.checks.moves import shifted
from layout.files.rules import read_rules
from layout.model.layout import Layout, Placed
from layout.model.rule import Rule
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.placing.stand import placed
from layout.space.parts import Hole, Obstacle
from layout.space.slide import fitting_shifts
from layout.space.space import Space


def thing_of(name: str, *solids: Solid, group: str = "", stack_step: float = 0.0) -> Thing:
    """Return a thing of those solids."""
    return Thing(name=name, group=group or name, kind="box", solids=solids, stack_step=stack_step)


def some_thing(rng: random.Random, name: str) -> Thing:
    """Return a box, a table with a leg at each end, or a sofa with a back."""
    length, width, height = rng.uniform(60, 700), rng.uniform(60, 500), rng.uniform(60, 700)
    x, y = (0.0, length), (-width / 2, width / 2)
    kind = rng.random()
    if kind < 0.6:
        return thing_of(name, box("", x, y, (0.0, height)))
    if kind < 0.8:
        top = box("top", x, y, (height - 20, height))
        ends = [box("leg", along, y, (0.0, height - 20)) for along in ((0.0, 20.0), (length - 20, length))]
        return thing_of(name, top, *ends)
    return thing_of(name, box("seat", x, y, (0.0, height / 2)), box("back", (0.0, length / 4), y, (height / 2, height)))


def stood(thing: Thing, at: tuple[float, float, float], turn: float = 0.0) -> Placed:
    """Return the thing with its origin at a place, turned about it."""
    return placed(thing, tuple(solid.turned(turn).moved(*at) for solid in thing.solids), turn)


def some_turn(rng: random.Random) -> float:
    """Return no turn mostly, a right one, or any."""
    return rng.choice([0.0, 0.0, 90.0, rng.uniform(0, 360)])


def some_things(rng: random.Random, count: int, space: Space) -> list[Placed]:
    """Return so many things here and there: on the floor mostly, on each other, in the air, in the floor."""
    found: list[Placed] = []
    while len(found) < count:
        name = f"t{len(found)}"
        x, y = rng.uniform(-60, space.length), rng.uniform(-850, 850)
        kind = rng.random()
        if found and kind < 0.2:
            under = rng.choice(found).box
            middle = (under.bounds[0] + under.bounds[2]) / 2, (under.bounds[1] + under.bounds[3]) / 2
            found.append(stood(some_thing(rng, name), (*middle, under.z1), some_turn(rng)))
        elif kind < 0.35:
            found.append(stood(some_thing(rng, name), (x, y, rng.uniform(-150, 1500)), some_turn(rng)))
        elif kind < 0.45:
            found += stack(rng, name, (x, y))
        else:
            found.append(stood(some_thing(rng, name), (x, y, 0.0), some_turn(rng)))
    return found


def near_touching(rng: random.Random, space: Space, placed: Placed) -> Placed:
    """Return the thing where it would just touch the room, a well, a post or a step, give or take up to 4 mm."""
    fixed = [*space.obstacles, *space.holes]
    beside = fixed and rng.random() < 0.5
    if beside:
        placed = _moved_to(rng, placed, rng.choice(fixed))
    by, way = rng.uniform(-4, 4), rng.choice(["x", "y"] if beside else ["x", "y", "z"])
    if way == "z":
        x0, _, x1, _ = placed.box.bounds
        return shifted(placed, (0.0, 0.0, min(space.roof_at(x) for x in (x0, x1)) - placed.box.z1 + by))
    touching = fitting_shifts(space, placed.solids, "x" if way == "x" else "y")
    if not touching:
        return placed
    shift = min(touching, key=abs) if rng.random() < 0.8 else rng.choice(touching)
    return shifted(placed, (shift + by, 0.0, 0.0) if way == "x" else (0.0, shift + by, 0.0))


def _moved_to(rng: random.Random, placed: Placed, fixed: Obstacle | Hole) -> Placed:
    """Return the thing at a corner of an obstacle, at a height that it has, or with a corner in a hole."""
    x0, y0, x1, y1 = placed.box.bounds
    if isinstance(fixed, Hole):
        (hx0, hy0), _, (hx1, hy1), _ = fixed.outline
        at = rng.uniform(hx0, hx1) - x0, rng.uniform(hy0, hy1) - y0
        return shifted(placed, (*at, -fixed.depth + rng.uniform(-2, 4) - placed.box.z0))
    (x, y), low = rng.choice(fixed.outline), fixed.z1 - fixed.top_radius if fixed.top_radius else fixed.z0
    z = rng.uniform(low, fixed.z1)
    return shifted(placed, (x - rng.uniform(x0, x1), y - rng.uniform(y0, y1), z - placed.box.z0))


def stack(rng: random.Random, name: str, at: tuple[float, float]) -> list[Placed]:
    """Return two or three equal bins nested in each other's rims."""
    turn = some_turn(rng)
    body = box("", (0.0, 600.0), (-200.0, 200.0), (0.0, 280.0))
    bins = [thing_of(f"{name} {i}", body, group=name, stack_step=265.0) for i in range(rng.randint(2, 3))]
    return [stood(thing, (*at, 265.0 * i), turn) for i, thing in enumerate(bins)]


def layout_of(things: Sequence[Placed], states: Sequence[str] = ("drive",)) -> Layout:
    """Return a layout with the things alike in each state."""
    return Layout(
        things=tuple(p.thing for p in things), people=(), placed={state: tuple(things) for state in states},
        outside=dict.fromkeys(states, ()),
    )  # fmt: skip


def context_of(space: Space, layout: Layout, rules: dict[str, Rule] | None = None) -> Context:
    """Return what a check is given."""
    return Context(space=space, layout=layout, rules=rules or read_rules())
