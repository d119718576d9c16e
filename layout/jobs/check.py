"""The verb ``check``: a plan's findings, as values for people and for programs."""

from __future__ import annotations

from typing import Any

from layout.jobs.load import Plan, stale_accepts
from layout.jobs.room import measured
from layout.model.finding import Finding
from layout.model.layout import Placed


def report(plan: Plan) -> str:
    """Return the findings and the room's measures, as text for people."""
    lines = [plan.project.said.title, ""]
    for finding in plan.findings[:_MOST]:
        lines += _lines(finding)
    if len(plan.findings) > _MOST:
        lines.append(f"... and {len(plan.findings) - _MOST} more; --json has all of them")
    lines += ["", _counts(plan), *_stale(plan), "", *measured(plan)]
    lines += ["", CAUTION]
    return "\n".join(lines) + "\n"


_MOST = 60
CAUTION = (
    "These checks look at fit only. They certify nothing: restraint in a crash, axle and payload limits, gas, "
    "carbon monoxide, batteries, wiring and ways out in a fire follow local codes and licensed practice."
)


def _counts(plan: Plan) -> str:
    standing = [f for f in plan.findings if not f.accepted]
    counts = [f"{sum(f.severity == word for f in standing)} {word}" for word in ("fail", "warn", "note")]
    accepted = len(plan.findings) - len(standing)
    return ", ".join([*counts, *([f"{accepted} accepted"] if accepted else [])])


def _stale(plan: Plan) -> list[str]:
    return [
        f"accept: nothing like {' '.join([accept.rule, *accept.things])} was found; strike it out"
        for accept in stale_accepts(plan)
    ]


def _lines(finding: Finding) -> list[str]:
    states = f" [{', '.join(finding.states)}]" if finding.states else ""
    word = "ok" if finding.accepted else finding.severity
    lines = [f"{word:4}  {finding.rule}{states}: {finding.text}"]
    if finding.accepted:
        return [*lines, f"      accepted: {finding.accepted}"]
    return [*lines, f"      → {finding.cure}"] if finding.cure else lines


def as_json(plan: Plan) -> dict[str, Any]:
    """Return the findings for programs: lengths in mm, mass in kg."""
    space = plan.project.space
    return {
        "title": plan.project.said.title,
        "fails": plan.fails,
        "findings": [_finding_json(finding) for finding in plan.findings],
        "space": {
            "length": space.length,
            "floor_area_m2": round(space.floor_area / 1e6, 4),
            "volume_m3": round(space.volume / 1e9, 4),
        },
        "things": {state: [_placed_json(p) for p in placed] for state, placed in plan.layout.placed.items()},
    }


def _finding_json(finding: Finding) -> dict[str, Any]:
    where = finding.where
    place = {"outline": where.outline, "z0": where.z0, "z1": where.z1} if where else None
    keys = (
        "rule",
        "severity",
        "things",
        "states",
        "text",
        "cure",
        "measured",
        "wanted",
        "short_by",
        "line",
        "accepted",
    )
    does = (
        {"things": finding.does.things, "shift": finding.does.shift, "trim": finding.does.trim}
        if finding.does
        else None
    )
    return {**{key: getattr(finding, key) for key in keys}, "where": place, "does": does}


def _placed_json(placed: Placed) -> dict[str, Any]:
    x0, y0, x1, y1 = (round(v, 3) for v in placed.box.bounds)
    z = [round(placed.box.z0, 3), round(placed.box.z1, 3)]
    return {"name": placed.name, "x": [x0, x1], "y": [y0, y1], "z": z, "mass_kg": round(placed.thing.mass_kg, 2)}
