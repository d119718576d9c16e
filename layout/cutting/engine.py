"""Plan the cuts of a job: material after material, each plan refereed before anyone sees it."""

from __future__ import annotations

import math
import time
from collections import Counter
from dataclasses import replace

from layout.cutting.bounds.points import cheapest_choice
from layout.cutting.effort import Effort
from layout.cutting.fit import kinds
from layout.cutting.grid import ticks_up
from layout.cutting.job_check import check_job
from layout.cutting.openings import openings
from layout.cutting.proof import proofs_of, why
from layout.cutting.quick import Question
from layout.cutting.referee import require
from layout.cutting.solve import Begun, Solution, begin, finish
from layout.cutting.tidy import tidied
from layout.cutting.values import Opening, Saw
from layout.errors import RefereeError
from layout.model.cutting import CutJob, CutPlan, CutSheet, MaterialPlan, Stock

_NO_LIMIT = 1 << 62


def plan_cuts(job: CutJob, effort: Effort = Effort()) -> CutPlan:  # noqa: B008 (frozen, so that one default serves all)
    """Return a plan that cuts every part of `job`, as cheap as was found; the same job gives the same plan.

    All lengths are taken on a grid of 125 nm: parts, kerf and trim round up to it, sheets round down. Where
    the sheets on hand do not do, the plan says which parts are left over. A time limit counts for each
    material in turn, by its share of the pieces.

    Raises
    ------
    ValueFaultError
        When the job makes no sense: a size, count or price below zero, a name given twice.
    PartTooLargeError
        When a part fits on no sheet of its material.
    NotEnoughSheetsError
        When a material has no sheet at all.
    RefereeError
        When the plan found breaks a rule: a defect of this program.
    """
    check_job(job)
    materials = list(dict.fromkeys(part.material for part in job.parts))
    start = time.perf_counter()
    begun = {material: begin(_question(job, material)) for material in materials}
    # What is done at once leaves its time to the rest.
    hard = {m: sum(k.count for k in b.question.kinds) for m, b in begun.items() if not b.is_done}
    if hard:
        start += _loading(effort)
    clock = _Shares(effort=effort, pieces=hard, start=start)
    # The small ones first: what they leave of their time is worth most to the large ones.
    order = sorted(materials, key=lambda material: hard.get(material, 0))
    planned = {material: _material(job, material, begun[material], clock.of(material)) for material in order}
    plan = CutPlan(job=job, materials=tuple(planned[material] for material in materials))
    require(plan)
    return plan


def _loading(effort: Effort) -> float:
    """Load the deep search, and say so where it must be compiled; return how long that took (seconds)."""
    from layout.cutting.goal.jit import is_compiled
    from layout.cutting.goal.load import load

    start = time.perf_counter()
    if effort.tell is not None and not is_compiled():
        effort.tell("compiling the deep search, once on this machine, about 20 s")
    load()
    return time.perf_counter() - start


class _Shares:
    """Shares the seconds out; what one material leaves goes to those after it."""

    def __init__(self, effort: Effort, pieces: dict[str, int], start: float) -> None:
        self.effort, self.pieces, self.start = effort, dict(pieces), start

    def of(self, material: str) -> Effort:
        seconds = self.effort.seconds
        if seconds is None or material not in self.pieces:
            return self.effort
        left = max(0.0, seconds - (time.perf_counter() - self.start))
        share = left * self.pieces[material] / sum(self.pieces.values())
        del self.pieces[material]
        return replace(self.effort, seconds=share)


def _question(job: CutJob, material: str) -> Question:
    offered = openings(job, material)
    wanted = kinds(job, material, offered)
    used = tuple(opening for opening in offered if any(opening.holds(way) for kind in wanted for way in kind.ways))
    saw = Saw.of(job)
    kerf = min(saw.kerf, ticks_up(job.shop.kerf)) if job.shop else saw.kerf
    rooms = _rooms(job, used)
    # A way that none of the openings chosen holds may still be cut from the whole sheet.
    bounded = wanted if rooms is used else kinds(job, material, (*used, *rooms))
    return Question(kinds=wanted, openings=used, saw=saw, rooms=rooms, room_kinds=bounded, room_kerf=kerf)


def _rooms(job: CutJob, used: tuple[Opening, ...]) -> tuple[Opening, ...]:
    """Return openings that hold whatever any cutting frees: the plain sheets, where shop or damage leave a choice.

    The openings of such a sheet are a sensible choice of all there are, so that they prove nothing.
    """
    if job.shop is None and not any(opening.stock.damage for opening in used):
        return used
    stocks = tuple({id(opening.stock): opening.stock for opening in used}.values())
    return tuple(
        replace(opening, stock=stock) for stock in stocks for opening in openings(_plain(job, stock), stock.material)
    )


def _plain(job: CutJob, stock: Stock) -> CutJob:
    """Return the job with that stock only, whole, and without a shop."""
    return replace(job, shop=None, stocks=(replace(stock, damage=()),))


def _material(job: CutJob, material: str, begun: Begun, effort: Effort) -> MaterialPlan:
    start, question = time.perf_counter() - begun.seconds, begun.question
    solution = finish(begun, effort)
    trees = tidied(question, solution.sheets, job.prefer)
    if trees is None:
        raise RefereeError(f"{material}: no edge-to-edge cuts free all pieces of the plan found")
    sheets = tuple(
        CutSheet(number=i + 1, stock=filled.opening.stock, root=root) for i, (filled, root) in enumerate(trees)
    )
    cost = math.fsum(sheet.stock.price for sheet in sheets)
    least = solution.prices.money(solution.least) if not solution.unplaced else 0.0
    proven = not solution.unplaced and solution.ended == "proven"
    return MaterialPlan(
        material=material,
        sheets=sheets,
        cost=cost,
        bound=_fewest(solution),
        proven=proven,
        least_cost=cost if proven else min(least, cost),
        why=why(question, solution),
        proof=proofs_of(question, solution),
        rests_on=solution.rests_on,
        unplaced=tuple(Counter(solution.unplaced).elements()),
        tries=solution.tries,
        seconds=time.perf_counter() - start,
        ended=solution.ended,
    )


def _fewest(solution: Solution) -> int:
    """Return a number of sheets that no plan can go below, at whatever cost."""
    prices = solution.prices
    if len(prices.stocks) == 1 or prices.counts_sheets:
        by_cost = solution.least // prices.whole[0]
        return len(solution.sheets) if solution.ended == "proven" else min(by_cost, len(solution.sheets))
    choice = cheapest_choice(solution.points, (1,) * len(prices.stocks), prices.left, _NO_LIMIT)
    return min(sum(choice) if choice else 0, len(solution.sheets))
