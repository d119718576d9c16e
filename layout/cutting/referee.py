"""The referee: proves from the trees of cuts alone that a plan keeps every rule; shares no code with the search."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from layout.cutting.referee_sheet import may_fit, sheet_faults
from layout.errors import RefereeError
from layout.model.cutting import CutPlan, CutSheet, MaterialPlan, Region


def require(plan: CutPlan) -> None:
    """Do nothing when the plan keeps every rule.

    Raises
    ------
    RefereeError
        Otherwise, with every broken rule.
    """
    broken = referee(plan)
    if broken:
        raise RefereeError("the plan of cuts breaks its own rules:\n" + "\n".join(broken))


def referee(plan: CutPlan) -> tuple[str, ...]:
    """Return a sentence for every rule that the plan breaks; nothing for a plan that can be sawn as it is."""
    return tuple(_faults(plan))


def _faults(plan: CutPlan) -> Iterator[str]:
    wanted = list(dict.fromkeys(part.material for part in plan.job.parts))
    found = [material.material for material in plan.materials]
    if found != wanted:
        yield f"the materials are {found}, the job asks for {wanted}"
    for material in plan.materials:
        yield from _material(plan, material)
        for sheet in material.sheets:
            where = f"{material.material}, sheet {sheet.number}"
            yield from (f"{where}: {fault}" for fault in sheet_faults(plan.job, material.material, sheet))
    yield from _counts(plan)
    yield from _stock_counts(plan)


def _material(plan: CutPlan, material: MaterialPlan) -> Iterator[str]:
    name, used = material.material, len(material.sheets)
    numbers = [sheet.number for sheet in material.sheets]
    if numbers != list(range(1, used + 1)):
        yield f"{name}: the sheets are numbered {numbers}"
    cost = math.fsum(sheet.stock.price for sheet in material.sheets)
    if not math.isclose(cost, material.cost, rel_tol=1e-12, abs_tol=1e-9):
        yield f"{name}: the sheets cost {cost}, the plan says {material.cost}"
    if not 0 <= material.bound <= used:
        yield f"{name}: {used} sheets are used, but the bound is {material.bound}"
    if material.proven and not _proven(plan, material):
        yield f"{name}: the cost is called proven, but {used} sheets with a bound of {material.bound} prove nothing"


def _proven(plan: CutPlan, material: MaterialPlan) -> bool:
    """Return whether the claim follows from the bound: no fewer sheets can do, and none used is a dear one.

    A sheet on which no part fits cannot lower the cost, so its price does not count.
    """
    parts = [part for part in plan.job.parts if part.material == material.material]
    usable = [
        stock.price
        for stock in plan.job.stocks
        if stock.material == material.material
        and stock.count != 0
        and any(may_fit(plan.job, part, stock) for part in parts)
    ]
    dearest = max((sheet.stock.price for sheet in material.sheets), default=0.0)
    return len(material.sheets) == material.bound and dearest <= min(usable, default=dearest)


def _counts(plan: CutPlan) -> Iterator[str]:
    sheets = [sheet for material in plan.materials for sheet in material.sheets]
    cut = Counter(leaf.part for sheet in sheets for leaf in _leaves(sheet) if leaf.kind == "part")
    for part in plan.job.parts:
        times = cut.pop(part.name, 0)
        if times != part.count:
            yield f"part {part.name!r} is cut {times} times, wanted {part.count}"
    yield from (f"part {name!r} is cut {times} times, but nobody asked for it" for name, times in cut.items())


def _stock_counts(plan: CutPlan) -> Iterator[str]:
    used = Counter(sheet.stock for material in plan.materials for sheet in material.sheets)
    for stock, times in used.items():
        if stock not in plan.job.stocks:
            yield f"sheet {stock.name!r} of {stock.material} is used {times} times, but is not in the job"
        elif stock.count is not None and times > stock.count:
            yield f"sheet {stock.name!r} of {stock.material} is used {times} times, but {stock.count} are on hand"


def _leaves(sheet: CutSheet) -> Iterator[Region]:
    waiting = [sheet.root]
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        if not region.pieces:
            yield region
