"""What carries a bed platform: rails along both sides with cross members between, hung on the walls or on legs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from layout.model.building import BODY, Bar, Hardware, Place
from layout.model.panel import Panel
from layout.model.solid import Solid, box
from layout.things.base import Shop, Span, board
from layout.things.bed_frame import MEMBER, SIDES, BedFrame, Hand, across
from layout.things.bed_pieces import Parts, batten, joined, points
from layout.things.bed_places import Seat, along_bed
from layout.things.fasten import bolted, evenly, sat, to_body_at


@dataclass(frozen=True, kw_only=True, slots=True)
class Rails:
    """A rail along each side, with a strip `ledger` mm high on it, level with its foot, that cross members rest on.

    `bar` is what the inner cross members and the legs are of; without it they are of sheet. `legs`: the rails stand on
    legs, else they hang on the walls. A leg of sheet is a strip before the rail's outer face and one across it, on
    which the rail stands, both `leg` mm wide.
    """

    ledger: float
    leg: float
    legs: bool
    bar: Bar | None = None

    @property
    def bearers(self) -> tuple[str, ...]:
        """Return the pieces that the deck lies on at either side."""
        return ("{} side rail",) if self.legs else ("{} wall rail",)

    def inset(self, t: float) -> float:
        """Return how far the rails stand in from the sides of the deck, mm: legs are outside of them."""
        return (min(self.bar.section) if self.bar else t) if self.legs else 0.0

    def reach(self, t: float) -> float:
        """Return how far in from the sides of the deck rails, ledgers and legs reach, mm."""
        ledger = self.inset(t) + 2 * t
        return max(ledger, t + self.leg) if self.legs and self.bar is None else ledger

    def leg_spans(self, frame: BedFrame) -> list[Span]:
        """Return where along the length the legs stand: evenly from end to end, so each under its cross member.

        A member is thinner than a leg is wide; at the share i / n of the length it begins no sooner and ends no later.
        """
        width, (low, high) = max(self.bar.section) if self.bar else self.leg, frame.x
        fields = len(frame.stations) - 1
        starts = [low + (high - low - width) * i / fields for i in range(fields + 1)]
        return [(start, start + width) for start in starts]

    def parts(self, frame: BedFrame, shop: Shop) -> Parts:
        """Return rails, ledgers, cross members and legs, and what fastens them."""
        parts = Parts(panels=tuple(_sides(frame, self))) + _members(frame, self)
        if self.legs:
            return parts + _legs(frame, self) + Parts(hardware=tuple(_feet(frame, self, shop)))
        return parts + Parts(hardware=_hung(frame, self, shop))

    def seats(self, frame: BedFrame, shop: Shop) -> dict[str, tuple[Seat, ...]]:
        """Return where across its members the deck can be held, of each hand: from the rails inward."""
        start = frame.half - self.inset(frame.t) - frame.t - shop.number("places", "seat")
        return {hand.word: (Seat(on=MEMBER, start=hand.way * start, end=0.0),) for hand in SIDES}

    def thicknesses(self, frame: BedFrame) -> tuple[float, ...]:
        """Return how thick its members are, from the rear, mm."""
        return tuple(high - low for low, high in frame.members)

    def openings(self, frame: BedFrame) -> tuple[Solid, ...]:
        """Return what stays free: the hold up to the cross members, and up to the ledgers from side to side."""
        inner, high = frame.half - self.reach(frame.t), frame.top - frame.rail
        hold = box("the hold", frame.x, (-inner, inner), (0.0, high))
        if high - self.ledger <= 0:
            return (hold,)
        spans = [(a[1], b[0]) for a, b in pairwise(self.leg_spans(frame))] if self.legs else [frame.x]
        y, z = (-frame.half, frame.half), (0.0, high - self.ledger)
        return hold, *(box("under the ledgers", x, y, z) for x in spans)

    def roles(self, frame: BedFrame) -> tuple[tuple[str, int], ...]:
        """Return how many pieces of each role there are."""
        count = len(frame.stations)
        pieces = ("{} leg",) if self.bar else ("{} leg flange", "{} leg web")
        legs = [(piece, count) for piece in pieces if self.legs]
        single = [(piece, 1) for piece in (*self.bearers, "{} ledger")]
        return (*((piece.format(h.word), n) for h in SIDES for piece, n in (*single, *legs)), (MEMBER, count))


def _sides(frame: BedFrame, rails: Rails) -> Iterator[Panel]:
    """Yield rail and ledger of both sides: the ledger is glued to the rail's inner face, level with its foot."""
    t, outer = frame.t, frame.half - rails.inset(frame.t)
    foot = frame.top - frame.rail - rails.ledger
    on = (foot, foot + rails.ledger)
    for hand in SIDES:
        inward = across(hand, outer, outer - t), across(hand, outer - t, outer - 2 * t)
        rail = board(rails.bearers[0].format(hand.word), frame.sheet, frame.x, inward[0], (foot, frame.top))
        yield _to_leg(joined(rail, "corner block", "left", MEMBER), rails, hand)
        ledger = board(f"{hand.word} ledger", frame.sheet, frame.x, inward[1], on)
        yield joined(joined(ledger, "butt", "left", rail.name), "loose", "top", MEMBER)


def _to_leg(rail: Panel, rails: Rails, hand: Hand) -> Panel:
    """Return the rail with its joint to the legs: bolts into bars, glue and screws to sheet."""
    if not rails.legs:
        return rail
    if rails.bar:
        return joined(rail, "insert", hand.word, f"{hand.word} leg")
    return joined(rail, "butt", hand.word, f"{hand.word} leg flange")


def _members(frame: BedFrame, rails: Rails) -> Parts:
    """Return the cross members; with bars the first and the last are of sheet: they hold the frame square."""
    inner = frame.half - rails.inset(frame.t) - frame.t
    y, z = (-inner, inner), (frame.top - frame.rail, frame.top)
    spans = frame.members
    bars = spans[1:-1] if rails.bar else ()
    name = "end rail" if rails.bar else "cross rail"
    panels = [replace(board(name, frame.sheet, x, y, z), role=MEMBER) for x in spans if x not in bars]
    battens = [batten("cross rail", rails.bar, x, y, z, role=MEMBER) for x in bars] if rails.bar else []
    return Parts(panels=tuple(panels), battens=tuple(battens))


def _legs(frame: BedFrame, rails: Rails) -> Parts:
    """Return legs up to the deck: bars, or of sheet."""
    if rails.bar is None:
        return Parts(panels=tuple(piece for hand in SIDES for piece in _sheet_legs(frame, rails, hand)))
    z, outer = (0.0, frame.top), (frame.half, frame.half - rails.inset(frame.t))
    places = ((hand, x) for hand in SIDES for x in rails.leg_spans(frame))
    return Parts(battens=tuple(batten(f"{h.word} leg", rails.bar, x, across(h, *outer), z) for h, x in places))


def _sheet_legs(frame: BedFrame, rails: Rails, hand: Hand) -> Iterator[Panel]:
    """Yield, for each leg, a strip up to the deck before the rail, and one across it on which rail and ledger stand."""
    t, outer, foot = frame.t, frame.half, frame.top - frame.rail - rails.ledger
    inward = across(hand, outer, outer - t), across(hand, outer - t, outer - t - rails.leg)
    above = f"{hand.word} side rail", f"{hand.word} ledger"
    for middle, x in zip(frame.stations, rails.leg_spans(frame), strict=True):
        flange = board(f"{hand.word} leg flange", frame.sheet, x, inward[0], (0.0, frame.top))
        thin = middle - t / 2, middle + t / 2
        web = board(f"{hand.word} leg web", frame.sheet, thin, inward[1], (0.0, foot))
        yield flange
        yield joined(joined(web, "butt", hand.word, flange.name), "butt", "top", *above)


def _hung(frame: BedFrame, rails: Rails, shop: Shop) -> tuple[Hardware, ...]:
    """Return what hangs both rails on the walls: bolts through them above the ledgers, between the members."""
    end = shop.number("screws", "end")
    count = points(frame.x[1] - frame.x[0], shop.number("bed", "body_spacing"), end)
    # Just above the ledger, and between the screws that come down into the upper edge from slats and strips.
    z = frame.top - frame.rail + min(shop.number("places", "washer"), frame.rail / 2)
    xs = _between_screws(frame, along_bed(frame, count, end, shop.number("places", "clear")), shop)
    heads = [
        Place(on=rails.bearers[0].format(hand.word), face="right" if hand.way > 0 else "left",
              at=(x, hand.way * (frame.half - frame.t), z))
        for hand in SIDES for x in xs
    ]  # fmt: skip
    return to_body_at("hangs a wall rail on the ribs", heads, frame.t)


def _between_screws(frame: BedFrame, xs: Sequence[float], shop: Shop) -> list[float]:
    """Return places along a rail, those at a screw of its upper edge moved beside it."""
    number = shop.number
    end, aside = number("screws", "end"), number("places", "edge")
    rows = evenly(frame.x, points(frame.x[1] - frame.x[0], number("screws", "spacing"), end), end)
    tries = ([x, x + aside, x - aside, x + 2 * aside, x - 2 * aside] for x in xs)
    return [next((x for x in ones if all(abs(x - row) >= aside for row in rows)), ones[0]) for ones in tries]


def _feet(frame: BedFrame, rails: Rails, shop: Shop) -> Iterator[Hardware]:
    """Yield what the legs stand on, and what holds the corner legs to the floor: a bracket inside of each."""
    word, thick = ("{} leg", rails.inset(frame.t)) if rails.bar else ("{} leg flange", frame.t)
    spans, up = rails.leg_spans(frame), shop.number("places", "bracket")
    stood = [(hand, x) for hand in SIDES for x in spans]
    middle = frame.half - thick / 2
    yield sat("foot-rubber", "one under each leg", [
        Place(on=word.format(h.word), at=((x[0] + x[1]) / 2, h.way * middle, 0.0), face="bottom") for h, x in stood
    ])  # fmt: skip
    # A web of sheet stands on the inner face of its flange; the bracket goes beside it.
    web = 0.0 if rails.bar else frame.t
    ends = ((spans[0][0] + web, spans[0][1]), (spans[-1][0], spans[-1][1] - web))
    corners = [(hand, (low + high) / 2) for hand in SIDES for low, high in ends]
    why, inner = "holds the foot of a corner leg to the floor", frame.half - thick
    heads = [
        Place(on=word.format(h.word), at=(x, h.way * inner, up), face="right" if h.way > 0 else "left")
        for h, x in corners
    ]  # fmt: skip
    yield sat("bracket-angle", why, heads)
    yield from bolted("holds a bracket to its leg", heads, thick, shop.number("places", "bolt_more"))
    yield from to_body_at(why, [Place(on=BODY, at=(x, h.way * (inner - up), 0.0), face="top") for h, x in corners], 0.0)
