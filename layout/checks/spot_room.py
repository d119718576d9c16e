"""What is under, over and in a place where somebody stands, sits or lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from shapely.geometry import Polygon

from layout.checks.context import Context, shared_box
from layout.checks.stack import Layer, Overhead, hung, layers, named_solids, overhead
from layout.model.layout import Placed
from layout.model.rule import Rule
from layout.model.solid import Point, Solid
from layout.model.spot import Spot
from layout.space.space import TOUCH, Space

WALL = "the wall"
_HAIR = 1e-3
_CORNERS = 16


@dataclass(frozen=True, kw_only=True, slots=True)
class SpotRoom:
    """The room of a spot: `foot` is the height stood, sat or lain on, `ground` that of the floor there, mm.

    `under` is what lies from the one to the other, `over` the lowest above, `plan` where the body is. `in_the_way`
    names what stands where the body would be: then nothing else is to be told.
    """

    plan: tuple[Point, ...]
    ground: float
    foot: float
    under: tuple[Layer, ...]
    over: Overhead
    in_the_way: tuple[str, ...] = ()

    @property
    def free(self) -> float:
        """Return the height that is free, mm."""
        return self.over.z - self.foot


def room_of(context: Context, things: Sequence[Placed], spot: Spot) -> SpotRoom:
    """Return the room of a spot with `things` in place.

    The room's own walls and roof count over a body's depth, since a body turns; what hangs over counts within its
    breadth. What begins lower than the head is not overhead: it is in the way, or beside.
    """
    rule = context.rules["standing"]
    body, wide = _disc(spot.at, rule["body"] / 2), _disc(spot.at, rule["breadth"] / 2)
    ground = _ground(context.space, body)
    foot = _foot(context, things, spot, body, ground)
    start = foot + _below_the_head(rule, spot)
    under = layers([*named_solids(things), *_fixed(context.space)], spot.at, ground, foot) if foot > ground else ()
    above = [overhead(context, (), body, foot), *hung(things, wide, start)]
    return SpotRoom(
        plan=body, ground=ground, foot=foot, under=under, over=min(above, key=lambda over: (over.z, over.what)),
        in_the_way=tuple(dict.fromkeys(_in_the_way(context, things, body, foot, start))),
    )  # fmt: skip


def _disc(at: Point, radius: float) -> tuple[Point, ...]:
    """Return a polygon round a disc."""
    outer = radius / cos(pi / _CORNERS)
    turns = [2 * pi * i / _CORNERS for i in range(_CORNERS)]
    return tuple((at[0] + outer * cos(t), at[1] + outer * sin(t)) for t in turns)


def _below_the_head(rule: Rule, spot: Spot) -> float:
    """Return how far above the foot the part of the body begins that bumps into what hangs over it, mm."""
    return {"stand": rule["overhead"], "sit": rule["lap"], "lie": 0.0}[spot.does]


def _ground(space: Space, body: tuple[Point, ...]) -> float:
    """Return the height of the floor, which is lower where the whole body is over a step well."""
    plan = Polygon(body)
    return min((-hole.depth for hole in space.holes if Polygon(hole.outline).covers(plan)), default=0.0)


def _foot(context: Context, things: Sequence[Placed], spot: Spot, body: tuple[Point, ...], ground: float) -> float:
    """Return the height stood on: floor, or what is stepped on; sat or lain on: as said, or of the pile there."""
    if spot.does == "stand":
        step = ground + context.rules["standing"]["step"]
        column = Solid(name="", outline=body, z0=ground, z1=step)
        low = [s for p in things for s in p.solids if s.z1 <= step + TOUCH and shared_box(column, s) is not None]
        return max([ground, *(s.z1 for s in low)])
    if spot.seat:
        return spot.seat
    pile = layers([*named_solids(things), *_fixed(context.space)], spot.at, ground, context.space.height)
    return next((layer.z0 for layer in pile if layer.name == "free"), ground)


def _fixed(space: Space) -> list[tuple[str, Solid]]:
    return [(o.name, Solid(name=o.name, outline=o.outline, z0=o.z0, z1=o.z1)) for o in space.obstacles]


def _in_the_way(
    context: Context, things: Sequence[Placed], body: tuple[Point, ...], foot: float, start: float
) -> Iterator[str]:
    column = Solid(name="", outline=body, z0=foot, z1=context.space.height)
    solids = [(p.name, s) for p in things for s in p.solids] + _fixed(context.space)
    for name, solid in solids:
        if solid.z0 < start - TOUCH and shared_box(column, solid) is not None:
            yield name
    shell = context.space.shell(max(foot, 0.0) + _HAIR)
    if not shell.covers(Polygon(body).buffer(-TOUCH, join_style="mitre")):
        yield WALL
