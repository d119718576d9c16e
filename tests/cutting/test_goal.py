"""The parts of the search for a cheaper plan: plans from patterns, and windows on a plan of many pieces."""

from __future__ import annotations

import random

import numpy as np
import pytest

from layout.cutting.goal.arrays import Pool, State, Task, task
from layout.cutting.goal.chain import Chain, strings_of
from layout.cutting.goal.covering import Covering
from layout.cutting.goal.rounding import lay_patterns, rounded
from layout.cutting.goal.windows import Windows
from layout.cutting.values import Blank, Kind, Opening, Way
from layout.model.cutting import Stock

_SIDE = 100


def _task(seed: int, pieces: int) -> Task:
    """Return pieces of 10 to 60 on sheets of 100 × 100, half of which may be turned; no kerf."""
    dice = random.Random(seed)
    kinds = []
    for k in range(pieces):
        long, wide = dice.randint(10, 60), dice.randint(10, 60)
        ways = [Way(length=long, width=wide, turned=False), Way(length=wide, width=long, turned=True)]
        kinds.append(Kind(name=f"p{k}", ways=tuple(ways[: 1 + k % 2]), count=1))
    sheet = Opening(
        stock=Stock(name="s", material="m", length=100.0, width=100.0), length=_SIDE, width=_SIDE,
        blanks=(Blank(x=0, y=0, length=_SIDE, width=_SIDE),),
    )  # fmt: skip
    return task(tuple(kinds), (sheet,), 0, (1,))


def _placed(sheets: list[tuple[int, list[int]]]) -> list[int]:
    return sorted(n // 2 for _, numbers in sheets for n in numbers if n >= 0)


def _searched(of: Task, seed: int) -> Chain:
    chain = Chain(of=of, seed=seed, pool=Pool.of(500))
    chain.first_plans()
    assert chain.best is not None
    chain.aim(chain.best.cost - 1)
    chain.step(500)
    return chain


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_laid_from_its_own_strings_is_the_same_plan(seed: int) -> None:
    """Protects plans begun from patterns: a tree read back holds the same pieces, and lies on the same sheets."""
    of = _task(seed, 40)
    written = strings_of(_searched(of, seed).state, of)
    again = State.empty(of, 1)
    lay_patterns(again, written, of, goal=1000)
    found = strings_of(again, of)
    assert [_placed([sheet]) for sheet in found] == [_placed([sheet]) for sheet in written]
    assert sorted(again.unplaced + _placed(found)) == list(range(of.pieces))
    assert again.cost == len(written)


@pytest.mark.parametrize("seed", range(6))
def test_patterns_rounded_from_the_relaxed_covering_make_a_plan(seed: int) -> None:
    """Protects the same: what begins from rounded patterns keeps to the goal, and loses and doubles no piece."""
    of = _task(seed, 40)
    chain = _searched(of, seed)
    covering = Covering([chain.pool], of)
    assert covering.least > 0
    chain.begin_with(rounded(covering.shares, covering.pools, of, np.random.RandomState(seed)))
    assert chain.state.cost <= chain.goal
    assert sorted(chain.state.unplaced + _placed(strings_of(chain.state, of))) == list(range(of.pieces))
    # The search goes on from there on sound trees.
    chain.step(200)
    assert sorted(chain.state.unplaced + _placed(strings_of(chain.state, of))) == list(range(of.pieces))


@pytest.mark.parametrize("seed", range(4))
def test_windows_leave_no_more_unplaced_and_lose_nothing(seed: int) -> None:
    """Protects plans of many pieces: window after window all pieces stay, once each, within the goal."""
    of = _task(seed, 150)
    chain = _searched(of, seed)
    assert chain.best is not None
    goal = chain.best.cost - 1
    windows = Windows(of=of, seed=seed)
    windows.begin(strings_of(chain.best, of), goal)
    before = int(of.weights[windows.unplaced].sum())
    for _ in range(4):
        drawn = windows.draw(2)
        assert not set(drawn[0].pieces) & set(drawn[-1].pieces) or len(drawn) == 1
        windows.take(drawn, [windows.search(window) for window in drawn])
        assert sorted(windows.unplaced + _placed(windows.sheets)) == list(range(of.pieces))
        assert len(windows.sheets) <= goal
    assert int(of.weights[windows.unplaced].sum()) <= before
