"""Plans made from openings without the search: one opening, filled sheet after sheet until the parts are cut."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from layout.cutting.fit import ways
from layout.cutting.openings import openings
from layout.cutting.rectpack_engine import How, arranged, fill
from layout.cutting.tree import cut_tree
from layout.cutting.values import Filled, Kind, Opening, Saw
from layout.model.cutting import CutJob, CutPlan, CutSheet, MaterialPlan, Preference

_HOW = How(method="BafSas", order="area", lay="best")


def one_sheet(job: CutJob, opening: Opening, prefer: Preference = "breakdown") -> CutPlan:
    """Return a plan of one sheet opened in one way, its job asking for just what went on it."""
    kinds = tuple(Kind(name=part.name, ways=ways(part), count=part.count) for part in job.parts)
    filled = Filled(opening=opening, laid=fill(opening, Saw.of(job).kerf, arranged(kinds, _HOW), _HOW))
    root = cut_tree(filled, Saw.of(job), prefer)
    assert root is not None
    cut = Counter(laid.name for laid in filled.laid)
    parts = tuple(replace(part, count=cut[part.name]) for part in job.parts if cut[part.name])
    sheet = CutSheet(number=1, stock=opening.stock, root=root)
    material = opening.stock.material
    plan = MaterialPlan(material=material, sheets=(sheet,), cost=opening.stock.price, bound=0, proven=False)
    return CutPlan(job=replace(job, parts=parts), materials=(plan,) if parts else ())


def all_sheets(job: CutJob, prefer: Preference = "breakdown") -> list[CutPlan]:
    """Return a plan of one sheet for every opening of a job of one material on which something went."""
    plans = [one_sheet(job, opening, prefer) for opening in openings(job, job.parts[0].material)]
    return [plan for plan in plans if plan.materials]


def most_cut(job: CutJob) -> int:
    """Return the most pieces that one sheet yields, over all openings, filled plainly."""
    return max(sum(part.count for part in plan.job.parts) for plan in all_sheets(job))
