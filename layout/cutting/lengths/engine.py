"""Plan the cuts of bars: material after material, each plan refereed before anyone sees it."""

from __future__ import annotations

import time
from dataclasses import replace

from layout.cutting.lengths.build import build
from layout.cutting.lengths.job_check import check_job
from layout.cutting.lengths.leftover import with_long_leftover
from layout.cutting.lengths.proof import Known
from layout.cutting.lengths.question import question
from layout.cutting.lengths.quick_walls import length_wall
from layout.cutting.lengths.referee import require, too_long_to_check
from layout.cutting.lengths.solve import Search
from layout.cutting.lengths.values import Question
from layout.model.lengths import BarJob, BarMaterial, BarPlan


def plan_bars(job: BarJob, seconds: float | None = None) -> BarPlan:
    """Return a plan that cuts every part of `job`, as cheap as was found, and what is proven of it.

    Plans are ordered by pieces missing, cost, bars to buy, all bars; then the longest leftover that was found is
    gathered on one bar. All lengths are taken on a grid of 125 nm: parts, kerf and trim round up, bars down.

    Parameters
    ----------
    job
        Parts and bars in mm. When the bars on hand do not do, the plan names the pieces that are missing.
    seconds
        The search of better plans and proofs ends after so many seconds, at the next step; None: it ends by work
        done, so that the same job gives the same plan everywhere.

    Raises
    ------
    ValueFaultError
        When the job makes no sense: a size, count or price below zero, a name given twice.
    PartTooLargeError
        When a part is longer than every bar of its material.
    NotEnoughSheetsError
        When a material has no bar at all.
    RefereeError
        When the plan found breaks a rule: a defect of this program.
    """
    check_job(job)
    deadline = None if seconds is None else time.monotonic() + seconds
    asked = [question(job, material) for material in dict.fromkeys(part.material for part in job.parts)]
    plan = BarPlan(job=job, materials=tuple(_material(job, each, deadline) for each in asked))
    require(plan)
    return plan


def _material(job: BarJob, asked: Question, deadline: float | None) -> BarMaterial:
    search = Search(asked, deadline)
    search.run()
    loads = with_long_leftover(asked, search.plan)
    for known in _weaker(asked, search.known):
        made = build(job, asked, loads, known)
        if not too_long_to_check(job, made):
            return made
    return build(job, asked, loads, Known())


def _weaker(asked: Question, known: Known) -> tuple[Known, ...]:
    """Return what is known, then less and less of it: a claim that cannot be checked again is not made."""
    if not asked.sizes:
        return (known,)
    return known, replace(known, tried=()), Known(walls=(length_wall(asked),))
