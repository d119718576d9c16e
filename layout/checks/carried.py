"""Rule ``carried``: everything stands on the floor or on something."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon

from layout.checks.context import Context
from layout.checks.moves import rests_on
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.space.space import TOUCH

RULE = "carried"


def check(context: Context) -> Iterator[Finding]:
    """Yield a warning for each thing that hangs in the air or stands over a hole in the floor."""
    for state, things in context.states:
        for placed in things:
            missing = _missing(context, placed, things)
            if missing:
                yield Finding(
                    rule=RULE,
                    severity="warn",
                    things=(placed.name,),
                    states=(state,),
                    measured=round(placed.box.z0, 3),
                    where=placed.box,
                    text=f"{placed.name} {missing}",
                    cure="stand it on the floor, or say what it is on:",
                )


def _missing(context: Context, placed: Placed, things: Sequence[Placed]) -> str:
    slack = context.rules[RULE]["slack"]
    foot = placed.box.z0
    if foot < -TOUCH:
        return ""
    if foot > slack:
        held = any(rests_on(placed, other, slack) for other in things if other is not placed)
        return "" if held or _on_obstacle(context, placed, slack) else f"has nothing under it at {context.say(foot)}"
    return (
        "stands over a hole in the floor" if _share_over_holes(context, placed) > context.rules[RULE]["share"] else ""
    )


def _on_obstacle(context: Context, placed: Placed, slack: float) -> bool:
    plan = Polygon(placed.box.outline)
    return any(
        abs(o.z1 - placed.box.z0) <= slack and plan.intersects(Polygon(o.outline)) for o in context.space.obstacles
    )


def _share_over_holes(context: Context, placed: Placed) -> float:
    foot = shapely.union_all([Polygon(s.outline) for s in placed.solids if s.z0 <= placed.box.z0 + TOUCH])
    holes = shapely.union_all([Polygon(hole.outline) for hole in context.space.holes])
    return float(foot.intersection(holes).area / foot.area)
