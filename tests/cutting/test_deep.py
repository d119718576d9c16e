"""The deep search: right on tiny jobs by trying everything, the same on one core and two, compiled or not."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from functools import cache
from typing import Literal

import pytest

from layout.cutting import deep
from layout.cutting.as_json import as_json
from layout.cutting.bounds.points import Points, cheapest_choice
from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.cutting.referee import referee
from layout.cutting.tree import cut_tree
from layout.cutting.values import Blank, Filled, Laid, Opening, Saw, Way
from layout.model.cutting import CutJob, Part, Stock
from tests.cutting.every_cut import frees


def _hard(seed: int, pieces: int, *, sizes: int = 1) -> CutJob:
    """Return a job that the first engine does not settle: about as many long slim parts as short ones."""
    dice = random.Random(seed)
    parts = tuple(
        Part(
            name=f"p{i}", material="m", length=dice.randint(20, 95), width=dice.randint(8, 60),
            grain=dice.choice(["along", "free"]),
        )
        for i in range(pieces)
    )  # fmt: skip
    stocks = (
        Stock(name="large", material="m", length=100, width=100, price=10.0),
        Stock(name="small", material="m", length=100, width=50, price=5.6),
        Stock(name="square", material="m", length=70, width=70, price=6.1),
    )
    return CutJob(parts=parts, stocks=stocks[:sizes], kerf=1.0, smallest_offcut=5.0)


def _least_cost(pieces: tuple[tuple[int, int, bool], ...], stocks: tuple[Stock, ...], kerf: int) -> float:
    """Return the least cost of all, over every way to share the pieces out among sheets."""

    @cache
    def least(left: int) -> float:
        if not left:
            return 0.0
        best, low = float("inf"), left & -left
        chosen = left
        while chosen:
            if chosen & low:
                some = tuple(piece for i, piece in enumerate(pieces) if chosen >> i & 1)
                prices = [s.price for s in stocks if frees(int(s.length), int(s.width), some, kerf)]
                if prices:
                    best = min(best, min(prices) + least(left & ~chosen))
            chosen = (chosen - 1) & left
        return best

    return least(2 ** len(pieces) - 1)


@pytest.mark.parametrize("seed", range(60))
def test_jobs_of_up_to_seven_parts_against_every_plan(seed: int) -> None:
    """Protects the proof: cost and bound are the least cost of all, found by trying everything."""
    dice = random.Random(seed)
    kerf = seed % 2
    stocks = (
        Stock(name="a", material="m", length=7, width=5, price=10.0),
        Stock(name="b", material="m", length=5, width=4, price=6.5),
    )[: 1 + seed % 3 % 2]
    pieces = tuple(
        (dice.randint(1, 5), dice.randint(1, 4), bool(dice.randint(0, 1))) for _ in range(dice.randint(2, 7))
    )
    pieces = tuple(sorted(pieces))
    parts = tuple(
        Part(name=f"p{i}", material="m", length=a, width=b, grain="free" if turns else "along")
        for i, (a, b, turns) in enumerate(pieces)
    )
    job = CutJob(parts=parts, stocks=stocks, kerf=float(kerf), smallest_offcut=1.0)
    plan = plan_cuts(job)
    material = plan.materials[0]
    assert referee(plan) == ()
    assert material.cost == pytest.approx(_least_cost(pieces, stocks, kerf))
    assert material.proven
    assert material.least_cost == pytest.approx(material.cost)


@pytest.mark.parametrize(("seed", "sizes"), [(1, 1), (2, 1), (3, 3), (4, 3), (5, 2)])
def test_hard_jobs_are_right_and_bounded(seed: int, sizes: int) -> None:
    """Protects every claim: the plan passes the referee, no bound is above it, and a proven one meets it."""
    plan = plan_cuts(_hard(seed, 30, sizes=sizes), Effort(level="quick"))
    material = plan.materials[0]
    assert referee(plan) == ()
    assert 0 < material.least_cost <= material.cost
    assert material.proven == (material.least_cost == material.cost)
    assert material.why


@pytest.mark.parametrize(
    ("pieces", "sizes", "level"), [(40, 1, "quick"), (25, 3, "quick"), (60, 1, "normal"), (280, 1, "quick")]
)
def test_one_core_and_two_give_the_same_plan(
    monkeypatch: pytest.MonkeyPatch, pieces: int, sizes: int, level: Literal["quick", "normal"]
) -> None:
    """Protects printed labels: the plan does not depend on the number of cores, nor what it says of the search."""
    job = _hard(7, pieces, sizes=sizes)
    plans = []
    for cores in (1, 2):
        monkeypatch.setattr(deep.os, "cpu_count", lambda cores=cores: cores)
        said = as_json(plan_cuts(job, Effort(level=level)))
        plans.append(json.dumps(said))
    assert plans[0] == plans[1]


def test_without_a_compiler_the_plan_is_the_same() -> None:
    """Protects machines without one: plain Python comes to the same plan, more slowly."""
    code = (
        "import json; from tests.cutting.test_deep import _hard; from layout.cutting.as_json import as_json;"
        "from layout.cutting.engine import plan_cuts; from layout.cutting.effort import Effort;"
        "print(json.dumps(as_json(plan_cuts(_hard(11, 9, sizes=2), Effort(level='quick')))))"
    )
    said = [
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True,
            env={**os.environ, "NUMBA_DISABLE_JIT": off},
        ).stdout
        for off in ("0", "1")
    ]  # fmt: skip
    assert said[0] == said[1]
    assert json.loads(said[0])["materials"][0]["sheets_used"] > 0


def test_a_time_limit_ends_the_search_and_is_told() -> None:
    """Protects the hurried: with hardly any time there is a right plan, and it says what ended the search."""
    plan = plan_cuts(_hard(21, 120), Effort(level="long", seconds=0.05))
    assert referee(plan) == ()
    assert plan.materials[0].ended in ("time", "proven")


def test_ctrl_c_gives_the_best_so_far() -> None:
    """Protects the impatient: an interrupt during the search ends it with a right plan."""

    def interrupt(_: str) -> None:
        raise KeyboardInterrupt

    plan = plan_cuts(_hard(22, 120), Effort(level="long", tell=interrupt))
    assert referee(plan) == ()
    assert (plan.unplaced, plan.materials[0].ended) == ((), "stopped")


def test_the_cheapest_choice_that_no_points_rule_out() -> None:
    """Protects the bound over several sizes, by hand: 10 points, sheets of 6 at 5 and of 4 at 3; 6 + 4 cost 8."""
    points = Points(by_kind=(1,), room=(6, 4), wanted=10)
    assert cheapest_choice([points], (5, 3), (None, None), 100) == (1, 1)
    assert cheapest_choice([points], (5, 3), (0, None), 100) == (0, 3)
    assert cheapest_choice([points], (5, 3), (1, 0), 100) is None
    more = Points(by_kind=(1,), room=(9, 0), wanted=10)
    assert cheapest_choice([points, more], (5, 3), (None, None), 100) == (2, 0)


def test_room_narrower_than_the_blade_is_closed_up() -> None:
    """Protects large jobs: a piece a little off the low edge is moved there, since no cut takes so little off."""
    blank = Blank(x=0, y=0, length=10, width=10)
    stock = Stock(name="s", material="m", length=10, width=10)
    laid = Laid(name="p", x=1, y=0, way=Way(length=5, width=10, turned=False))
    filled = Filled(opening=Opening(stock=stock, length=10, width=10, blanks=(blank,)), laid=(laid,))
    tree = cut_tree(filled, Saw(kerf=3, trim=0, smallest_offcut=1))
    assert tree is not None
    assert (tree.pieces[0].part, tree.pieces[0].x) == ("p", 0)
