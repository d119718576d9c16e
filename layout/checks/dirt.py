"""Rule ``dirt``: what is wet or dirty is not above or beside the bed, and wet things are near a door."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

RULE = "dirt"
_APART = 25.0  # mm between the points of an outline from which it is looked across


def check(context: Context) -> Iterator[Finding]:
    """Yield a warning for dirt above a bed, a note for dirt beside one, and for what is wet far from the doors."""
    states = dict(context.states)
    asleep = ("sleep",) if "sleep" in states else tuple(state for state in states if state != "drive")
    for state, things in context.states:
        for placed in things:
            if placed.thing.dirt == "clean":
                continue
            if state in asleep:
                yield from _beds(context, state, things, placed)
            if placed.thing.dirt == "wet":
                yield from _far(context, state, placed)


def _beds(context: Context, state: str, things: Sequence[Placed], placed: Placed) -> Iterator[Finding]:
    for bed in things:
        if not bed.thing.sleeps or bed is placed:
            continue
        others = _solids(context.space, things, but=(placed, bed))
        if any(_is_above(solid, bed.solids[0], others) for solid in placed.solids):
            yield _above(state, placed, bed)
        else:
            yield from _beside(context, state, placed, bed, others)


def _solids(space: Space, things: Sequence[Placed], but: Sequence[Placed]) -> list[Solid]:
    """Return what can be in between: clean things and the fixed obstacles of the space."""
    fixed = [Solid(name=o.name, outline=o.outline, z0=o.z0, z1=o.z1) for o in space.obstacles]
    clean = [p for p in things if p.thing.dirt == "clean" and not any(p is one for one in but)]
    return [*fixed, *(solid for p in clean for solid in p.solids)]


def _is_above(solid: Solid, bed: Solid, others: Sequence[Solid]) -> bool:
    """Return whether any of the bed is right under the solid, with nothing in between."""
    if solid.z0 < bed.z1 - TOUCH:
        return False
    under = Polygon(solid.outline).intersection(Polygon(bed.outline))
    between = [Polygon(o.outline) for o in others if o.z0 >= bed.z1 - TOUCH and o.z1 <= solid.z0 + TOUCH]
    return bool(under.difference(shapely.union_all(between)).area > TOUCH)


def _above(state: str, placed: Placed, bed: Placed) -> Finding:
    return Finding(
        rule=RULE, severity="warn", things=(placed.name, bed.name), states=(state,), where=placed.box,
        text=f"{_what(placed)} above {bed.name}, with nothing between",
        cure="stow it low and near a door, or put a shelf with an edge under it",
    )  # fmt: skip


def _beside(context: Context, state: str, placed: Placed, bed: Placed, others: Sequence[Solid]) -> Iterator[Finding]:
    wanted = context.rules[RULE]["beside"]
    flat = bed.solids[0]
    gaps = [_open_gap(solid, flat, others, wanted) for solid in placed.solids if solid.z1 > flat.z0 + TOUCH]
    nearest = min((gap for gap in gaps if gap is not None), default=None)
    if nearest is not None:
        missing = context.up(wanted - nearest)
        yield Finding(
            rule=RULE, severity="note", things=(placed.name, bed.name), states=(state,), where=placed.box,
            measured=round(nearest, 3), wanted=round(wanted, 3), short_by=round(wanted - nearest, 3),
            text=f"{_what(placed)} {context.say(nearest)} beside {bed.name}, {context.say(wanted)} wanted",
            cure=f"stow it {context.say(missing)} further away, lower than {bed.name}, or behind a panel as high",
        )  # fmt: skip


def _open_gap(solid: Solid, bed: Solid, others: Sequence[Solid], most: float) -> float | None:
    """Return the shortest level line below `most` mm from the solid to the bed that nothing crosses; None if none.

    Lines are drawn from the solid's outline, every `_APART` mm, straight to the nearest point of the bed. What is in
    between must be so over the whole height of the bed: each stretch of height with its own solids is tried.
    """
    one, two = Polygon(solid.outline), Polygon(bed.outline)
    if one.distance(two) >= most or one.intersection(two).area > TOUCH:
        return None
    lines = _lines(one, two, most)
    heights = sorted({bed.z0, bed.z1, *(z for o in others for z in (o.z0, o.z1) if bed.z0 < z < bed.z1)})
    gaps = [_shortest(lines, _section(others, (low + high) / 2)) for low, high in pairwise(heights)]
    return min((gap for gap in gaps if gap is not None), default=None)


def _lines(one: Polygon, two: Polygon, most: float) -> BaseGeometry:
    """Return the lines from the first outline to the second that are shorter than `most`, as an array."""
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(one.exterior, _APART)))
    lines = np.append(shapely.shortest_line(points, two), shapely.shortest_line(one, two))
    return lines[shapely.length(lines) < most]


def _section(others: Sequence[Solid], z: float) -> BaseGeometry:
    return shapely.union_all([Polygon(o.outline) for o in others if o.z0 <= z <= o.z1])


def _shortest(lines: BaseGeometry, between: BaseGeometry) -> float | None:
    """Return the length of the shortest line that does not go through what is between."""
    crossed = shapely.length(shapely.intersection(lines, between)) > TOUCH
    free = shapely.length(lines[~crossed])
    return float(free.min()) if len(free) else None


def _far(context: Context, state: str, placed: Placed) -> Iterator[Finding]:
    """Yield a note if a wet thing is far from every door."""
    wanted, doors = context.rules[RULE]["door"], context.space.doors
    if not doors:
        return
    away, name = min((_distance(context.space, door, placed.box), door.name) for door in doors)
    if away > wanted + TOUCH:
        yield Finding(
            rule=RULE, severity="note", things=(placed.name,), states=(state,), where=placed.box,
            measured=round(away, 3), wanted=round(wanted, 3), short_by=round(away - wanted, 3),
            text=f"{_what(placed)} {context.say(away)} from the nearest door, the {name}; "
                 f"at most {context.say(wanted)} wanted",
            cure=f"stow it {context.say(context.up(away - wanted))} nearer to the {name}",
        )  # fmt: skip


def _distance(space: Space, door: Door, body: Solid) -> float:
    """Return how far in plan a thing is from the opening, mm."""
    x0, y0, _, y1 = space.bounds
    if door.side == "rear":
        opening = shapely.LineString([(x0, door.low), (x0, door.high)])
    else:
        y = y1 if door.side == "left" else y0
        opening = shapely.LineString([(door.low, y), (door.high, y)])
    return float(opening.distance(Polygon(body.outline)))


def _what(placed: Placed) -> str:
    return f"{placed.name} ({placed.thing.dirt}):"
