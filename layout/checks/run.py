"""All rules over one layout: the one place that a new rule is added to."""

from __future__ import annotations

from collections.abc import Mapping

from layout.checks import bed_size, bin_out, carried, door_opening, headroom, inside, overlap, placed
from layout.checks.context import Check, Context, merged
from layout.model.finding import Finding

_ORDER = {"fail": 0, "warn": 1, "note": 2}


def checks() -> Mapping[str, Check]:
    """Return every rule's check by the rule's name, in the order of the report."""
    return {
        "inside": inside.check,
        "overlap": overlap.check,
        "carried": carried.check,
        "door-opening": door_opening.check,
        "bin-out": bin_out.check,
        "bed-size": bed_size.check,
        "headroom": headroom.check,
        "placed": placed.check,
    }


def run_checks(context: Context) -> tuple[Finding, ...]:
    """Return what all rules say of the layout: failures first, then warnings, then notes."""
    found = merged(finding for check in checks().values() for finding in check(context))
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))
