"""The verb ``cut`` for battens and profiles: what has a length and no width, cut from bars."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from layout.cutting.effort import Effort
from layout.cutting.leftovers import bar_leftovers, leftovers
from layout.cutting.lengths.engine import plan_bars
from layout.cutting.lengths.listing import bars_to_buy, cut_list, parts_list
from layout.cutting.lengths.question import question
from layout.cutting.lengths.words import summary
from layout.cutting.listing import Table
from layout.errors import Fault, InputError, NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.jobs.cut_tables import TableJob
from layout.model.cutting import CutPlan
from layout.model.lengths import BarJob, BarPlan
from layout.units.length import Unit, drawn_unit
from layout.views.options import ViewOptions
from layout.views.tables import table_pages

TITLES = {"lengths": "Lengths", "lengths-cut-list": "Cuts to length", "bars-to-buy": "Bars to buy"}


def solve_lengths(asked: TableJob, effort: Effort) -> BarPlan | None:
    """Return a refereed plan of the parts without a width, None where there are none.

    Raises
    ------
    InputError
        When a part is longer than every bar, or a value cannot be used, with its row.
    """
    if not asked.parts.lengths:
        return None
    job = _job(asked)
    if effort.tell:
        effort.tell("cutting to length")
    try:
        return plan_bars(job, effort.seconds)
    except (PartTooLargeError, NotEnoughSheetsError) as error:
        faults = list(_too_long(asked, job))
        raise InputError(faults or [Fault(asked.parts.file, 0, 0, "", str(error))]) from None
    except ValueFaultError as error:
        raise InputError([Fault(asked.parts.file, 0, 0, ".".join(error.path), error.text)]) from None


def lengths_words(plan: BarPlan) -> str:
    """Return what bars are taken and what is known of better plans, a line."""
    return f"{summary(plan)}\n"


def lengths_missing(plan: BarPlan) -> tuple[str, ...]:
    """Return a sentence for every part that the bars on hand do not yield."""
    lengths = {part.name: part for part in plan.job.parts}
    return tuple(
        f"no room for {plan.unplaced.count(name)} × {name!r}: the bars of {lengths[name].material!r} on hand do not do;"
        " add a bar, or a larger count"
        for name in dict.fromkeys(plan.unplaced)
    )


def lengths_tables(plan: BarPlan, units: Unit) -> dict[str, Table]:
    """Return the lists for the saw and the shop: header and rows by name."""
    drawn = drawn_unit(units)
    return {
        "lengths": parts_list(plan, drawn),
        "lengths-cut-list": cut_list(plan, drawn),
        "bars-to-buy": bars_to_buy(plan),
    }


def lengths_files(plan: BarPlan, sheets: CutPlan, units: Unit, options: ViewOptions) -> dict[str, bytes]:
    """Return the files of the bars by name; the leftovers of bars stand with those of the sheets in one table."""
    made = lengths_tables(plan, units)
    header, rows = leftovers(sheets, units)
    taken = {stock.name for stock in sheets.job.stocks} | {str(row[0]) for row in rows}
    portrait = replace(options, orientation="portrait", scale=None)
    pages = [
        page
        for name, (head, body) in made.items()
        if body
        for page in table_pages(TITLES[name], head, [[str(cell) for cell in row] for row in body], portrait)
    ]
    return {
        **{f"{name}.csv": csv_table([head, *body]) for name, (head, body) in made.items()},
        "leftovers.csv": csv_table([header, *rows, *bar_leftovers(plan, taken, units)]),
        "lengths.pdf": pdf(pages, "Lengths"),
    }


def _job(asked: TableJob) -> BarJob:
    bars = tuple(bar for table in asked.sheets for bar in table.bars)
    job = BarJob(parts=asked.parts.lengths, bars=bars, kerf=asked.job.kerf, trim=asked.job.trim)
    return job if asked.offcut_min is None else replace(job, smallest_offcut=asked.offcut_min)


def _too_long(asked: TableJob, job: BarJob) -> Iterator[Fault]:
    """Yield a fault for every part that is longer than each bar, with its row."""
    for part in job.parts:
        try:
            question(replace(job, parts=(part,)), part.material)
        except (PartTooLargeError, NotEnoughSheetsError) as error:
            yield Fault(asked.parts.file, asked.parts.lines[part.name], 0, "length", str(error))
