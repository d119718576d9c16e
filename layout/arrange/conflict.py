"""What cannot all be: the smallest set of what is asked that has no room, proven on a problem rounded outward."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from layout.arrange.ask import Ask
from layout.arrange.build import build, rounding_of, without
from layout.arrange.grid import Grid
from layout.arrange.problem import Problem
from layout.arrange.solve import Budget, Verdict, solved, solver_with

_FINE = 0.1  # mm: so fine a grid that rounding outward covers what lies between


@dataclass(frozen=True, kw_only=True, slots=True)
class Conflict:
    """Things and doors that cannot all be had; `minimal`: without any one of them the rest is not ruled out."""

    members: tuple[str, ...]
    minimal: bool


def conflict(ask: Ask, budget: Budget) -> Conflict | None:
    """Return the smallest conflict that is proven, None where nothing is ruled out.

    Only what must hold is looked at: that all is inside, that no two things meet, the room that things and doors must
    keep free. Rounding is outward, so that what has no room here has none at all. Members are found by leaving out one
    after another: what is still impossible without it is no part of the conflict.
    """
    problem = build(ask, rounding_of(ask, outward=True)).problem
    nowhere = [m for m in members_of(problem) if _has_no_place(problem, m)]
    if nowhere:
        return Conflict(members=(nowhere[0],), minimal=True)
    if ruled_out(problem, budget) != "impossible":
        return None
    minimal, left = True, list(members_of(problem))
    # The small are left out first, so that the conflict is told by the large.
    for member in sorted(left, key=lambda m: _size(problem, m)):
        rest = [m for m in left if m != member]
        verdict = ruled_out(only(problem, rest), budget)
        if verdict == "impossible":
            left = rest
        elif verdict == "not found":
            minimal = False
    return Conflict(members=tuple(left), minimal=minimal)


def members_of(problem: Problem) -> tuple[str, ...]:
    """Return what may be part of a conflict: units and groups that are free, things that stay, doors kept clear."""
    return tuple(dict.fromkeys(s.group for s in problem.stands if s.unit or s.fixed is not None or not s.absent))


def only(problem: Problem, members: Iterable[str]) -> Problem:
    """Return the problem with those members alone."""
    kept = set(members)
    left = without(problem, [m for m in members_of(problem) if m not in kept])
    names = {s.name for s in left.stands}
    needed = [s for s in left.stands if all(f.needs is None or f.needs[0] in names for f in s.forms)]
    linked = tuple(pair for pair in problem.linked if set(pair) <= {s.name for s in needed})
    return replace(left, stands=tuple(needed), linked=linked, wishes=(), walks=())


def ruled_out(problem: Problem, budget: Budget) -> Verdict:
    """Return whether the problem is proven impossible."""
    from ortools.sat.python import cp_model

    grid = Grid(replace(problem, wishes=(), walks=()), _FINE, outward=True)
    solver = solver_with(budget)
    status = solved(solver, grid.model)
    if status == cp_model.INFEASIBLE:
        return "impossible"
    return "found" if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else "not found"


def _has_no_place(problem: Problem, member: str) -> bool:
    mine = [s for s in problem.stands if s.group == member and s.fixed is None]
    return bool(mine) and any(not s.absent for s in mine) and any(not any(f.where for f in s.forms) for s in mine)


def _size(problem: Problem, member: str) -> float:
    def volume(boxes: Sequence[tuple[float, ...]]) -> float:
        return sum((b[3] - b[0]) * (b[4] - b[1]) * (b[5] - b[2]) for b in boxes)

    stands = [s for s in problem.stands if s.group == member]
    return max(
        (volume(b) for s in stands for f in s.forms for b in (*f.solids.values(), *f.zones.values())), default=0.0
    )
