"""Tables of a plan of cuts: plain rows for any writer of tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from layout.model.cutting import CutPlan, CutSheet, Region, Saws
from layout.model.sawing import Setting, Step, said_fence, settings, steps
from layout.units.length import Unit, format_length

Row = tuple[str | int | float, ...]
Table = tuple[tuple[str, ...], tuple[Row, ...]]

# The finest inch that a tape shows.
_DENOMINATOR = 64


def parts_list(plan: CutPlan, units: Unit = "mm") -> Table:
    """Return every part once, in the order of the job; lengths as texts in `units`."""
    header = (
        "part", "of", "material", "count", f"length {units}", f"width {units}", "grain", "good face", "edges",
    )  # fmt: skip
    rows = tuple(
        (
            part.name, part.unit, part.material, part.count, _said(part.length, units), _said(part.width, units),
            part.grain, "yes" if part.good_face else "", part.edges,
        )
        for part in plan.job.parts
    )  # fmt: skip
    return header, rows


def cut_list(plan: CutPlan, units: Unit = "mm", by: Saws = "home") -> Table:
    """Return the cuts of one saw, sheet after sheet in sawing order.

    A row says which piece is in hand, where the fence stands and from which edge of the piece, whether the
    piece is turned a quarter since its last cut, and what falls off. Cuts of one `setting` share the fence.
    """
    header = (
        "material", "sheet", "stock", "cut", "piece", f"size {units}", "turn", "setting", f"fence {units}", "from",
        "yields",
    )  # fmt: skip
    letters = settings(plan, units)
    rows = tuple(
        (material.material, sheet.number, sheet.stock.name, *_cut(step, letters, units))
        for material in plan.materials
        for sheet in material.sheets
        for step in steps(sheet)
        if step.cut.by == by
    )
    return header, rows


def fence_settings(plan: CutPlan, units: Unit = "mm") -> Table:
    """Return every fence distance that serves more than one cut, and the cuts that share it, sheet by sheet."""
    letters = settings(plan, units)
    shared: dict[Setting, list[str]] = {setting: [] for setting in letters}
    for material in plan.materials:
        for sheet in material.sheets:
            for setting, numbers in _by_setting(sheet, units).items():
                shared[setting].append(f"{material.material} {sheet.number}: {', '.join(numbers)}")
    rows = tuple(
        (by, letters[by, fence], fence, "; ".join(cuts))
        for (by, fence), cuts in shared.items()
        if len(cuts) > 1 or "," in cuts[0].rpartition(":")[2]
    )
    return ("who saws", "setting", f"fence {units}", "cuts by sheet"), rows


def sheets_to_buy(plan: CutPlan) -> Table:
    """Return every size of sheet that is bought, with its count, price each and sum, in the stock's currency."""
    header = ("material", "sheet", "count", "price", "sum")
    rows: list[Row] = []
    for material in plan.materials:
        used = [sheet.stock for sheet in material.sheets if not sheet.stock.offcut]
        for stock in dict.fromkeys(used):
            count = used.count(stock)
            total = round(math.fsum([stock.price] * count), 6)
            rows.append((material.material, stock.name, count, stock.price, total))
    return header, tuple(rows)


def _by_setting(sheet: CutSheet, units: Unit) -> dict[Setting, list[str]]:
    found: dict[Setting, list[str]] = {}
    for step in steps(sheet):
        found.setdefault((step.cut.by, said_fence(step, units)), []).append(step.number)
    return found


def _cut(step: Step, letters: dict[Setting, str], units: Unit) -> Iterator[str | int]:
    fence = said_fence(step, units)
    yield step.cut.number
    yield step.piece
    yield _size(step.region, units)
    yield "turn" if step.turn else ""
    yield letters[step.cut.by, fence]
    yield fence
    yield step.edge
    yield " + ".join(_piece(name, piece, units) for name, piece in step.yields)


def _piece(name: str, region: Region, units: Unit) -> str:
    if region.kind == "part":
        return f"{region.part} {_size(region, units)}{' (turned)' if region.turned else ''}"
    return f"{region.kind or name} {_size(region, units)}"


def _size(region: Region, units: Unit) -> str:
    return f"{_said(region.length, units)} × {_said(region.width, units)}"


def _said(mm: float, units: Unit) -> str:
    return format_length(mm, units, denominator=_DENOMINATOR)
