"""Plan the cuts of a job: material after material, each plan refereed before anyone sees it."""

from __future__ import annotations

import math
from dataclasses import replace

from layout.cutting.bound import fewest_sheets, proves
from layout.cutting.fit import kinds
from layout.cutting.job_check import check_job
from layout.cutting.openings import openings
from layout.cutting.referee import require
from layout.cutting.search import Answer, Question, best_answer
from layout.cutting.values import Opening, Saw
from layout.errors import NotEnoughSheetsError
from layout.model.cutting import CutJob, CutPlan, CutSheet, MaterialPlan


def plan_cuts(job: CutJob) -> CutPlan:
    """Return a plan that cuts every part of `job`, as cheap as was found; the same job gives the same plan.

    All lengths are taken on a grid of 125 nm: parts, kerf and trim round up to it, sheets round down.

    Raises
    ------
    ValueFaultError
        When the job makes no sense: a size, count or price below zero, a name given twice.
    PartTooLargeError
        When a part fits on no sheet of its material.
    NotEnoughSheetsError
        When a material has no sheet, or no plan was found with the sheets on hand.
    RefereeError
        When the plan found breaks a rule: a defect of this program.
    """
    check_job(job)
    materials = dict.fromkeys(part.material for part in job.parts)
    plan = CutPlan(job=job, materials=tuple(_material(job, material) for material in materials))
    require(plan)
    return plan


def _material(job: CutJob, material: str) -> MaterialPlan:
    question = _question(job, material)
    answer = best_answer(question)
    if answer is None:
        raise NotEnoughSheetsError(_not_enough(job, material, question))
    sheets = tuple(
        CutSheet(number=i + 1, stock=filled.opening.stock, root=root)
        for i, (filled, root) in enumerate(zip(answer.sheets, answer.trees, strict=True))
    )
    return MaterialPlan(
        material=material,
        sheets=sheets,
        cost=math.fsum(sheet.stock.price for sheet in sheets),
        bound=question.bound,
        proven=proves(answer.sheets, question.openings, question.bound),
    )


def _question(job: CutJob, material: str) -> Question:
    offered = openings(job, material)
    wanted = kinds(job, material, offered)
    used = tuple(opening for opening in offered if any(opening.holds(way) for kind in wanted for way in kind.ways))
    saw = Saw.of(job)
    return Question(kinds=wanted, openings=used, saw=saw, bound=fewest_sheets(wanted, used, saw.kerf))


def _not_enough(job: CutJob, material: str, question: Question) -> str:
    """Say what is on hand, and what would do: found by planning with as many sheets as it takes."""
    on_hand = ", ".join(f"{opening.stock.count} × {opening.stock.name!r}" for opening in question.openings)
    pieces = sum(kind.count for kind in question.kinds)
    text = f"{pieces} pieces of {material!r} do not fit on the sheets on hand ({on_hand})"
    answer = best_answer(replace(question, openings=tuple(_unlimited(opening) for opening in question.openings)))
    return f"{text}; {_would_do(answer, question)}"


def _unlimited(opening: Opening) -> Opening:
    return replace(opening, stock=replace(opening.stock, count=None))


def _would_do(answer: Answer | None, question: Question) -> str:
    least = f"no plan can do with fewer than {question.bound}"
    if answer is None:
        return f"{least}; have more sheets"
    names = [sheet.opening.stock.name for sheet in answer.sheets]
    needed = ", ".join(f"{names.count(name)} × {name!r}" for name in dict.fromkeys(names))
    return f"the best plan found needs {needed}, and {least}"
