"""A table of sheets to buy and of offcuts on hand; where the width is blank, of bars."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from layout.files.csv_rows import Columns, Row, read_rows
from layout.model.cutting import Damage, EdgeTrim, Stock
from layout.model.lengths import Bar
from layout.units.length import Unit

EDGES = ("left", "right", "bottom", "top")
COLUMNS = Columns(
    needed=("name", "material", "length", "width"),
    optional=("price", "count", "thickness", *(f"trim_{edge}" for edge in EDGES), "damage", "offcut"),
    texts=("name", "material", "damage", "offcut"),
)
_WIDEST_TRIM = 200.0
# One length within several: a fraction belongs to the whole number before it, a unit to the number before it.
_NUMBER = r"(?:\d+[ -]+\d+/\d+|\d+/\d+|\d*\.?\d+[½¼¾⅛⅜⅝⅞]?|[½¼¾⅛⅜⅝⅞])"
_ONE = re.compile(rf"""\s*({_NUMBER}\s*(?:[a-z]+|["'″′”’]+)?)(?=[\s\d.]|$)""", re.IGNORECASE)
_DAMAGE = 'write x y length width, from the low corner, such as 0 300 120 80, with ";" between two places'
_PLACE = 4


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetsTable:
    """The sheets and bars that a table offers, and the line of each by its name."""

    file: str
    stocks: tuple[Stock, ...]
    bars: tuple[Bar, ...]
    lines: Mapping[str, int]


def read_sheets_table(text: str, file: str, units: Unit | None, trim: float = 0.0) -> SheetsTable:
    """Return a table with the columns name, material, length, width, and price, count, thickness and so on.

    A blank count is as many as needed (of an offcut: 1), a blank price is 0, a blank trim of an edge is `trim`
    (mm), a blank width makes a bar. Other parameters as for `parts_table.read_parts_table`.

    Raises
    ------
    InputError
        With every fault of the table.
    """
    table = read_rows(text, file, units, COLUMNS)
    stocks = tuple(_stock(row, trim) for row in table.rows if row.said("width"))
    bars = tuple(_bar(row) for row in table.rows if not row.said("width"))
    table.finish()
    return SheetsTable(file=file, stocks=stocks, bars=bars, lines=table.lines())


def _stock(row: Row, trim: float) -> Stock:
    offcut = _offcut(row)
    return Stock(
        name=row.name("name"), material=row.name("material"), length=row.length("length"),
        width=row.length("width"), price=row.price(), count=row.count(1 if offcut else None),
        trim=_trim(row, trim), damage=tuple(_damage(row)), offcut=offcut,
        thickness=row.measure("thickness", row.said("thickness")) if row.said("thickness") else None,
    )  # fmt: skip


def _bar(row: Row) -> Bar:
    offcut = _offcut(row)
    for key in (*(f"trim_{edge}" for edge in EDGES), "damage"):
        if row.said(key):
            row.fault(key, "a bar has no such thing; leave the cell blank, or write the width of a sheet")
    return Bar(
        name=row.name("name"), material=row.name("material"), length=row.length("length"), price=row.price(),
        count=row.count(1 if offcut else None), offcut=offcut,
    )  # fmt: skip


def _offcut(row: Row) -> bool:
    offcut = row.yes("offcut")
    if offcut and row.price():
        row.fault("price", f"an offcut on hand costs nothing, not {row.said('price')}; leave the cell blank")
    return offcut


def _trim(row: Row, trim: float) -> EdgeTrim | None:
    """Return the trims of the sheet's edges, None where all follow the saw's."""
    if not any(row.said(f"trim_{edge}") for edge in EDGES):
        return None
    return EdgeTrim(**{edge: _edge(row, f"trim_{edge}", trim) for edge in EDGES})


def _edge(row: Row, key: str, trim: float) -> float:
    if not row.said(key):
        return trim
    mm = row.measure(key, row.said(key))
    if mm > _WIDEST_TRIM:
        row.fault(key, f"{row.said(key)!r} is more than {_WIDEST_TRIM:g} mm; a trim is narrow")
    return mm


def _damage(row: Row) -> Iterator[Damage]:
    for text in row.said("damage").split(";"):
        if not text.strip():
            continue
        lengths = _lengths(text)
        if len(lengths) != _PLACE:
            row.fault("damage", f"cannot read {text.strip()[:40]!r}; {_DAMAGE}")
            continue
        x, y, length, width = (row.measure("damage", said) for said in lengths)
        if not (length and width):
            row.fault("damage", f"{text.strip()[:40]!r} has no size; {_DAMAGE}")
        elif x + length > row.length("length") or y + width > row.length("width"):
            row.fault("damage", f"{text.strip()[:40]!r} reaches beyond the sheet; {_DAMAGE}")
        yield Damage(x=x, y=y, length=length, width=width)


def _lengths(text: str) -> list[str]:
    """Return the lengths that stand side by side in a text; nothing when something else stands there."""
    found = _ONE.findall(text)
    return found if not _ONE.sub("", text).strip() else []
