"""Rule ``reach``: everything that comes out does, by a door, after no more other things than its owner wishes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from layout.checks.context import Context
from layout.checks.removal import ROOM, Removal, Removals
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid

RULE = "reach"
_AWAY = ("drive", "sleep")
_BY_HAND = ("bicycle", "mattress", "wheel")
_MOST_BY_HAND = 4


def check(context: Context) -> Iterator[Finding]:
    """Yield a failure for each thing that does not come out or not soon enough, and a note of what comes out how."""
    if not context.space.doors:
        return  # the rule door-opening asks for them
    known: dict[tuple[tuple[str, tuple[Solid, ...]], ...], dict[str, Removal]] = {}
    for state, things in context.states:
        key = tuple((placed.name, placed.solids) for placed in things)
        if key not in known:
            known[key] = _removals(context, things)
        yield from _state(context, state, things, known[key])


def _removals(context: Context, things: Sequence[Placed]) -> dict[str, Removal]:
    search = _search(context, things)
    found = {placed.name: search.of(placed.name, _doors(placed)) for placed in things if _comes_out(placed)}
    stuck = [placed for placed in things if placed.name in found and not found[placed.name].possible]
    return {**found, **{placed.name: _after_by_hand(context, things, placed, found[placed.name]) for placed in stuck}}


def _search(context: Context, things: Sequence[Placed]) -> Removals:
    rule = context.rules[RULE]
    return Removals(context.space, things, hand=rule["hand"], frame=rule["frame"], most=int(rule["most"]))


def _after_by_hand(context: Context, things: Sequence[Placed], placed: Placed, stuck: Removal) -> Removal:
    """Return how a stuck thing comes out once the fewest things that people move by hand are gone, if that helps.

    A bicycle is wheeled and tilted out, a mattress folded up: neither goes out like a box. Whether a bicycle comes
    out is another rule's business.
    """
    names = [p.name for p in things if p.thing.kind in _BY_HAND and p is not placed]
    for count in range(1, min(len(names), _MOST_BY_HAND) + 1):
        for gone in combinations(names, count):
            rest = [p for p in things if p.name not in gone]
            found = _search(context, rest).of(placed.name, _doors(placed))
            if found.possible:
                return replace(found, first=(*gone, *found.first))
    return stuck


def _comes_out(placed: Placed) -> bool:
    # A mattress is folded up by hand where it lies.
    return placed.thing.take_out is not None and placed.thing.kind != "mattress"


def _doors(placed: Placed) -> frozenset[str] | None:
    return frozenset(placed.thing.doors) or None


def _state(context: Context, state: str, things: Sequence[Placed], found: dict[str, Removal]) -> Iterator[Finding]:
    for placed in things:
        removal = found.get(placed.name)
        if removal is None:
            continue
        if not removal.possible:
            yield _stuck(context, state, things, placed, removal)
        elif _wish_holds_in(context, state) and _too_many(context, placed, removal):
            yield _late(context, state, things, (placed, removal), found)
    text = _summary(found)
    if text:
        yield Finding(rule=RULE, severity="note", things=(), states=(state,), text=text)


def _wish_holds_in(context: Context, state: str) -> bool:
    """Return whether wishes count: by day, when people are there; without such a state whenever they are."""
    by_day = [each for each, _ in context.states if each not in _AWAY]
    return state in by_day if by_day else state != "drive"


def _allowed(context: Context, placed: Placed) -> int | None:
    """Return how many things may be in the way, None for any number."""
    reach = placed.thing.reach
    return None if reach in (None, "rarely") else int(context.rules[RULE][str(reach)])


def _too_many(context: Context, placed: Placed, removal: Removal) -> bool:
    allowed = _allowed(context, placed)
    return allowed is not None and (removal.gave_up or len(removal.first) > allowed)


def _stuck(context: Context, state: str, things: Sequence[Placed], placed: Placed, removal: Removal) -> Finding:
    holders = [name for name in removal.held_by if name != ROOM]
    by = f" by {_listed(sorted(_doors(placed) or ()))}" if _doors(placed) else ""
    text = f"{placed.name} cannot be taken out{by}: held by {_listed(removal.held_by)}"
    return Finding(
        rule=RULE, severity="fail", things=(placed.name, *holders), states=(state,), text=text, where=placed.box,
        cure=_freeing(context, things, placed, holders),
    )  # fmt: skip


def _freeing(context: Context, things: Sequence[Placed], placed: Placed, holders: Sequence[str]) -> str:
    """Say which one thing, were it elsewhere, would let it out: tried, one after another."""
    if _doors(placed) and _removals_of(context, things, placed, any_door=True).possible:
        return "it comes out by another door; strike the wish for this one, or turn it round"
    for name in holders:
        rest = [other for other in things if other.name != name]
        if placed.name != name and _removals_of(context, rest, placed).possible:
            return f"with {name} elsewhere it comes out; make room beside it, or turn it"
    return "stand it elsewhere; no single thing taken away lets it out"


def _removals_of(context: Context, things: Sequence[Placed], placed: Placed, *, any_door: bool = False) -> Removal:
    return _search(context, things).of(placed.name, None if any_door else _doors(placed))


def _late(
    context: Context,
    state: str,
    things: Sequence[Placed],
    one: tuple[Placed, Removal],
    found: dict[str, Removal],
) -> Finding:
    placed, removal = one
    allowed = _allowed(context, placed) or 0
    count = f"more than {int(context.rules[RULE]['most'])}" if removal.gave_up else str(len(removal.first))
    names = f": {_listed(removal.first)}" if removal.first else ""
    return Finding(
        rule=RULE, severity="fail", things=(placed.name, *removal.first), states=(state,), where=placed.box,
        text=f"{placed.name} is wanted {placed.thing.reach}, but comes out after {count} other things, "
             f"{allowed or 'none'} allowed{names}",
        cure=_swap(context, things, placed, found) or "bring it nearer to a door, or on top",
    )  # fmt: skip


def _swap(context: Context, things: Sequence[Placed], placed: Placed, found: dict[str, Removal]) -> str:
    """Say with which equal thing it may change places: that comes out soon enough and may come out late."""
    for other in things:
        removal = found.get(other.name)
        if other is placed or removal is None or removal.gave_up or not removal.possible or not _alike(placed, other):
            continue
        theirs = _allowed(context, other)
        mine = found[placed.name]
        soon = len(removal.first) <= (_allowed(context, placed) or 0)
        if soon and (theirs is None or (not mine.gave_up and len(mine.first) <= theirs)):
            return f"let it change places with {other.name}"
    return ""


def _alike(a: Placed, b: Placed) -> bool:
    """Return whether two things are of one shape, standing the same way, so that they may change places."""
    shape = [(s.outline, s.z0, s.z1) for s in a.thing.solids]
    same = shape == [(s.outline, s.z0, s.z1) for s in b.thing.solids] and a.turn_deg == b.turn_deg
    return same and a.thing.take_out == b.thing.take_out and a.thing.doors == b.thing.doors


def _summary(found: dict[str, Removal]) -> str:
    """Return how everything comes out in one line: by which door, and after what."""
    parts = [_by_door(door, found) for door in sorted({r.door for r in found.values() if r.door})]
    return "; ".join(parts)


def _by_door(door: str, found: dict[str, Removal]) -> str:
    mine = {name: removal for name, removal in found.items() if removal.door == door}
    at_once = [name for name, removal in mine.items() if not removal.first]
    later = [f"{name} after {_listed(removal.first)}" for name, removal in mine.items() if removal.first]
    said = [f"{_listed(at_once)} at once"] if at_once else []
    return f"by the {door}: {'; '.join([*said, *later])}"


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
