"""Rule ``overlap``: no two things take the same room in the same state."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context, shared_box
from layout.checks.curing.cures import Cured, Shifts, around, first_that_fits
from layout.checks.curing.offer import Offer, Window, in_words
from layout.checks.curing.trims import Smaller, smaller
from layout.checks.meeting import Shared, deepest
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid

Pair = tuple[int, int]


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each pair of things that overlap, with the smallest change that frees them."""
    shifts = Shifts(context=context)
    for state, _ in context.states:
        yield from (finding for _, finding, _ in among(shifts, state, near_pairs(context, state)))


def among(shifts: Shifts, state: str, pairs: Iterable[Pair]) -> Iterator[tuple[Pair, Finding, Window]]:
    """Yield of those pairs (numbers of things) in the state which overlap, the finding, and on which place it rests."""
    context = shifts.context
    things = context.layout.placed[state]
    for (a, b), worst in overlapping(context, state, pairs).items():
        cured = _cured(shifts, things, things[a], things[b])
        yield (a, b), _finding(context, state, (things[a], things[b]), worst, cured), cured.window


def overlapping(context: Context, state: str, pairs: Iterable[Pair]) -> dict[Pair, Shared]:
    """Return of those pairs of things which overlap: how deep, and where."""
    things = context.layout.placed[state]
    found = ((pair, deepest(things[pair[0]], things[pair[1]])) for pair in pairs)
    return {pair: shared for pair, shared in found if shared is not None}


def near_pairs(context: Context, state: str) -> list[Pair]:
    """Return the pairs of things, by number, of which solids meet by their bounds."""
    bodies = context.bodies(state)
    return sorted({(int(bodies.owner[i]), int(bodies.owner[j])) for i, j in bodies.near_each_other()})


def _finding(context: Context, state: str, pair: tuple[Placed, Placed], worst: Shared, cured: Cured) -> Finding:
    a, b = pair
    depth, solid = worst
    return Finding(
        rule="overlap", severity="fail", things=(a.name, b.name), states=(state,),
        measured=round(-depth, 3), wanted=0.0, short_by=round(depth, 3), where=solid,
        text=f"{a.name} and {b.name} are {context.say(depth)} in each other", cure=cured.text, does=cured.does,
    )  # fmt: skip


def _cured(shifts: Shifts, things: Sequence[Placed], a: Placed, b: Placed) -> Cured:
    context = shifts.context

    def apart(offer: Offer) -> bool:
        return (a.name in offer.cure.things) != (b.name in offer.cure.things)

    found = shifts.best(things, (a, b), apart)
    window = around([found.window, a.box.bounds, b.box.bounds])
    if found.best is not None:
        return _moved(context, found.best, window)
    ways = [way for one, other in ((a, b), (b, a)) if (way := _less(context, things, one, other)) is not None]
    if ways:
        way = min(ways, key=lambda way: way.by)
        what = f"make {way.cure.things[0]} {context.say(way.by)} {way.word}"
        return Cured(text=f"no free move; {what}: {context.say(way.fits)} fit", does=way.cure, window=window)
    down = shifts.on_floor(things, (a, b), apart)
    if down.best is not None:
        return _moved(context, down.best, around([window, down.window]))
    return Cured(text="neither has a free place at its height; stand one elsewhere", does=None, window=window)


def _moved(context: Context, offer: Offer, window: Window) -> Cured:
    return Cured(text=in_words(context, offer, offer.mover), does=offer.cure, window=window)


def _less(context: Context, things: Sequence[Placed], placed: Placed, other: Placed) -> Smaller | None:
    def in_other(solid: Solid) -> BaseGeometry:
        met = [Polygon(o.outline) for o in other.solids if shared_box(solid, o) is not None]
        return shapely.union_all(met).intersection(Polygon(solid.outline))

    ways = smaller(placed, in_other, sorted({solid.z0 for solid in other.solids}), context)
    return first_that_fits(context, things, placed, ways, lambda less: deepest(less, other) is None)
