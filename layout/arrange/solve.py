"""One search: a first arrangement quickly, then better ones, with the most that any can reach."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from signal import SIGINT, getsignal, signal
from threading import current_thread, main_thread
from typing import Any, Literal

from layout.arrange.grid import Grid, values_of
from layout.arrange.problem import Place, Problem
from layout.arrange.pull import Pulled
from layout.arrange.score import Score
from layout.arrange.ways_model import Chain

_ALMOST = 0.9  # of a budget: what is that near to its end has used it
Verdict = Literal["impossible", "not found", "found"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Budget:
    """How much work is done: seconds by the solver's own count of work, the same on every machine; and the seed."""

    work: float = 10.0
    seed: int = 1
    seconds: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What a search found: places, their figure and the most that any reach; `proven` that there is none better.

    `stopped`: somebody stopped it before its budget was used.
    """

    verdict: Verdict
    places: tuple[Place, ...] = ()
    score: int = 0
    bound: int = 0
    most: int = 0
    proven: bool = False
    work: float = 0.0
    parts: tuple[tuple[str, int], ...] = ()
    stopped: bool = False


@dataclass
class Search:
    """A model that may be asked again and again, each time with more that is ruled out."""

    problem: Problem
    step: float = 10.0
    grid: Grid = field(init=False)
    score: Score = field(init=False)

    def __post_init__(self) -> None:
        """Make the model."""
        self.grid = Grid(self.problem, self.step)
        self.chains = [Chain(self.grid, walk) for walk in self.problem.walks]
        by_state = {chain.walk.state: chain for chain in self.chains}
        for pull in (p for p in self.problem.pulls if self.grid.spots[p.stand].forms):
            Pulled(self.grid, pull, by_state.get(pull.state))
        self.score = Score(self.grid, self.chains)

    def first(self, budget: Budget) -> Answer:
        """Return any arrangement, quickly."""
        self.grid.model.clear_objective()  # type: ignore[no-untyped-call]
        return self._asked(budget, None)

    def best(self, budget: Budget, begin: Sequence[Place] = (), tell: Callable[[Answer], None] | None = None) -> Answer:
        """Return the best arrangement found, from `begin` on; `tell` hears of each better one."""
        self.grid.model.maximize(self.score.total)
        if begin:
            self.grid.hint(begin)
        return self._asked(budget, tell)

    def fullest(self, budget: Budget, worth: Mapping[str, int]) -> Answer:
        """Return the answer with the most in it, by the worth of one thing of each stand."""
        spots = self.grid.spots
        held = [
            form.holds * value * spots[name].forms[key]
            for name, value in worth.items() for key, form in spots[name].by_key.items()
        ]  # fmt: skip
        self.grid.model.maximize(sum(held))
        return self._asked(budget, None)

    def at_least(self, score: int) -> None:
        """Ask from now on only for arrangements with at least that figure."""
        self.grid.model.add(self.score.total >= score)

    def _asked(self, budget: Budget, tell: Callable[[Answer], None] | None) -> Answer:
        from ortools.sat.python import cp_model

        solver = solver_with(budget)
        told = _Told(self, tell) if tell else None
        status = solved(solver, self.grid.model, told.callback if told else None)
        known = {cp_model.OPTIMAL: True, cp_model.FEASIBLE: False}
        stopped = status in (cp_model.FEASIBLE, cp_model.UNKNOWN) and _is_stopped(solver, budget)
        if status not in known:
            verdict: Verdict = "impossible" if status == cp_model.INFEASIBLE else "not found"
            return Answer(verdict=verdict, work=_work(solver), stopped=stopped)
        found = self.answer(
            values_of(solver), bound=round(solver.best_objective_bound), proven=known[status], work=_work(solver)
        )
        return replace(found, stopped=stopped)

    def answer(self, value: Any, *, bound: int, proven: bool, work: float) -> Answer:
        """Return a solution as an answer."""
        return Answer(
            verdict="found", places=self.grid.places(value), score=value(self.score.total), bound=bound,
            most=self.score.most, proven=proven, work=work,
            parts=tuple((kind, value(part)) for kind, _, part in self.score.parts),
        )  # fmt: skip

    def rule_out(self, places: Iterable[Place], names: Iterable[str], radius: float = 60.0) -> None:
        """Rule out that the stands of those names are in the same forms, each within `radius` mm of the same place."""
        chosen = {p.stand: p for p in places}
        lits: list[Any] = []
        model, reach = self.grid.model, round(radius * 10)
        for name in names:
            spot = self.grid.spots.get(name)
            if spot is None or spot.stand.fixed is not None or name not in chosen:
                continue
            place = chosen[name]
            if place.form is None:
                lits.append(spot.used)
                continue
            lits.append(~spot.forms[place.form.key])
            for expression, at in ((spot.x, place.at[0]), (spot.y, place.at[1])):
                for sign in (1, -1):
                    lit = model.new_bool_var("")
                    model.add(sign * expression >= sign * round(at * 10) + reach).only_enforce_if(lit)
                    lits.append(lit)
        model.add_bool_or(lits)


def solver_with(budget: Budget) -> Any:
    """Return a solver that does the same work for the same seed: one core, and a limit that is no clock's."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    # No linear relaxation: on these models it costs more than it shows (measured: optimum in a third of the work).
    solver.parameters.linearization_level = 0
    solver.parameters.random_seed = budget.seed
    solver.parameters.max_deterministic_time = budget.work
    if budget.seconds is not None:
        solver.parameters.max_time_in_seconds = budget.seconds
    return solver


def solved(solver: Any, model: Any, callback: Any = None) -> Any:
    """Return the status of solving; Ctrl-C is heard again afterwards, which the library leaves deaf."""
    handler = getsignal(SIGINT)
    try:
        return solver.solve(model, callback)
    finally:
        if handler is not None and current_thread() is main_thread():
            signal(SIGINT, handler)


def _is_stopped(solver: Any, budget: Budget) -> bool:
    """Return whether the search ended before its budget was used: so the library ends it on Ctrl-C, untold."""
    spent = budget.seconds is not None and solver.wall_time >= budget.seconds * _ALMOST
    return not spent and _work(solver) < budget.work * _ALMOST


def _work(solver: Any) -> float:
    return float(solver.response_proto.deterministic_time) if hasattr(solver, "response_proto") else 0.0


class _Told:
    """Passes each better arrangement on."""

    def __init__(self, search: Search, tell: Callable[[Answer], None]) -> None:
        from ortools.sat.python import cp_model

        class Callback(cp_model.CpSolverSolutionCallback):
            def on_solution_callback(self) -> None:
                tell(search.answer(lambda x: int(x) if isinstance(x, (bool, int)) else int(self.value(x)),
                                   bound=round(self.best_objective_bound), proven=False, work=0.0))  # fmt: skip

        self.callback = Callback()
