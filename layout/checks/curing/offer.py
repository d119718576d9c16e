"""A shift that is offered as a cure: what it costs to do, as numbers and as words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.checks.context import Context
from layout.checks.moves import Scene
from layout.model.cure import Cure, Shift3

# A shift along two axes is two things to measure: it is told only where it is less than half as long.
TWO_AXES = 2.0
NO_SHIFT: Shift3 = (0.0, 0.0, 0.0)
Window = tuple[float, float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """A shift that was found free: what it costs to do (mm, two axes counted twice), the cure, and who is moved.

    `onto` is the equal bin on which the bin is set square, if that is the shift.
    """

    cost: float
    mover: str
    cure: Cure
    onto: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Search:
    """What was found, and the part of the plan on which that rests: x0, y0, x1, y1, mm."""

    offers: tuple[Offer, ...]
    window: Window

    @property
    def best(self) -> Offer | None:
        """Return the cheapest offer."""
        return min(self.offers, key=lambda offer: offer.cost, default=None)


def offer_of(tried: Sequence[Scene], shift: Shift3) -> Offer:
    """Return the offer to shift what goes along in the scenes."""
    names = dict.fromkeys(placed.name for scene in tried for placed in scene.group)
    return Offer(cost=cost_of(shift), mover=tried[0].mover.name, cure=Cure(things=tuple(names), shift=shift))


def cost_of(shift: Shift3) -> float:
    """Return how far something is shifted along all axes, mm; twice that where both x and y are to be measured."""
    along = sum(map(abs, shift))
    return along * TWO_AXES if shift[0] and shift[1] else along


def window_of(tried: Sequence[Scene], reach: float) -> Window:
    """Return the part of the plan within `reach` mm of what goes along in the scenes."""
    bounds = [solid.bounds for scene in tried for solid in scene.solids]
    x0, y0, x1, y1 = zip(*bounds, strict=True)
    return min(x0) - reach, min(y0) - reach, max(x1) + reach, max(y1) + reach


def in_words(context: Context, offer: Offer, name: str) -> str:
    """Return the shift as it is told of the thing called `name`."""
    dx, dy, dz = offer.cure.shift
    lift = f"{'lift' if dz > 0 else 'lower'} {name} by {context.say(abs(dz))}" if dz else ""
    ways = ((dy, ("left", "right")), (dx, ("forward", "back")))
    level = " and ".join(f"{context.say(abs(by))} {words[by < 0]}" for by, words in ways if by)
    if not level:
        return lift
    if offer.onto:
        return f"set {name} square with {offer.onto}: {level}"
    return f"{lift} and move it {level}" if lift else f"move {name} {level}"


def whole(context: Context, by: float) -> float:
    """Return a shift rounded to what can be said, away from nought, so that doing what is said is enough, mm."""
    return context.up(abs(by)) * (1 if by > 0 else -1) if by else 0.0
