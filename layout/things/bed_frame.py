"""The measures of a bed platform that its deck and what carries it share."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Literal

from layout.model.panel import Sheet
from layout.things.base import Span

MEMBER = "cross member"  # the role of all that reaches across under the deck


@dataclass(frozen=True, kw_only=True, slots=True)
class BedFrame:
    """A deck `length` x `width` with its top at `deck`, on cross members at most `support` apart; all mm.

    What carries it stops `overhang` short of both ends. Cross members are `rail` high, `member` thick but for the
    first and the last, which are of sheet. `cover` is the thickness of what lies on them. At each side wood of the
    depth `side` is under the deck, from its edge inward; the pieces of it that the deck lies on are `bearers`, said of
    either side as ``{} upright``.
    """

    length: float
    width: float
    deck: float
    overhang: float
    support: float
    sheet: Sheet
    rail: float
    member: float
    cover: float
    side: float
    bearers: tuple[str, ...]

    @property
    def t(self) -> float:
        """Return the thickness of the sheet."""
        return self.sheet.thickness

    @property
    def half(self) -> float:
        """Return half the width."""
        return self.width / 2

    @property
    def x(self) -> Span:
        """Return from where to where the deck is carried."""
        return self.overhang, self.length - self.overhang

    @property
    def top(self) -> float:
        """Return how high all that carries the deck ends."""
        return self.deck - self.cover

    @property
    def stations(self) -> tuple[float, ...]:
        """Return the middles of the cross members along the length."""
        first, last = self.overhang + self.t / 2, self.length - self.overhang - self.t / 2
        fields = max(1, ceil((last - first) / self.support))
        return tuple(first + (last - first) * i / fields for i in range(fields + 1))

    @property
    def members(self) -> tuple[Span, ...]:
        """Return from where to where each cross member reaches along the length."""
        middles = self.stations
        halves = [self.t / 2, *[self.member / 2] * (len(middles) - 2), self.t / 2]
        return tuple((m - h, m + h) for m, h in zip(middles, halves, strict=True))

    def bearers_of(self, word: str) -> tuple[str, ...]:
        """Return the pieces on one side, ``left`` or ``right``, that the deck lies on."""
        return tuple(name.format(word) for name in self.bearers)

    def open_fields(self, within: Span) -> tuple[Span, ...]:
        """Return where, along the part `within` of the length, nothing reaches across under the deck."""
        ends = [(within[0], within[0]), *self.members, (within[1], within[1])]
        spans = ((max(a[1], within[0]), min(b[0], within[1])) for a, b in pairwise(ends))
        return tuple((low, high) for low, high in spans if high > low)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hand:
    """One of the two long sides of a bed: its word, and the way to it along y."""

    word: Literal["left", "right"]
    way: int


SIDES = (Hand(word="left", way=1), Hand(word="right", way=-1))


def across(hand: Hand, one: float, other: float) -> Span:
    """Return a span of y on one side of the bed from how far its ends are from the middle, mm."""
    a, b = hand.way * one, hand.way * other
    return (a, b) if a < b else (b, a)
