"""What moves on a thing, and what must stay free round it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, Protocol

from layout.model.solid import Solid

MotionKind = Literal["drawer", "door", "lid", "lift off", "flap", "turn", "sweep"]
Face = Literal["front", "rear", "left", "right", "top", "bottom"]


class Opening(Protocol):
    """How far a part opens, and what it needs for that: all in the thing's own axes."""

    @property
    def full(self) -> float:
        """Return how far it opens, degrees or mm; 0 where it is all or nothing, or the file does not say."""

    @property
    def degrees(self) -> bool:
        """Return whether it turns on a hinge, so that it opens by degrees; other parts go straight, by mm."""

    @property
    def hinge(self) -> str:
        """Return the edge that it turns on, nothing if it has none."""

    def swept(self, opening: float) -> tuple[Solid, ...]:
        """Return what it passes through when it opens only so far; a smaller opening never sweeps more."""

    def left_open(self) -> tuple[Solid, ...]:
        """Return what it fills while it stays open."""

    def rehung(self) -> Opening | None:
        """Return the part with its hinge at the opposite edge, None if it has no hinge."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Motion:
    """A part that moves: `swept` is what it passes through outside the thing, from closed to open.

    `states` are those in which it is used (none: every state but ``drive``). `person` is where somebody stands to use
    it (None: nobody is foreseen), before `face` or beyond what comes out of it; its heights are those of the thing.
    `alone`: it is never used while another part is open. `lifted` tells that what lies above must be off first: a
    lid, or a top that lifts off. `opening` makes the part again as it opens less far (None: all or nothing), in the
    thing's own axes. `carries`: what stands on the thing goes along. `after` is the part that must be open first.
    """

    name: str
    kind: MotionKind
    swept: tuple[Solid, ...]
    states: tuple[str, ...] = ()
    person: Solid | None = None
    alone: bool = False
    face: Face = "front"
    opening: Opening | None = field(default=None, repr=False)
    carries: bool = False
    after: str = ""

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
