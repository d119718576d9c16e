"""Rule ``carried``: everything stands on the floor or on something."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from layout.checks.context import Context
from layout.checks.curing.nearest import onto_something
from layout.checks.curing.offer import Window, in_words
from layout.checks.support import RULE, lacks, near_below
from layout.model.finding import Finding
from layout.model.layout import Placed


def check(context: Context) -> Iterator[Finding]:
    """Yield a warning for each thing that hangs in the air or stands over a hole in the floor."""
    for state, things in context.states:
        yield from (finding for _, finding, _ in among(context, state, range(len(things))))


def among(context: Context, state: str, which: Iterable[int]) -> Iterator[tuple[int, Finding, Window]]:
    """Yield of the things of those numbers which nothing carries in the state, the warning, and on what it rests."""
    numbers, things = list(which), context.layout.placed[state]
    chosen = [things[k] for k in numbers]
    below = near_below(context.bodies(state), chosen, context.rules[RULE]["slack"])
    for k, placed, carriers in zip(numbers, chosen, below, strict=True):
        lack = lacks(context, placed, carriers)
        if lack == "hangs":
            yield k, *_hanging(context, state, things, placed)
        elif lack:
            finding = _warning(state, placed, "stands over a hole in the floor", "move it off the hole")
            yield k, finding, placed.box.bounds


def _hanging(context: Context, state: str, things: Sequence[Placed], placed: Placed) -> tuple[Finding, Window]:
    found = onto_something(context, things, placed)
    text = f"has nothing under it at {context.say(placed.box.z0)}"
    if found.best is None:
        return _warning(state, placed, text, "stand it on the floor, or say what it is on:"), found.window
    cure = f"{in_words(context, found.best, 'it')}, or say what it is on:"
    return replace(_warning(state, placed, text, cure), does=found.best.cure), found.window


def _warning(state: str, placed: Placed, text: str, cure: str) -> Finding:
    return Finding(
        rule=RULE, severity="warn", things=(placed.name,), states=(state,), measured=round(placed.box.z0, 3),
        where=placed.box, text=f"{placed.name} {text}", cure=cure,
    )  # fmt: skip
