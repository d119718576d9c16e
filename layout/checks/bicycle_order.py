"""In which order bicycles come out, and which do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from layout.checks.bicycle_ways import Ways, has_straight_bars
from layout.model.layout import Placed

_HOLDERS = 4  # things that are left out one by one, to learn which holds a bicycle


@dataclass(frozen=True, kw_only=True, slots=True)
class Order:
    """Bicycles by name that do not come out at once, with all other bicycles in place.

    `after` maps one to those that must be gone before it, see `order_of`; of these, `eased` need none gone with their
    bars turned. `turned` come out only with their bars turned. `stuck` maps one to what holds it: all other bicycles
    that are left, if it came out without them; else each thing without which alone it would come out, of the nearest
    few; `too_large` are those of the stuck that do not come out of the empty room either.
    """

    after: dict[str, tuple[str, ...]] = field(default_factory=dict)
    eased: list[str] = field(default_factory=list)
    turned: list[str] = field(default_factory=list)
    stuck: dict[str, tuple[str, ...]] = field(default_factory=dict)
    too_large: list[str] = field(default_factory=list)


def order_of(ways: Ways, bicycles: Sequence[Placed], fixed: Sequence[Placed]) -> Order:
    """Return how the bicycles come out past the `fixed` things.

    Those that do not stand free at their places are not judged, and stay in the way of others. A
    bicycle that waits is told to wait for one other if that is enough (the first of the file), else for
    all that came out before it.
    """
    found, left = Order(), list(bicycles)
    gone: list[Placed] = []
    while left:
        free = [b for b in left if ways.out(b, _without(left, b, fixed))]
        turned = [] if free else [b for b in left if _out_turned(ways, b, _without(left, b, fixed))]
        if not free and not turned:
            break
        for b in free if gone else ():
            found.after[b.name] = _waits_for(ways, b, gone, (*left, *fixed))
            if _out_turned(ways, b, _without([*gone, *left], b, fixed)):
                found.eased.append(b.name)
        found.turned.extend(b.name for b in turned)
        gone += free or turned
        left = [b for b in left if b not in gone]
    for b in left:
        _add_stuck(found, ways, b, [o for o in left if o is not b], fixed)
    return found


def _without(bicycles: Sequence[Placed], one: Placed, fixed: Sequence[Placed]) -> list[Placed]:
    return [*(b for b in bicycles if b is not one), *fixed]


def _out_turned(ways: Ways, bicycle: Placed, others: Sequence[Placed]) -> bool:
    return has_straight_bars(bicycle) and bool(ways.out(bicycle, others, turned=True))


def _waits_for(ways: Ways, bicycle: Placed, gone: Sequence[Placed], others: Sequence[Placed]) -> tuple[str, ...]:
    """Return one of those gone whose absence alone lets the bicycle out, or all of them."""
    for one in gone:
        rest = [o for o in (*gone, *others) if o is not one and o is not bicycle]
        if ways.out(bicycle, rest):
            return (one.name,)
    return tuple(b.name for b in gone)


def _add_stuck(found: Order, ways: Ways, bicycle: Placed, others: Sequence[Placed], fixed: Sequence[Placed]) -> None:
    alone = ways.out(bicycle, fixed)
    if alone is None or ways.out(bicycle, [*others, *fixed]) is None:
        return  # what it stands in is told by other rules
    if alone:
        found.stuck[bicycle.name] = tuple(b.name for b in others)
    elif not ways.out(bicycle, ()):
        found.stuck[bicycle.name] = ()
        found.too_large.append(bicycle.name)
    else:
        near = sorted(fixed, key=lambda thing: _apart(bicycle, thing))[:_HOLDERS]
        without = {thing.name: [o for o in fixed if o is not thing] for thing in near}
        found.stuck[bicycle.name] = tuple(name for name, rest in without.items() if ways.out(bicycle, rest))


def _apart(a: Placed, b: Placed) -> float:
    """Return how far the boxes of two things are from each other, the larger of along and across, mm."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.box.bounds, b.box.bounds
    return max(bx0 - ax1, ax0 - bx1, by0 - ay1, ay0 - by1)
