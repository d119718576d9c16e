"""The stack of heights at a place: a chain of dimensions beside a section, written as an addition with its sum."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from layout.drawing.lines import line
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, Mark, Pen, Text
from layout.drawing.text_width import shorten, text_width, wrap
from layout.model.solid import Point
from layout.views.options import ViewOptions

LAYER = "heights"
#: How much room at the right of the figure the chain takes, mm of paper.
WIDTH = 74.0
_CHAIN, _TICK = 8.0, 1.0
# Where names begin and figures end, right of the chain, mm.
_NAMES, _RIGHT = 13.0, 64.0
PITCH = SMALL_TEXT * 1.75
_PEN = Pen(width=NARROW)


@dataclass(frozen=True, kw_only=True, slots=True)
class Term:
    """One height of the stack: what is there, from `z0` to `z1` mm above the finished floor.

    `words` tell what people can do in it; each is a line or more under the name.
    """

    name: str
    z0: float
    z1: float
    words: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Heights:
    """The heights at a place (x, y; mm), from below upward without gaps; `over` is what the sum ends at."""

    at: Point
    terms: tuple[Term, ...]
    over: str = "the roof"

    @property
    def total(self) -> float:
        """Return the whole height, mm."""
        return self.terms[-1].z1 - self.terms[0].z0


def said_terms(heights: Heights, options: ViewOptions) -> tuple[tuple[str, float], ...]:
    """Return each term's name with its height in mm, rounded so that what is printed adds up to the printed sum.

    The heights above the lowest are rounded to what can be said, a tenth of a mm or 1/16 in; the terms are what lies
    between them.
    """
    grain = 25.4 / 16 if options.units == "in" else 0.1
    low = heights.terms[0].z0
    steps = [0.0, *(round((term.z1 - low) / grain) * grain for term in heights.terms)]
    return tuple((term.name, high - below) for term, (below, high) in zip(heights.terms, pairwise(steps), strict=True))


def said_total(heights: Heights, options: ViewOptions) -> float:
    """Return the printed sum, mm."""
    return sum(height for _, height in said_terms(heights, options))


def chain_marks(
    heights: Heights, ends: Sequence[float], edge: float, limits: tuple[float, float], options: ViewOptions
) -> tuple[Mark, ...]:
    """Return the chain and the addition beside it.

    Parameters
    ----------
    heights
        What is stacked.
    ends
        Where on the paper the terms begin and end, upward, one more than terms, mm.
    edge
        Where the figure ends at the right, mm of paper.
    limits
        From where to where on the paper the words may stand, upward, mm.
    options
        Units.
    """
    x = edge + _CHAIN
    blocks = [_Block(name=name, said=options.said(height), words=_words(term)) for term, (name, height) in
              zip(heights.terms, said_terms(heights, options), strict=True)]  # fmt: skip
    middles = [(a + b) / 2 for a, b in pairwise(ends)]
    # The sum and its line stand under the lowest term.
    spots = _spread(middles, blocks, (limits[0] + 2.4 * PITCH, limits[1] - PITCH / 2))
    marks = [*_chain(x, edge, ends)]
    for block, middle, at in zip(blocks, middles, spots, strict=True):
        marks += [
            line(LAYER, (x + 1.5, middle), (x + _NAMES - 3.0, at), (x + _NAMES - 1.0, at), pen=_PEN),
            *_row(x, at - SMALL_TEXT / 2, block.name, block.said),
            *(
                Text(
                    layer=LAYER,
                    at=(x + _NAMES + 2, at - SMALL_TEXT / 2 - (i + 1) * PITCH),
                    text=said,
                    height=SMALL_TEXT,
                )
                for i, said in enumerate(block.words)
            ),
        ]
    said = options.said(said_total(heights, options))
    return (*marks, *_sum(x, spots[0] - (len(blocks[0].words) + 1.4) * PITCH, f"up to {heights.over}", said))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Block:
    """A row of the addition, with the words under it."""

    name: str
    said: str
    words: tuple[str, ...]


def _chain(x: float, edge: float, ends: Sequence[float]) -> Iterator[Mark]:
    yield line(LAYER, (x, ends[0]), (x, ends[-1]), pen=_PEN)
    for at in ends:
        yield line(LAYER, (x - _TICK, at - _TICK), (x + _TICK, at + _TICK), pen=_PEN)
        yield line(LAYER, (edge + 1.5, at), (x + 1.5, at), pen=_PEN)


def _words(term: Term) -> tuple[str, ...]:
    return tuple(piece for said in term.words for piece in wrap(said, _RIGHT - _NAMES - 2, SMALL_TEXT))


def _row(x: float, y: float, name: str, said: str) -> list[Mark]:
    left, right = x + _NAMES, x + _RIGHT
    short = shorten(name, right - left - text_width(said, SMALL_TEXT) - 2, SMALL_TEXT)
    return [
        Text(layer=LAYER, at=(left, y), text=short, height=SMALL_TEXT),
        Text(layer=LAYER, at=(right, y), text=said, height=SMALL_TEXT, anchor="end"),
    ]


def _sum(x: float, at: float, name: str, said: str) -> list[Mark]:
    """Return the line of an addition, and the sum under it."""
    over = at + PITCH * 0.75
    rule = line(LAYER, (x + _NAMES, over), (x + _RIGHT, over), pen=Pen(width=MEDIUM))
    return [rule, *_row(x, at - SMALL_TEXT / 2, name, said)]


def _spread(wanted: Sequence[float], blocks: Sequence[_Block], limits: tuple[float, float]) -> list[float]:
    """Return where each row stands, upward, clear of the words over it, as near to the wanted place as that allows."""
    below = [len(block.words) * PITCH for block in blocks]
    spots: list[float] = []
    for at, room in zip(wanted, below, strict=True):
        lowest = spots[-1] + PITCH + room if spots else limits[0] + room
        spots.append(max(at, lowest))
    ceiling = limits[1]
    for i in reversed(range(len(spots))):
        spots[i] = min(spots[i], ceiling)
        ceiling = spots[i] - PITCH - below[i]
    return spots
