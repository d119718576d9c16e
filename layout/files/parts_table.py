"""A table of parts: what the saw must produce, panels and, where the width is blank, lengths."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from layout.files.csv_rows import MOST_PIECES, Columns, Row, read_rows
from layout.model.cutting import Grain, Part
from layout.model.lengths import Length
from layout.units.length import Unit

COLUMNS = Columns(
    needed=("name", "length", "width", "material"),
    optional=("count", "grain", "good_face", "edges"),
    texts=("name", "material", "grain", "edges"),
)
_GRAINS = ("along", "across", "free")


@dataclass(frozen=True, kw_only=True, slots=True)
class PartsTable:
    """The parts that a table asks for, panels and lengths apart, and the line of each by its name."""

    file: str
    parts: tuple[Part, ...]
    lengths: tuple[Length, ...]
    lines: Mapping[str, int]


def read_parts_table(text: str, file: str, units: Unit | None) -> PartsTable:
    """Return a table with the columns name, count, length, width, material, grain, good_face, edges.

    A blank width makes a length: a batten or profile, cut from bars.

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
    table = read_rows(text, file, units, COLUMNS)
    parts = tuple(_part(row) for row in table.rows if row.said("width"))
    lengths = tuple(_length(row) for row in table.rows if not row.said("width"))
    total = sum(part.count for part in parts) + sum(length.count for length in lengths)
    if total > MOST_PIECES:
        table.fault(0, "count", f"the table asks for {total} pieces; at most {MOST_PIECES} can be planned")
    table.finish()
    return PartsTable(file=file, parts=parts, lengths=lengths, lines=table.lines())


def _part(row: Row) -> Part:
    return Part(
        name=row.name("name"), material=row.name("material"), length=row.length("length"),
        width=row.length("width"), count=row.count(1) or 1, grain=cast(Grain, row.choice("grain", _GRAINS, "free")),
        good_face=row.yes("good_face"), edges=row.text("edges"),
    )  # fmt: skip


def _length(row: Row) -> Length:
    return Length(
        name=row.name("name"), material=row.name("material"), length=row.length("length"), count=row.count(1) or 1
    )
