"""What is left of old units as stock for the next cutting: as a table of sheets, and to write into a project."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from layout.building.reuse import Piece, Reuse
from layout.cutting.listing import Row, Table
from layout.files.sheets_table import COLUMNS, EDGES
from layout.jobs.load import Plan
from layout.model.cutting import EdgeTrim, Stock
from layout.model.lengths import Bar, BarJob
from layout.units.length import Unit, drawn_unit, format_length

# What a tape shows and a leftover is rounded down to: a tenth of a millimetre, 1/64 in. Never larger than it is.
_STEP = {"mm": 0.1, "in": 25.4 / 64}
_LONGEST_NAME = 70
_SAWN = EdgeTrim()


@dataclass(frozen=True, kw_only=True, slots=True)
class Offcuts:
    """What is worth keeping: pieces of sheets and of bars, and how dense each sheet is, kg/m³.

    `unknown` are names of pieces whose grain nobody knows, of materials in which grain is asked for: they are kept, but
    no part is laid on them.
    """

    stocks: tuple[Stock, ...] = ()
    bars: tuple[Bar, ...] = ()
    densities: tuple[tuple[str, float], ...] = ()
    unknown: tuple[str, ...] = ()


def offcuts(plan: Plan, again: Reuse) -> Offcuts:
    """Return what is left of old units and is worth keeping in the workshop of the new plan."""
    workshop = plan.project.said.workshop
    if workshop is None:
        return Offcuts()
    drawn = drawn_unit(plan.project.said.units)
    kept: Counter[Stock] = Counter()
    densities, unknown = {}, Counter[str]()
    asked = {wood.panel.sheet.material for wood in again.to_cut if wood.panel.grain != "free"}
    for piece in again.left:
        stock = _stock(piece, drawn)
        if min(stock.length, stock.width) >= max(workshop.smallest_offcut, 1.0):
            densities[stock.material] = piece.wood.panel.sheet.density_kg_m3
            if piece.grain == "free" and stock.material in asked:
                unknown[stock.name] += 1
            else:
                kept[stock] += 1
    return Offcuts(
        stocks=tuple(_counted(kept, set(workshop.sheets))), bars=_bars(again, set(workshop.bars), drawn),
        densities=tuple(densities.items()), unknown=tuple(f"{count} × {name}" for name, count in unknown.items()),
    )  # fmt: skip


def _stock(piece: Piece, drawn: Unit) -> Stock:
    """Return a piece as a sheet, whose length runs along the grain."""
    panel = piece.wood.panel
    length, width = (_down(mm, drawn) for mm in (piece.length, piece.width))
    if piece.grain == "across" or (piece.grain == "free" and width > length):
        length, width = width, length
    size = f"{format_length(length, drawn, denominator=64)} × {format_length(width, drawn, denominator=64)}"
    name = f"old {piece.wood.group} {panel.name}"[:_LONGEST_NAME]
    return Stock(
        name=f"{name} {size}", material=panel.sheet.material, length=length, width=width, trim=_SAWN, offcut=True,
        thickness=panel.sheet.thickness,
    )  # fmt: skip


def _counted(kept: Counter[Stock], taken: set[str]) -> Iterator[Stock]:
    for stock, count in kept.items():
        name = _unused(stock.name, taken)
        taken.add(name)
        yield Stock(
            name=name, material=stock.material, length=stock.length, width=stock.width, count=count, trim=_SAWN,
            offcut=True, thickness=stock.thickness,
        )  # fmt: skip


def _bars(again: Reuse, taken: set[str], drawn: Unit) -> tuple[Bar, ...]:
    least = BarJob(parts=(), bars=()).smallest_offcut
    kept = Counter(
        (stick.group, stick.name, stick.batten.bar.material, _down(stick.batten.length, drawn))
        for stick in again.sticks_left
        if stick.batten.length >= least
    )
    bars = []
    for (group, name, material, length), count in kept.items():
        wanted = f"old {group} {name}"[:_LONGEST_NAME] + f" {format_length(length, drawn, denominator=64)}"
        bars.append(Bar(name=_unused(wanted, taken), material=material, length=length, count=count, offcut=True))
        taken.add(bars[-1].name)
    return tuple(bars)


def _unused(wanted: str, taken: set[str]) -> str:
    return next(
        name for i in range(1, len(taken) + 2) if (name := wanted if i == 1 else f"{wanted} ({i})") not in taken
    )


def _down(mm: float, drawn: Unit) -> float:
    step = _STEP[drawn]
    # A length that a float just misses is not a step shorter.
    return math.floor(mm / step + 1e-6) * step


def sheets_table(left: Offcuts, units: Unit) -> Table:
    """Return what is left in the columns of a table of sheets, so that ``layout cut --sheets`` reads it."""
    trims = {f"trim_{edge}": 0 for edge in EDGES}
    rows: list[dict[str, str | int | float]] = [
        {"name": s.name, "material": s.material, "length": _said(s.length, units), "width": _said(s.width, units),
         "price": 0, "count": s.count or 1, "thickness": _said(s.thickness or 0.0, units), "offcut": "yes", **trims}
        for s in left.stocks
    ]  # fmt: skip
    rows += [
        {"name": b.name, "material": b.material, "length": _said(b.length, units), "price": 0, "count": b.count or 1,
         "offcut": "yes"}
        for b in left.bars
    ]  # fmt: skip
    return COLUMNS.all, tuple(_row(row) for row in rows)


def _row(row: dict[str, str | int | float]) -> Row:
    return tuple(row.get(column, "") for column in COLUMNS.all)


def _said(mm: float, units: Unit) -> str:
    return format_length(mm, drawn_unit(units), denominator=64, unit_sign=units != "mm")


def workshop_lines(left: Offcuts) -> str:
    """Return the pieces of sheets as lines that stand under ``workshop: sheets:`` of a project."""
    density = dict(left.densities)
    lines = [
        "# Old panels that are left: put these lines under workshop: sheets: of a project, as far in as the others.\n"
    ]
    for stock in left.stocks:
        sizes = ", ".join(f"{key}: {getattr(stock, key):.4f} mm" for key in ("length", "width", "thickness"))
        trim = ", ".join(f"{edge}: 0 mm" for edge in EDGES)
        lines.append(
            f"    {_quoted(stock.name)}:\n      {{material: {_quoted(stock.material)}, {sizes}, "
            f"density: {density[stock.material]:g}, count: {stock.count}, offcut: yes, trim: {{{trim}}}}}\n"
        )
    return "".join(lines)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def parts_table(cuts: Sequence[tuple[str, int, float, float, str, str]], units: Unit) -> Table:
    """Return parts as rows that ``layout cut --parts`` reads: name, count, length, width (mm), material, grain."""
    rows = tuple(
        (name, count, _said(length, units), _said(width, units) if width else "", material, grain)
        for name, count, length, width, material, grain in cuts
    )
    return ("name", "count", "length", "width", "material", "grain"), rows
