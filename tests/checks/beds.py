"""Rooms with a bed, without a project file, for the tests of beds and headroom."""

from __future__ import annotations

from collections.abc import Sequence

from layout.checks.context import Context
from layout.files.rules import read_rules
from layout.model.layout import Layout, Placed
from layout.model.person import Person
from layout.model.solid import Solid, box, outer_box
from layout.model.spot import Spot
from layout.model.thing import Thing
from layout.space.space import Space

RULES = read_rules()


def stood(
    name: str,
    size: tuple[float, float, float],
    at: tuple[float, float, float],
    *,
    turn: float = 0.0,
    sleeps: tuple[str, ...] = (),
) -> Placed:
    """Return a box of that length, width and height, the middle of its own rear edge at `at`."""
    length, width, height = size
    own = box(name, (0.0, length), (-width / 2, width / 2), (0.0, height))
    solid = own.turned(turn).moved(*at)
    thing = Thing(name=name, group=name, kind="mattress" if sleeps else "box", solids=(own,), sleeps=sleeps)
    return Placed(thing=thing, solids=(solid,), box=outer_box((solid,), name), turn_deg=turn)


def context_of(space: Space, things: Sequence[Placed], people: Sequence[Person], spots: Sequence[Spot] = ()) -> Context:
    """Return what a check is given, in one state called sleep."""
    layout = Layout(
        things=tuple(p.thing for p in things), people=tuple(people), placed={"sleep": tuple(things)}, outside={"sleep": ()},
        spots=tuple(spots),
    )  # fmt: skip
    return Context(space=space, layout=layout, rules=RULES)


def solid_of(placed: Placed) -> Solid:
    """Return the one solid of a box."""
    [solid] = placed.solids
    return solid
