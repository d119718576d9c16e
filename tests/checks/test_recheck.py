"""Checking again after moves, against checking all anew."""

import random
from dataclasses import replace
from importlib import import_module

import pytest

from layout.checks.context import Context, merged
from layout.checks.moves import shifted
from layout.checks.recheck import COVERED, check_covered, recheck
from layout.files.rules import read_rules
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.model.rule import Rule
from tests.checks.chance import context_of, layout_of, some_things, stood
from tests.checks.tape import Tape

STATES = ("drive", "camp", "sleep")


@pytest.fixture(scope="module")
def rules() -> dict[str, Rule]:
    """Return the rules as they are shipped."""
    return dict(read_rules())


def _anew(context: Context) -> tuple[Finding, ...]:
    """Return what the covered rules say of the whole layout."""
    return merged(finding for rule in COVERED for finding in import_module(f"layout.checks.{rule}").check(context))


def _some_move(rng: random.Random, layout: Layout) -> Layout:
    """Return the layout with a thing shifted a little or far, in one state or in all, or set on another."""
    states = rng.choice([STATES, STATES, (rng.choice(STATES),)])
    k = rng.randrange(len(layout.placed[states[0]]))
    far = rng.choice([5.0, 60.0, 900.0])
    by = (rng.uniform(-far, far), rng.uniform(-far, far), rng.choice([0.0, 0.0, rng.uniform(-100, 300)]))
    if rng.random() < 0.2:
        under, own = rng.choice(layout.placed[states[0]]).box, layout.placed[states[0]][k].box
        by = (under.bounds[0] - own.bounds[0], under.bounds[1] - own.bounds[1], under.z1 - own.z0)

    def moved(state: str, things: tuple[Placed, ...]) -> tuple[Placed, ...]:
        return tuple(shifted(p, by) if i == k and state in states else p for i, p in enumerate(things))

    return replace(layout, placed={state: moved(state, things) for state, things in layout.placed.items()})


@pytest.mark.parametrize("seed", range(10))
def test_after_each_move_the_findings_are_those_of_a_whole_run(seed: int, rules: dict[str, Rule]) -> None:
    """Twelve moves of one thing each, and the covered rules say every time what they say of the whole layout.

    Cures included, which depend on what stands round the things concerned in any state.
    """
    rng = random.Random(seed)
    space = Tape(rng).space()
    layout = layout_of(some_things(rng, 6, space), STATES)
    checked = check_covered(context_of(space, layout, rules))
    assert checked.findings == _anew(context_of(space, layout, rules))

    for _ in range(12):
        layout = _some_move(rng, layout)
        checked = recheck(checked, layout)
        assert checked.findings == _anew(context_of(space, layout, rules))


def test_other_things_are_checked_anew(rules: dict[str, Rule]) -> None:
    """A layout of other things, or of a thing in another shape, gets the findings of a whole run too."""
    rng = random.Random(3)
    space = Tape(rng).space()
    things = some_things(rng, 6, space)
    checked = check_covered(context_of(space, layout_of(things, STATES), rules))
    fewer = layout_of(things[1:], STATES)
    other = stood(replace(some_things(rng, 1, space)[0].thing, name=things[2].name), (500.0, 0.0, 0.0))
    reshaped = layout_of([*things[:2], other, *things[3:]], STATES)

    assert recheck(checked, fewer).findings == _anew(context_of(space, fewer, rules))
    assert recheck(checked, reshaped).findings == _anew(context_of(space, reshaped, rules))
