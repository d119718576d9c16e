"""What carries a thing: the floor where it has no hole, the tops of other things, fixed obstacles."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.bodies import Bodies
from layout.checks.context import Context
from layout.checks.moves import rests_on, tops_under
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

RULE = "carried"
_FAR = 100_000.0


def lacks(context: Context, placed: Placed, others: Sequence[Placed]) -> str:
    """Return what is wrong with how the thing stands, ``hangs`` or ``over a hole``; nothing if `others` may carry it.

    What is below the floor is for the rule inside to tell.
    """
    rule = context.rules[RULE]
    foot = placed.box.z0
    if foot < -TOUCH:
        return ""
    if foot <= rule["slack"]:
        return "over a hole" if _share_over_holes(context, placed) > rule["share"] else ""
    if placed.thing.box.z0 > rule["slack"] and abs(placed.at[2]) <= TOUCH:
        return ""  # it hangs by its own description, as a bed on wall rails does: fastened to the body
    held = any(rests_on(placed, other, rule["slack"]) for other in others if other is not placed)
    return "" if held or _on_obstacle(context, placed, rule["slack"]) else "hangs"


def balanced(context: Context, placed: Placed, others: Sequence[Placed]) -> bool:
    """Return whether the middle of a thing that is carried lies between the places where it is."""
    slack = context.rules[RULE]["slack"]
    if placed.box.z0 <= slack:
        return True
    tops = [Polygon(top.outline) for other in others for top in tops_under(placed, other, slack)]
    tops += [Polygon(o.outline) for o in context.space.obstacles if abs(o.z1 - placed.box.z0) <= slack]
    feet = [Polygon(foot.outline) for foot in placed.solids if foot.z0 <= placed.box.z0 + slack]
    touching = shapely.union_all(feet).intersection(shapely.union_all(tops))
    x0, y0, x1, y1 = placed.box.bounds
    return bool(touching.convex_hull.intersects(Point((x0 + x1) / 2, (y0 + y1) / 2)))


def near_below(bodies: Bodies, things: Sequence[Placed], slack: float) -> list[list[Placed]]:
    """Return for each of `things` what may carry it, by bounds: of `bodies`, what ends or has its rim near its foot."""
    found: list[set[int]] = [set() for _ in things]
    for i, j in bodies.near([_under(placed, slack) for placed in things]):
        found[i].add(int(bodies.owner[j]))
    return [[bodies.things[k] for k in sorted(numbers)] for numbers in found]


def _under(placed: Placed, slack: float) -> Solid:
    foot = placed.box.z0
    return Solid(name="", outline=placed.box.outline, z0=foot - 2 * slack - 1, z1=foot + 2 * slack + 1)


def carrying_plan(context: Context, body: Solid, solids: Sequence[Solid]) -> BaseGeometry:
    """Return where, seen from above, a foot at the height of `body` is carried: by the floor, `solids` or obstacles."""
    slack = context.rules[RULE]["slack"]
    if body.z0 <= slack:
        floor = shapely.box(-_FAR, -_FAR, _FAR, _FAR)
        return floor.difference(shapely.union_all([Polygon(hole.outline) for hole in context.space.holes]))
    ends = [*((s.z1, s.outline) for s in solids), *((o.z1, o.outline) for o in context.space.obstacles)]
    return shapely.union_all([Polygon(outline) for top, outline in ends if abs(top - body.z0) <= slack])


def _on_obstacle(context: Context, placed: Placed, slack: float) -> bool:
    near = [o for o in context.space.obstacles if abs(o.z1 - placed.box.z0) <= slack]
    return bool(near) and any(Polygon(placed.box.outline).intersects(Polygon(o.outline)) for o in near)


def _share_over_holes(context: Context, placed: Placed) -> float:
    x0, y0, x1, y1 = placed.box.bounds
    plan = shapely.box(x0, y0, x1, y1) if context.space.holes else None
    holes = [hole for hole in map(Polygon, (h.outline for h in context.space.holes)) if hole.intersects(plan)]
    if not holes:
        return 0.0
    foot = shapely.union_all([Polygon(s.outline) for s in placed.solids if s.z0 <= placed.box.z0 + TOUCH])
    return float(foot.intersection(shapely.union_all(holes)).area / foot.area)
