"""A layout: where every thing stands, in every state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from layout.model.person import Person
from layout.model.solid import Solid
from layout.model.thing import Thing


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """A thing where it stands in one state: its solids in the axes of the space, mm."""

    thing: Thing
    solids: tuple[Solid, ...]
    box: Solid
    turn_deg: float = 0.0

    @property
    def name(self) -> str:
        """Return the thing's name."""
        return self.thing.name


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """All things in all states; `placed` maps a state to what stands inside in it, in the file's order.

    `outside` maps a state to the names that are out of the space in it; `unplaced` are the things that
    have no position yet.
    """

    things: tuple[Thing, ...]
    people: tuple[Person, ...]
    placed: Mapping[str, tuple[Placed, ...]]
    outside: Mapping[str, tuple[str, ...]]
    unplaced: tuple[str, ...] = ()
