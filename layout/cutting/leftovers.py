"""What is left of the sheets and worth keeping, as a table of sheets for the next job."""

from __future__ import annotations

import math
from collections import Counter

from layout.cutting.listing import Row, Table
from layout.model.cutting import CutPlan
from layout.model.lengths import BarPlan
from layout.model.sawing import walk
from layout.units.length import Unit, drawn_unit, format_length

_COLUMNS = ("name", "material", "length", "width", "price", "count", "thickness")
_TRIMS = ("trim_left", "trim_right", "trim_bottom", "trim_top")
# What a tape shows and a leftover is rounded down to: a tenth of a millimetre, 1/64 in. Never larger than it is.
_STEP = {"mm": 0.1, "in": 25.4 / 64}
_LONGEST_MATERIAL = 50

_Kept = tuple[str, float, float, float | None]


def leftovers(plan: CutPlan, units: Unit = "mm") -> Table:
    """Return the offcuts in the columns of a table of sheets, so that they can be given as stock next time.

    Their edges are sawn, so their trims are 0. Sizes are rounded down. In a table in millimetres they are bare
    numbers; otherwise each carries its unit. Their length runs along the grain, as a sheet's does.
    """
    drawn = drawn_unit(units)
    kept = Counter(
        (material.material, _down(leaf.length, drawn), _down(leaf.width, drawn), sheet.stock.thickness)
        for material in plan.materials
        for sheet in material.sheets
        for leaf in walk(sheet.root)
        if leaf.kind == "offcut"
    )
    taken = {stock.name for stock in plan.job.stocks}
    rows = tuple(_row(one, count, taken, units) for one, count in kept.items())
    return (*_COLUMNS, *_TRIMS, "offcut"), rows


def bar_leftovers(plan: BarPlan, taken: set[str], units: Unit = "mm") -> tuple[Row, ...]:
    """Return the leftovers of bars as rows of the same table, without a width; no name is one of `taken`."""
    drawn = drawn_unit(units)
    kept = Counter(
        (material.material, _down(bar.leftover, drawn))
        for material in plan.materials
        for bar in material.bars
        if bar.leftover >= plan.job.smallest_offcut
    )
    names = taken | {bar.name for bar in plan.job.bars}
    rows: list[Row] = []
    for (material, length), count in kept.items():
        said = _said(length, units)
        name = _name(f"left {said} of {material[:_LONGEST_MATERIAL]}", names)
        names.add(name)
        rows.append((name, material, said, "", 0, count, "", *("" for _ in _TRIMS), "yes"))
    return tuple(rows)


def _row(kept: _Kept, count: int, taken: set[str], units: Unit) -> Row:
    material, length, width, thickness = kept
    sides = [_said(mm, units) for mm in (length, width)]
    thick = "" if thickness is None else _said(thickness, units)
    name = _name(f"left {' × '.join(sides)} of {material[:_LONGEST_MATERIAL]}", taken)
    taken.add(name)
    return (name, material, *sides, 0, count, thick, *(0 for _ in _TRIMS), "yes")


def _name(wanted: str, taken: set[str]) -> str:
    if wanted not in taken:
        return wanted
    return next(name for i in range(2, len(taken) + 3) if (name := f"{wanted} {i}") not in taken)


def _down(mm: float, drawn: Unit) -> float:
    step = _STEP[drawn]
    # A length that a float just misses is not a step shorter.
    return math.floor(mm / step + 1e-6) * step


def _said(mm: float, units: Unit) -> str:
    drawn = drawn_unit(units)
    return format_length(mm, drawn, denominator=64, unit_sign=units != "mm")
