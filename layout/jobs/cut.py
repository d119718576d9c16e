"""The verb ``cut``: a question for the saw to lists, diagrams and files, with or without a van."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layout.cutting.advice import Advice, told
from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.cutting.leftovers import leftovers
from layout.cutting.listing import Row, Table, cut_list, fence_settings, parts_list, sheets_to_buy
from layout.cutting.referee import require
from layout.drawing.model import Drawing
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.jobs.cut_summary import cares, missing, summary
from layout.model.cutting import CutJob, CutPlan
from layout.units.length import Unit, drawn_unit
from layout.views.cutting import cutting_diagrams
from layout.views.options import ViewOptions
from layout.views.tables import stacked_pages

__all__ = ["diagrams", "files", "missing", "pages", "report", "solve", "summary", "tables"]

TITLES = {
    "parts": "Parts",
    "shop-list": "Cuts for the shop",
    "cut-list": "Cut list",
    "fence-settings": "Fence settings",
    "sheets-to-buy": "Sheets to buy",
    "leftovers": "Leftovers",
}
# On paper what is short comes first, and the cuts go on to the end.
_PRINTED = ("parts", "sheets-to-buy", "leftovers", "fence-settings", "shop-list", "cut-list")
_OF_LEFTOVERS = ("material", "length", "width", "thickness", "count")


def solve(job: CutJob, effort: Effort = Effort()) -> CutPlan:  # noqa: B008 (frozen)
    """Return a refereed plan of the job.

    Raises
    ------
    PartTooLargeError
        When a part fits no sheet.
    NotEnoughSheetsError
        When a material has no sheet at all.
    RefereeError
        When the solver's answer broke a rule: a defect of the program.
    """
    plan = plan_cuts(job, effort)
    require(plan)
    return plan


def diagrams(plan: CutPlan, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return a cutting diagram for every sheet."""
    return cutting_diagrams(plan, options)


def tables(plan: CutPlan, units: Unit, currency: str) -> dict[str, Table]:
    """Return the lists for the saw and the shop, what to buy and what is left: header and rows by name."""
    drawn = drawn_unit(units)
    header, rows = sheets_to_buy(plan)
    total = (*("" for _ in header[:-2]), "total", f"{plan.cost:.2f} {currency}".strip())
    shop = {"shop-list": cut_list(plan, drawn, "shop")} if plan.job.shop else {}
    return {
        "parts": parts_list(plan, drawn),
        **shop,
        "cut-list": cut_list(plan, drawn),
        "fence-settings": fence_settings(plan, drawn),
        "sheets-to-buy": (header, (*rows, total)),
        "leftovers": leftovers(plan, units),
    }


def pages(plan: CutPlan, units: Unit, currency: str, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the tables as printable pages, the short ones first, the cuts grouped by sheet."""
    every = tables(plan, units, currency)
    listed = [(TITLES[name], *_printed(name, *every[name])) for name in _PRINTED if name in every and every[name][1]]
    return stacked_pages("Cut list", listed, options)


def _printed(name: str, header: Row, rows: Sequence[Row]) -> tuple[list[str], list[list[str]]]:
    """Return header and rows as texts for paper.

    Of a cut list, material and stock stand in the first row of each sheet only; of leftovers their names, their prices
    and the trims of their edges are for the next table of stock, and left out.
    """
    head, texts = [str(cell) for cell in header], [[str(cell) for cell in row] for row in rows]
    if name == "leftovers":
        kept = [head.index(column) for column in _OF_LEFTOVERS]
        return list(_OF_LEFTOVERS), [[row[i] for i in kept] for row in texts]
    if name not in ("cut-list", "shop-list"):
        return head, texts
    before: list[list[str]] = [[], *texts[:-1]]
    return head, [
        ["", sheet, "", *rest] if last[:3] == [material, sheet, stock] else [material, sheet, stock, *rest]
        for (material, sheet, stock, *rest), last in zip(texts, before, strict=True)
    ]


def report(plan: CutPlan, units: Unit, currency: str, advice: Sequence[Advice] = ()) -> str:
    """Return what is bought, what is missing and what could be otherwise; without the time that it took."""
    lines = "".join(f"{line}\n" for line in missing(plan, units))
    return summary(plan, currency, timed=False) + lines + cares(plan) + told(advice)


def files(plan: CutPlan, units: Unit, currency: str, options: ViewOptions, said: str) -> dict[str, bytes]:
    """Return everything that the verb writes, by file name; `said` is the text of ``cutting.txt``.

    No file tells the time, so the same job writes the same bytes.
    """
    sheets = diagrams(plan, replace(options, scale=None))
    printed = pages(plan, units, currency, replace(options, orientation="portrait", scale=None))
    listed = {
        f"{name}.csv": csv_table([header, *rows]) for name, (header, rows) in tables(plan, units, currency).items()
    }
    drawn = {"cutting-diagrams.pdf": pdf(sheets, "Cutting diagrams")} if sheets else {}
    return {
        **listed,
        "cutting.txt": said.encode(),
        **{f"{drawing.name}.svg": svg(drawing) for drawing in sheets},
        **drawn,
        "cut-list.pdf": pdf(printed, "Cut list"),
    }
