"""Tables as one XLSX workbook: numbers are numbers, names are never formulas, ready to print, the same bytes always."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from io import BytesIO
from typing import TYPE_CHECKING, Literal

from layout.export.csv_table import Cell

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

Kind = Literal["text", "count", "length", "mass", "money"]
# Any day will do, as long as it is the same one.
_CREATED = datetime(2000, 1, 1)
# The most letters that a cell holds, and that the head of a printed page holds (Microsoft's list of limits).
_MOST_LETTERS, _MOST_HEAD = 32767, 200
# Widths of columns in letters; longer texts are broken into lines.
_NARROWEST, _WIDEST = 6, 60
_A4, _LETTER = 9, 1
# How numbers are shown, by what they are; lengths in inches by the denominator of the fraction.
_TEXT, _HEAD, _FINEST = "@", "head", 64
_PATTERNS: dict[Kind, str] = {"text": "General", "count": "0", "length": "General", "mass": "0.0", "money": "0.00"}
_FRACTIONS = {1: "0", 2: "# ?/2", 4: "# ?/4", 8: "# ?/8", 16: "# ??/16", 32: "# ??/32", 64: "# ??/64"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """A column: what its first row says, the unit of its numbers with it, and what its cells are."""

    head: str
    kind: Kind = "text"


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetTable:
    """One sheet of a workbook: its name, columns and rows; `strong` are the places of rows that sum others up.

    `note` stands below the rows.
    """

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    strong: tuple[int, ...] = ()
    note: str = ""

    @property
    def header(self) -> tuple[str, ...]:
        """Return what the first row says."""
        return tuple(column.head for column in self.columns)


def workbook(tables: Sequence[SheetTable], title: str, units: Literal["mm", "in"]) -> bytes:
    """Return an XLSX file with a sheet for every table, to be printed on A4, or on Letter for inches.

    Lengths come in the unit that their column's head says; those in inches are shown as fractions.
    """
    from xlsxwriter import Workbook

    out = BytesIO()
    options = {
        "in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False,
    }  # fmt: skip
    book = Workbook(out, options)
    book.set_properties({"title": plain(title)[:_MOST_HEAD], "created": _CREATED})
    formats = _formats(book)
    for table in tables:
        sheet = book.add_worksheet(table.name)
        _fill(sheet, table, formats, units)
        _set_up(sheet, table, title, units)
    book.close()
    return out.getvalue()


def plain(text: str) -> str:
    """Return the text with a blank for every sign that cannot be printed, as long as a cell can hold."""
    return "".join(sign if sign.isprintable() else " " for sign in text)[:_MOST_LETTERS]


def _formats(book: Workbook) -> Mapping[tuple[str, bool], Format]:
    """Return how cells look by the pattern of their numbers, and whether they are strong."""
    shown: dict[tuple[str, bool], Format] = {}
    for pattern in (_TEXT, *_PATTERNS.values(), *_FRACTIONS.values()):
        for strong in (False, True):
            look: dict[str, object] = {"num_format": pattern, "valign": "top", "bold": strong}
            look |= {"text_wrap": True} if pattern == _TEXT else {}
            shown[pattern, strong] = book.add_format(look)
    shown[_HEAD, True] = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    return shown


def _pattern(cell: Cell, kind: Kind, units: str) -> str:
    """Return how a cell is shown: inches as the fraction that a tape has next to them, halves to 64ths."""
    if cell is None or isinstance(cell, str):
        return _TEXT
    if kind == "length" and units == "in":
        return _FRACTIONS[Fraction(round(cell * _FINEST), _FINEST).denominator]
    return _PATTERNS[kind]


def _fill(sheet: Worksheet, table: SheetTable, formats: Mapping[tuple[str, bool], Format], units: str) -> None:
    for across, column in enumerate(table.columns):
        sheet.write_string(0, across, plain(column.head), formats[_HEAD, True])
        sheet.set_column(across, across, _wide(table, across))
    for down, row in enumerate(table.rows):
        for across, (cell, column) in enumerate(zip(row, table.columns, strict=True)):
            look = formats[_pattern(cell, column.kind, units), down in table.strong]
            _cell(sheet, (down + 1, across), cell, look)
    if table.note:
        sheet.write_string(len(table.rows) + 2, 0, plain(table.note))


def _cell(sheet: Worksheet, place: tuple[int, int], cell: Cell, look: Format) -> None:
    # Each kind is written as what it is: the library never has to guess whether a text means a formula or a link.
    if isinstance(cell, str):
        if cell:
            sheet.write_string(*place, plain(cell), look)
    elif cell is not None:
        sheet.write_number(*place, cell, look)


def _wide(table: SheetTable, across: int) -> float:
    """Return how wide a column is, in letters: as its longest cell, within limits."""
    cells = [table.columns[across].head, *(_shown(row[across]) for row in table.rows)]
    return min(_WIDEST, max(_NARROWEST, *(len(cell) for cell in cells)) + 2)


def _shown(cell: Cell) -> str:
    return "" if cell is None else f"{cell:.1f}" if isinstance(cell, float) else str(cell)


def _set_up(sheet: Worksheet, table: SheetTable, title: str, units: str) -> None:
    """Freeze the first row, and set the sheet up for print: landscape, as wide as the paper, the head on each page."""
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.set_landscape()
    sheet.set_paper(_LETTER if units == "in" else _A4)
    sheet.fit_to_pages(1, 0)
    # In the head of a page a single & begins a command.
    said = plain(title)[: _MOST_HEAD // 2].replace("&", "&&")
    sheet.set_header(f"&L{said}&R{table.name}")
    sheet.set_footer("&CPage &P of &N")
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
