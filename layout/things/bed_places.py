"""Where the hardware of a bed's deck and carcasses sits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from layout.model.building import Hardware, Place
from layout.model.motion import Face
from layout.model.panel import Panel
from layout.things.base import Shop, Span, need
from layout.things.bed_frame import SIDES, BedFrame, Hand
from layout.things.bed_pieces import points
from layout.things.fasten import BEHIND, between, beyond, bolted, evenly, moved_clear, sat, to_body_at

_STEP = 5.0  # mm between the places across a member that are tried
_SAME = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Seat:
    """A stretch across a member of the bed: the piece called `on`, from `start` toward `end` along y, mm."""

    on: str
    start: float
    end: float

    def tries(self) -> Iterator[float]:
        """Yield places on it, from its start on."""
        way = 1.0 if self.end > self.start else -1.0
        count = int(abs(self.end - self.start) / _STEP)
        yield from (self.start + way * _STEP * i for i in range(count + 1))


def along_bed(frame: BedFrame, count: int, end: float, clear: float) -> list[float]:
    """Return `count` places along what carries the deck, clear of its members."""
    blocked = [(max(low, frame.x[0]), min(high, frame.x[1])) for low, high in frame.members]
    return moved_clear(evenly(frame.x, count, end), between(frame.x, blocked, clear))


@dataclass(frozen=True, kw_only=True, slots=True)
class Hold:
    """One thing that holds a deck panel or a lid: its `corner`, where the `member` called `on` meets the underside.

    It is on the member's face toward `face`, on the member whose number from the rear is `member`.
    """

    panel: str
    on: str
    corner: tuple[float, float, float]
    face: Face
    member: int

    @property
    def way(self) -> float:
        """Return the way along x that its face looks."""
        return 1.0 if self.face == "front" else -1.0

    def crowds(self, other: Hold, away: float) -> bool:
        """Return whether another one on the same member is within twice `away` of it."""
        return self.member == other.member and abs(self.corner[1] - other.corner[1]) < 2 * away

    def under(self, away: float) -> Place:
        """Return the place on the underside of the panel, `away` mm from the member."""
        x, y, z = self.corner
        return Place(on=self.panel, at=(x + self.way * away, y, z), face="bottom")

    def beside(self, down: float) -> Place:
        """Return the place on the member, `down` mm below the deck."""
        x, y, z = self.corner
        return Place(on=self.on, at=(x, y, z - down), face=self.face)


@dataclass(frozen=True, kw_only=True, slots=True)
class Under:
    """Looks for places under a deck: `seats` are the stretches of members to try, from the sides inward, of each hand.

    `carriers` are the thicknesses of the members, from the rear.
    """

    frame: BedFrame
    seats: Mapping[str, tuple[Seat, ...]]
    carriers: tuple[float, ...]
    shop: Shop
    group: str

    def holds(self, panel: Panel, x: Span, count: int, away: float) -> tuple[Hold, ...]:
        """Return where a panel that reaches along `x` is held: at its rear on the left, at its front on the right, ...

        So that two panels that meet on a member are not held at the same place of it.
        """
        found: list[Hold] = []
        for i in range(count):
            found.append(self.hold(panel, x, SIDES[i % 2], rear=i % 2 == 0, away=away, but=found))
        return tuple(found)

    def hold(
        self, panel: Panel, x: Span, hand: Hand, *, rear: bool, away: float, but: Sequence[Hold] = (),
        seats: tuple[Seat, ...] = (),
    ) -> Hold:  # fmt: skip
        """Return where a panel that reaches along `x` is held on its rear or its front member, at one hand.

        It is clear of what holds it already. Of `seats`, where given, instead of those of the hand.

        Raises
        ------
        ValueFaultError
            When every such place meets a hole of the panel.
        """
        middles = self.frame.stations
        inside = [i for i, middle in enumerate(middles) if x[0] - _SAME <= middle <= x[1] + _SAME]
        member, face = (inside[0], "front") if rear else (inside[-1], "rear")
        low, high = self.frame.members[member]
        at = high if face == "front" else low
        for seat in seats or self.seats[hand.word]:
            for y in seat.tries():
                hold = Hold(
                    panel=panel.name, on=seat.on, corner=(at, y, self.frame.top), member=member,
                    face="front" if rear else "rear",
                )  # fmt: skip
                if self._is_clear(panel, hold.under(away).at) and not any(hold.crowds(other, away) for other in but):
                    return hold
        need(False, self.group, "vents", "leaves no place to hold a panel down between its holes")
        raise AssertionError

    def _is_clear(self, panel: Panel, at: tuple[float, float, float]) -> bool:
        """Return whether a place is as far from all edges and holes of the panel as it should be."""
        edge = self.shop.number("places", "edge") + self.shop.number("places", "between")
        u, v = (at["xyz".index(axis)] - panel.at["xyz".index(axis)] for axis in (panel.along, panel.across))
        low_u, low_v = min(p[0] for p in panel.outline), min(p[1] for p in panel.outline)
        inside = edge <= u - low_u <= panel.length - edge and edge <= v - low_v <= panel.width - edge
        return inside and not any(_near(hole, u, v, edge) for hole in panel.holes)


def _near(ring: Sequence[tuple[float, float]], u: float, v: float, edge: float) -> bool:
    us, vs = zip(*ring, strict=True)
    return bool(min(us) - edge < u < max(us) + edge and min(vs) - edge < v < max(vs) + edge)


def held_down(holds: Sequence[Hold], under: Under, nut: str) -> Iterator[Hardware]:
    """Yield the brackets that hold deck panels down, their bolts up into the panels and through the members."""
    frame, carrier, shop = under.frame, under.carriers, under.shop
    away, more = shop.number("places", "bracket"), shop.number("places", "bolt_more")
    down = min(away, frame.rail / 2)
    why = "holds a deck panel down on the road; undone with a key"
    yield sat("bracket-angle", why, [hold.beside(down) for hold in holds])
    yield sat(nut, why, [_nut(hold.under(away), nut, frame.t) for hold in holds])
    yield sat("bolt-m6x16", why, [hold.under(away) for hold in holds])
    for thick in dict.fromkeys(round(mm, 6) for mm in carrier):
        heads = [hold.beside(down) for hold in holds if abs(carrier[hold.member] - thick) < _SAME]
        yield from bolted("holds a bracket to what carries the deck", heads, thick, more)


def _nut(place: Place, item: str, thick: float) -> Place:
    """Return where the nut of a bolt from below sits: an insert where the bolt goes in, a tee nut on the upper face."""
    if item.startswith("insert"):
        return place
    return Place(on=place.on, at=beyond(place.at, place.face, thick), face=BEHIND[place.face])


def plated(frame: BedFrame, depth: float, shop: Shop) -> Iterator[Hardware]:
    """Yield the flat plates that join cross rails to uprights `depth` mm in from the sides, with their bolts."""
    near, far = shop.number("places", "plate_near"), shop.number("places", "plate_far")
    z, last = _plate_height(frame, depth, shop), len(frame.members) - 1
    plates, heads = list[Place](), list[Place]()
    for i, (low, high) in enumerate(frame.members):
        # On the last one the plates look into the bed too, so that nothing stands out behind it.
        x, face = (low, "rear") if i == last else (high, "front")
        looks: Face = "rear" if face == "rear" else "front"
        for hand in SIDES:
            joint = hand.way * (frame.half - depth)
            plates.append(Place(on="cross rail", at=(x, joint, z), face=looks))
            heads += [Place(on="cross rail", at=(x, joint - hand.way * mm, z), face=looks) for mm in (near, far)]
            word = f"{hand.word} upright"
            heads += [Place(on=word, at=(x, joint + hand.way * mm, z), face=looks) for mm in (near, far)]
    yield sat("plate-flat", "joins a cross rail's end to the upright", plates)
    yield from bolted("holds a plate to cross rail and upright", heads, frame.t, shop.number("places", "bolt_more"))


def below_screws(shop: Shop) -> float:
    """Return how far below an edge a bolt is clear of the screws that come down into it, mm."""
    return shop.number("screws", "bite") + 1.5 * shop.number("places", "edge")


def _plate_height(frame: BedFrame, depth: float, shop: Shop) -> float:
    """Return how high plates sit: in the middle of the rails, or where they miss the screws that come near.

    Those of slats come down into the rail's upper edge; those of the back come so far into an upright's edge that they
    meet the plate's far holes only where it is narrow.
    """
    number = shop.number
    end, bite, least = number("screws", "end"), number("screws", "bite"), number("places", "edge")
    middle = frame.top - max(frame.rail / 2, min(frame.rail - least, below_screws(shop)))
    if depth - frame.t - number("places", "plate_far") > bite + 3 * least:
        return middle
    upright = (frame.t, frame.top)
    rows = evenly(upright, points(frame.top - frame.t, number("screws", "spacing"), end), end)
    play = int(frame.rail - (frame.top - middle) - least)
    tries = [middle + way * mm for mm in range(play + 1) for way in (-1, 1)]
    # The first that is clear of them; where none is, the one that is farthest from them.
    return max(tries, key=lambda z: min(least, *(abs(z - row) for row in rows)))


def carcass_floor(frame: BedFrame, depth: float, count: int, shop: Shop) -> tuple[Hardware, ...]:
    """Return what holds both carcasses to the floor: `count` bolts through each bottom, in the middle of its bays."""
    xs = along_bed(frame, count, shop.number("screws", "end"), shop.number("places", "clear"))
    middle = frame.half - (depth + frame.t) / 2
    heads = [
        Place(on=f"{hand.word} bottom", at=(x, hand.way * middle, frame.t), face="top") for hand in SIDES for x in xs
    ]
    return to_body_at("holds a carcass down through its bottom", heads, frame.t)
