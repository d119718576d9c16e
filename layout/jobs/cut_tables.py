"""Tables of parts and sheets to a question for the saw; whatever does not go together is told with its row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from layout.cutting.effort import Effort
from layout.cutting.fit import kinds
from layout.cutting.openings import openings
from layout.errors import Fault, InputError, NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.files.csv_rows import nearest
from layout.files.parts_table import PartsTable, read_parts_table
from layout.files.sheets_table import SheetsTable, read_sheets_table
from layout.jobs.cut import solve
from layout.jobs.cut_words import CutWords, job_without_parts
from layout.jobs.load import read_file
from layout.model.cutting import CutJob, CutPlan, Part
from layout.model.lengths import Length
from layout.units.length import Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class TableJob:
    """The question that tables ask, and the tables themselves, for the row of what cannot be done.

    `offcut_min` is the smallest leftover worth keeping (mm) if it was said, since bars and sheets differ in it.
    """

    job: CutJob
    parts: PartsTable
    sheets: tuple[SheetsTable, ...]
    offcut_min: float | None = None


def job_from_tables(parts: str, sheets: Sequence[str], units: Unit, words: CutWords) -> TableJob:
    """Return the question that CSV files ask: one of parts, one or more of sheets and leftovers.

    Raises
    ------
    InputError
        With every fault of the files and of the options.
    """
    faults: list[Fault] = []
    job = CutJob(parts=(), stocks=())
    try:
        job = job_without_parts(words, units)
    except InputError as error:
        faults += error.faults
    wanted = _read_parts(parts, units, faults)
    offered = [table for path in sheets for table in _read_sheets(path, units, job.trim, faults)]
    if wanted and len(offered) == len(sheets):
        faults += [*_same_names(offered), *_other_thickness(offered), *_unknown_materials(wanted, offered)]
    if wanted:
        faults += _narrower_than_kerf(wanted, job.kerf)
    if faults or wanted is None:
        raise InputError(faults)
    stocks = tuple(stock for table in offered for stock in table.stocks)
    return TableJob(
        job=replace(job, parts=wanted.parts, stocks=stocks), parts=wanted, sheets=tuple(offered),
        offcut_min=None if words.offcut_min is None else job.smallest_offcut,
    )  # fmt: skip


def solve_tables(asked: TableJob, effort: Effort) -> CutPlan:
    """Return a refereed plan of the panels that the tables ask for.

    Raises
    ------
    InputError
        When a part fits no sheet, or a value cannot be used, with its row.
    """
    try:
        return solve(asked.job, effort)
    except PartTooLargeError as error:
        faults = list(_too_large(asked))
        raise InputError(faults or [Fault(asked.parts.file, 0, 0, "", str(error))]) from None
    except NotEnoughSheetsError as error:
        raise InputError([Fault(asked.sheets[0].file, 0, 0, "", str(error))]) from None
    except ValueFaultError as error:
        raise InputError([_placed(asked, error)]) from None


def _read_parts(path: str, units: Unit, faults: list[Fault]) -> PartsTable | None:
    try:
        return read_parts_table(_text(path), path, units)
    except InputError as error:
        faults += error.faults
        return None


def _read_sheets(path: str, units: Unit, trim: float, faults: list[Fault]) -> Iterator[SheetsTable]:
    try:
        yield read_sheets_table(_text(path), path, units, trim)
    except InputError as error:
        faults += error.faults


def _text(path: str) -> str:
    data = read_file(path)[0]
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        text = "the file is not UTF-8; save it as UTF-8 text"
        raise InputError([Fault(path, 0, 0, "", f"{text} (the first wrong sign is in line {line})")]) from None


def _same_names(tables: Sequence[SheetsTable]) -> Iterator[Fault]:
    """Yield a fault for each name of a sheet that an earlier table has."""
    first: dict[str, tuple[str, int]] = {}
    for i, table in enumerate(tables):
        for name, line in table.lines.items():
            file, other = first.setdefault(name, (table.file, line))
            if any(name in earlier.lines for earlier in tables[:i]):
                yield Fault(table.file, line, 0, "name", f"{name!r} is already the name in {file}, line {other}")


# Sheets of one kind differ by a few tenths; more is another kind, for which joints do not fit.
_SAME_THICKNESS = 0.5


def _other_thickness(tables: Sequence[SheetsTable]) -> Iterator[Fault]:
    """Yield a fault for each sheet that is not as thick as the first of its material that says so."""
    first: dict[str, tuple[float, str]] = {}
    for table in tables:
        for stock in table.stocks:
            if stock.thickness is None:
                continue
            thick, name = first.setdefault(stock.material, (stock.thickness, stock.name))
            if abs(thick - stock.thickness) > _SAME_THICKNESS:
                text = f"{stock.thickness:g} mm, but {name!r} of {stock.material!r} is {thick:g} mm; {_OTHER}"
                yield Fault(table.file, table.lines[stock.name], 0, "thickness", text)


_OTHER = "give another thickness another material"


def _unknown_materials(wanted: PartsTable, offered: Sequence[SheetsTable]) -> Iterator[Fault]:
    sheets = {stock.material for table in offered for stock in table.stocks}
    bars = {bar.material for table in offered for bar in table.bars}
    files = " and ".join(table.file for table in offered)
    for part in wanted.parts:
        if part.material not in sheets:
            yield _unknown(wanted, part, _no_sheet(part.material, sheets, bars, files))
    for length in wanted.lengths:
        if length.material not in bars:
            yield _unknown(wanted, length, _no_bar(length.material, sheets, bars, files))


def _unknown(wanted: PartsTable, part: Part | Length, text: str) -> Fault:
    return Fault(wanted.file, wanted.lines[part.name], 0, "material", text)


def _no_sheet(material: str, sheets: set[str], bars: set[str], files: str) -> str:
    if material in bars:
        return f"{material!r} has only bars in {files}; leave the width of the part blank, or give a sheet a width"
    there = nearest(material, sorted(sheets)) or (f"; there are: {_some(sheets)}" if sheets else "")
    return f"no sheet of {material!r} is in {files}{there}"


def _no_bar(material: str, sheets: set[str], bars: set[str], files: str) -> str:
    if material in sheets:
        return f"{material!r} has only sheets in {files}; write the width of the part, or add a bar without a width"
    there = nearest(material, sorted(bars)) or (f"; there are: {_some(bars)}" if bars else "")
    return f"the part has no width, and no bar (a row without a width) of {material!r} is in {files}{there}"


_MOST_TOLD = 8


def _some(names: Iterable[str]) -> str:
    ordered = sorted(names)
    return ", ".join(ordered[:_MOST_TOLD]) + (" ..." if len(ordered) > _MOST_TOLD else "")


def _narrower_than_kerf(wanted: PartsTable, kerf: float) -> Iterator[Fault]:
    sides = [(part.name, "length", part.length) for part in wanted.parts]
    sides += [(part.name, "width", part.width) for part in wanted.parts]
    sides += [(length.name, "length", length.length) for length in wanted.lengths]
    for name, key, mm in sides:
        if mm < kerf:
            text = f"{mm:g} mm is less than the kerf of {kerf:g} mm that the blade takes; check both"
            yield Fault(wanted.file, wanted.lines[name], 0, key, text)


def _too_large(asked: TableJob) -> Iterator[Fault]:
    """Yield a fault for every part that fits on no sheet, with its row."""
    for material in dict.fromkeys(part.material for part in asked.job.parts):
        offered = openings(asked.job, material)
        for part in (part for part in asked.job.parts if part.material == material):
            try:
                kinds(replace(asked.job, parts=(part,)), material, offered)
            except PartTooLargeError as error:
                yield Fault(asked.parts.file, asked.parts.lines[part.name], 0, "length", str(error))


def _placed(asked: TableJob, error: ValueFaultError) -> Fault:
    """Return the fault of a value, at its row where it has one."""
    group, name, key = (*error.path, "", "")[:3]
    tables: Sequence[PartsTable | SheetsTable] = (asked.parts,) if group == "parts" else asked.sheets
    for table in tables:
        if name in table.lines:
            return Fault(table.file, table.lines[name], 0, key, error.text)
    option = {"smallest_offcut": "offcut_min"}.get(error.path[-1], error.path[-1])
    return Fault("cut", 0, 0, f"--{option.replace('_', '-')}", error.text)
