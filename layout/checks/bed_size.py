"""Rule ``bed-size``: the bed is long and wide enough for the people named."""

from __future__ import annotations

from collections.abc import Iterator

from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import outer_box
from layout.space.space import TOUCH

RULE = "bed-size"


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each mattress too short or too narrow for its sleepers."""
    for state, things in context.states:
        for placed in things:
            if placed.thing.sleeps:
                yield from _mattress(context, state, placed)


def _mattress(context: Context, state: str, placed: Placed) -> Iterator[Finding]:
    length, width = _sizes(placed)
    rule, sleepers = context.rules[RULE], placed.thing.sleeps
    tallest = max((p for p in context.layout.people if p.name in sleepers), key=lambda p: p.stature)
    tall = f"{tallest.name} ({context.say(tallest.stature)})"
    needs = (
        (length, tallest.stature + rule["longer"], f"long; {tall} wants", "longer"),
        (width, len(sleepers) * rule["each"], f"wide; {' and '.join(sleepers)} want", "wider"),
    )
    for measured, wanted, words, cure in needs:
        if measured < wanted - TOUCH:
            yield Finding(
                rule=RULE, severity="fail", things=(placed.name,), states=(state,), measured=round(measured, 3),
                wanted=round(wanted, 3), short_by=round(wanted - measured, 3), where=placed.solids[0],
                text=f"{placed.name} is {context.say(measured)} {words} {context.say(wanted)}",
                cure=f"make it {context.say(wanted - measured)} {cure}",
            )  # fmt: skip


def _sizes(placed: Placed) -> tuple[float, float]:
    """Return length and width as made, whichever way it stands."""
    x0, y0, x1, y1 = outer_box(placed.thing.solids).bounds
    return x1 - x0, y1 - y0
