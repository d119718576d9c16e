"""Of all orders of cutting a sheet the one that its owner prefers is taken."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from layout.cutting.engine import plan_cuts
from layout.cutting.quick import largest_offcut
from layout.cutting.referee import referee
from layout.model.cutting import CutJob, CutPlan, Part, Preference, Stock
from layout.model.sawing import walk

_DICE = random.Random(7)
_PARTS = tuple(
    Part(
        name=f"p{i}", material="m", length=_DICE.choice((300, 420, 560)), width=_DICE.choice((180, 260, 300)),
        grain="along",
    )
    for i in range(10)
)  # fmt: skip
_JOB = CutJob(parts=_PARTS, stocks=(Stock(name="s", material="m", length=2440, width=1220, price=68.0),))


def _plan(*prefer: Preference) -> CutPlan:
    plan = plan_cuts(replace(_JOB, prefer=prefer))
    assert referee(plan) == ()
    return plan


def _offcut(plan: CutPlan) -> float:
    return max(largest_offcut(sheet.root) for sheet in plan.materials[0].sheets)


def _settings(plan: CutPlan) -> int:
    return sum(len({r.cut.at for r in walk(sheet.root) if r.cut}) for sheet in plan.materials[0].sheets)


def _long(plan: CutPlan) -> int:
    cuts = [(r, r.cut) for sheet in plan.materials[0].sheets for r in walk(sheet.root) if r.cut]
    return sum((r.width if cut.across == "length" else r.length) > 1220 for r, cut in cuts)


@pytest.mark.parametrize("other", ["offcut", "settings", "breakdown"])
def test_each_preference_is_best_at_what_it_prefers(other: Preference) -> None:
    """Protects the owner's choice: no other preference gives a larger offcut, fewer settings or fewer long cuts."""
    assert _offcut(_plan("offcut")) >= _offcut(_plan(other))
    assert _settings(_plan("settings")) <= _settings(_plan(other))
    assert _long(_plan("breakdown")) <= _long(_plan(other))


def test_the_preferences_differ() -> None:
    """Protects the test above from a search that listens to none of them."""
    plans = [_plan(wish) for wish in ("offcut", "settings", "breakdown")]  # type: ignore[arg-type]  # literals
    assert len({(_offcut(plan), _settings(plan), _long(plan)) for plan in plans}) > 1
