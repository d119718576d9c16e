"""Places where people stand, sit or lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Posture = Literal["stand", "sit", "lie"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Spot:
    """A place by name: its middle at x, y mm; `seat` is the height sat or lain on, mm above the floor.

    `people` are those who use it (none: everybody), `states` when (none: every state but ``drive``).
    """

    name: str
    at: tuple[float, float]
    does: Posture
    seat: float = 0.0
    people: tuple[str, ...] = ()
    states: tuple[str, ...] = ()

    def used_in(self, state: str) -> bool:
        """Return whether the place is used in the state."""
        return state in self.states if self.states else state != "drive"
