"""The verb ``check``: a plan's findings, as values for people and for programs."""

from __future__ import annotations

from typing import Any

from layout.jobs.load import Plan
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.units.length import format_length
from layout.units.mass import format_mass


def report(plan: Plan) -> str:
    """Return the findings and the room's measures, as text for people."""
    lines = [plan.project.said.title, ""]
    for finding in plan.findings[:_MOST]:
        lines += _lines(finding)
    if len(plan.findings) > _MOST:
        lines.append(f"... and {len(plan.findings) - _MOST} more; --json has all of them")
    counts = {word: sum(f.severity == word for f in plan.findings) for word in ("fail", "warn", "note")}
    lines += ["", f"{counts['fail']} fail, {counts['warn']} warn, {counts['note']} note", "", *measures(plan)]
    lines += ["", CAUTION]
    return "\n".join(lines) + "\n"


_MOST = 60
CAUTION = (
    "These checks look at fit only. They certify nothing: restraint in a crash, axle and payload limits, gas, "
    "carbon monoxide, batteries, wiring and ways out in a fire follow local codes and licensed practice."
)


def _lines(finding: Finding) -> list[str]:
    states = f" [{', '.join(finding.states)}]" if finding.states else ""
    lines = [f"{finding.severity:4}  {finding.rule}{states}: {finding.text}"]
    return [*lines, f"      → {finding.cure}"] if finding.cure else lines


def measures(plan: Plan) -> list[str]:
    """Return the room's clear measures at useful heights, one line each."""
    space, units = plan.project.space, plan.project.said.units
    middle = space.length / 2

    def say(mm: float) -> str:
        return format_length(mm, units, unit_sign=True)

    inches = units in ("in", "ft")
    floor = f"{space.floor_area / 92903.04:.1f} ft²" if inches else f"{space.floor_area / 1e6:.2f} m²"
    volume = f"{space.volume / 28316846.592:.0f} ft³" if inches else f"{space.volume / 1e9:.2f} m³"
    heights = [12 * 25.4 * n if inches else 300.0 * n for n in range(6)]
    lines = [f"room: floor {say(space.length)} long, {floor} free, {volume}"]
    lines += [
        f"  at height {say(z)}: {say(_narrowest(plan, z))} wide at the narrowest, "
        f"{say(space.clear_length(0.0, z))} long in the middle"
        for z in heights
        if z < space.roof_at(middle)
    ]
    mass = sum(thing.mass_kg for thing in plan.layout.things)
    return [*lines, f"load: {format_mass(mass, units)} in {len(plan.layout.things)} things, people not counted"]


def _narrowest(plan: Plan, z: float) -> float:
    """Return the least clear width at height `z`, tried at every place where the room bends, mm."""
    space = plan.project.space
    x0, _, x1, _ = space.shell(z).bounds
    # A closed rear door takes the first few centimetres; the width is told from there on.
    x0 = max([x0, *(max(x for x, _ in o.outline) for o in space.obstacles if o.name == "closed rear door")])
    bends = {x for o in space.obstacles for x, _ in o.section(z)} | {*space.left.xs, *space.right.xs}
    hair = 0.001
    tries = [x + d for x in bends for d in (-hair, hair)] + [x0 + hair, (x0 + x1) / 2, x1 - hair]
    return min(space.clear_width(x, z) for x in tries if x0 < x < x1)


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
    keys = ("rule", "severity", "things", "states", "text", "cure", "measured", "wanted", "short_by")
    return {**{key: getattr(finding, key) for key in keys}, "where": place}


def _placed_json(placed: Placed) -> dict[str, Any]:
    x0, y0, x1, y1 = (round(v, 3) for v in placed.box.bounds)
    z = [round(placed.box.z0, 3), round(placed.box.z1, 3)]
    return {"name": placed.name, "x": [x0, x1], "y": [y0, y1], "z": z, "mass_kg": round(placed.thing.mass_kg, 2)}
