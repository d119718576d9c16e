"""The measures of a bed that slides out, told along its way out whichever side that is."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, sqrt
from typing import Literal

from layout.model.motion import Face
from layout.model.panel import Sheet
from layout.model.solid import Solid, box
from layout.things.base import Span

Way = Literal["left", "right", "front", "rear"]
_BACK: dict[Way, Face] = {"left": "right", "right": "left", "front": "rear", "rear": "front"}


@dataclass(frozen=True, kw_only=True, slots=True)
class SlideFrame:
    """A bed `length` long, `closed` wide when shut and `opened` when out, both measured along its way out; all mm.

    Places are told by `s`, from the back along the way out, `p` along the bed and `z`. `cover` is the thickness of a
    slat and `slat` its width, `rail` the height of the rails under the slats, `tail` that of the rail at the sliding
    slats' tails, `leg` the width of a leg. `play` is kept between what slides and what does not.
    """

    length: float
    closed: float
    opened: float
    deck: float
    out: Way
    is_open: bool
    sheet: Sheet
    cover: float
    slat: float
    rail: float
    tail: float
    leg: float
    play: float
    support: float

    @property
    def t(self) -> float:
        """Return the thickness of the sheet."""
        return self.sheet.thickness

    @property
    def top(self) -> float:
        """Return the height of all that carries the slats."""
        return self.deck - self.cover

    @property
    def low(self) -> float:
        """Return the height below the rails, which stays free."""
        return self.top - self.rail

    @property
    def travel(self) -> float:
        """Return how far it slides."""
        return self.opened - self.closed

    @property
    def shift(self) -> float:
        """Return how far the sliding part is out now."""
        return self.travel if self.is_open else 0.0

    @property
    def base_rail(self) -> Span:
        """Return where the rail of the base stands: behind the folded legs, which are behind the front rail."""
        face = self.closed - 2 * self.t - self.play
        return face - self.t, face

    @property
    def tail_rail(self) -> Span:
        """Return where the tail rail is when shut: so that it stops at the base rail when the bed is out."""
        end = self.base_rail[0] - self.travel
        return end - self.t, end

    @property
    def walls(self) -> tuple[Span, ...]:
        """Return where along the bed its ends and what divides its base stand, `support` apart at most."""
        fields = max(1, ceil(round((self.length - self.t) / self.support, 6)))
        starts = [(self.length - self.t) * i / fields for i in range(fields + 1)]
        return tuple((start, start + self.t) for start in starts)

    @property
    def sliding(self) -> int:
        """Return how many slats slide: one between any two of the base, as many as go in with their play."""
        return max(0, floor(round((self.length - self.slat) / (2 * (self.slat + self.play)), 6)))

    @property
    def slats(self) -> tuple[Span, ...]:
        """Return where along the bed the slats lie, those of the base and those that slide in turn."""
        count = 2 * self.sliding + 1
        step = (self.length - self.slat) / (count - 1)
        return tuple((i * step, i * step + self.slat) for i in range(count))

    @property
    def widest_gap(self) -> float:
        """Return the gap between the slats of the base when the others are out."""
        return self.slats[2][0] - self.slats[0][1]

    @property
    def leg_length(self) -> float:
        """Return how long a leg is: from the floor to over its bolt, which is at half the height of its rail."""
        return self.top - self.rail / 2 + self.leg / 2

    @property
    def widest_leg(self) -> float:
        """Return how wide a leg is at most so that its corners turn below the slats: rail / √2."""
        return self.rail / sqrt(2)

    @property
    def legs(self) -> tuple[float, ...]:
        """Return where along the bed the legs begin, level with its ends, `support` apart at most."""
        fields = max(1, ceil(round((self.length - self.leg) / self.support, 6)))
        return tuple((self.length - self.leg) * i / fields for i in range(fields + 1))

    def folded(self) -> tuple[Span, ...]:
        """Return where along the bed each folded leg lies: toward the far end, the last one back from there."""
        *first, last = self.legs
        return (*((s, s + self.leg_length) for s in first), (last + self.leg - self.leg_length, last + self.leg))

    @property
    def inward(self) -> Face:
        """Return the side of the bed's back."""
        return _BACK[self.out]

    def spans(self, s: Span, p: Span) -> tuple[Span, Span]:
        """Return a place in the bed's own x and y."""
        middle = self.length / 2
        places: dict[Way, tuple[Span, Span]] = {
            "left": (p, (s[0] - self.closed / 2, s[1] - self.closed / 2)),
            "right": (p, (self.closed / 2 - s[1], self.closed / 2 - s[0])),
            "front": (s, (p[0] - middle, p[1] - middle)),
            "rear": ((self.closed - s[1], self.closed - s[0]), (p[0] - middle, p[1] - middle)),
        }
        return places[self.out]

    def solid(self, name: str, s: Span, p: Span, z: Span) -> Solid:
        """Return the box at a place."""
        return box(name, *self.spans(s, p), z)
