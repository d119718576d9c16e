"""What waits for a place: things that have none yet, and all that stands by way of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layout.model.thing import Thing
from layout.placing.position import Position


def settled(things: Sequence[Thing], arrangement: Mapping[str, Position]) -> dict[str, Position]:
    """Return the positions that can be used: those that lead to no thing which has no place yet.

    A mattress on a bed that has no place has none either; it is told so, and is no mistake.
    """
    kept = dict(arrangement)
    while True:
        nowhere = _nowhere(things, kept)
        lost = [key for key, position in kept.items() if _leads_to(position, nowhere)]
        if not lost:
            return kept
        for key in lost:
            del kept[key]


def _nowhere(things: Sequence[Thing], arrangement: Mapping[str, Position]) -> set[str]:
    """Return the names, of things and of groups as wholes, that stand nowhere."""
    without = {
        thing.name
        for thing in things
        if thing.home is None and not thing.in_build_up and not {thing.name, thing.group} & set(arrangement)
    }
    groups = {thing.group for thing in things} - {thing.group for thing in things if thing.name not in without}
    return without | groups


def _leads_to(position: Position, names: set[str]) -> bool:
    return any(name in names for each in (position, *position.states.values()) for _, name in each.neighbours)
