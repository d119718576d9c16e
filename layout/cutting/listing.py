"""Tables of a plan of cuts: plain rows for any writer of tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from layout.model.cutting import CutPlan, Region
from layout.units.length import Unit, format_length

Row = tuple[str | int | float, ...]
Table = tuple[tuple[str, ...], tuple[Row, ...]]

# The finest inch that a tape shows.
_DENOMINATOR = 64


def parts_list(plan: CutPlan, units: Unit = "mm") -> Table:
    """Return every part once, in the order of the job; lengths as texts in `units`."""
    header = ("part", "of", "material", "count", f"length {units}", f"width {units}", "grain")
    rows = tuple(
        (
            part.name,
            part.unit,
            part.material,
            part.count,
            _said(part.length, units),
            _said(part.width, units),
            part.grain,
        )
        for part in plan.job.parts
    )
    return header, rows


def cut_list(plan: CutPlan, units: Unit = "mm") -> Table:
    """Return every cut in sawing order: where the fence stands, from which edge, and what the cut yields."""
    header = ("material", "sheet", "stock", "cut", "across", f"fence {units}", "from", "piece to cut", "yields")
    rows = tuple(
        (material.material, sheet.number, sheet.stock.name, *_cut(region, units))
        for material in plan.materials
        for sheet in material.sheets
        for region in _cut_regions(sheet.root)
    )
    return header, rows


def sheets_to_buy(plan: CutPlan) -> Table:
    """Return every size of sheet used, with its count, price each and sum, in the stock's currency."""
    header = ("material", "sheet", "count", "price", "sum")
    rows: list[Row] = []
    for material in plan.materials:
        used = [sheet.stock for sheet in material.sheets]
        for stock in dict.fromkeys(used):
            count = used.count(stock)
            total = round(math.fsum([stock.price] * count), 6)
            rows.append((material.material, stock.name, count, stock.price, total))
    return header, tuple(rows)


def _cut_regions(root: Region) -> list[Region]:
    """Return the regions that are cut, in the order of their cuts."""
    found = [(region.cut.number, region) for region in _walk(root) if region.cut]
    return [region for _, region in sorted(found, key=lambda pair: pair[0])]


def _walk(root: Region) -> Iterator[Region]:
    waiting = [root]
    while waiting:
        region = waiting.pop()
        yield region
        waiting += region.pieces


def _cut(region: Region, units: Unit) -> Row:
    cut = region.cut
    if cut is None:
        return ()
    edge = "left" if cut.across == "length" else "bottom"
    yields = " + ".join(_piece(piece, units) for piece in region.pieces)
    return cut.number, cut.across, _said(cut.at, units), edge, _size(region, units), yields


def _piece(region: Region, units: Unit) -> str:
    if region.kind == "part":
        return f"{region.part} {_size(region, units)}{' (turned)' if region.turned else ''}"
    return f"{region.kind or 'piece'} {_size(region, units)}"


def _size(region: Region, units: Unit) -> str:
    return f"{_said(region.length, units)} × {_said(region.width, units)}"


def _said(mm: float, units: Unit) -> str:
    return format_length(mm, units, denominator=_DENOMINATOR)
