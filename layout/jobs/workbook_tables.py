"""The tables of a plan with numbers as numbers: parts, panels, hardware, shopping, order of cuts, findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from layout.cutting.listing import Table
from layout.export.csv_table import Cell
from layout.export.workbook import Column, Kind, SheetTable
from layout.jobs.building_tables import hardware_table, shopping_table
from layout.jobs.built import Building
from layout.jobs.load import Plan
from layout.jobs.panels import parts_of
from layout.jobs.workbook_masses import masses_table
from layout.jobs.workbook_units import Said
from layout.model.cutting import CutPlan, Region
from layout.model.finding import Finding
from layout.model.lengths import BarPlan
from layout.model.panel import Panel
from layout.model.sawing import Step, said_fence, settings, steps
from layout.model.thing import Thing
from layout.units.length import format_length

Row = tuple[Cell, ...]


def workbook_tables(plan: Plan, cuts: CutPlan | None, made: Building | None) -> tuple[SheetTable, ...]:
    """Return the sheets of a plan's workbook; what has no rows is left out, but not the findings."""
    said = Said(plan.project.said.units)
    workshop = plan.project.said.workshop
    currency = workshop.currency if workshop else ""
    tables = [_parts(plan, cuts, said), _panels(plan, said)]
    if made is not None:
        tables += [_hardware(made, currency), _shopping(made, cuts, currency)]
    tables.append(masses_table(plan))
    if cuts is not None:
        tables.append(_cut_order(cuts, said))
    if made is not None and made.bars is not None:
        tables.append(_bars(made.bars, said))
    return (*(table for table in tables if table.rows), findings_table(plan))


def _columns(*heads: str | tuple[str, Kind]) -> tuple[Column, ...]:
    return tuple(Column(head=h) if isinstance(h, str) else Column(head=h[0], kind=h[1]) for h in heads)


def _parts(plan: Plan, cuts: CutPlan | None, said: Said) -> SheetTable:
    """Return what the saw must produce, as large as it is sawn, and how many of it the sheets on hand do not yield."""
    mm = said.length_unit
    missing = Counter(cuts.unplaced if cuts else ())
    rows: tuple[Row, ...] = tuple(
        (p.name, p.unit, p.material, p.count, said.length(p.length), said.length(p.width), p.grain, missing[p.name])
        for p in parts_of(plan.layout.things)
    )
    columns = _columns(
        "part", "of", "material", ("count", "count"), (f"length {mm}", "length"), (f"width {mm}", "length"), "grain",
        ("missing", "count"),
    )  # fmt: skip
    if not missing:
        columns, rows = columns[:-1], tuple(row[:-1] for row in rows)
    return SheetTable(name="parts", columns=columns, rows=rows)


def _panels(plan: Plan, said: Said) -> SheetTable:
    """Return the distinct panels of each unit, finished sizes."""
    mm, kg = said.length_unit, said.mass_unit
    counts = Counter(_panel(thing, panel, said) for thing in plan.layout.things for panel in thing.panels)
    rows: tuple[Row, ...] = tuple(
        (*row[:7], count, row[7], said_sum(row[7], count), *row[8:]) for row, count in counts.items()
    )
    columns = _columns(
        "unit", "panel", "material", (f"thickness {mm}", "length"), (f"length {mm}", "length"),
        (f"width {mm}", "length"), "grain", ("count", "count"), (f"mass each {kg}", "mass"),
        (f"mass in all {kg}", "mass"), "edge band", (f"oversize {mm}", "length"),
    )  # fmt: skip
    return SheetTable(name="panels", columns=columns, rows=rows)


def _panel(thing: Thing, panel: Panel, said: Said) -> tuple[str, str, str, float, float, float, str, float, str, Cell]:
    return (
        thing.name, panel.name, panel.sheet.material, said.length(panel.sheet.thickness), said.length(panel.length),
        said.length(panel.width), panel.grain, said.mass(panel.mass_kg),
        ", ".join(side for side, _ in panel.bands), said.length(panel.oversize) if panel.oversize else None,
    )  # fmt: skip


def said_sum(each: float, count: int) -> float:
    """Return a mass times a count, without the last bits of the sum."""
    return round(each * count, 3)


def _hardware(made: Building, currency: str) -> SheetTable:
    kinds: tuple[Kind, ...] = ("text", "text", "count", "money", "money")
    return _numbered("hardware", hardware_table(made, currency), kinds)


def _shopping(made: Building, cuts: CutPlan | None, currency: str) -> SheetTable:
    table = _numbered("shopping", shopping_table(made, cuts, currency), ("text", "text", "money"))
    # Where nothing is to be bought the sum is all there is.
    rows = table.rows if len(table.rows) > 1 else ()
    return SheetTable(name=table.name, columns=table.columns, rows=rows, strong=(len(rows) - 1,))


def _numbered(name: str, table: Table, kinds: Sequence[Kind]) -> SheetTable:
    """Return a table whose counts and prices come as text, with numbers."""
    header, rows = table
    columns = tuple(Column(head=head, kind=kind) for head, kind in zip(header, kinds, strict=True))
    return SheetTable(
        name=name, columns=columns,
        rows=tuple(tuple(_number(cell, kind) for cell, kind in zip(row, kinds, strict=True)) for row in rows),
    )  # fmt: skip


def _number(cell: str | float, kind: Kind) -> Cell:
    if kind == "text" or not isinstance(cell, str):
        return cell
    return float(cell) if cell else None


def _cut_order(cuts: CutPlan, said: Said) -> SheetTable:
    """Return every cut in the order in which it is made, the shop's with its own."""
    mm = said.length_unit
    letters = settings(cuts, mm)
    rows: list[Row] = []
    for material in cuts.materials:
        for sheet in material.sheets:
            for step in steps(sheet):
                letter = letters[step.cut.by, said_fence(step, mm)]
                rows.append((material.material, sheet.number, sheet.stock.name, *_cut(step, letter, said)))
    columns = _columns(
        "material", ("sheet", "count"), "stock", ("cut", "count"), "by", "piece", (f"length {mm}", "length"),
        (f"width {mm}", "length"), "turn", "setting", (f"fence {mm}", "length"), "from", "yields",
    )  # fmt: skip
    return SheetTable(name="cut order", columns=columns, rows=tuple(rows))


def _cut(step: Step, letter: str, said: Said) -> Iterator[Cell]:
    yield step.cut.number
    yield step.cut.by
    yield step.piece
    yield said.length(step.region.length)
    yield said.length(step.region.width)
    yield "turn" if step.turn else ""
    yield letter
    yield said.length(step.fence)
    yield step.edge
    yield " + ".join(_piece(name, piece, said) for name, piece in step.yields)


def _piece(name: str, region: Region, said: Said) -> str:
    size = " × ".join(format_length(mm, said.length_unit, denominator=64) for mm in (region.length, region.width))
    if region.kind == "part":
        return f"{region.part} {size}{' (turned)' if region.turned else ''}"
    return f"{region.kind or name} {size}"


def _bars(bars: BarPlan, said: Said) -> SheetTable:
    """Return every piece of every bar in the order in which it is sawn."""
    mm = said.length_unit
    rows: tuple[Row, ...] = tuple(
        (material.material, bar.number, bar.stock.name, piece.part, said.length(piece.at), said.length(piece.length))
        for material in bars.materials
        for bar in material.bars
        for piece in bar.pieces
    )
    columns = _columns(
        "material", ("bar", "count"), "stock", "piece", (f"begins at {mm}", "length"), (f"length {mm}", "length")
    )
    return SheetTable(name="bars", columns=columns, rows=rows)


def findings_table(plan: Plan) -> SheetTable:
    """Return what the checks found, one finding a row."""
    said = Said(plan.project.said.units)
    mm = said.length_unit
    columns = _columns(
        "severity", "rule", "things", "states", "finding", "cure", (f"measured {mm}", "length"),
        (f"wanted {mm}", "length"), (f"short by {mm}", "length"), "accepted because",
    )  # fmt: skip
    return SheetTable(name="findings", columns=columns, rows=tuple(_finding(f, said) for f in plan.findings))


def _finding(finding: Finding, said: Said) -> Row:
    numbers = (finding.measured, finding.wanted, finding.short_by)
    return (
        finding.severity, finding.rule, ", ".join(finding.things), ", ".join(finding.states), finding.text,
        finding.cure, *(None if mm is None else said.length(mm, 1) for mm in numbers), finding.accepted,
    )  # fmt: skip
