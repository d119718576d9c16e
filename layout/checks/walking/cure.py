"""The smallest move of one thing that makes a way wide enough, tried and measured before it is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from layout.checks.context import Context
from layout.checks.door_opening import too_narrow
from layout.checks.moves import Scene as Moving
from layout.checks.moves import is_free, scenes
from layout.checks.walking.floors import ends
from layout.checks.walking.goals import Goal
from layout.checks.walking.scene import Found, Scene, bars, walked, wide_enough
from layout.checks.walking.words import move_in_words
from layout.model.cure import Cure, Shift3
from layout.model.rule import Rule
from layout.space.space import TOUCH

_TRIED = 2
_HALVINGS = 12
_SLANT = 0.3  # a move that goes less than so much across the gap is none for it
_BARS_TRIED = 2
_BESIDE = 10.0  # mm: more than by which the floor is told wider or narrower than it is
Step = tuple[int, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class Widened:
    """A cure as it is told and as numbers."""

    text: str
    does: Cure | None = None


@dataclass(frozen=True, kw_only=True)
class _Try:
    """A move to try: who moves, which way (a unit step along one axis), and by how much at first, mm.

    `exact` where no smaller move could do: it is just what is missing.
    """

    context: Context
    scene: Scene
    goal: Goal
    moving: tuple[Moving, ...]
    step: Step
    size: float
    exact: bool

    def shift(self, size: float) -> Shift3:
        return (self.step[0] * size, self.step[1] * size, 0.0)

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(placed.name for scene in self.moving for placed in scene.group))

    def is_free(self, size: float) -> bool:
        """Return whether the move hits nothing."""
        return is_free(self.context, self.moving, self.shift(size))

    def after(self, size: float) -> _After:
        """Return the scene and the goal after the move."""
        moved = self.scene.moved(self.names, self.shift(size))
        return _After(scene=moved, goal=next((g for g in moved.goals if g.name == self.goal.name), None))

    def hopeless(self, wanted: float) -> bool:
        """Return whether no move of these things that is tried can do: something far from them bars the way too."""
        if self.goal.name in self.names:
            return False
        moved = [p.box.bounds for p in self.scene.site.bodies.things if p.name in self.names]
        # A second try goes on by what is missing then, which is no more than all.
        far = self.step[0] * (self.size + self.context.up(wanted) + self.context.grain)
        near = wanted / 2 + _BESIDE
        low = min(x0 for x0, _, _, _ in moved) + min(far, 0.0) - near
        high = max(x1 for _, _, x1, _ in moved) + max(far, 0.0) + near
        return any(b < low or a > high for a, b in bars(self.scene, self.goal, wanted))

    def harmless(self, size: float) -> bool:
        """Return whether no other goal is cut off by the move, and no door made too narrow."""
        after = self.after(size).scene
        others = [g.name for g in self.scene.goals if g.name != self.goal.name]
        kept = all(_passed(after, name) or not _passed(self.scene, name) for name in others)
        narrow = [too_narrow(self.context, self.scene.state, scene.site.bodies) for scene in (self.scene, after)]
        return kept and narrow[1] <= narrow[0]


@dataclass(frozen=True, kw_only=True)
class _After:
    """A scene after a move, and the goal there; None where the move took it away."""

    scene: Scene
    goal: Goal | None

    def is_wide(self, wanted: float) -> bool:
        """Return whether a way is so wide, for those who walk as the room lets them."""
        return self.goal is not None and wide_enough(self.scene, self.goal, wanted, self.scene.upright)

    def width(self, wanted: float) -> float:
        """Return how wide the way is, up to what is wanted."""
        return walked(self.scene, self.goal, self.scene.upright, wanted).width if self.goal else wanted


def cure(context: Context, scene: Scene, goal: Goal, found: Found) -> Widened:
    """Return the smallest move that leaves a squeeze, else a passage where there is none; or what is missing."""
    rule, found = scene.rule, found.told
    wishes = (rule["squeeze"], rule["least"]) if found.severity(rule) == "fail" else (rule["squeeze"],)
    for wanted in wishes:
        offers = [(size, one) for one in _tries(context, scene, goal, found, wanted)
                  if (size := _smallest(one, wanted)) is not None]  # fmt: skip
        if offers:
            size, one = min(offers, key=lambda offer: (offer[0], offer[1].names, offer[1].step))
            does = Cure(things=one.names, shift=one.shift(size))
            return Widened(text=move_in_words(context, one.names[0], does.shift), does=does)
    return Widened(text=_missing(context, found, rule))


def _missing(context: Context, found: Found, rule: Rule) -> str:
    least, squeeze = (rule[key] - found.width for key in ("least", "squeeze"))
    to_pass = f"{context.say(context.up(least))} more to pass at all, " if least > TOUCH else ""
    return f"{to_pass}{context.say(context.up(squeeze))} more to squeeze past; no move of one thing gives them"


def _tries(context: Context, scene: Scene, goal: Goal, found: Found, wanted: float) -> Iterator[_Try]:
    things = context.layout.placed[scene.state]
    steps = _away(context, found, wanted) if found.way.pinch else _any_way(context, found, wanted)
    for name, step, size in steps:
        placed = next((p for p in things if p.name == name), None)
        if placed is not None:
            moving = scenes(context, things, placed)
            exact = found.way.pinch is not None
            yield _Try(context=context, scene=scene, goal=goal, moving=moving, step=step, size=size, exact=exact)


def _away(context: Context, found: Found, wanted: float) -> Iterator[tuple[str, Step, float]]:
    """Yield moves of the things at a gap, away from its other end, by what is missing there."""
    pinch, missing = found.way.pinch, wanted - found.width
    if pinch is None:
        return
    for name, here, there in zip(ends(found.floor, pinch), pinch, reversed(pinch), strict=True):
        apart = max(hypot(here[0] - there[0], here[1] - there[1]), TOUCH)
        for axis in (0, 1):
            share = (here[axis] - there[axis]) / apart
            sign = 1 if share > 0 else -1
            if abs(share) > _SLANT:
                yield name, (sign, 0) if axis == 0 else (0, sign), context.up(missing / abs(share))


def _any_way(context: Context, found: Found, wanted: float) -> Iterator[tuple[str, Step, float]]:
    """Yield moves of what bars a way, in every direction, by the whole width that is wanted."""
    named = found.straight.stops if found.straight is not None else found.barred_by
    for name in named[:_BARS_TRIED]:
        for step in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            yield name, step, context.up(wanted)


def _smallest(one: _Try, wanted: float) -> float | None:
    """Return by how much the move must be made, None if it does not help within a few tries."""
    if one.hopeless(wanted):
        return None
    size = one.size
    for left in range(_TRIED, 0, -1):
        if not one.is_free(size):
            return None
        after = one.after(size)
        if after.is_wide(wanted):
            size = size if one.exact else _less(one, wanted, size)
            return size if one.harmless(size) else None
        # Another place may be the narrowest then.
        size += one.context.up(wanted - after.width(wanted)) if left > 1 else 0.0
    return None


def _less(one: _Try, wanted: float, size: float) -> float:
    """Return a smaller move that does too, found by halving: it is one that was tried."""
    low = 0.0
    for _ in range(_HALVINGS):
        middle = one.context.up((low + size) / 2)
        if not low < middle < size:
            break
        does = one.is_free(middle) and one.after(middle).is_wide(wanted)
        low, size = (low, middle) if does else (middle, size)
    return size


def _passed(scene: Scene, name: str) -> bool:
    """Return whether somebody gets to the goal, on hands and knees if need be."""
    goal = next((goal for goal in scene.goals if goal.name == name), None)
    return goal is not None and wide_enough(scene, goal, scene.rule["least"], "crawl")
