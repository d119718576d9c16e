"""The referee's rules for what a plan costs and what it claims about plans that would cost less."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from layout.cutting.referee_fit import is_plain, may_fit
from layout.cutting.referee_numbers import down
from layout.cutting.referee_proof import proof_faults
from layout.model.cutting import CutPlan, MaterialPlan, Stock

# Prices are decimals, sums of floats miss them by a little.
_NEAR = 1e-9
_ENDED = ("proven", "budget", "time", "stopped")


def cost_faults(plan: CutPlan, material: MaterialPlan) -> Iterator[str]:
    """Yield a sentence for every wrong figure and every claim that does not follow."""
    name, used = material.material, len(material.sheets)
    cost = math.fsum(sheet.stock.price for sheet in material.sheets)
    if not math.isclose(cost, material.cost, rel_tol=1e-12, abs_tol=_NEAR):
        yield f"{name}: the sheets cost {cost}, the plan says {material.cost}"
    # Parts that are not placed would need sheets of their own, so the bound may be more than is used.
    if material.bound < 0 or (material.bound > used and not material.unplaced):
        yield f"{name}: {used} sheets are used, but the bound is {material.bound}"
    if not 0 <= material.least_cost <= material.cost + _NEAR:
        yield f"{name}: no plan costs less than {material.least_cost}, it says, but this one costs {material.cost}"
    if material.tries < 0 or not (math.isfinite(material.seconds) and material.seconds >= 0):
        yield f"{name}: {material.tries} tries in {material.seconds} s is no effort"
    if material.ended not in _ENDED:
        yield f"{name}: the search ended for {material.ended!r}, which is no reason"
    yield from (f"{name}: {sheet}" for sheet in _dear_offcuts(material))
    yield from _proof(plan, material)


def _dear_offcuts(material: MaterialPlan) -> Iterator[str]:
    for sheet in material.sheets:
        if sheet.stock.offcut and sheet.stock.price != 0:
            yield f"sheet {sheet.number} is on hand from an earlier job, but costs {sheet.stock.price}"


def _proof(plan: CutPlan, material: MaterialPlan) -> Iterator[str]:
    """Check that the claim follows: from the least cost where one is given, else from the bound.

    A least cost of 0 says nothing about a plan that costs something; what costs nothing needs no proof.
    """
    name, used = material.material, len(material.sheets)
    known = material.least_cost > 0
    free = abs(material.cost) <= _NEAR
    reached = known and material.cost <= material.least_cost + _NEAR
    if reached and not material.proven and not material.unplaced:
        yield f"{name}: no plan costs less than {material.least_cost} and this one costs no more, but it is not proven"
    if known or material.proven:
        yield from (f"{name}: {fault}" for fault in _dearer_than_need_be(plan, material))
    if material.proven and known and not reached:
        yield f"{name}: the cost of {material.cost} is called proven, but only {material.least_cost} is"
    if material.proven and not known and not free and not _follows_from_bound(plan, material):
        yield f"{name}: the cost is called proven, but {used} sheets with a bound of {material.bound} prove nothing"
    yield from (f"{name}: {fault}" for fault in proof_faults(plan.job, material))


def _follows_from_bound(plan: CutPlan, material: MaterialPlan) -> bool:
    """Return whether the cost is least by the bound: no fewer sheets can do, and none used is a dear one.

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


def _dearer_than_need_be(plan: CutPlan, material: MaterialPlan) -> Iterator[str]:
    """Yield a sentence when a sheet could simply be swapped for a cheaper one, which no least cost allows.

    Only among plain sheets, where a larger one with the same trims surely takes whatever a smaller one does.
    """
    if material.cost > material.least_cost + _NEAR and not material.proven:
        return
    used = Counter(sheet.stock for sheet in material.sheets)
    for stock in used:
        for other in plan.job.stocks:
            if other.price < stock.price and _takes_all_of(plan, other, stock) and _is_left(other, used):
                yield f"called least, but {stock.name!r} could be {other.name!r}, which costs less and is no smaller"


def _takes_all_of(plan: CutPlan, other: Stock, stock: Stock) -> bool:
    return (
        other.material == stock.material
        and other.trim == stock.trim
        and down(other.length) >= down(stock.length)
        and down(other.width) >= down(stock.width)
        and is_plain(plan.job, other)
    )


def _is_left(stock: Stock, used: Counter[Stock]) -> bool:
    return stock.count is None or used[stock] < stock.count
