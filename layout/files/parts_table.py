"""Tables of parts and of sheets, as spreadsheets write them: comma-separated, a header first."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from io import StringIO
from typing import cast

from layout.errors import Fault, InputError
from layout.model.cutting import Grain, Part, Stock
from layout.units.length import Unit, parse_length

MOST_PIECES = 10_000
"""The most pieces, and the most rows, that a table may ask for."""

_PARTS = {"name": True, "count": False, "length": True, "width": True, "material": True, "grain": False}
_SHEETS = {"name": True, "material": True, "length": True, "width": True, "price": False, "count": False}
_SEPARATORS = {";": "semicolons", "\t": "tabs"}
_GRAINS = ("along", "across", "free")
_LONGEST_MM, _SHORTEST_MM, _LONGEST_NAME, _HIGHEST_PRICE = 20_000, 1, 100, 1e9
_WHOLE = re.compile(r"-?[0-9]{1,9}")
_DECIMAL = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,6})?")


def read_parts(text: str, file: str, units: Unit | None) -> tuple[Part, ...]:
    """Return the parts of a table with the columns name, count, length, width, material, grain.

    Parameters
    ----------
    text
        The table, with or without a byte order mark.
    file
        What to call the table in messages.
    units
        The unit of lengths that carry none; None makes each length carry its own.

    Raises
    ------
    InputError
        With every fault of the table.
    """
    table = _read(text, file, units, _PARTS)
    parts = tuple(_part(row) for row in table.rows)
    total = sum(part.count for part in parts)
    if total > MOST_PIECES:
        table.fault(0, "count", f"the table asks for {total} pieces; at most {MOST_PIECES} can be planned")
    table.finish()
    return parts


def read_sheets(text: str, file: str, units: Unit | None) -> tuple[Stock, ...]:
    """Return the sheets of a table with the columns name, material, length, width, price, count.

    A blank count is as many as needed, a blank price is 0. Parameters as for `read_parts`.

    Raises
    ------
    InputError
        With every fault of the table.
    """
    table = _read(text, file, units, _SHEETS)
    stocks = tuple(_stock(row) for row in table.rows)
    table.finish()
    return stocks


def _part(row: _Row) -> Part:
    return Part(
        name=row.name("name"), material=row.name("material"), length=row.length("length"),
        width=row.length("width"), count=row.count(1) or 1, grain=row.grain(),
    )  # fmt: skip


def _stock(row: _Row) -> Stock:
    return Stock(
        name=row.name("name"), material=row.name("material"), length=row.length("length"),
        width=row.length("width"), price=row.price(), count=row.count(None),
    )  # fmt: skip


@dataclass(kw_only=True, slots=True)
class _Table:
    """A table being read: its rows, and the faults found so far."""

    file: str
    units: Unit | None
    rows: list[_Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, line: int, key: str, text: str) -> None:
        self.faults.append(Fault(self.file, line, 0, key, text))

    def finish(self) -> None:
        if self.faults:
            raise InputError(sorted(self.faults, key=lambda fault: fault.line))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Row:
    """One row; every reading returns something usable after noting a fault, so that all are found at once."""

    table: _Table
    line: int
    cells: dict[str, str]

    def name(self, key: str) -> str:
        text = self.cells[key]
        if not text:
            self._fault(key, "is blank; write a name")
        elif len(text) > _LONGEST_NAME:
            self._fault(key, f"has {len(text)} letters; at most {_LONGEST_NAME} are allowed")
        return text

    def length(self, key: str) -> float:
        try:
            mm = parse_length(self.cells[key], self.table.units)
        except ValueError as error:
            self._fault(key, str(error))
            return 1.0
        if not _SHORTEST_MM <= mm <= _LONGEST_MM:
            self._fault(key, _wrong_size(self.cells[key], mm))
        return float(mm)

    def count(self, blank: int | None) -> int | None:
        text = self.cells.get("count", "")
        if text and (not _WHOLE.fullmatch(text) or not 1 <= int(text) <= MOST_PIECES):
            self._fault("count", f"{text!r} is not a count; write a whole number from 1 to {MOST_PIECES}")
            return blank
        return int(text) if text else blank

    def price(self) -> float:
        text = self.cells.get("price", "")
        if text and (not _DECIMAL.fullmatch(text) or not 0 <= float(text) <= _HIGHEST_PRICE):
            self._fault("price", f"{text!r} is not a price; write for instance 68 or 68.50, without a currency")
            return 0.0
        return float(text) if text else 0.0

    def grain(self) -> Grain:
        text = self.cells.get("grain", "").lower() or "free"
        if text not in _GRAINS:
            self._fault("grain", f"{text!r} is not a grain{_nearest(text, _GRAINS)}; write along, across or free")
            return "free"
        return cast(Grain, text)

    def _fault(self, key: str, text: str) -> None:
        self.table.fault(self.line, key, text)


def _wrong_size(text: str, mm: Fraction) -> str:
    if mm <= 0:
        return f"{text!r} is not more than zero"
    if mm < _SHORTEST_MM:
        return f"{text!r} is shorter than {_SHORTEST_MM} mm; check its unit"
    return f"{text!r} is longer than {_LONGEST_MM // 1000} m; check its unit"


def _read(text: str, file: str, units: Unit | None, columns: dict[str, bool]) -> _Table:
    """Return the rows of a table whose shape is right; a table of the wrong shape raises at once."""
    table = _Table(file=file, units=units)
    lines = list(_lines(text.removeprefix("\ufeff"), table))
    if not table.faults and not lines:
        table.fault(1, "", f"the table is empty; its first line is {','.join(columns)}")
    table.finish()
    _header(lines[0], columns, table)
    table.finish()
    names = [_key(cell) for cell in lines[0][1]]
    _rows(lines[1:], names, table)
    _unique(table)
    return table


def _lines(text: str, table: _Table) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines that say something, with their numbers."""
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    try:
        for cells in reader:
            stripped = [cell.strip(" \u00a0") for cell in cells]
            if any(stripped):
                yield reader.line_num, stripped
    except csv.Error as error:
        table.fault(reader.line_num, "", f"this is not a comma-separated table: {error}")


def _header(line: tuple[int, list[str]], columns: dict[str, bool], table: _Table) -> None:
    number, cells = line
    names = [_key(cell) for cell in cells]
    for sign, word in _SEPARATORS.items():
        if any(sign in cell for cell in cells):
            table.fault(number, "", f"the columns are separated by {word}; separate them by commas")
            return
    for name in names:
        if name not in columns:
            near = _nearest(name, tuple(columns))
            table.fault(number, _shown(name), f"unknown column{near}; the columns are {', '.join(columns)}")
    for name, times in Counter(names).items():
        if times > 1 and name in columns:
            table.fault(number, name, f"there are {times} columns of this name")
    for name in (name for name, needed in columns.items() if needed and name not in names):
        table.fault(number, name, f"this column is missing; the columns are {', '.join(columns)}")


def _rows(lines: list[tuple[int, list[str]]], names: list[str], table: _Table) -> None:
    if not lines:
        table.fault(1, "", "the table has a header, but no rows")
    if len(lines) > MOST_PIECES:
        table.fault(0, "", f"the table has {len(lines)} rows; at most {MOST_PIECES} can be read")
        table.finish()
    for line, cells in lines:
        if len(cells) != len(names):
            table.fault(line, "", f"the row has {len(cells)} cells, the header has {len(names)}; {_CELLS}")
            continue
        row = _Row(table=table, line=line, cells=dict(zip(names, cells, strict=True)))
        _printable(row, table)
        table.rows.append(row)


_CELLS = 'put a text with a comma, or a comma as decimal point, in "quotes"'


def _printable(row: _Row, table: _Table) -> None:
    for name, cell in row.cells.items():
        bad = [sign for sign in cell if _invisible(sign)]
        if bad:
            table.fault(row.line, name, f"holds the invisible character U+{ord(bad[0]):04X}; remove it")


def _unique(table: _Table) -> None:
    first: dict[str, int] = {}
    for row in table.rows:
        name = row.cells["name"]
        if name and first.setdefault(name, row.line) != row.line:
            table.fault(row.line, "name", f"{_shown(name)!r} is already the name in line {first[name]}")


def _nearest(word: str, words: tuple[str, ...]) -> str:
    near = get_close_matches(word, words, n=1)
    return f", perhaps {near[0]}" if near else ""


def _key(cell: str) -> str:
    return cell.strip().lower()


def _invisible(sign: str) -> bool:
    """Return whether a character is a control, a format mark, half a pair or a line end: not for names."""
    return unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def _shown(text: str) -> str:
    """Return `text` fit for a message: short, and nothing invisible in it."""
    return "".join("?" if _invisible(sign) else sign for sign in text[:_LONGEST_NAME])
