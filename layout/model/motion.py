"""What moves on a thing, and what must stay free round it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import Solid

MotionKind = Literal["drawer", "door", "lid", "lift off", "flap", "turn", "sweep"]
Face = Literal["front", "rear", "left", "right", "top", "bottom"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Motion:
    """A part that moves: `swept` is what it passes through outside the thing, from closed to open.

    `states` are those in which it is used (none: every state but ``drive``). `person` is where somebody stands
    to use it (None: nobody is foreseen). `alone`: it is never used while another part is open. `lifted` tells that
    what lies above must be off first: a lid, or a top that lifts off.
    """

    name: str
    kind: MotionKind
    swept: tuple[Solid, ...]
    states: tuple[str, ...] = ()
    person: Solid | None = None
    alone: bool = False

    @property
    def lifted(self) -> bool:
        """Return whether it opens upward."""
        return self.kind in ("lid", "lift off")

    def used_in(self, state: str) -> bool:
        """Return whether the part is used in the state."""
        return state in self.states if self.states else state != "drive"


@dataclass(frozen=True, kw_only=True, slots=True)
class Clear:
    """Room that stays free of solids on one side of a thing, for air or for hands."""

    face: Face
    solid: Solid
