"""What lies above each other at a place, from the bare floor to the roof: measured, and told as a sum."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from layout.checks.context import Context, shared_box
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.space import TOUCH, Space
from layout.units.length import format_length

_HAIR = 1e-4
_NEAR = 0.05
_FINE = 1e-3
_ENDLESS = 1e6
CEILING = "the ceiling"


@dataclass(frozen=True, kw_only=True, slots=True)
class Layer:
    """One term of the sum: what lies there, or ``free``, from `z0` to `z1` mm above the finished floor."""

    name: str
    z0: float
    z1: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Overhead:
    """The lowest of all above a place: its height, mm above the finished floor, its name, and the thing, if one."""

    z: float
    what: str
    thing: str = ""


def heads(context: Context, placed: Placed) -> tuple[Point, ...]:
    """Return where the heads of those on a mattress may be: the mattress without its edges."""
    x0, y0, x1, y1 = placed.box.bounds
    dx, dy = (min(context.rules["headroom"]["edge"], size / 3) for size in (x1 - x0, y1 - y0))
    return (x0 + dx, y0 + dy), (x1 - dx, y0 + dy), (x1 - dx, y1 - dy), (x0 + dx, y1 - dy)


def overhead(context: Context, things: Iterable[Placed], place: tuple[Point, ...], foot: float) -> Overhead:
    """Return the lowest of all that is above `place`, a plan outline, from the height `foot` mm upward.

    Roof, walls that lean in, fixed obstacles and the solids of `things`; the place must be free at its foot.
    """
    fixed = _fixed(context.space, place, foot)
    return min([fixed, *hung(things, place, foot)], key=lambda over: (over.z, over.what))


def hung(things: Iterable[Placed], place: tuple[Point, ...], start: float) -> list[Overhead]:
    """Return all solids of `things` over `place` that begin at the height `start` mm or above."""
    column = Solid(name="", outline=place, z0=start, z1=_ENDLESS)
    return [
        Overhead(z=solid.z0, what=placed.name, thing=placed.name)
        for placed in things
        for solid in placed.solids
        if solid.z0 >= start - TOUCH and shared_box(column, solid) is not None
    ]


def _fixed(space: Space, place: tuple[Point, ...], foot: float) -> Overhead:
    """Return up to where the room itself holds the place.

    Between two critical heights walls, ends and roof come in along straight lines, so the place is left at one height;
    halving finds it.
    """
    plan = Polygon(place).buffer(-TOUCH, join_style="mitre")
    low = high = foot
    for high in (foot + _HAIR, *space.critical_heights(foot, space.height + 1.0)):
        if not space.region(high).covers(plan):
            break
        low = high
    while high - low > _FINE:
        middle = (low + high) / 2
        low, high = (middle, high) if space.region(middle).covers(plan) else (low, middle)
    return _named(space, place, low)


def _named(space: Space, place: tuple[Point, ...], height: float) -> Overhead:
    """Return the height with what is there, as exact as what is there is known."""
    xs = [x for x, _ in place]
    knots = [x for x, _ in space.roof if min(xs) < x < max(xs)]
    roof = min(space.roof_at(x) for x in (*xs, *knots))
    if roof <= height + _NEAR:
        return Overhead(z=roof, what=CEILING)
    for obstacle in space.obstacles:
        if abs(obstacle.z0 - height) < _NEAR and Polygon(place).intersects(Polygon(obstacle.outline)):
            return Overhead(z=obstacle.z0, what=obstacle.name)
    return Overhead(z=round(height, 2), what="the leaning wall")


def layers(solids: Sequence[tuple[str, Solid]], at: Point, foot: float, top: float) -> tuple[Layer, ...]:
    """Return what is pierced on the way up at a point from `foot` to `top` mm; ``free`` where there is nothing.

    `solids` come with the names to tell; what is alike and lies on each other is one layer, nested rims counted once.
    """
    point = shapely.Point(at)
    pierced = sorted((s.z0, s.z1, name) for name, s in solids if _over(s, at) and Polygon(s.outline).covers(point))
    found: list[Layer] = []
    z = foot
    for z0, z1, name in pierced:
        low, high = max(z0, z), min(z1, top)
        if high - low > TOUCH:
            found += [Layer(name="free", z0=z, z1=low)] if low - z > TOUCH else []
            found.append(Layer(name=name, z0=low if low - z > TOUCH else z, z1=high))
            z = high
    found += [Layer(name="free", z0=z, z1=top)] if top - z > TOUCH else []
    return _joined(found)


def _over(solid: Solid, at: Point) -> bool:
    x0, y0, x1, y1 = solid.bounds
    return x0 <= at[0] <= x1 and y0 <= at[1] <= y1


def _joined(found: Sequence[Layer]) -> tuple[Layer, ...]:
    result: list[Layer] = []
    for layer in found:
        if result and result[-1].name == layer.name:
            result[-1] = replace(result[-1], z1=layer.z1)
        else:
            result.append(layer)
    return tuple(result)


def named_solids(things: Iterable[Placed]) -> list[tuple[str, Solid]]:
    """Return all solids with the name by which a sum tells them: the piece of what is built, else the group."""
    return [
        (solid.name if len(placed.solids) > 1 and solid.name else placed.thing.group, solid)
        for placed in things
        for solid in placed.solids
    ]


def fullest(solids: Sequence[Solid], points: Sequence[Point], *, least: bool = False) -> Point:
    """Return the point over which most is stacked (or `least`); the first of several.

    Told by the boxes round the solids, which is exact for all that stands square.
    """
    at = np.array(points, dtype=float).reshape(-1, 1, 2)
    boxes = np.array([s.bounds for s in solids], dtype=float).reshape(-1, 4)
    inside = ((at > boxes[:, :2]) & (at < boxes[:, 2:])).all(axis=2)
    heights = np.round(inside @ np.array([s.z1 - s.z0 for s in solids]), 3)
    return points[int(heights.argmin() if least else heights.argmax())]


def total(context: Context, stack: Sequence[Layer], over: Overhead) -> str:
    """Return the stack as a sum from the bare floor up to what is overhead.

    Each height is rounded before the terms are taken as their differences, so that what is printed adds up.
    """
    space = context.space
    below = space.floor_build_up
    terms = [Layer(name="floor", z0=-below, z1=0.0)] if below and (not stack or stack[0].z0 >= -TOUCH) else []
    terms += stack
    if over.what == CEILING and space.ceiling_build_up:
        terms.append(Layer(name="ceiling", z0=over.z, z1=over.z + space.ceiling_build_up))
    end = "roof" if over.what == CEILING else over.what
    heights = [_rounded(context, below + terms[0].z0), *(_rounded(context, below + term.z1) for term in terms)]
    said = [
        f"{term.name} {format_length(high - low, context.units)}"
        for term, low, high in zip(terms, heights, heights[1:], strict=False)
    ]
    if heights[0] < 0:
        said = [f"below the floor {format_length(heights[0], context.units)}", *said]
    return f"{' + '.join(said)} = {context.say(heights[-1])} up to {'the ' if end == 'roof' else ''}{end}"


def _rounded(context: Context, mm: float) -> float:
    return round(mm / context.grain) * context.grain
