"""The referee: proves from the trees of cuts alone that a plan keeps every rule; shares no code with the search."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from layout.cutting.referee_cost import cost_faults
from layout.cutting.referee_fit import is_plain, may_fit
from layout.cutting.referee_numbers import walk
from layout.cutting.referee_sheet import sheet_faults
from layout.errors import RefereeError
from layout.model.cutting import CutPlan, MaterialPlan, Part, Stock


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
    numbers = [sheet.number for sheet in material.sheets]
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"{material.material}: the sheets are numbered {numbers}"
    yield from cost_faults(plan, material)
    yield from _unplaced(plan, material)


def _unplaced(plan: CutPlan, material: MaterialPlan) -> Iterator[str]:
    """Check that a part is missing only for want of sheets: none is left on which it surely fits."""
    parts = {part.name: part for part in plan.job.parts if part.material == material.material}
    left = _left(plan, material)
    for name in dict.fromkeys(material.unplaced):
        if name not in parts:
            yield f"{material.material}: {name!r} is said to be missing, but is no part of it"
            continue
        fitting = [stock.name for stock in left if _surely_fits(plan, parts[name], stock)]
        if fitting:
            yield f"{material.material}: {name!r} is said to be missing, but {fitting[0]!r} is left and takes it"


def _left(plan: CutPlan, material: MaterialPlan) -> list[Stock]:
    """Return the sheets of which one more can be had."""
    used = Counter(sheet.stock for sheet in material.sheets)
    offered = [stock for stock in plan.job.stocks if stock.material == material.material]
    return [stock for stock in offered if stock.count is None or used[stock] < stock.count]


def _surely_fits(plan: CutPlan, part: Part, stock: Stock) -> bool:
    return is_plain(plan.job, stock) and may_fit(plan.job, part, stock)


def _counts(plan: CutPlan) -> Iterator[str]:
    roots = [sheet.root for material in plan.materials for sheet in material.sheets]
    cut = Counter(leaf.part for root in roots for leaf in walk(root) if not leaf.pieces and leaf.kind == "part")
    missing = Counter(plan.unplaced)
    for part in plan.job.parts:
        times, short = cut.pop(part.name, 0), missing[part.name]
        if times + short != part.count:
            said = f" and said to be missing {short} times" if short else ""
            yield f"part {part.name!r} is cut {times} times{said}, wanted {part.count}"
    yield from (f"part {name!r} is cut {times} times, but nobody asked for it" for name, times in cut.items())


def _stock_counts(plan: CutPlan) -> Iterator[str]:
    used = Counter(sheet.stock for material in plan.materials for sheet in material.sheets)
    for stock, times in used.items():
        if stock not in plan.job.stocks:
            yield f"sheet {stock.name!r} of {stock.material} is used {times} times, but is not in the job"
        elif stock.count is not None and times > stock.count:
            yield f"sheet {stock.name!r} of {stock.material} is used {times} times, but {stock.count} are on hand"
