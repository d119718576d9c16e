"""Slats instead of a deck: strips or bars along the bed with gaps, so that the mattress has air from below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from layout.model.building import Bar, Hardware, Place
from layout.model.motion import Face, Motion
from layout.model.panel import Panel
from layout.model.solid import Solid
from layout.things.base import Shop, Span, board
from layout.things.bed_frame import MEMBER, SIDES, BedFrame
from layout.things.bed_pieces import Parts, batten, joined
from layout.things.bed_places import Under
from layout.things.fasten import sat

SLAT = "slat"
# Items of the hardware catalogue by length, mm.
_SCREWS = ((35.0, "screw-4x35"), (40.0, "screw-4x40"), (50.0, "screw-4x50"), (60.0, "screw-5x60"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Slats:
    """Slats `width` mm wide, at most `gap` apart; of `bar`, lying flat, or strips of the sheet."""

    width: float
    gap: float
    bar: Bar | None = None

    def half(self, frame: BedFrame) -> float:
        """Return how far from the middle they reach, mm."""
        return frame.half

    def spans(self, frame: BedFrame) -> tuple[Span, ...]:
        """Return from where to where across the bed each slat reaches: the outer ones level with its sides."""
        count = self.count(frame)
        step = (frame.width - self.width) / (count - 1)
        starts = [-frame.half + i * step for i in range(count)]
        return tuple((start, start + self.width) for start in starts)

    def count(self, frame: BedFrame) -> int:
        """Return how many there are: as few as leave no wider gap, two at least."""
        return max(2, ceil(round((frame.width + self.gap) / (self.width + self.gap), 6)))

    def over(self, frame: BedFrame, below: Parts, under: Under) -> Parts:
        """Return the slats together with what is below, which is screwed to them."""
        x, z, bar = (0.0, frame.length), (frame.top, frame.deck), self.bar
        spans = self.spans(frame)
        panels = () if bar else tuple(board(SLAT, frame.sheet, x, y, z) for y in spans)
        battens = tuple(batten(SLAT, bar, x, y, z) for y in spans) if bar else ()
        slats = Parts(panels=panels, battens=battens, hardware=_screws(frame, below, spans, under.shop))
        return replace(below, panels=_carrying(frame, below)) + slats

    def roles(self, frame: BedFrame) -> tuple[tuple[str, int], ...]:
        """Return how many pieces of each role there are."""
        return ((SLAT, self.count(frame)),)

    def closed(self) -> tuple[Face, ...]:
        """Return no face: there are gaps."""
        return ()

    def motions(self, frame: BedFrame, body: Solid, path: tuple[str, ...]) -> tuple[Motion, ...]:
        """Return nothing: slats are fixed."""
        return ()


def _screws(frame: BedFrame, below: Parts, spans: Sequence[Span], shop: Shop) -> tuple[Hardware, ...]:
    """Return a screw for each slat on each bar, which has no joints that they would be counted from."""
    bars = [one.solid.bounds for one in below.battens if one.role == MEMBER]
    wanted = frame.cover + shop.number("screws", "bite")
    item = next((item for length, item in _SCREWS if length >= wanted), _SCREWS[-1][1])
    places = [
        Place(on=SLAT, at=((x0 + x1) / 2, (low + high) / 2, frame.deck), face="top")
        for low, high in spans for x0, _, x1, _ in bars
    ]  # fmt: skip
    return (sat(item, "a slat on a cross member", places),) if bars else ()


def _carrying(frame: BedFrame, below: Parts) -> tuple[Panel, ...]:
    bearers = {MEMBER, *(name for hand in SIDES for name in frame.bearers_of(hand.word))}
    panels = below.panels
    return tuple(joined(p, "butt", "top", SLAT) if {p.name, p.role} & bearers else p for p in panels)
