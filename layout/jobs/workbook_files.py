"""A plan's tables for a spreadsheet: one workbook, and those tables as CSV that no other list of the book has."""

from __future__ import annotations

from layout.export.csv_table import csv_table
from layout.export.workbook import workbook
from layout.jobs.built import Building
from layout.jobs.load import Plan
from layout.jobs.workbook_masses import masses_table
from layout.jobs.workbook_tables import findings_table, workbook_tables
from layout.model.cutting import CutPlan
from layout.units.length import drawn_unit

WORKBOOK = "workbook.xlsx"


def workbook_files(plan: Plan, cuts: CutPlan | None, made: Building | None) -> dict[str, bytes]:
    """Return the workbook, ``masses.csv`` and ``findings.csv`` by name.

    The workbook has the sheets of what is there: without `cuts` no order of cuts, without `made` no hardware.
    """
    tables = workbook_tables(plan, cuts, made)
    units = drawn_unit(plan.project.said.units)
    files = {WORKBOOK: workbook(tables, plan.project.said.title, units)}
    for table in (masses_table(plan), findings_table(plan)):
        if table.rows:
            files[f"{table.name}.csv"] = csv_table([table.header, *table.rows])
    return files
