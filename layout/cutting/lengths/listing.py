"""Tables of a plan of bars: plain rows for any writer of tables."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from layout.model.lengths import BarJob, BarPlan, CutBar
from layout.units.length import Unit, format_length

Row = tuple[str | int | float, ...]
Table = tuple[tuple[str, ...], tuple[Row, ...]]

# The finest inch that a tape shows.
_DENOMINATOR = 64
# Lengths nearer than this, in mm, are the same place: plans lie on a grid of an eighth of a micrometre.
_SAME_MM = 1e-4


def parts_list(plan: BarPlan, units: Unit = "mm") -> Table:
    """Return every part once, in the order of the job, with how many are missing; lengths as texts in `units`."""
    missing = Counter(plan.unplaced)
    rows = tuple(
        (part.name, part.unit, part.material, part.count, _said(part.length, units), missing[part.name])
        for part in plan.job.parts
    )
    return ("part", "of", "material", "count", f"length {units}", "missing"), rows


def cut_list(plan: BarPlan, units: Unit = "mm") -> Table:
    """Return every cut in sawing order.

    ``stop`` is the distance from the saw's stop to the blade, so the length that the cut makes; ``mark`` the same
    cut by a tape laid along the whole bar. The kerf lies beyond both. Cuts count from 1 on each bar; a bar that is
    used as it is has a row without a number.
    """
    header = ("material", "bar", "stock", "cut", f"stop {units}", f"mark {units}", "yields")
    rows = tuple(
        (material.material, bar.number, bar.stock.name, *row)
        for material in plan.materials
        for bar in material.bars
        for row in _cuts(plan.job, bar, units)
    )
    return header, rows


def bars_to_buy(plan: BarPlan) -> Table:
    """Return every bar that is not an offcut on hand, with its count, price each and sum in the stock's currency."""
    rows: list[Row] = []
    for material in plan.materials:
        used = Counter(bar.stock for bar in material.bars if not bar.stock.offcut)
        for stock, count in used.items():
            total = round(math.fsum([stock.price] * count), 6)
            rows.append((material.material, stock.name, count, stock.price, total))
    return ("material", "bar", "count", "price", "sum"), tuple(rows)


def leftovers(plan: BarPlan, units: Unit = "mm") -> Table:
    """Return every leftover worth keeping, the longest of each material first."""
    rows = tuple(
        (material.material, bar.number, bar.stock.name, _said(bar.leftover, units))
        for material in plan.materials
        for bar in sorted(material.bars, key=lambda bar: -bar.leftover)
        if bar.leftover > 0 and bar.leftover >= plan.job.smallest_offcut
    )
    return ("material", "bar", "stock", f"leftover {units}"), rows


def _cuts(job: BarJob, bar: CutBar, units: Unit) -> Iterator[Row]:
    """Yield number, stop, mark and what falls off; the last piece needs no cut when it ends with the bar."""
    steps = [(job.trim, job.trim, "trim")] if job.trim else []
    steps += [
        (piece.length, piece.at + piece.length, f"{piece.part} {_said(piece.length, units)}") for piece in bar.pieces
    ]
    last = [f"leftover {_said(bar.leftover, units)}"] if bar.leftover else []
    if bar.stock.length - steps[-1][1] < _SAME_MM:
        last = [steps.pop()[2]]
    if not steps:
        yield "", "", "", f"{last[0]}, the whole bar"
    for number, (stop, mark, yields) in enumerate(steps, 1):
        more = last if number == len(steps) else []
        yield number, _said(stop, units), _said(mark, units), " + ".join([yields, *more])


def _said(mm: float, units: Unit) -> str:
    return format_length(mm, units, denominator=_DENOMINATOR)
