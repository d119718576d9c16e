"""Arrangements side by side in figures: what each costs, what is best in each row, and no hidden total."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from layout.arrange.find import Arrangement
from layout.arrange.measures import Measure, measures
from layout.cutting.effort import Effort
from layout.errors import InputError
from layout.jobs.arrange import Tried
from layout.jobs.load import Plan
from layout.jobs.panels import solve_plan
from layout.units.length import Unit, drawn_unit, format_length
from layout.units.mass import format_mass

_ALMOST = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One measure of all arrangements: as text, and which are best (none where all are alike)."""

    name: str
    cells: tuple[str, ...]
    best: tuple[bool, ...]
    values: tuple[float | None, ...]


def compared(tried: Tried, tell: Callable[[str], None] = lambda said: None) -> tuple[Row, ...]:
    """Return the rows of the table of differences; sheets and their cost come from the cutting."""
    columns = []
    for name, one in zip(tried.names, tried.found.arrangements, strict=True):
        tell(f"measuring: {name}")
        columns.append((*measures(tried.ask, one.layout), *_sheets(tried, one)))
    return tuple(_row(row, tried.project.said.units) for row in zip(*columns, strict=True) if _says(row))


def plan_of(tried: Tried, one: Arrangement) -> Plan:
    """Return an arrangement as a plan, with nothing found in it that fails."""
    things = tried.ask.things_with(one.said.sizes)
    return Plan(project=replace(tried.project, things=things), layout=one.layout, findings=())


def _sheets(tried: Tried, one: Arrangement) -> tuple[Measure, ...]:
    """Return how many sheets the furniture takes, and what they cost; nothing where it cannot be cut as it is."""
    workshop = tried.project.said.workshop
    count = cost = None
    if workshop is not None and any(t.panels for t in one.layout.things):
        try:
            cuts = solve_plan(plan_of(tried, one), Effort(seconds=2.0))
        except InputError:
            pass
        else:
            count = float(sum(len(material.sheets) for material in cuts.materials))
            cost = cuts.cost or None
    currency = workshop.currency if workshop is not None else ""
    return (
        Measure(name="sheets", value=count, kind="count", better="less"),
        Measure(name="sheets cost", value=cost, kind="money", better="less", said=currency),
    )


def _says(row: Sequence[Measure]) -> bool:
    return any(one.value is not None for one in row)


def _row(row: Sequence[Measure], units: Unit) -> Row:
    values = [one.value for one in row if one.value is not None]
    better = row[0].better
    goal = (max if better == "more" else min)(values) if better else None
    alike = goal is None or max(values) - min(values) < _ALMOST
    best = tuple(not alike and one.value is not None and abs(one.value - (goal or 0.0)) < _ALMOST for one in row)
    cells = tuple(_text(one, units) for one in row)
    return Row(name=row[0].name, cells=cells, best=best, values=tuple(one.value for one in row))


def _text(one: Measure, units: Unit) -> str:
    if one.value is None:
        return "-"
    said = _figure(one.value, one, units)
    return said if one.kind == "money" or not one.said else f"{said} ({one.said})"


def rows_json(rows: Sequence[Row]) -> list[dict[str, object]]:
    """Return the table for programs: lengths in mm, masses in kg; text as people read it."""
    return [
        {"name": row.name, "values": [None if v is None else round(v, 3) for v in row.values], "text": list(row.cells),
         "best": list(row.best)}
        for row in rows
    ]  # fmt: skip


def _figure(value: float, one: Measure, units: Unit) -> str:
    if one.kind == "length":
        return format_length(round(value), units, unit_sign=True)
    if one.kind == "mass":
        return format_mass(value, drawn_unit(units))
    plain = {"volume": f"{value:.0f} l", "area": f"{value:.2f} m²", "money": f"{value:.2f} {one.said}"}
    return plain.get(one.kind, f"{value:.1f}".removesuffix(".0"))
