"""What is under a mattress: what carries it, what is stowed there, and the place where most is stacked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon

from layout.checks.moves import rests_on
from layout.checks.stack import fullest
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Beneath:
    """`carriers` carry the mattress, one on the other; `stowed` only lie under it. `at` is where the stack is told."""

    carriers: tuple[Placed, ...]
    stowed: tuple[Placed, ...]
    at: Point


def beneath(things: Sequence[Placed], placed: Placed) -> Beneath:
    """Return what is under a mattress; `at` is where most is stacked over what is stowed, or least if nothing is."""
    below = [p for p in things if p is not placed and any(_is_under(s, placed) for s in p.solids)]
    carriers = _carriers(below, placed)
    stowed = tuple(p for p in below if p not in carriers)
    solids = [s for p in below for s in p.solids if _is_under(s, placed)]
    # Bins that carry the bed are stowed there all the same.
    bins = [p for p in carriers if p.thing.take_out is not None]
    gear = [s for p in (*stowed, *bins) for s in p.solids if _is_under(s, placed)]
    if gear:
        return Beneath(carriers=carriers, stowed=stowed, at=fullest(solids, _meetings(gear, solids, placed)))
    plan = Polygon(placed.solids[0].outline)
    points = [_inside(plan, s) for s in solids] or [_point(plan)]
    return Beneath(carriers=carriers, stowed=stowed, at=fullest(solids, points, least=True))


def _is_under(solid: Solid, placed: Placed) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = solid.bounds, placed.box.bounds
    apart = ax1 <= bx0 + TOUCH or bx1 <= ax0 + TOUCH or ay1 <= by0 + TOUCH or by1 <= ay0 + TOUCH
    return solid.z0 < placed.box.z0 - TOUCH and not apart and _meet(solid, placed.solids[0])


def _meet(a: Solid, b: Solid) -> bool:
    return bool(Polygon(a.outline).intersection(Polygon(b.outline)).area > TOUCH)


def _carriers(below: Sequence[Placed], placed: Placed) -> tuple[Placed, ...]:
    group = [placed]
    for one in group:
        group += [p for p in below if p not in group and rests_on(one, p)]
    return tuple(group[1:])


def _meetings(gear: Sequence[Solid], solids: Sequence[Solid], placed: Placed) -> list[Point]:
    """Return a point in each piece of gear under the mattress, and in each place where something else is over it."""
    plan = Polygon(placed.solids[0].outline)
    points: list[Point] = []
    for piece in gear:
        part = plan.intersection(Polygon(piece.outline))
        points.append(_point(part))
        points += [_inside(part, s) for s in solids if s.z0 >= piece.z1 - TOUCH and _overlap(part, s)]
    return list(dict.fromkeys(points))


def _overlap(part: Polygon, solid: Solid) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = part.bounds, solid.bounds
    if ax1 <= bx0 or bx1 <= ax0 or ay1 <= by0 or by1 <= ay0:
        return False
    return bool(part.intersection(Polygon(solid.outline)).area > TOUCH)


def _inside(part: Polygon, solid: Solid) -> Point:
    return _point(part.intersection(Polygon(solid.outline)))


def _point(part: Polygon) -> Point:
    point = part.representative_point()
    return round(float(point.x), 3), round(float(point.y), 3)
