"""Panels to parts: what the saw must produce for the furniture of a project."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_uppercase

from layout.errors import Fault, InputError, NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.files.faults import place_of
from layout.files.format import WorkshopFormat
from layout.jobs.cut import solve
from layout.jobs.load import Plan
from layout.model.cutting import CutJob, CutPlan, Part, Stock
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.units.length import drawn_unit, format_length
from layout.units.mass import format_mass

Key = tuple[str, str, str, float, float, str]


def parts_of(things: Sequence[Thing]) -> tuple[Part, ...]:
    """Return the parts of all furniture: equal panels of a unit counted, different ones of a name lettered."""
    counts: dict[Key, int] = {}
    for thing in things:
        for panel in thing.panels:
            key = _key(thing, panel)
            counts[key] = counts.get(key, 0) + 1
    names = _names(list(counts))
    return tuple(
        Part(name=names[key], unit=key[0], material=key[2], length=key[3], width=key[4], grain=key[5], count=count)  # type: ignore[arg-type]
        for key, count in counts.items()
    )


def _key(thing: Thing, panel: Panel) -> Key:
    # Sums of fractions leave a trillionth of a millimetre behind; a saw does not, so equal panels are made equal.
    return thing.group, panel.name, panel.sheet.material, round(panel.length, 3), round(panel.width, 3), panel.grain


def _names(keys: Sequence[Key]) -> dict[Key, str]:
    same: dict[tuple[str, str], list[Key]] = {}
    for key in keys:
        same.setdefault(key[:2], []).append(key)
    return {
        key: f"{unit} {panel}"
        + (f" {ascii_uppercase[i] if len(group) <= len(ascii_uppercase) else i + 1}" if len(group) > 1 else "")
        for (unit, panel), group in same.items()
        for i, key in enumerate(group)
    }


def job_of(plan: Plan) -> CutJob:
    """Return the question for the saw: the project's parts, its sheets, kerf and trim.

    Raises
    ------
    InputError
        When the project has no furniture.
    """
    workshop = plan.project.said.workshop
    parts = parts_of(plan.layout.things)
    if not parts or workshop is None:
        text = "the project has no furniture, so there is nothing to cut; add a bed platform or a bin rack"
        raise InputError([Fault(plan.project.file, 0, 0, "things", text)])
    return CutJob(
        parts=parts, stocks=_stocks(workshop), kerf=workshop.kerf, trim=workshop.trim,
        smallest_offcut=workshop.smallest_offcut,
    )  # fmt: skip


def solve_plan(plan: Plan) -> CutPlan:
    """Return a refereed cut plan of the project's furniture.

    Raises
    ------
    InputError
        When there is nothing to cut, or the workshop's sheets do not do; with the place in the file.
    """
    job = job_of(plan)
    try:
        return solve(job)
    except (PartTooLargeError, NotEnoughSheetsError, ValueFaultError) as error:
        mark, key = place_of(plan.project.nodes, ("workshop", "sheets"))
        raise InputError([Fault(mark.file, mark.line, mark.column, key, str(error))]) from None


def _stocks(workshop: WorkshopFormat) -> tuple[Stock, ...]:
    return tuple(
        Stock(name=name, material=s.material or name, length=s.length, width=s.width, price=s.price, count=s.count)
        for name, s in workshop.sheets.items()
    )


def panel_table(plan: Plan) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return a header and a row for each distinct panel of each unit, in the unit that the saw's lists speak."""
    units = drawn_unit(plan.project.said.units)
    header = ("unit", "panel", "material", f"thickness {units}", f"length {units}", f"width {units}", "grain", "count")
    counts: dict[tuple[str, ...], int] = {}
    for thing in plan.layout.things:
        for panel in thing.panels:
            row = (
                thing.name, panel.name, panel.sheet.material,
                format_length(panel.sheet.thickness, units, denominator=64),
                format_length(panel.length, units, denominator=64),
                format_length(panel.width, units, denominator=64), panel.grain,
                format_mass(panel.mass_kg, units),
            )  # fmt: skip
            counts[row] = counts.get(row, 0) + 1
    return (*header, "mass each"), [(*row[:7], str(count), row[7]) for row, count in counts.items()]
