"""Rule ``headroom``: there is room above the mattress."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import Polygon

from layout.checks.context import Context
from layout.model.finding import Finding, Severity
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.space import TOUCH

RULE = "headroom"


def check(context: Context) -> Iterator[Finding]:
    """Yield for each mattress that people sleep on what they can do there: too low fails, stooped sitting passes."""
    for state, things in context.states:
        for placed in things:
            # A bed that is not inside has no headroom to tell; the rule inside says what to do first.
            if placed.thing.sleeps and all(context.space.holds(solid) for solid in placed.solids):
                yield _mattress(context, state, placed, things)


def _mattress(context: Context, state: str, placed: Placed, things: Sequence[Placed]) -> Finding:
    rule, top = context.rules[RULE], placed.box.z1
    ceiling, what = _ceiling(context, placed, things)
    free = ceiling - top
    severity: Severity = "fail" if free < rule["least"] - TOUCH else "warn" if free < rule["wanted"] - TOUCH else "note"
    cure = _cure(context, placed, rule["wanted"] - free)
    wanted = rule["least"] if severity == "fail" else rule["wanted"]
    people = "; ".join(f"{p.name}: {_verdict(context, p.stature, free)}" for p in context.layout.people
                       if p.name in placed.thing.sleeps)  # fmt: skip
    return Finding(
        rule=RULE, severity=severity, things=(placed.name,), states=(state,), measured=round(free, 3),
        wanted=round(wanted, 3), short_by=round(max(wanted - free, 0.0), 3),
        where=Solid(name="headroom", outline=placed.solids[0].outline, z0=top, z1=max(ceiling, top + 1.0)),
        text=f"{context.say(free)} between {placed.name} and {what} ({people})",
        cure=cure if severity != "note" else "",
    )  # fmt: skip


def _cure(context: Context, placed: Placed, missing: float) -> str:
    """Say how much lower the mattress would have to lie, if it could."""
    by = context.up(missing)
    lowered = [solid.moved(0.0, 0.0, -by) for solid in placed.solids]
    if placed.box.z0 < by or not all(context.space.holds(solid) for solid in lowered):
        return "no lowering gives so much here; lay the bed elsewhere, or a thinner one"
    return f"bring {placed.name}, or what carries it, {context.say(by)} lower"


def _ceiling(context: Context, placed: Placed, things: Sequence[Placed]) -> tuple[float, str]:
    """Return the height of whatever is lowest above the mattress, and its name."""
    above = [(s.z0, p.name) for p in things if p.name != placed.name for s in p.solids if _over(s, placed.box)]
    return min([_fixed_ceiling(context, placed), *above])


def _fixed_ceiling(context: Context, placed: Placed) -> tuple[float, str]:
    """Return up to which height the room holds a head anywhere over the mattress, to 0.01 mm."""
    place, foot = _heads(context, placed), placed.box.z1
    low, high = foot, context.space.height
    while high - low > TOUCH:
        middle = (low + high) / 2
        column = Solid(name="", outline=place, z0=foot, z1=middle)
        low, high = (middle, high) if context.space.holds(column) else (low, middle)
    return _named(context, place, round(high, 1))


def _heads(context: Context, placed: Placed) -> tuple[Point, ...]:
    """Return where heads are: the mattress without its edges."""
    x0, y0, x1, y1 = placed.box.bounds
    dx, dy = (min(context.rules[RULE]["edge"], size / 3) for size in (x1 - x0, y1 - y0))
    return (x0 + dx, y0 + dy), (x1 - dx, y0 + dy), (x1 - dx, y1 - dy), (x0 + dx, y1 - dy)


def _named(context: Context, place: tuple[Point, ...], height: float) -> tuple[float, str]:
    plan = Polygon(place)
    for obstacle in context.space.obstacles:
        if abs(obstacle.z0 - height) < 1 and plan.intersects(Polygon(obstacle.outline)):
            return height, obstacle.name
    roof = min(context.space.roof_at(x) for x, _ in place)
    return height, "the ceiling" if roof - height < 1 else "the leaning wall"


def _over(solid: Solid, bed: Solid) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = solid.bounds, bed.bounds
    apart = ax1 <= bx0 + TOUCH or bx1 <= ax0 + TOUCH or ay1 <= by0 + TOUCH or by1 <= ay0 + TOUCH
    return not apart and solid.z0 >= bed.z1 - TOUCH


def _verdict(context: Context, stature: float, free: float) -> str:
    rule = context.rules[RULE]
    if free >= stature * rule["sitting_share"] + rule["sitting_more"]:
        return "sits erect"
    if free >= rule["wanted"]:
        return "sits stooped"
    return "crawls" if free >= rule["least"] else "cannot turn over"
