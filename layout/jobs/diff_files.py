"""The files that ``diff`` writes: what is used again, what is left, and the cutting of the rest."""

from __future__ import annotations

from collections.abc import Sequence

from layout.cutting.listing import Row, Table
from layout.export.csv_table import csv_table
from layout.jobs import cut
from layout.jobs.book import currency_of
from layout.jobs.building_tables import what_is
from layout.jobs.cut_lengths import lengths_files
from layout.jobs.diff import Diff
from layout.jobs.diff_stock import parts_table, sheets_table, workshop_lines
from layout.jobs.diff_words import cutting_words, report
from layout.jobs.draw import Paper, view_options
from layout.model.cutting import CutJob, CutPlan
from layout.units.length import drawn_unit, format_length


def diff_files(made: Diff, paper: Paper) -> dict[str, bytes]:
    """Return every file by name; the same two projects write the same bytes.

    ``new-parts.csv`` and ``sheets.csv`` are tables that ``layout cut`` reads; the lines of ``offcuts.yaml`` stand under
    ``workshop: sheets:`` of a project. Tables without a row are left out.
    """
    units = made.new.project.said.units
    tables = {
        "reuse": reuse_table(made),
        "hardware-to-buy": hardware_table(made, 1),
        "hardware-left": hardware_table(made, -1),
        "sheets": sheets_table(made.offcuts, units),
        "new-parts": parts_table(_parts(made), units),
    }
    files = {f"{name}.csv": csv_table([header, *rows]) for name, (header, rows) in tables.items() if rows}
    if made.offcuts.stocks:
        files["offcuts.yaml"] = workshop_lines(made.offcuts).encode()
    return {**_cut_files(made, paper), **files, "diff.txt": report(made).encode()}


def _cut_files(made: Diff, paper: Paper) -> dict[str, bytes]:
    units, options = made.new.project.said.units, view_options(made.new, paper)
    if made.cutting is None:
        return {}
    said = cutting_words(made, timed=False) + "".join(f"{line}\n" for line in made.missing)
    sheets, bars = made.cutting.sheets, made.cutting.bars
    files = cut.files(sheets, units, currency_of(made.new), options, said) if sheets else {}
    if bars is None:
        return files
    nothing = CutPlan(job=CutJob(parts=(), stocks=()), materials=())
    return {"cutting.txt": said.encode(), **files, **lengths_files(bars, sheets or nothing, units, options)}


def reuse_table(made: Diff) -> Table:
    """Return a row for each panel and batten that is used again: what it becomes, what it was, how."""
    units = drawn_unit(made.new.project.said.units)

    def said(*mm: float) -> str:
        return " × ".join(format_length(size, units, denominator=64) for size in mm)

    header = ("becomes", "of", f"sawn to {units}", "material", "was", "of unit", f"size {units}", "how", "turned")
    rows: list[Row] = [
        (
            a.new.name, a.new.unit, said(*a.new.sawn), a.new.panel.sheet.material, a.old.name, a.old.unit,
            said(a.old.panel.length, a.old.panel.width), a.how, "yes" if a.turned else "",
        )
        for a in made.reuse.panels
    ]  # fmt: skip
    rows += [
        (
            a.new.name, a.new.unit, said(a.new.batten.length), a.new.batten.bar.material, a.old.name, a.old.unit,
            said(a.old.batten.length), a.how, "",
        )
        for a in made.reuse.sticks
    ]  # fmt: skip
    return header, tuple(rows)


def hardware_table(made: Diff, sign: int) -> Table:
    """Return what hardware is to be bought (`sign` 1) or is left over (-1)."""
    rows = tuple((item, what_is(item), count * sign) for item, count in made.hardware if count * sign > 0)
    return ("item", "what it is", "count"), rows


def _parts(made: Diff) -> Sequence[tuple[str, int, float, float, str, str]]:
    """Return what is cut, by part: name, count, length, width (0 for what is cut from bars), material, grain."""
    if made.cutting is None:
        return ()
    sheets = made.cutting.sheets.job.parts if made.cutting.sheets else ()
    bars = made.cutting.bars.job.parts if made.cutting.bars else ()
    return [
        *((p.name, p.count, p.length, p.width, p.material, p.grain) for p in sheets),
        *((b.name, b.count, b.length, 0.0, b.material, "") for b in bars),
    ]
