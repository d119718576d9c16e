"""Checking again after moves, against checking all anew."""

import random
from collections import Counter
from dataclasses import replace
from importlib import import_module

import pytest

from layout.checks.context import Context, merged
from layout.checks.moves import shifted
from layout.checks.recheck import COVERED, check_covered, recheck
from layout.checks.rests import WHOLE
from layout.files.rules import read_rules
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.model.rule import Rule
from tests.bench.fit import room, spread
from tests.checks.chance import context_of, layout_of, some_things, stood
from tests.checks.tape import Tape

STATES = ("drive", "camp", "sleep")


@pytest.fixture(scope="module")
def rules() -> dict[str, Rule]:
    """Return the rules as they are shipped."""
    return dict(read_rules())


def _anew(context: Context) -> tuple[Finding, ...]:
    """Return what the covered rules say of the whole layout."""
    return merged(
        finding
        for rule in COVERED
        for finding in import_module(f"layout.checks.{rule.replace('-', '_')}").check(context)
    )


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


def test_rules_that_are_run_whole_are_not_run_again_for_a_move_far_away(rules: dict[str, Rule]) -> None:
    """In a room with beds and a door the findings are those of a whole run after any move, of a bed too.

    Bins moved elsewhere leave what was said of doors and headroom as it was.
    """
    rng, space, layout = random.Random(4), room(60), spread(60, 9)
    beds = [k for k, p in enumerate(layout.placed["camp"]) if p.thing.sleeps]
    at_door = min(range(60), key=lambda k: layout.placed["camp"][k].box.bounds[0])
    checked = check_covered(context_of(space, layout, rules))
    kept = Counter[tuple[str, bool]]()
    for k in (*beds[:2], at_door, *(rng.randrange(60) for _ in range(6))):
        by = (rng.uniform(-40, 300), rng.uniform(-80, 80), 0.0)
        placed = {state: (*t[:k], shifted(t[k], by), *t[k + 1 :]) for state, t in layout.placed.items()}
        layout = replace(layout, placed=placed)
        after = recheck(checked, layout)
        kept.update((rule, after.said[rule] is checked.said[rule]) for rule in WHOLE)
        checked = after
        assert checked.findings == _anew(context_of(space, layout, rules))
    assert beds
    assert min(kept["headroom", True], kept["headroom", False], kept["door-opening", True], kept["air-gap", True]) > 0


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
