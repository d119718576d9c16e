"""Every answer before the checks of the product, which know nothing of the search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib import import_module

from layout.arrange.ask import Ask
from layout.checks.context import Context, merged
from layout.checks.run import RULES
from layout.model.finding import Finding
from layout.model.layout import Layout

#: Rules that take longest come last: an arrangement that fails at once is not searched through.
_SLOW = ("reach", "aisle", "night-exit", "bicycles", "way-in", "long-things")
#: Rules that never fail, or say nothing of places.
_TOLD_ONLY = ("long-things", "cautions", "dirt", "standing")


def context_of(ask: Ask, layout: Layout) -> Context:
    """Return what the checks are given."""
    return Context(space=ask.space, layout=layout, rules=ask.rules, units=ask.units)


def failures(ask: Ask, layout: Layout, *, first: bool = True) -> tuple[Finding, ...]:
    """Return what fails; of the `first` rule that finds something only."""
    context, found = context_of(ask, layout), []
    for rule in ordered(RULES):
        found += [f for f in _checked(context, rule) if f.severity == "fail"]
        if found and first:
            break
    return merged(found)


def ordered(rules: Iterable[str]) -> Iterator[str]:
    """Yield the rules that may fail, the quick ones first."""
    wanted = [rule for rule in rules if rule not in _TOLD_ONLY]
    yield from (rule for rule in wanted if rule not in _SLOW)
    yield from (rule for rule in _SLOW if rule in wanted)


def _checked(context: Context, rule: str) -> Iterator[Finding]:
    check = import_module(f"layout.checks.{rule.replace('-', '_')}").check
    yield from check(context)
