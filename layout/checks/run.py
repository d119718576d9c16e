"""All rules over one layout: the one place that a new rule is added to."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from layout.checks.context import Check, Context, merged
from layout.model.finding import Finding

_ORDER = {"fail": 0, "warn": 1, "note": 2}
# In the order of the report; each is the module of that name, with an underscore for the hyphen.
RULES = (
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
    "placed",
)


def checks() -> Mapping[str, Check]:
    """Return every rule's check by the rule's name, in the order of the report."""
    return {rule: import_module(f"layout.checks.{rule.replace('-', '_')}").check for rule in RULES}


def run_checks(context: Context) -> tuple[Finding, ...]:
    """Return what all rules say of the layout: failures first, then warnings, then notes."""
    found = merged(finding for check in checks().values() for finding in check(context))
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))
