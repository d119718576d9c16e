"""The smallest change that cures: a shift if there is one, else what to take off; each tried before it is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from layout.checks.context import Context
from layout.checks.curing.nearest import down_to_floor, shortest_shift
from layout.checks.curing.offer import Offer, Search, Window
from layout.checks.curing.trims import Smaller, trimmed
from layout.checks.meeting import deepest
from layout.checks.moves import Scene, carriers, rests_on, scenes
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.model.solid import Solid


@dataclass(frozen=True, kw_only=True, slots=True)
class Cured:
    """A cure as it is told and as numbers, and the part of the plan on which it rests: x0, y0, x1, y1, mm."""

    text: str
    does: Cure | None
    window: Window


@dataclass(frozen=True, kw_only=True)
class Shifts:
    """The shortest shifts of all things, each looked for once: it is the same in all states that a thing stands in."""

    context: Context
    # Worked out when first asked for.
    _known: dict[tuple[str, tuple[Solid, ...], bool], Search] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def best(self, things: Sequence[Placed], concerned: Iterable[Placed], cures: Callable[[Offer], bool]) -> Search:
        """Return the cheapest shift that `cures`, of the things concerned or of the one that carries one.

        A stack is moved by its lowest thing. `things` are all that stand in the state.
        """
        movers = {p.name: p for placed in concerned for p in (placed, *_base(placed, things))}
        return _cheapest([self._of(things, placed) for placed in movers.values()], cures)

    def on_floor(self, things: Sequence[Placed], concerned: Iterable[Placed], cures: Callable[[Offer], bool]) -> Search:
        """Return the cheapest shift to a free place on the floor that `cures`, of the things concerned."""
        return _cheapest([self._of(things, placed, down=True) for placed in concerned], cures)

    def _of(self, things: Sequence[Placed], placed: Placed, *, down: bool = False) -> Search:
        key = (placed.name, placed.solids, down)
        if key not in self._known:
            search = down_to_floor if down else shortest_shift
            self._known[key] = search(self.context, things, placed)
        return self._known[key]


def _cheapest(searches: Sequence[Search], cures: Callable[[Offer], bool]) -> Search:
    offers = [offer for search in searches for offer in search.offers if cures(offer)]
    return Search(offers=tuple(offers), window=around(search.window for search in searches))


def _base(placed: Placed, things: Sequence[Placed]) -> tuple[Placed, ...]:
    """Return what the thing stands on in the end, if that is one thing; else nothing."""
    below = carriers(placed, things)
    while len(below) == 1:
        under = carriers(below[0], things)
        if not under:
            return below
        below = under
    return ()


def around(windows: Iterable[Window]) -> Window:
    """Return the smallest window that holds all."""
    x0, y0, x1, y1 = zip(*windows, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def first_that_fits(
    context: Context, things: Sequence[Placed], placed: Placed, ways: Iterable[Smaller], fits: Callable[[Placed], bool]
) -> Smaller | None:
    """Return the first way to make the thing smaller that `fits`, drops nothing and puts nothing into another."""
    tried = scenes(context, things, placed)
    for way in ways:
        less = trimmed(placed, way.cure.trim)
        if less.solids and fits(less) and all(_harmless(scene, less) for scene in tried):
            return way
    return None


def _harmless(scene: Scene, less: Placed) -> bool:
    """Return whether all that stood on the thing still does, and nothing is in it that was not."""
    owners = {int(scene.bodies.owner[j]) for _, j in scene.bodies.near(less.solids)}
    near = [placed for k in sorted(owners) if (placed := scene.bodies.things[k]).name != less.name]
    dropped = any(rests_on(rider, scene.mover) and not rests_on(rider, less) for rider in scene.group[1:])
    return not dropped and not any(deepest(less, p) and not deepest(scene.mover, p) for p in near)
