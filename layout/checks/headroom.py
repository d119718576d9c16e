"""Rule ``headroom``: there is room above the mattress."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.context import Context
from layout.model.finding import Finding, Severity
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

RULE = "headroom"


def check(context: Context) -> Iterator[Finding]:
    """Yield for each mattress that people sleep on what they can do there: too low fails, stooped sitting passes."""
    for state, things in context.states:
        for placed in things:
            if placed.thing.sleeps:
                yield _mattress(context, state, placed, things)


def _mattress(context: Context, state: str, placed: Placed, things: Sequence[Placed]) -> Finding:
    rule, top = context.rules[RULE], placed.box.z1
    ceiling, what = _ceiling(context, placed, things)
    free = ceiling - top
    severity: Severity = "fail" if free < rule["least"] - TOUCH else "warn" if free < rule["wanted"] - TOUCH else "note"
    wanted = rule["least"] if severity == "fail" else rule["wanted"]
    people = "; ".join(f"{p.name}: {_verdict(context, p.stature, free)}" for p in context.layout.people
                       if p.name in placed.thing.sleeps)  # fmt: skip
    return Finding(
        rule=RULE, severity=severity, things=(placed.name,), states=(state,), measured=round(free, 3),
        wanted=round(wanted, 3), short_by=round(max(wanted - free, 0.0), 3),
        where=Solid(name="headroom", outline=placed.solids[0].outline, z0=top, z1=max(ceiling, top + 1.0)),
        text=f"{context.say(free)} between {placed.name} and {what} ({people})",
        cure=f"lower {placed.name} by {context.say(wanted - free)}" if severity != "note" else "",
    )  # fmt: skip


def _ceiling(context: Context, placed: Placed, things: Sequence[Placed]) -> tuple[float, str]:
    x0, _, x1, _ = placed.box.bounds
    roof = min(context.space.roof_at(x) for x in (x0, x1, *(x for x, _ in context.space.roof if x0 < x < x1)))
    above = [(s.z0, p.name) for p in things if p.name != placed.name for s in p.solids if _over(s, placed.box)]
    return min([(roof, "the ceiling"), *above])


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
