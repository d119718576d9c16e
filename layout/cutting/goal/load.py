"""Have the compiled code of the deep search loaded, so that its loading counts for no job's time."""

from __future__ import annotations

from layout.cutting.bounds.refute import Refuter
from layout.cutting.exact.sets import all_sets
from layout.cutting.goal.arrays import Pool, task
from layout.cutting.goal.chain import Chain
from layout.cutting.values import Blank, Kind, Opening, Way
from layout.model.cutting import Stock


def load() -> None:
    """Run every inner loop once, on three pieces; that takes no time where they are loaded."""
    kinds = tuple(Kind(name=f"p{k}", ways=(Way(length=3, width=2 + k, turned=False),), count=1) for k in range(3))
    stock = Stock(name="s", material="m", length=6.0, width=6.0)
    sheet = Opening(stock=stock, length=6, width=6, blanks=(Blank(x=0, y=0, length=6, width=6),))
    of = task(kinds, (sheet,), 0, (1,))
    chain = Chain(of=of, seed=1, pool=Pool.of(8))
    chain.first_plans()
    chain.aim(0)
    chain.begin_with([(0, [0, 2, -3])])
    chain.step(2)
    refuter = Refuter(kinds, (sheet,), 0)
    refuter.aim((1,))
    refuter.step(1)
    all_sets(of, most_sets=64)
