"""All rules over one layout: the one place that a new rule is added to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module

from layout.checks.context import Check, Context, merged
from layout.model.finding import Finding

_ORDER = {"fail": 0, "warn": 1, "note": 2}
# In the order of the report; each is the module of that name, with an underscore for the hyphen.
RULES = (
    "survey",
    "inside",
    "overlap",
    "carried",
    "door-opening",
    "reach",
    "way-in",
    "bed-size",
    "headroom",
    "aisle",
    "night-exit",
    "standing",
    "sweep",
    "lids",
    "air-gap",
    "row-gap",
    "bicycles",
    "long-things",
    "dirt",
    "cautions",
    "roof-plan",
    "placed",
)


def checks() -> Mapping[str, Check]:
    """Return every rule's check by the rule's name, in the order of the report."""
    return {rule: import_module(f"layout.checks.{rule.replace('-', '_')}").check for rule in RULES}


def run_checks(context: Context, tell: Callable[[str], None] | None = None) -> tuple[Finding, ...]:
    """Return what all rules say of the layout: failures first, then warnings, then notes.

    `tell` hears before each rule which it is.
    """
    found = merged(_found(context, tell))
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))


def _found(context: Context, tell: Callable[[str], None] | None) -> Iterator[Finding]:
    for rule, check in checks().items():
        if tell:
            tell(f"checking: {rule}")
        yield from check(context)
