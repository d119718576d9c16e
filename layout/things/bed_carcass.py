"""What carries a bed platform: two carcasses along its sides, open to the middle, and cross rails between them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from layout.model.building import Hardware
from layout.model.panel import Panel
from layout.model.solid import Solid, box
from layout.things.base import Shop, board
from layout.things.bed_frame import MEMBER, SIDES, BedFrame, Hand, across
from layout.things.bed_pieces import Parts, joined, points
from layout.things.bed_places import Seat, carcass_floor, plated

BEARERS = ("{} upright", "{} back")


@dataclass(frozen=True, kw_only=True, slots=True)
class Carcasses:
    """Carcasses `depth` mm wide, uprights at every cross rail."""

    depth: float

    def parts(self, frame: BedFrame, shop: Shop) -> Parts:
        """Return both carcasses, the rails, and what fastens them."""
        sides = [panel for hand in SIDES for panel in self._carcass(frame, hand)]
        return Parts(panels=(*sides, *self._rails(frame)), hardware=self._hardware(frame, shop))

    def openings(self, frame: BedFrame) -> tuple[Solid, ...]:
        """Return what stays free: the hold between the carcasses below the rails, and the bays of both."""
        middle, z = frame.half - self.depth, (frame.t, frame.top)
        between = [(a[1], b[0]) for a, b in pairwise(frame.members)]
        hold = box("the hold", frame.x, (-middle, middle), (0.0, frame.top - frame.rail))
        bays = (box(f"{h.word} bay", x, across(h, middle, frame.half - frame.t), z) for h in SIDES for x in between)
        return hold, *bays

    def roles(self, frame: BedFrame) -> tuple[tuple[str, int], ...]:
        """Return how many pieces of each role there are."""
        count = len(frame.stations)
        pieces = (("bottom", 1), ("back", 1), ("upright", count))
        return (*((f"{hand.word} {piece}", n) for hand in SIDES for piece, n in pieces), (MEMBER, count))

    def _carcass(self, frame: BedFrame, hand: Hand) -> tuple[Panel, ...]:
        sheet, word, z = frame.sheet, hand.word, (frame.t, frame.top)
        outer, inner, skin = frame.half, frame.half - self.depth, frame.half - frame.t
        bottom = board(f"{word} bottom", sheet, frame.x, across(hand, outer, inner), (0.0, frame.t))
        back = board(f"{word} back", sheet, frame.x, across(hand, outer, skin), z)
        stood = (board(f"{word} upright", sheet, x, across(hand, skin, inner), z) for x in frame.members)
        uprights = (joined(joined(u, "butt", "bottom", bottom.name), "butt", hand.word, back.name) for u in stood)
        return bottom, joined(back, "butt", "bottom", bottom.name), *uprights

    def _rails(self, frame: BedFrame) -> tuple[Panel, ...]:
        """Return the cross rails: end to edge with the uprights, so bolted to them by flat plates; they come out."""
        y, z = (self.depth - frame.half, frame.half - self.depth), (frame.top - frame.rail, frame.top)
        rails = [replace(board("cross rail", frame.sheet, x, y, z), role=MEMBER) for x in frame.members]
        return tuple(joined(joined(r, "bolt", "left", "left upright"), "bolt", "right", "right upright") for r in rails)

    def seats(self, frame: BedFrame, shop: Shop) -> dict[str, tuple[Seat, ...]]:
        """Return where across its members the deck can be held, of each hand: on uprights, else on the rail's ends."""
        number = shop.number
        seat, clear = number("places", "seat"), number("places", "plate") / 2 + number("places", "bracket")
        outer, joint = frame.half - frame.t - seat, frame.half - self.depth
        found: dict[str, tuple[Seat, ...]] = {}
        for hand in SIDES:
            rail = Seat(on=MEMBER, start=hand.way * (joint - clear), end=0.0)
            upright = Seat(on=f"{hand.word} upright", start=hand.way * outer, end=hand.way * (joint + clear))
            found[hand.word] = (upright, rail) if outer > joint + clear else (rail,)
        return found

    def thicknesses(self, frame: BedFrame) -> tuple[float, ...]:
        """Return how thick its members are, from the rear, mm."""
        return (frame.t,) * len(frame.members)

    def _hardware(self, frame: BedFrame, shop: Shop) -> tuple[Hardware, ...]:
        spacing, end = shop.number("bed", "body_spacing"), shop.number("screws", "end")
        count = points(frame.x[1] - frame.x[0], spacing, end)
        return *plated(frame, self.depth, shop), *carcass_floor(frame, self.depth, count, shop)
