"""Rows as CSV: UTF-8, commas, lines ended as RFC 4180 says, and safe to open in a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

Cell = str | int | float | None

# A spreadsheet takes a text that begins so for a formula and works it out.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_table(rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return the rows as a CSV file; texts that look like a formula get a leading apostrophe."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return out.getvalue().encode()


def _safe(cell: Cell) -> str | int | float:
    if cell is None:
        return ""
    if isinstance(cell, str) and cell.startswith(_FORMULA):
        return "'" + cell
    return cell
