"""The verb ``cut``: parts and sheets to cut plans, with or without a van."""

from __future__ import annotations

from dataclasses import replace

from layout.cutting.engine import plan_cuts
from layout.cutting.listing import Table, cut_list, parts_list, sheets_to_buy
from layout.cutting.referee import require
from layout.drawing.model import Drawing
from layout.errors import Fault, InputError
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.files.parts_table import read_parts, read_sheets
from layout.jobs.load import read_file
from layout.model.cutting import CutJob, CutPlan
from layout.units.length import Unit, drawn_unit, parse_length
from layout.views.cutting import cutting_diagrams
from layout.views.options import ViewOptions
from layout.views.tables import table_pages


def job_from_tables(parts: str, sheets: str, units: Unit, kerf: str, trim: str) -> CutJob:
    """Return the question that two CSV files ask.

    Raises
    ------
    InputError
        With every fault of both files and of the options.
    """
    faults: list[Fault] = []
    saw = [_option(text, name, units, faults) for text, name in ((kerf, "--kerf"), (trim, "--trim"))]
    tables = []
    for path, reader in ((parts, read_parts), (sheets, read_sheets)):
        try:
            tables.append(reader(_text(path), path, units))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return CutJob(parts=tables[0], stocks=tables[1], kerf=saw[0], trim=saw[1])  # type: ignore[arg-type]  # tables are in this order


def _option(text: str, name: str, units: Unit, faults: list[Fault]) -> float:
    try:
        value = float(parse_length(text, units))
    except ValueError as error:
        faults.append(Fault("cut", 0, 0, name, str(error)))
        return 0.0
    if not 0 <= value <= 100:  # noqa: PLR2004 (mm; a kerf or trim of 10 cm is a slip)
        faults.append(Fault("cut", 0, 0, name, f"{text!r} is not between 0 and 100 mm"))
    return value


def _text(path: str) -> str:
    try:
        return read_file(path)[0].decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError([Fault(path, 0, 0, "", "the file is not UTF-8; save it as UTF-8 text")]) from None


def solve(job: CutJob) -> CutPlan:
    """Return a refereed plan of the job.

    Raises
    ------
    PartTooLargeError
        When a part fits no sheet.
    NotEnoughSheetsError
        When the sheets on hand do not do.
    RefereeError
        When the solver's answer broke a rule: a defect of the program.
    """
    plan = plan_cuts(job)
    require(plan)
    return plan


def diagrams(plan: CutPlan, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return a cutting diagram for every sheet."""
    return cutting_diagrams(plan, options)


def tables(plan: CutPlan, units: Unit, currency: str) -> dict[str, Table]:
    """Return the parts list, the cut list and the sheets to buy: header and rows by name."""
    drawn = drawn_unit(units)
    header, rows = sheets_to_buy(plan)
    total = (*("" for _ in header[:-2]), "total", f"{plan.cost:.2f} {currency}".strip())
    return {
        "parts": parts_list(plan, drawn),
        "cut-list": cut_list(plan, drawn),
        "sheets-to-buy": (header, (*rows, total)),
    }


TITLES = {"parts": "Parts", "cut-list": "Cut list", "sheets-to-buy": "Sheets to buy"}


def pages(plan: CutPlan, units: Unit, currency: str, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the three tables as printable pages."""
    return tuple(
        page
        for name, (header, rows) in tables(plan, units, currency).items()
        for page in table_pages(TITLES[name], header, [[str(cell) for cell in row] for row in rows], options)
    )


def files(plan: CutPlan, units: Unit, currency: str, options: ViewOptions) -> dict[str, bytes]:
    """Return everything that the verb writes, by file name."""
    sheets = diagrams(plan, replace(options, scale=None))
    printed = pages(plan, units, currency, replace(options, orientation="portrait", scale=None))
    listed = {
        f"{name}.csv": csv_table([header, *rows]) for name, (header, rows) in tables(plan, units, currency).items()
    }
    return {
        **listed,
        **{f"{drawing.name}.svg": svg(drawing) for drawing in sheets},
        "cutting-diagrams.pdf": pdf(sheets, "Cutting diagrams"),
        "cut-list.pdf": pdf(printed, "Cut list"),
    }


def summary(plan: CutPlan, currency: str) -> str:
    """Return in a few lines what is bought, and whether fewer sheets could do."""
    lines = [_material_line(m.material, len(m.sheets), m.bound, m.cost, currency) for m in plan.materials]
    return "\n".join([*lines, f"all sheets: {plan.cost:.2f} {currency}".rstrip()]) + "\n"


def _material_line(material: str, used: int, bound: int, cost: float, currency: str) -> str:
    word = "sheet" if used == 1 else "sheets"
    why = "fewer is impossible" if used == bound else f"fewer than {bound} is impossible, between is not ruled out"
    return f"{material}: {used} {word}, {cost:.2f} {currency}".rstrip() + f"; {why}"
