"""Rule ``reach``: everything that comes out does, by a door, after no more other things than its owner wishes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import combinations

from layout.checks.context import Context
from layout.checks.removal import ROOM, OpenRoom, Removal, Removals
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid

RULE = "reach"
_AWAY = ("drive", "sleep")
_BY_HAND = ("bicycle", "mattress", "wheel")
_MOST_BY_HAND = 4


@dataclass(frozen=True, kw_only=True)
class _Taken:
    """What is known of how things leave one set of places: for all states that have it."""

    context: Context
    things: Sequence[Placed]
    room: OpenRoom
    search: Removals
    # Worked out when first asked for.
    _cures: dict[str, str] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def found(self) -> dict[str, Removal]:
        """Return how each thing leaves that comes out at all."""
        found = {p.name: self.search.of(p.name, _doors(p)) for p in self.things if _comes_out(p)}
        stuck = [p for p in self.things if p.name in found and not found[p.name].possible]
        return {**found, **{placed.name: self._after_by_hand(placed, found[placed.name]) for placed in stuck}}

    def _after_by_hand(self, placed: Placed, stuck: Removal) -> Removal:
        """Return how a stuck thing comes out once the fewest things that people move by hand are gone, if that helps.

        A bicycle is wheeled and tilted out, a mattress folded up: neither goes out like a box. Whether a bicycle comes
        out is another rule's business. What does not help when all are gone does not help with fewer.
        """
        names = [p.name for p in self.things if p.thing.kind in _BY_HAND and p is not placed]
        if not names or not self.without(names).comes_out(placed.name, _doors(placed)):
            return stuck
        for count in range(1, min(len(names), _MOST_BY_HAND) + 1):
            for gone in combinations(names, count):
                rest = self.without(gone)
                if rest.comes_out(placed.name, _doors(placed)):
                    found = rest.of(placed.name, _doors(placed))
                    return replace(found, first=(*gone, *found.first))
        return stuck

    def without(self, names: Sequence[str]) -> Removals:
        """Return the search without the things of those names; what leaves now leaves then."""
        rest = [p for p in self.things if p.name not in names]
        return _search(self.context, rest, self.room, leaving=self.search.leaving)

    def freeing(self, placed: Placed, holders: Sequence[str]) -> str:
        """Return what lets a stuck thing out, in words."""
        if placed.name not in self._cures:
            self._cures[placed.name] = _freeing(self, placed, holders)
        return self._cures[placed.name]


def check(context: Context) -> Iterator[Finding]:
    """Yield a failure for each thing that does not come out or not soon enough, and a note of what comes out how."""
    if not context.space.doors:
        return  # the rule door-opening asks for them
    known: dict[tuple[tuple[str, tuple[Solid, ...]], ...], _Taken] = {}
    room = OpenRoom(context.space, context.space.doors, context.rules[RULE]["frame"])
    for state, things in context.states:
        key = tuple((placed.name, placed.solids) for placed in things)
        if key not in known:
            known[key] = _Taken(context=context, things=things, room=room, search=_search(context, things, room))
        yield from _state(context, state, known[key])


def _search(
    context: Context, things: Sequence[Placed], room: OpenRoom, leaving: frozenset[str] = frozenset()
) -> Removals:
    rule = context.rules[RULE]
    hand, frame, most = rule["hand"], rule["frame"], int(rule["most"])
    return Removals(context.space, things, hand=hand, frame=frame, most=most, leaving=leaving, room=room)


def _comes_out(placed: Placed) -> bool:
    # A mattress is folded up by hand where it lies.
    return placed.thing.take_out is not None and placed.thing.kind != "mattress"


def _doors(placed: Placed) -> frozenset[str] | None:
    return frozenset(placed.thing.doors) or None


def _state(context: Context, state: str, taken: _Taken) -> Iterator[Finding]:
    for placed in taken.things:
        removal = taken.found.get(placed.name)
        if removal is None:
            continue
        if not removal.possible:
            yield _stuck(state, taken, placed, removal)
        elif _wish_holds_in(context, state) and _too_many(context, placed, removal):
            yield _late(context, state, taken.things, (placed, removal), taken.found)
    text = _summary(taken.found)
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


def _stuck(state: str, taken: _Taken, placed: Placed, removal: Removal) -> Finding:
    holders = [name for name in removal.held_by if name != ROOM]
    by = f" by {_listed(sorted(_doors(placed) or ()))}" if _doors(placed) else ""
    text = f"{placed.name} cannot be taken out{by}: held by {_listed(removal.held_by)}"
    return Finding(
        rule=RULE, severity="fail", things=(placed.name, *holders), states=(state,), text=text, where=placed.box,
        cure=taken.freeing(placed, holders),
    )  # fmt: skip


def _freeing(taken: _Taken, placed: Placed, holders: Sequence[str]) -> str:
    """Say which one thing, were it elsewhere, would let it out: tried, one after another."""
    if _doors(placed) and taken.search.comes_out(placed.name):
        return "it comes out by another door; strike the wish for this one, or turn it round"
    for name in holders:
        if placed.name != name and taken.without([name]).comes_out(placed.name, _doors(placed)):
            return f"with {name} elsewhere it comes out; make room beside it, or turn it"
    return "stand it elsewhere; no single thing taken away lets it out"


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
