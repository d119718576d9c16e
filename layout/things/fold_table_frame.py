"""The measures of a table that folds: where its leaf, its rail and its legs are, open or folded."""

from __future__ import annotations

from dataclasses import dataclass

from layout.model.panel import Sheet
from layout.model.solid import Solid, box
from layout.things.base import Span

LEAF, LEG, RAIL, UPRIGHT = "leaf", "leg", "rail", "upright"


@dataclass(frozen=True, kw_only=True, slots=True)
class TableFrame:
    """A leaf `depth` x `width`, its top `height` above the floor when it is open; x from what it is fixed to; all mm.

    Places on the leaf are told by how far they are from its hinge, and by how far below its underside (less than 0:
    in the leaf). `rail` is the height of the rail, `upright` and `leg` the widths of uprights and legs; legs stay
    `edge` inside the edges of the leaf, and `play` apart when folded.
    """

    depth: float
    width: float
    height: float
    sheet: Sheet
    leaf: Sheet
    is_up: bool
    is_open: bool
    has_legs: bool
    rail: float
    upright: float
    leg: float
    edge: float
    play: float

    @property
    def t(self) -> float:
        """Return the thickness of all but the leaf."""
        return self.sheet.thickness

    @property
    def face(self) -> float:
        """Return how far the face of the rail, at which the leaf turns, stands out: uprights, and the rail on them."""
        return 2 * self.t

    @property
    def underside(self) -> float:
        """Return how high the underside of the open leaf is, and how long a leg is."""
        return self.height - self.leaf.thickness

    @property
    def hinge(self) -> float:
        """Return how high the leaf turns: at its underside to hang down, at its top to stand up."""
        return self.height if self.is_up else self.underside

    @property
    def top(self) -> float:
        """Return how high rail and uprights reach: level with the leaf, or up behind it where it stands folded."""
        return self.height + (self.rail / 2 if self.is_up else 0.0)

    @property
    def y(self) -> Span:
        """Return from side to side."""
        return -self.width / 2, self.width / 2

    @property
    def below(self) -> float:
        """Return how far what folds under the leaf stands below its underside."""
        return self.t if self.has_legs else 0.0

    @property
    def beside(self) -> float:
        """Return how far from the plane of its hinge the leaf reaches: up from it, or down from it with its legs."""
        return self.leaf.thickness + (self.below if self.is_up else 0.0)

    @property
    def legs(self) -> tuple[Span, ...]:
        """Return how far from the hinge each leg is: that at the left end, and inside of it that at the right end."""
        if not self.has_legs:
            return ()
        outer = self.depth - self.edge
        inner = outer - self.leg - self.play
        return (outer - self.leg, outer), (inner - self.leg, inner)

    def on_leaf(self, out: Span, below: Span) -> tuple[Span, Span]:
        """Return x and z of what is so far from the hinge and so far below the underside."""
        if self.is_open:
            return _from(self.face, out), _from(self.underside, (-below[1], -below[0]))
        if self.is_up:
            return _from(self.face + self.leaf.thickness, below), _from(self.hinge, out)
        return _from(self.face, (-below[1], -below[0])), _from(self.hinge, (-out[1], -out[0]))

    def leg_y(self, hand: float) -> Span:
        """Return from where to where across a leg is, at the left (1) or at the right (-1) end: upright, or lying."""
        end = self.width / 2 - self.edge
        long = self.t if self.is_open else self.underside
        return (end - long, end) if hand > 0 else (-end, long - end)

    @property
    def outside(self) -> Solid:
        """Return the box that it fills."""
        (_, out), (_, high) = self.on_leaf((0.0, self.depth), (-self.leaf.thickness, self.below if self.is_up else 0.0))
        return box("outside", (0.0, out), self.y, (0.0, max(self.top, high)))

    def openings(self) -> tuple[Solid, ...]:
        """Return what stays free: between the uprights, and for the knees under the open leaf."""
        inner = self.width / 2 - self.upright
        behind = box("between the uprights", (0.0, self.t), (-inner, inner), (0.0, self.top - self.rail))
        if not self.is_open:
            return (behind,)
        side = self.width / 2 - (self.edge + self.t if self.has_legs else 0.0)
        return behind, box("knees", (self.face, self.face + self.depth), (-side, side), (0.0, self.underside))


def _from(at: float, span: Span) -> Span:
    return at + span[0], at + span[1]
