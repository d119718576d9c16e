"""The verb ``book``: everything in one folder."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from layout.cutting.advice import Advice, Wording, advise
from layout.cutting.effort import Effort
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.jobs import check, cut
from layout.jobs.building import building, building_files
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
    InputError, ScaleError, RefereeError
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
    cuts = None
    if rows and (anyway or not plan.fails):
        tell("cutting")
        effort = Effort(tell=tell)
        cuts = solve_plan(plan, effort)
        files |= cut_files(plan, cuts, paper, advice_on(plan, cuts, effort))
    if anyway or not plan.fails:
        tell("building")
        files |= building_files(building(plan), cuts, currency_of(plan), view_options(plan, paper))
    return files


def cut_files(plan: Plan, cuts: CutPlan, paper: Paper, advice: Sequence[Advice] = ()) -> dict[str, bytes]:
    """Return the files of the cutting alone."""
    units, currency = plan.project.said.units, currency_of(plan)
    said = cut.report(cuts, units, currency, advice)
    return cut.files(cuts, units, currency, view_options(plan, paper), said)


def advice_on(plan: Plan, cuts: CutPlan, effort: Effort) -> tuple[Advice, ...]:
    """Return what could be otherwise in the cutting of the project, in its currency and units."""
    return advise(cuts, Wording(currency=currency_of(plan), units=plan.project.said.units), effort=effort)


def currency_of(plan: Plan) -> str:
    """Return the currency of the project's prices, empty where it has no workshop."""
    workshop = plan.project.said.workshop
    return workshop.currency if workshop else ""
