"""A cure carried out: the layout as it is after doing what a finding says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layout.checks.curing.trims import trimmed
from layout.checks.moves import shifted, with_riders
from layout.model.cure import Cure
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed


def carried_out(layout: Layout, finding: Finding) -> Layout:
    """Return the layout with the finding's cure carried out, in every state in which the thing stands as it does there.

    The first thing of the cure is shifted with what of the others stands on it in that state; or it is made smaller.

    Raises
    ------
    ValueError
        When the finding has no cure that can be carried out, or its thing is nowhere.
    """
    cure = finding.does
    if cure is None:
        raise ValueError("the finding has no cure that can be carried out")
    stand = [(p, layout.placed[state]) for state in finding.states for p in layout.placed[state]
             if p.name == cure.things[0]]  # fmt: skip
    if not stand:
        raise ValueError(f"{cure.things[0]} stands in none of the states of the finding")
    mover, around = stand[0]
    # What stands on it there, and is not named, is left behind; what only stands on it in other states goes along.
    left = {p.name for p in with_riders(mover, around)} - set(cure.things)
    placed = {state: _changed(things, mover, cure, left) for state, things in layout.placed.items()}
    return replace(layout, placed=placed)


def _changed(things: Sequence[Placed], mover: Placed, cure: Cure, left: set[str]) -> tuple[Placed, ...]:
    here = [p for p in things if p.name == mover.name and p.solids == mover.solids]
    if not here:
        return tuple(things)
    if any(cure.trim):
        return tuple(trimmed(p, cure.trim) if p.name == mover.name else p for p in things)
    names = {p.name for p in with_riders(here[0], things)} - left
    return tuple(shifted(p, cure.shift) if p.name in names else p for p in things)
