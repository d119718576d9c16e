"""Rules that are run whole, or not again when nothing moved where all that they said rests.

Each tells on what parts of the plan its findings rest. Where a finding comes with a cure that was tried, that may be
anywhere, and the rule is run again after every move.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from layout.checks import air_gap, door_opening, headroom
from layout.checks.context import Context
from layout.checks.curing.offer import Window
from layout.checks.walking.beds import sleepers
from layout.checks.walking.gates import gates
from layout.model.finding import Finding
from layout.space.space import TOUCH

_RULES = {"door-opening": door_opening.check, "headroom": headroom.check, "air-gap": air_gap.check}
WHOLE = tuple(_RULES)
_NEAR = 1.0  # mm by which a window is widened, so that what touches it counts


@dataclass(frozen=True, kw_only=True, slots=True)
class Said:
    """What a rule says of a layout, and on what parts of the plan that rests, x0, y0, x1, y1, mm; None: on any."""

    findings: tuple[Finding, ...]
    windows: tuple[Window, ...] | None


def said(rule: str, context: Context) -> Said:
    """Return what one of the rules in `WHOLE` says."""
    findings = tuple(_RULES[rule](context))
    return Said(findings=findings, windows=_windows(rule, context, findings))


def still_said(rule: str, before: Said, context: Context, moved: Sequence[Window]) -> Said:
    """Return what a rule says after things moved: the same, if none of them was or is where that counts."""
    if before.windows is None or any(meet(window, bounds) for window in before.windows for bounds in moved):
        return said(rule, context)
    return before


def _windows(rule: str, context: Context, findings: Sequence[Finding]) -> tuple[Window, ...] | None:
    if rule == "air-gap":
        asks = any(placed.thing.clears or placed.clears for _, things in context.states for placed in things)
        return None if asks else ()
    if any(finding.severity != "note" for finding in findings):
        return None
    if rule == "headroom":
        return tuple({placed.box.bounds for _, things in context.states for placed in sleepers(things)})
    return _before_doors(context, findings)


def _before_doors(context: Context, findings: Iterable[Finding]) -> tuple[Window, ...] | None:
    """Return what is before the doors; None where beds decide too, since no door is wide enough to walk in."""
    if not context.space.doors:
        return ()
    rule = context.rules[door_opening.RULE]
    widest = {state: 0.0 for state, _ in context.states}
    for finding in findings:
        for state in finding.states:
            widest[state] = max(widest[state], finding.measured or 0.0)
    if min(widest.values(), default=0.0) < rule["way_in"] + TOUCH:
        return None
    return tuple(gate.zone.bounds for gate in gates(context.space, rule))


def meet(window: Window, bounds: Window) -> bool:
    """Return whether what lies within some bounds meets a window, or touches it."""
    return (
        window[0] - _NEAR <= bounds[2]
        and bounds[0] <= window[2] + _NEAR
        and window[1] - _NEAR <= bounds[3]
        and bounds[1] <= window[3] + _NEAR
    )
