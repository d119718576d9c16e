"""The search on small rooms against all arrangements of the same grid, gone through one by one."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from layout.arrange.build import build, rounding_of
from layout.arrange.conflict import conflict
from layout.arrange.grid import Grid
from layout.arrange.problem import Problem
from layout.arrange.solve import Answer, Budget, Search
from tests.arrange.oracle import Best, Oracle
from tests.arrange.small import ask_from, small_case

CASES = 100
#: Grids, mm, finest first: that is taken of which all combinations are gone through in about a tenth of a second.
_STEPS = (50, 75, 100, 150, 200, 300, 400, 600)
_MOST = 3e5


def _problem(seed: int) -> Problem:
    ask = ask_from(**small_case(random.Random(seed)))
    return replace(build(ask, rounding_of(ask)).problem, pulls=())


@cache
def _gone_through(seed: int) -> tuple[Problem, float, Oracle, Best | None]:
    problem = _problem(seed)
    oracles = (Oracle(problem, step) for step in _STEPS)
    oracle = next((o for o in oracles if o.size <= _MOST), None)
    assert oracle is not None
    return problem, oracle.step, oracle, oracle.best()


@pytest.mark.parametrize("seed", range(CASES))
def test_the_search_finds_the_best_of_all(seed: int) -> None:
    """Protects both claims of the search: it finds an arrangement exactly where there is one, and none is better.

    Random rooms with leaning walls, wells, posts and notches; one to four things with turns, rooms kept free round
    them, two bins that may be stacked, a thing on another, one that stays, one that goes out or moves at night; the
    wishes low, balance, reach, near, apart and stay. What comes out past what is left out here.
    """
    problem, step, oracle, best = _gone_through(seed)
    answer = Search(problem, step).best(Budget(work=5.0))

    if best is None:
        assert answer.verdict == "impossible"
    else:
        assert (answer.verdict, answer.proven, answer.score) == ("found", True, best.score)
        assert answer.bound == best.score
        assert _is_one(oracle, answer)
        assert Search(problem, step).first(Budget(work=5.0)).verdict == "found"


def _is_one(oracle: Oracle, answer: Answer) -> bool:
    """Return whether the answer is made of options of the oracle that all go together."""
    chosen = {}
    for place in answer.places:
        at = (round(place.at[0] * 10), round(place.at[1] * 10))
        known = [
            k for k, o in enumerate(oracle.options[place.stand])
            if (o.form is None and place.form is None)
            or (o.form is not None and place.form is not None and o.form.key == place.form.key
                and (o.x, o.y) == at and o.out == place.left_in)
        ]  # fmt: skip
        if not known:
            return False
        chosen[place.stand] = known[0]
    chosen |= {stand.name: 0 for stand in oracle.fixed}
    pairs = [(a, b) for a in chosen for b in chosen if a < b]
    return all(oracle.table(a, b)[chosen[a], chosen[b]] for a, b in pairs)


@pytest.mark.parametrize("seed", range(CASES // 2))
def test_what_there_is_is_never_called_impossible(seed: int) -> None:
    """Protects the proofs: of no case in which an arrangement exists a conflict is told."""
    *_, best = _gone_through(seed)
    if best is not None:
        assert conflict(ask_from(**small_case(random.Random(seed))), Budget(work=1.0)) is None


def test_the_cases_say_something() -> None:
    """Protects from an oracle that agrees with anything: enough cases are possible, enough are not, and few by a hair."""
    found = [_gone_through(seed) for seed in range(CASES)]
    counts = [best.count for *_, best in found if best is not None]

    assert len(counts) >= 60
    assert CASES - len(counts) >= 15
    assert sum(count < 100 for count in counts) >= 10
    assert sum(len(oracle.movers) >= 3 for _, _, oracle, _ in found) >= 30


def _no_gap(_grid: Grid, _a: object, _b: object) -> int:
    return 0


def _no_top(_grid: Grid) -> None:
    return None


@pytest.mark.parametrize(("method", "broken"), [("_gap", _no_gap), ("_carry", _no_top)])
def test_a_search_with_a_fault_is_caught(
    method: str, broken: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the comparison itself: without the gaps of loose things, or without tops, some case differs."""
    monkeypatch.setattr(Grid, method, broken)
    differ = 0
    for seed in range(CASES):
        problem, step, _, best = _gone_through(seed)
        answer = Search(problem, step).best(Budget(work=5.0))
        differ += (best is None) != (answer.verdict == "impossible") or (
            best is not None and answer.score != best.score
        )

    assert differ > 0
