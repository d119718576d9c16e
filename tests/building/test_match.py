"""Who gets what, held against all matchings of small cases."""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from layout.building.match import matched


def _all_served(wishes: list[list[int]], things: int) -> set[frozenset[int]]:
    """Return every set of wishers that can be served together, by trying out all ways."""
    found: set[frozenset[int]] = set()
    for way in permutations([*range(things), *[None] * len(wishes)], len(wishes)):
        if all(thing is None or thing in wishes[i] for i, thing in enumerate(way)):
            found.add(frozenset(i for i, thing in enumerate(way) if thing is not None))
    return found


@pytest.mark.parametrize("seed", range(150))
def test_no_other_matching_serves_more_or_more_worthy(seed: int) -> None:
    """As many are served as can be, and of all sets of so many none is worth more, whatever worth falls along the order."""
    rng = random.Random(seed)
    wishers, things = rng.randint(1, 5), rng.randint(0, 4)
    wishes = [[thing for thing in rng.sample(range(things), things) if rng.random() < 0.5] for _ in range(wishers)]
    worth = sorted((rng.randint(1, 100) for _ in range(wishers)), reverse=True)
    got = matched(wishes)
    served = [i for i, thing in enumerate(got) if thing is not None]

    assert all(thing is None or thing in wishes[i] for i, thing in enumerate(got))
    assert len({got[i] for i in served}) == len(served)
    assert len(served) == max(len(some) for some in _all_served(wishes, things))
    assert sum(worth[i] for i in served) == max(sum(worth[i] for i in some) for some in _all_served(wishes, things))
    assert matched(wishes) == got


def test_the_best_liked_is_taken_where_nobody_needs_it() -> None:
    """Each gets what it likes best, unless another could not be served then."""
    assert matched([[1, 0], [0, 1]]) == (1, 0)
    assert matched([[0, 1], [0]]) == (1, 0)
    assert matched([[0], [0], []]) == (0, None, None)


def test_a_long_chain_of_changes() -> None:
    """Two thousand that each must give up their first wish for the last one are served without running out of stack."""
    many = 2000
    wishes = [[i, i + 1] for i in range(many)] + [[0]]

    assert matched(wishes) == (*range(1, many + 1), 0)
