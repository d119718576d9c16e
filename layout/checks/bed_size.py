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
    rule = context.rules[RULE]
    tallest = max((p for p in context.layout.people if p.name in placed.thing.sleeps), key=lambda p: p.stature)
    wanted = tallest.stature + rule["longer"]
    if length < wanted - TOUCH:
        yield _finding(
            context,
            state,
            placed,
            (length, wanted),
            f"{tallest.name} ({context.say(tallest.stature)})",
            "long",
        )
    sleepers = len(placed.thing.sleeps)
    if width < sleepers * rule["each"] - TOUCH:
        words = " and ".join(placed.thing.sleeps)
        yield _finding(context, state, placed, (width, sleepers * rule["each"]), words, "wide")


def _sizes(placed: Placed) -> tuple[float, float]:
    """Return length and width as made, whichever way it stands."""
    x0, y0, x1, y1 = outer_box(placed.thing.solids).bounds
    return x1 - x0, y1 - y0


def _finding(context: Context, state: str, placed: Placed, sizes: tuple[float, float], who: str, word: str) -> Finding:
    measured, wanted = sizes
    return Finding(
        rule=RULE, severity="fail", things=(placed.name,), states=(state,), measured=round(measured, 3),
        wanted=round(wanted, 3), short_by=round(wanted - measured, 3), where=placed.solids[0],
        text=f"{placed.name} is {context.say(measured)} {word}; {who} wants {context.say(wanted)}",
        cure=f"make it {context.say(wanted - measured)} more {word.replace('wide', 'in width').replace('long', 'in length')}",
    )  # fmt: skip
