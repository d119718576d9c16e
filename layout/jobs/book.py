"""The verb ``book``: everything in one folder."""

from __future__ import annotations

import json
from dataclasses import replace

from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.jobs import check, cut
from layout.jobs.draw import Paper, Tell, drawing_files, drawings, silent, view_options
from layout.jobs.load import Plan
from layout.jobs.panels import panel_table, solve_plan
from layout.model.cutting import CutPlan
from layout.views.tables import table_pages


def book(plan: Plan, paper: Paper, *, anyway: bool = False, tell: Tell = silent) -> dict[str, bytes]:
    """Return every file of the book by name; no cut list for a plan that fails, unless `anyway`.

    `tell` hears before each step what is being done.

    Raises
    ------
    ScaleError, PartTooLargeError, NotEnoughSheetsError, RefereeError
        As drawing and cutting do.
    """
    title = plan.project.said.title
    files = {
        "findings.txt": check.report(plan).encode(),
        "findings.json": (json.dumps(check.as_json(plan), indent=1, ensure_ascii=False) + "\n").encode(),
        **drawing_files(drawings(plan, paper, tell=tell), title),
    }
    header, rows = panel_table(plan)
    if rows:
        files["panels.csv"] = csv_table([header, *rows])
        options = replace(view_options(plan, paper), orientation="portrait", scale=None)
        files["panels.pdf"] = pdf(table_pages("Panels", header, rows, options), title)
    if rows and (anyway or not plan.fails):
        tell("cutting")
        files |= cut_files(plan, solve_plan(plan), paper)
    return files


def cut_files(plan: Plan, cuts: CutPlan, paper: Paper) -> dict[str, bytes]:
    """Return the files of the cutting alone."""
    workshop = plan.project.said.workshop
    currency = workshop.currency if workshop else ""
    return cut.files(cuts, plan.project.said.units, currency, view_options(plan, paper))
