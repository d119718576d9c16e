"""What to give up where nothing fits: each offer is searched and checked before it is told, the smallest first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from layout.arrange.ask import Ask
from layout.arrange.conflict import Conflict
from layout.arrange.find import ATTEMPTS, Arrangement, Finder, Outcome
from layout.arrange.reduced import left_without
from layout.arrange.shortfall import shortfalls
from layout.arrange.solve import Budget
from layout.arrange.units_of import split
from layout.errors import ValueFaultError
from layout.model.thing import Thing
from layout.placing.position import Position

_STEP = 10.0  # mm in which sizes are given up
_MOST = 0.35  # share of a size beyond which it is no longer the same thing
_MORE = (0, 2, 6, 12, 24, 40)
_TRIES = 4  # answers that the checks refuse before an offer is no offer
_SIZES = ("length", "width", "deck", "height")


@dataclass(frozen=True, kw_only=True, slots=True)
class WayOut:
    """An offer that was found to work: what to give up in words, how much in mm or pieces, and what then fits."""

    words: str
    gives: float
    arrangement: Arrangement


@dataclass(frozen=True, kw_only=True, slots=True)
class _Offer:
    """A question with something given up; `sort` puts what costs least first."""

    sort: tuple[int, float]
    words: str
    gives: float
    ask: Ask


def ways_out(
    ask: Ask, found: Conflict | None, budget: Budget, *, count: int = 3, tell: Callable[[str], None] = lambda said: None
) -> tuple[WayOut, ...]:  # fmt: skip
    """Return up to `count` ways out, the cheapest first; each gives an arrangement that passes every check.

    Where a conflict is known only its members are asked to give.
    """
    members = found.members if found else tuple(dict.fromkeys(_group(ask, u.names[0]) for u in split(ask).units))
    good: list[WayOut] = []
    kinds = (
        _sizes(ask, members, budget), _doors(ask, members), _outside(ask, members), _turns(ask, members),
        _fewer(ask, members),
    )  # fmt: skip
    for offers in kinds:
        for offer in offers:
            tell(f"trying: {offer.words}")
            made = _solved(offer.ask, budget).arrangement
            if made is not None:
                good.append(WayOut(words=offer.words, gives=offer.gives, arrangement=made))
            if len(good) >= count:
                return tuple(good)
    return tuple(good)


def _solved(ask: Ask, budget: Budget) -> Outcome:
    """Return what a search for the question with less in it gives."""
    outcome = Outcome(verdict="not found")
    try:
        for one in (ATTEMPTS[0], ATTEMPTS[-1]):
            outcome = Finder(
                ask=ask, budget=budget, tight=one.tight, step=one.step, pulls=one.pulls, tries=_TRIES
            ).first(one.most)
            if outcome.verdict != "impossible":
                break
    except ValueFaultError:
        pass
    return outcome


def _group(ask: Ask, name: str) -> str:
    return next((t.group for t in ask.things if name in (t.name, t.group)), name)


def _things(ask: Ask, members: Sequence[str]) -> list[list[Thing]]:
    groups: dict[str, list[Thing]] = {}
    for member in members:
        group = _group(ask, member)
        groups.setdefault(group, [t for t in ask.things if t.group == group])
    return [things for things in groups.values() if things]


def _sizes(ask: Ask, members: Sequence[str], budget: Budget) -> Iterator[_Offer]:
    """Yield what is built made smaller, each size by the least that helps."""
    for things in _things(ask, members):
        thing = things[0]
        if ask.remake is None or not (thing.panels or thing.kind == "mattress"):
            continue
        for key, first in _keys(ask, thing).items():
            less = _least(ask, thing, (key, first), budget)
            if less is not None:
                words = f"{thing.group} {less:g} less in {key}"
                yield _Offer(sort=(0, less), words=words, gives=less, ask=_smaller(ask, thing, key, less) or ask)


def _keys(ask: Ask, thing: Thing) -> dict[str, float]:
    """Return which sizes are worth trying, and the least by which each must be smaller, mm.

    Where the thing has no place at all, those along which it is too large, as it may be turned; else any.
    """
    unit = next((u for u in split(ask).units if thing.name in u.names), None)
    found = shortfalls(ask, unit) if unit else ()
    if not found:
        return dict.fromkeys(_SIZES, _STEP)
    keys: dict[str, float] = {}
    for one in found:
        turned = float(one.form.split("|")[0]) % 180 != 0
        names = {"along": "length", "across": "width", "up": "deck"}
        flipped = {"along": "width", "across": "length", "up": "deck"}
        key = (flipped if turned else names)[one.axis]
        keys.setdefault(key, ceil(one.less / _STEP) * _STEP)
    return keys


def _least(ask: Ask, thing: Thing, tried: tuple[str, float], budget: Budget) -> float | None:
    """Return the least by which a size must be smaller, in whole steps; None where it is no help.

    Tried upward from the least that could help: too small a bed holds nobody any more.
    """
    (key, first), failed = tried, 0.0
    size = _size(thing, key)
    if size is None:
        return None
    for more in _MORE:
        less = first + more * _STEP
        outcome = _with_less(ask, thing, key, less, budget)
        if less > size * _MOST or outcome is None or any(f.rule == "bed-size" for f in outcome.failed):
            return None
        if outcome.arrangement is not None:
            return _between(ask, thing, key, (max(failed, first - _STEP), less), budget)
        failed = less
    return None


def _between(ask: Ask, thing: Thing, key: str, span: tuple[float, float], budget: Budget) -> float:
    """Return the least in whole steps between what fails and what works, by halving."""
    low, high = round(span[0] / _STEP), round(span[1] / _STEP)
    while high - low > 1:
        middle = (low + high) // 2
        outcome = _with_less(ask, thing, key, middle * _STEP, budget)
        if outcome is not None and outcome.arrangement is not None:
            high = middle
        else:
            low = middle
    return high * _STEP


def _with_less(ask: Ask, thing: Thing, key: str, less: float, budget: Budget) -> Outcome | None:
    smaller = _smaller(ask, thing, key, less)
    return None if smaller is None else _solved(smaller, budget)


def _size(thing: Thing, key: str) -> float | None:
    x0, y0, x1, y1 = thing.box.bounds
    return {"length": x1 - x0, "width": y1 - y0, "height": thing.box.z1, "deck": thing.box.z1}.get(key)


def _smaller(ask: Ask, thing: Thing, key: str, less: float) -> Ask | None:
    """Return the question with one size of a thing smaller, and that of what lies on it and was as large."""
    size = _size(thing, key)
    if size is None or ask.remake is None:
        return None
    sizes = {thing.group: {key: size - less}}
    for rider in _riders(ask, thing):
        theirs = _size(rider, key)
        if key in ("length", "width") and theirs is not None and theirs > size - less:
            sizes[rider.group] = {key: theirs - less}
    try:
        things = ask.remake(sizes)
    except ValueFaultError:
        return None
    remake = ask.remake
    return replace(ask, things=things, remake=lambda more: remake({**sizes, **more}))


def _riders(ask: Ask, thing: Thing) -> list[Thing]:
    names = {thing.name, thing.group}
    on = {key for key, p in ask.arrangement.items() if p.on in names}
    return [t for t in ask.things if t.name in on or t.group in on]


def _doors(ask: Ask, members: Sequence[str]) -> Iterator[_Offer]:
    for door in ask.space.doors:
        if door.keep_clear is not None and any(m.startswith(door.name) for m in members):
            doors = tuple(replace(d, keep_clear=None) if d is door else d for d in ask.space.doors)
            words = f"the {door.name} not kept clear"
            yield _Offer(
                sort=(1, 0.0),
                words=words,
                gives=door.keep_clear,
                ask=replace(ask, space=replace(ask.space, doors=doors)),
            )


def _outside(ask: Ask, members: Sequence[str]) -> Iterator[_Offer]:
    """Yield what people put out at night: bicycles, and what comes out by hand."""
    nights = tuple(s for s in ask.states if s != "drive")
    for things in _things(ask, members):
        group = things[0].group
        if things[0].kind == "bicycle" and group not in ask.arrangement and nights:
            position = Position(outside=nights)
            words = f"{group} outside except on the road"
            yield _Offer(sort=(2, 0.0), words=words, gives=float(len(things)),
                         ask=replace(ask, arrangement={**ask.arrangement, group: position}))  # fmt: skip


def _turns(ask: Ask, members: Sequence[str]) -> Iterator[_Offer]:
    for things in _things(ask, members):
        for name in dict.fromkeys((things[0].name, things[0].group)):
            free = ask.free.get(name)
            if free is not None and free.turn:
                words = f"{name} turned otherwise"
                yield _Offer(sort=(3, 0.0), words=words, gives=0.0,
                             ask=replace(ask, free={**ask.free, name: replace(free, turn=())}))  # fmt: skip


def _fewer(ask: Ask, members: Sequence[str]) -> Iterator[_Offer]:
    """Yield one, two, three of equal things fewer, and single things left out, the lightest first."""
    groups = sorted(_things(ask, members), key=lambda things: (len(things) == 1, things[0].mass_kg))
    for things in groups:
        for count in range(1, min(3, len(things)) + 1):
            gone = {t.name for t in things[len(things) - count :]}
            group = things[0].group
            words = f"without {group}" if len(things) == 1 else f"{count} of {group} fewer"
            yield _Offer(sort=(4, float(count)), words=words, gives=float(count), ask=left_without(ask, gone))
