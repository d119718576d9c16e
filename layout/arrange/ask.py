"""The question: the project as far as the search needs it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from layout.arrange.wish import Free, Wishes
from layout.model.person import Person
from layout.model.rule import Rule
from layout.model.spot import Spot
from layout.model.thing import Thing
from layout.placing.position import Position
from layout.space.space import Space
from layout.units.length import Unit

#: Sizes of things that are other than in the file: by group, then by key, mm.
Sizes = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True, kw_only=True)
class Ask:
    """A room, what goes in, what is said of its places, and what is wished for.

    `remake` makes all things anew with other sizes; it raises ``ValueFaultError`` for sizes that cannot be made.
    `keep_clear` doors and the rest of what must hold are those of the checks.
    """

    space: Space
    things: tuple[Thing, ...]
    arrangement: Mapping[str, Position]
    states: tuple[str, ...]
    rules: Mapping[str, Rule]
    people: tuple[Person, ...] = ()
    spots: tuple[Spot, ...] = ()
    free: Mapping[str, Free] = field(default_factory=dict)
    wishes: Wishes = Wishes()  # noqa: RUF009 (frozen)
    units: Unit = "mm"
    remake: Callable[[Sizes], tuple[Thing, ...]] | None = None

    def things_with(self, sizes: Sizes) -> tuple[Thing, ...]:
        """Return the things with those sizes.

        Raises
        ------
        ValueFaultError
            When they cannot be made.
        """
        return self.remake(sizes) if sizes and self.remake else self.things
