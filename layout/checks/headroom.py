"""Rule ``headroom``: there is room above the mattress, told by person and as a sum from the floor to the roof."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.bed_size import known_sleepers
from layout.checks.context import Context, by_places
from layout.checks.headroom_cure import lower
from layout.checks.postures import least_for, rank, verdict
from layout.checks.stack import Layer, Overhead, heads, layers, named_solids, overhead, total
from layout.checks.under_bed import beneath
from layout.model.finding import Finding, Severity
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

RULE = "headroom"


def check(context: Context) -> Iterator[Finding]:
    """Yield for each mattress what its sleepers can do there: not turn over fails, only crawl warns, stoop passes."""
    yield from by_places(context, lambda state, things: _state(context, state, things))


def _state(context: Context, state: str, things: Sequence[Placed]) -> Iterator[Finding]:
    for placed in things:
        # A bed that is not inside has no headroom to tell; the rule inside says what to do first.
        if known_sleepers(context, placed) and all(context.space.holds(solid) for solid in placed.solids):
            yield _mattress(context, state, placed, things)


def _mattress(context: Context, state: str, placed: Placed, things: Sequence[Placed]) -> Finding:
    top, rule = placed.box.z1, context.rules[RULE]
    over = overhead(context, (p for p in things if p is not placed), heads(context, placed), top)
    free = over.z - top
    people = known_sleepers(context, placed)
    severity = _severity(min(rank(verdict(rule, p, free)) for p in people))
    # The cure is one that ends all warning, or else one that ends the failure.
    stoop, crawl = (max(least_for(rule, p, word) for p in people) for word in ("stoops", "crawls"))
    wanted = crawl if severity == "fail" else stoop
    aims = (stoop, crawl) if severity == "fail" else (stoop,)
    cure, does = lower(context, things, placed, over, aims) if severity != "note" else ("", None)
    said = "; ".join([*(f"{p.name} {verdict(rule, p, free)}" for p in people), _sum(context, things, placed, over)])
    return Finding(
        rule=RULE, severity=severity, things=(placed.name,), states=(state,), measured=round(free, 3),
        wanted=round(wanted, 3), short_by=round(max(wanted - free, 0.0), 3), cure=cure, does=does,
        where=Solid(name="headroom", outline=placed.solids[0].outline, z0=top, z1=max(over.z, top + 1.0)),
        text=f"{context.say(free)} between {placed.name} and {over.what}: {said}",
    )  # fmt: skip


def _severity(least: int) -> Severity:
    return "fail" if least < rank("crawls") else "warn" if least < rank("stoops") else "note"


def _sum(context: Context, things: Sequence[Placed], placed: Placed, over: Overhead) -> str:
    """Return the stack through the mattress where most is stacked under it, and on to the lowest thing above."""
    under = beneath(things, placed)
    stack = layers(named_solids(p for p in things if p is not placed), under.at, 0.0, placed.box.z0)
    own = Layer(name=placed.name, z0=placed.box.z0, z1=placed.box.z1)
    free = [Layer(name="free", z0=placed.box.z1, z1=over.z)] if over.z - placed.box.z1 > TOUCH else []
    return total(context, (*stack, own, *free), over)
