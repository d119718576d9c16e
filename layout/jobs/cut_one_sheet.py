"""The verb ``cut`` with one sheet: which of the parts it yields, for the greatest area, and with which cuts."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches

from layout.cutting.effort import Effort
from layout.cutting.one_sheet.plan import OneSheetPlan, plan_one_sheet
from layout.errors import Fault, InputError, ValueFaultError
from layout.model.cutting import CutJob, CutPlan, MaterialPlan, Stock

# Steps of the search; counted in work, so that the same job gives the same sheet.
_NODES = {"quick": 50_000, "normal": 400_000, "long": 4_000_000}


def one_sheet(job: CutJob, name: str, effort: Effort) -> OneSheetPlan:
    """Return the parts of greatest total area that the sheet called `name` yields, with its cuts.

    Raises
    ------
    InputError
        When no sheet is called so, or the job makes no sense.
    """
    stock = _named(job, name)
    if effort.tell:
        effort.tell(f"one sheet of {stock.material}")
    nodes = _NODES[effort.level]
    try:
        return plan_one_sheet(job, stock.material, stock.name, most_nodes=nodes, seconds=effort.seconds)
    except ValueFaultError as error:
        raise InputError([Fault("cut", 0, 0, ".".join(error.path), error.text)]) from None


def as_plan(made: OneSheetPlan) -> CutPlan:
    """Return the sheet as a plan of just the parts on it, for the lists and the diagram."""
    counts = dict(made.parts)
    parts = tuple(replace(part, count=counts[part.name]) for part in made.job.parts if part.name in counts)
    material = MaterialPlan(
        material=made.material, sheets=(made.sheet,), cost=made.sheet.stock.price, bound=min(1, len(parts)),
        proven=made.proven, ended="proven" if made.proven else "budget",
    )  # fmt: skip
    return CutPlan(job=replace(made.job, parts=parts), materials=(material,))


def one_sheet_words(made: OneSheetPlan) -> str:
    """Return in plain words what the sheet yields, how full it is, and what is left for another."""
    stock, wanted = made.sheet.stock, [part for part in made.job.parts if part.material == made.material]
    whole, counts = stock.length * stock.width, dict(made.parts)
    known = "no other choice covers more" if made.proven else f"more than {made.bound / whole:.1%} is impossible"
    lines = [
        f"one sheet of {stock.name!r}: {sum(counts.values())} of {sum(part.count for part in wanted)} pieces,"
        f" {made.value / whole:.1%} of its area; {known}"
    ]
    lines += [f"  {count} × {name}" for name, count in made.parts]
    left = [f"{rest} × {part.name}" for part in wanted if (rest := part.count - counts.get(part.name, 0))]
    return "\n".join([*lines, f"left for another sheet: {', '.join(left) or 'nothing'}"]) + "\n"


def _named(job: CutJob, name: str) -> Stock:
    found = next((stock for stock in job.stocks if stock.name == name), None)
    if found is None:
        names = [stock.name for stock in job.stocks]
        near = get_close_matches(name, names, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"there are: {', '.join(names)}"
        raise InputError([Fault("cut", 0, 0, "--one-sheet", f"no sheet is called {name[:60]!r}; {hint}")])
    return found
