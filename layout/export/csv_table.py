"""Rows as CSV: UTF-8, commas, lines ended as RFC 4180 says, and safe to open in a spreadsheet.

A spreadsheet takes a cell for a formula that begins with = + - or @, also in their full-width forms, and after blanks;
some take a semicolon or a tab for the end of a cell even here. Before each such sign stands an apostrophe, so that the
cell is shown as the text that it is. CSV has no other way to say "text": quotes do not help, since they are taken off
before the cell is looked at. The apostrophe is seen in the cell; a workbook (`export.workbook`) needs none.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from io import StringIO

Cell = str | int | float | None

# The beginning of a cell, or of what some programs take for one, up to a sign that begins a formula. A blank of any
# kind may stand before it; a tab or the end of a line at the very beginning is marked too.
_FORMULA = re.compile(r"(?:^|(?<=[;\t\r\n]))(?=\s*[=+\-@\uff1d\uff0b\uff0d\uff20])|^(?=[\t\r\n])")


def csv_table(rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return the rows as a CSV file; texts that look like a formula get an apostrophe before its first sign."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return out.getvalue().encode()


def _safe(cell: Cell) -> str | int | float:
    if cell is None:
        return ""
    return _FORMULA.sub("'", cell) if isinstance(cell, str) else cell
