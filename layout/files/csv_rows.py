"""Rows of a table as spreadsheets write it: comma-separated, a header first; every fault with its row."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from io import StringIO

from layout.errors import Fault, InputError
from layout.units.length import Unit, parse_length

MOST_PIECES = 10_000
"""The most pieces, and the most rows, that a table may ask for."""

_SEPARATORS = {";": "semicolons", "\t": "tabs", "|": "upright bars"}
# A spreadsheet works out a cell that begins so; in a number a sign is only a sign.
_FORMULA = ("=", "+", "-", "@")
_LONGEST_MM, _SHORTEST_MM, _LONGEST_NAME, _HIGHEST_PRICE = 20_000, 1, 100, 1e9
_WHOLE = re.compile(r"-?[0-9]{1,9}")
_DECIMAL = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?")


@dataclass(frozen=True, kw_only=True, slots=True)
class Columns:
    """The columns of a table: which must be there, which may, and which of them hold words."""

    needed: tuple[str, ...]
    optional: tuple[str, ...] = ()
    texts: tuple[str, ...] = ()

    @property
    def all(self) -> tuple[str, ...]:
        """Return every column, as a header should name them."""
        return self.needed + self.optional


@dataclass(kw_only=True, slots=True)
class Table:
    """A table being read: its rows, and the faults found so far."""

    file: str
    units: Unit | None
    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, line: int, key: str, text: str) -> None:
        """Note a fault; line 0 is the table as a whole."""
        self.faults.append(Fault(self.file, line, 0, key, text))

    def finish(self) -> None:
        """Raise every fault noted.

        Raises
        ------
        InputError
            When there is one.
        """
        if self.faults:
            raise InputError(sorted(dict.fromkeys(self.faults), key=lambda fault: fault.line))

    def lines(self) -> dict[str, int]:
        """Return the line of each row by its name."""
        return {row.cells["name"]: row.line for row in self.rows}


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One row; every reading returns something usable after noting a fault, so that all are found at once."""

    table: Table
    line: int
    cells: dict[str, str]

    def said(self, key: str) -> str:
        """Return what the cell says; nothing where it is blank or the column is not there."""
        return self.cells.get(key, "")

    def name(self, key: str) -> str:
        """Return a name; blank ones are refused."""
        text = self.cells[key]
        if not text:
            self.fault(key, "is blank; write a name")
        return self.text(key)

    def text(self, key: str) -> str:
        """Return a few words, or none."""
        text = self.said(key)
        if len(text) > _LONGEST_NAME:
            self.fault(key, f"has {len(text)} letters; at most {_LONGEST_NAME} are allowed")
        return text

    def length(self, key: str) -> float:
        """Return a size in mm."""
        return self.measure(key, self.cells[key], _SHORTEST_MM)

    def measure(self, key: str, text: str, least: int = 0) -> float:
        """Return the length in mm that a text says, at least `least` mm."""
        try:
            mm = parse_length(text, self.table.units)
        except ValueError as error:
            self.fault(key, str(error))
            return 1.0
        if not least <= mm <= _LONGEST_MM:
            self.fault(key, _wrong_size(text, mm, least))
        return float(mm)

    def count(self, blank: int | None) -> int | None:
        """Return how many; `blank` when the cell is blank."""
        text = self.said("count")
        if text and (not _WHOLE.fullmatch(text) or not 1 <= int(text) <= MOST_PIECES):
            self.fault("count", f"{text[:30]!r} is not a count; write a whole number from 1 to {MOST_PIECES}")
            return blank
        return int(text) if text else blank

    def price(self) -> float:
        """Return the price of one, 0 when blank."""
        text = self.said("price")
        if text and (not _DECIMAL.fullmatch(text) or not 0 <= float(text) <= _HIGHEST_PRICE):
            self.fault("price", f"{text[:30]!r} is not a price; write for instance 68 or 68.50, without a currency")
            return 0.0
        return float(text) if text else 0.0

    def choice(self, key: str, words: Sequence[str], blank: str) -> str:
        """Return one of `words`; `blank` when the cell is blank."""
        text = self.said(key).lower() or blank
        if text not in words:
            near = nearest(text, words)
            said = f"{', '.join(words[:-1])} or {words[-1]}"
            self.fault(key, f"{text[:30]!r} is not a word for {key}{near}; write {said}")
            return blank
        return text

    def yes(self, key: str) -> bool:
        """Return whether the cell says yes; blank is no."""
        return self.choice(key, ("yes", "no"), "no") == "yes"

    def fault(self, key: str, text: str) -> None:
        """Note a fault of this row."""
        self.table.fault(self.line, key, text)


def _wrong_size(text: str, mm: Fraction, least: int) -> str:
    if mm < 0 or (least and mm == 0):
        return f"{text!r} is not more than zero" if least else f"{text!r} is less than zero"
    if mm < least:
        return f"{text!r} is shorter than {least} mm; check its unit"
    return f"{text!r} is longer than {_LONGEST_MM // 1000} m; check its unit"


def read_rows(text: str, file: str, units: Unit | None, columns: Columns) -> Table:
    """Return the rows of a table whose shape is right.

    Parameters
    ----------
    text
        The table, with or without a byte order mark.
    file
        What to call the table in messages.
    units
        The unit of lengths that carry none; None makes each length carry its own.
    columns
        Its columns, in any order and case.

    Raises
    ------
    InputError
        When the table has the wrong shape, with every fault of it.
    """
    table = Table(file=file, units=units)
    lines = list(_lines(text.removeprefix("\ufeff"), table))
    if not table.faults and not lines:
        table.fault(1, "", f"the table is empty; its first line is {','.join(columns.all)}")
    table.finish()
    _header(lines[0], columns, table)
    table.finish()
    _rows(lines[1:], [_key(cell) for cell in lines[0][1]], columns, table)
    _unique(table)
    return table


def _lines(text: str, table: Table) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines that say something, with their numbers."""
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    try:
        for cells in reader:
            stripped = [cell.strip(" \u00a0") for cell in cells]
            if any(stripped):
                yield reader.line_num, stripped
    except csv.Error as error:
        table.fault(reader.line_num, "", f"this is not a comma-separated table: {error}")


def _header(line: tuple[int, list[str]], columns: Columns, table: Table) -> None:
    number, cells = line
    names = [_key(cell) for cell in cells]
    for sign, word in _SEPARATORS.items():
        if any(sign in cell for cell in cells):
            table.fault(number, "", f"the columns are separated by {word}; separate them by commas")
            return
    for name in names:
        if name not in columns.all:
            near = nearest(name, columns.all)
            table.fault(number, _shown(name), f"unknown column{near}; the columns are {', '.join(columns.all)}")
    for name, times in Counter(names).items():
        if times > 1 and name in columns.all:
            table.fault(number, name, f"there are {times} columns of this name")
    for name in (name for name in columns.needed if name not in names):
        table.fault(number, name, f"this column is missing; the columns are {', '.join(columns.all)}")


def _rows(lines: list[tuple[int, list[str]]], names: list[str], columns: Columns, table: Table) -> None:
    if not lines:
        table.fault(1, "", "the table has a header, but no rows")
    if len(lines) > MOST_PIECES:
        table.fault(0, "", f"the table has {len(lines)} rows; at most {MOST_PIECES} can be read")
        table.finish()
    for line, cells in lines:
        if len(cells) != len(names):
            table.fault(line, "", f"the row has {len(cells)} cells, the header has {len(names)}; {_CELLS}")
            continue
        row = Row(table=table, line=line, cells=dict(zip(names, cells, strict=True)))
        _printable(row)
        _no_formula(row, columns)
        table.rows.append(row)


_CELLS = 'put a text with a comma, or a comma as decimal point, in "quotes"'


def _printable(row: Row) -> None:
    for name, cell in row.cells.items():
        bad = [sign for sign in cell if _invisible(sign)]
        if bad:
            row.fault(name, f"holds the invisible character U+{ord(bad[0]):04X}; remove it")


def _no_formula(row: Row, columns: Columns) -> None:
    """Refuse what a spreadsheet would work out when it opens a list made from this table."""
    for name, cell in row.cells.items():
        if cell.startswith(_FORMULA if name in columns.texts else _FORMULA[:1]):
            row.fault(name, f"{_shown(cell)[:30]!r} begins with {cell[0]!r}, like a formula; write the value itself")


def _unique(table: Table) -> None:
    first: dict[str, int] = {}
    for row in table.rows:
        name = row.cells["name"]
        if name and first.setdefault(name, row.line) != row.line:
            row.fault("name", f"{_shown(name)!r} is already the name in line {first[name]}")


def nearest(word: str, words: Sequence[str]) -> str:
    """Return a hint at the word that was meant, for the end of a sentence; nothing when none is near."""
    near = get_close_matches(word, words, n=1)
    return f", perhaps {near[0]}" if near else ""


def _key(cell: str) -> str:
    return re.sub(r"[ -]+", "_", cell.strip().lower())


def _invisible(sign: str) -> bool:
    """Return whether a character is a control, a format mark, half a pair or a line end: not for names."""
    return unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def _shown(text: str) -> str:
    """Return `text` fit for a message: short, and nothing invisible in it."""
    return "".join("?" if _invisible(sign) else sign for sign in text[:_LONGEST_NAME])
