"""Panels to parts: what the saw must produce for the furniture of a project."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_uppercase

from layout.cutting.effort import Effort
from layout.errors import Fault, InputError, NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.files.faults import place_of
from layout.files.format import EdgeTrimFormat, SheetFormat, ShopFormat, WorkshopFormat
from layout.jobs.cut import solve
from layout.jobs.load import Plan
from layout.model.cutting import CutJob, CutPlan, Damage, EdgeTrim, Part, Shop, Stock
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
    size = round(panel.cut_length, 3), round(panel.cut_width, 3)
    return thing.group, panel.name, panel.sheet.material, *size, panel.grain


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
        smallest_offcut=workshop.smallest_offcut, shop=_shop(workshop.shop), longest_cut=workshop.longest_cut,
        smallest_hold=workshop.smallest_hold, prefer=workshop.prefer,
    )  # fmt: skip


def solve_plan(plan: Plan, effort: Effort = Effort()) -> CutPlan:  # noqa: B008 (frozen)
    """Return a refereed cut plan of the project's furniture.

    Raises
    ------
    InputError
        When there is nothing to cut, or the workshop's sheets do not do; with the place in the file.
    """
    try:
        return solve(job_of(plan), effort)
    except (PartTooLargeError, NotEnoughSheetsError) as error:
        raise InputError([_fault(plan, ("workshop", "sheets"), str(error))]) from None
    except ValueFaultError as error:
        raise InputError([_fault(plan, _path(error.path), error.text)]) from None


def _fault(plan: Plan, path: tuple[str, ...], text: str) -> Fault:
    mark, key = place_of(plan.project.nodes, path)
    return Fault(mark.file, mark.line, mark.column, key, text)


def _path(path: tuple[str, ...]) -> tuple[str, ...]:
    """Return the place in the project of what the job calls so; parts are made from things, which have no such key."""
    return ("workshop", "sheets") if path[0] == "parts" else ("workshop", *path)


def _stocks(workshop: WorkshopFormat) -> tuple[Stock, ...]:
    return tuple(_stock(name, sheet, workshop) for name, sheet in workshop.sheets.items())


def _stock(name: str, sheet: SheetFormat, workshop: WorkshopFormat) -> Stock:
    offcut = sheet.offcut == "yes"
    if offcut and sheet.price:
        raise ValueFaultError(("sheets", name, "price"), f"an offcut on hand costs nothing, not {sheet.price:g}")
    return Stock(
        name=name, material=sheet.material or name, length=sheet.length, width=sheet.width, price=sheet.price,
        count=1 if offcut and sheet.count is None else sheet.count, thickness=sheet.thickness, offcut=offcut,
        trim=_trim(sheet.trim, workshop.trim),
        damage=tuple(Damage(x=d.x, y=d.y, length=d.length, width=d.width) for d in sheet.damage),
    )  # fmt: skip


def _trim(said: EdgeTrimFormat | None, trim: float) -> EdgeTrim | None:
    if said is None:
        return None
    edges = {edge: getattr(said, edge) for edge in ("left", "right", "bottom", "top")}
    return EdgeTrim(**{edge: trim if mm is None else mm for edge, mm in edges.items()})


def _shop(said: ShopFormat | None) -> Shop | None:
    if said is None:
        return None
    if said.trim < said.tolerance:
        text = f"{said.trim:g} mm is less than the tolerance of {said.tolerance:g} mm; trim at least as much"
        raise ValueFaultError(("shop", "trim"), text)
    return Shop(
        cuts=said.cuts, narrowest=said.narrowest, kerf=said.kerf, tolerance=said.tolerance, trim=said.trim,
        car=said.car,
    )  # fmt: skip


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
