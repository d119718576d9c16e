"""The deck of a bed platform: panels that one person turns over, with wider ends, lids and holes where wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Literal

from layout.model.building import Hardware
from layout.model.motion import Face, Motion
from layout.model.panel import Panel
from layout.model.solid import Point, Solid
from layout.things.base import Span, board
from layout.things.bed_frame import MEMBER, SIDES, BedFrame
from layout.things.bed_holes import HandSlots, Ring, Vents
from layout.things.bed_pieces import Parts, joined
from layout.things.bed_places import Hold, Seat, Under, held_down
from layout.things.fasten import sat
from layout.things.motion import MotionSpec

Hatch = Literal["none", "lift off", "hinged"]
_STRIP, _PANEL, _LID = "hinge strip", "deck panel", "deck lid"
_METRE = 1000.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Deck:
    """How a deck is divided; `heaviest` kg and `longest` mm are what one person turns over.

    `flare` is how much further it reaches on both sides over the length `flare_length` of its rear and its front end.
    `hatch`: the panels are held down with bolts, lift off, or are lids on a fixed `strip` along the `hinge` side.
    """

    heaviest: float
    longest: float
    hold_downs: int
    hatch: Hatch = "none"
    hinge: Literal["left", "right"] = "left"
    strip: float = 0.0
    flare: tuple[float, float] = (0.0, 0.0)
    flare_length: float = 0.0
    vents: Vents | None = None
    slots: HandSlots | None = None

    @property
    def name(self) -> str:
        """Return what the panels are called."""
        return _LID if self.hatch == "hinged" else _PANEL

    def half(self, frame: BedFrame) -> float:
        """Return how far from the middle the deck reaches at its widest, mm."""
        return frame.half + max(self.flare)

    def sides(self, frame: BedFrame) -> Span:
        """Return from where to where across the bed the panels reach, flares not counted."""
        low, high = -frame.half, frame.half
        if self.hatch != "hinged":
            return low, high
        return (low, high - self.strip) if self.hinge == "left" else (low + self.strip, high)

    def edges(self, frame: BedFrame) -> tuple[float, ...]:
        """Return where the deck's joints lie, both ends included: each on the middle of a cross member."""
        middles, last = frame.stations, 0.0
        edges = [last]
        for here, after in zip(middles[1:], [*middles[2:], frame.length], strict=True):
            end = after if after < frame.length - frame.overhang - frame.t else frame.length
            if end - last > self.longest or self._mass_kg(frame, (last, end)) > self.heaviest:
                edges.append(here)
                last = here
        return (*(edge for edge in edges if edge < middles[-1]), frame.length)

    def _mass_kg(self, frame: BedFrame, x: Span) -> float:
        low, high = self.sides(frame)
        flared = (low == -frame.half) + (high == frame.half)
        return frame.sheet.mass_kg(
            sum((b - a) * (high - low + flared * out) for a, b, out in self.parts_of(frame, x)), 1.0
        )

    def parts_of(self, frame: BedFrame, x: Span) -> Iterator[tuple[float, float, float]]:
        """Yield the stretches of a part of the length, and how far the deck reaches out beyond its width there, mm."""
        rear, front = self.flare
        ends = (self.flare_length if rear else x[0], frame.length - self.flare_length if front else x[1])
        for low, high in pairwise(sorted(min(max(end, x[0]), x[1]) for end in (*x, *ends))):
            if high > low:
                out = rear if high <= ends[0] else front if low >= ends[1] else 0.0
                yield low, high, out

    def outline(self, frame: BedFrame, x: Span, y: Span) -> Ring:
        """Return the corners of a part of the deck, anticlockwise from above: four, or more where it gets wider."""
        right = self._edge(frame, x, y[0], -1.0 if y[0] == -frame.half else 0.0)
        left = self._edge(frame, x, y[1], 1.0 if y[1] == frame.half else 0.0)
        return (*right, *reversed(left))

    def _edge(self, frame: BedFrame, x: Span, y: float, way: float) -> list[Point]:
        corners: list[Point] = []
        for low, high, out in self.parts_of(frame, x):
            at = y + way * out
            if corners and corners[-1][1] == at:
                corners.pop()
            else:
                corners.append((low, at))
            corners.append((high, at))
        return corners

    def over(self, frame: BedFrame, below: Parts, under: Under) -> Parts:
        """Return the panels, and the strip that lids hang on, together with what is below."""
        cells = list(pairwise(self.edges(frame)))
        strip = (_strip(frame, self),) if self.hatch == "hinged" else ()
        panels = self.panels(frame)
        laid = tuple(zip(panels, cells, strict=True))
        return below + Parts(panels=(*panels, *strip), hardware=tuple(_hardware(frame, self, laid, under)))

    def panels(self, frame: BedFrame) -> tuple[Panel, ...]:
        """Return its panels or lids, from the rear."""
        return tuple(_panel(frame, self, x) for x in pairwise(self.edges(frame)))

    def roles(self, frame: BedFrame) -> tuple[tuple[str, int], ...]:
        """Return how many pieces of each role there are."""
        panels = (self.name, len(self.edges(frame)) - 1)
        return (panels, (_STRIP, 1)) if self.hatch == "hinged" else (panels,)

    def closed(self) -> tuple[Face, ...]:
        """Return the top, if nothing is left open in it."""
        return () if any(self.flare) or self.slots or self.vents else ("top",)

    def motions(self, frame: BedFrame, body: Solid, path: tuple[str, ...]) -> tuple[Motion, ...]:
        """Return how the panels of a bed whose outer box is `body` open; nothing where they are held down."""
        if self.hatch == "none":
            return ()
        (low, high), out = self.sides(frame), max(self.flare)
        y = low - out * (low == -frame.half), high + out * (high == frame.half)
        hinge = self.hinge if self.hatch == "hinged" else None
        does: Literal["lid", "lift off"] = "lid" if hinge else "lift off"
        specs = [MotionSpec(does=does, hinge=hinge, x=x, y=y) for x in pairwise(self.edges(frame))]
        return tuple(spec.made(f"{self.name} {i}", body, path) for i, spec in enumerate(specs, start=1))


def _panel(frame: BedFrame, deck: Deck, x: Span) -> Panel:
    y = deck.sides(frame)
    slots = tuple(_slots(frame, deck, x, y))
    holes = (*slots, *_vents(frame, deck, x, y, slots))
    panel = joined(_flat(frame, deck.name, deck.outline(frame, x, y), holes), "loose", "bottom", MEMBER)
    for hand in SIDES:
        if hand.way * frame.half in y:
            panel = joined(panel, "loose", "bottom", *frame.bearers_of(hand.word))
    return joined(panel, "hinge", deck.hinge, _STRIP) if deck.hatch == "hinged" else panel


def _strip(frame: BedFrame, deck: Deck) -> Panel:
    """Return the fixed strip along one side, as long as the bed, screwed down on what carries it."""
    low, high = deck.sides(frame)
    y = (high, frame.half) if deck.hinge == "left" else (-frame.half, low)
    strip = _flat(frame, _STRIP, deck.outline(frame, (0.0, frame.length), y), ())
    return joined(strip, "butt", "bottom", *frame.bearers_of(deck.hinge))


def _flat(frame: BedFrame, name: str, outline: Ring, holes: tuple[Ring, ...]) -> Panel:
    """Return the panel of the deck with that outline and those holes, both in the bed's own x and y."""
    xs, ys = zip(*outline, strict=True)
    span_x, span_y = (min(xs), max(xs)), (min(ys), max(ys))
    panel = board(name, frame.sheet, span_x, span_y, (frame.top, frame.deck), grain="free")

    def own(ring: Ring) -> Ring:
        moved = ((x - span_x[0], y - span_y[0]) for x, y in ring)
        return tuple(point if panel.along == "x" else point[::-1] for point in moved)

    shape = panel.outline if len(outline) == len(panel.outline) else own(outline)
    return replace(panel, outline=shape, holes=tuple(own(hole) for hole in holes))


def _slots(frame: BedFrame, deck: Deck, x: Span, y: Span) -> Iterator[Ring]:
    """Yield a slot for a hand at both ends of a panel that lifts off, at the free end of a lid."""
    for hand in SIDES:
        free = deck.slots if hand.way * frame.half in y else None
        rings = (
            (free.ring(f, hand.way * (frame.half - frame.side), -hand.way) for f in frame.open_fields(x))
            if free
            else ()
        )
        yield from [ring for ring in rings if ring][:1]


def _vents(frame: BedFrame, deck: Deck, x: Span, y: Span, slots: tuple[Ring, ...]) -> tuple[Ring, ...]:
    if deck.vents is None:
        return ()
    within = max(y[0], frame.side - frame.half), min(y[1], frame.half - frame.side)
    return deck.vents.rings(frame.open_fields(x), within, slots)


def _hardware(frame: BedFrame, deck: Deck, laid: Sequence[tuple[Panel, Span]], under: Under) -> Iterator[Hardware]:
    """Yield what keeps panels or lids shut on the road, what lids turn on and what holds them up, each at its place."""
    shop = under.shop
    if deck.hatch == "none":
        # A threaded insert is as long as such an edge is thick; thinner panels have a nut let in from above.
        nut = "insert-m6" if frame.t >= shop.number("screws", "edge") else "tee-nut-m6"
        away = shop.number("places", "bracket")
        yield from held_down(_holds(deck, laid, under, away), under, nut)
        return
    away = shop.number("places", "latch")
    latched = _holds(deck, laid, under, away) if deck.hatch == "lift off" else _free_ends(deck, laid, under, away)
    why = f"keeps a {deck.name} shut on the road"
    yield sat("latch-push", why, [hold.under(away) for hold in latched])
    if deck.hatch == "hinged":
        metres = frame.length / _METRE
        yield Hardware(item="hinge-piano", count=ceil(round(metres, 6)), why=f"{metres:.2f} m along the lids' edges")
        yield sat("stay-lid", "holds a deck lid up", [hold.under(away) for hold in _stays(deck, laid, under, away)])


def _holds(deck: Deck, laid: Sequence[tuple[Panel, Span]], under: Under, away: float) -> list[Hold]:
    return [hold for panel, x in laid for hold in under.holds(panel, x, deck.hold_downs, away)]


def _free_ends(deck: Deck, laid: Sequence[tuple[Panel, Span]], under: Under, away: float) -> list[Hold]:
    """Return where lids are latched: on their rear member, at the side that has no hinge."""
    hand = next(hand for hand in SIDES if hand.word != deck.hinge)
    return [under.hold(panel, x, hand, rear=True, away=away) for panel, x in laid]


def _stays(deck: Deck, laid: Sequence[tuple[Panel, Span]], under: Under, away: float) -> list[Hold]:
    """Return where the stays of lids take hold: on the front member, so far from the hinge as stays reach."""
    hand = next(hand for hand in SIDES if hand.word == deck.hinge)
    low, high = deck.sides(under.frame)
    start, end = (high, low) if hand.way > 0 else (low, high)
    first = start - hand.way * min(under.shop.number("places", "stay"), (high - low) / 2)
    seats = (Seat(on=MEMBER, start=first, end=end), Seat(on=MEMBER, start=first, end=start))
    return [under.hold(panel, x, hand, rear=False, away=away, seats=seats) for panel, x in laid]
