"""What is free, what goes along with it, and what stands still."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from layout.arrange.ask import Ask
from layout.arrange.wish import Free
from layout.errors import ValueFaultError
from layout.model.thing import Thing
from layout.placing.position import Position


@dataclass(frozen=True, kw_only=True, slots=True)
class Unit:
    """What is placed as one: `key` of the arrangement, its things, and the keys of what rides on it.

    `column` tells that its things are equal bins that may stand on each other, in any number of columns.
    """

    key: str
    names: tuple[str, ...]
    free: Free
    riders: tuple[str, ...] = ()
    column: bool = False
    said: Position | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Split:
    """A project parted into free units and the arrangement of what stands still."""

    units: tuple[Unit, ...]
    still: Mapping[str, Position]
    still_names: tuple[str, ...]


def split(ask: Ask) -> Split:
    """Return what is free and what stands still.

    Raises
    ------
    ValueFaultError
        When something stands by way of two things that are both free, or of bins that are free one by one.
    """
    units = [unit for group, members in _groups(ask).items() for unit in _units(ask, group, members)]
    owner = {name: unit.key for unit in units if not unit.column for name in (unit.key, *unit.names)}
    moved = {name for unit in units for name in (unit.key, *unit.names)}
    shared = frozenset({*moved, *(_group_of(ask, unit) for unit in units)} - set(owner))
    riders: dict[str, list[str]] = {unit.key: [] for unit in units}
    for key in ask.arrangement:
        if key not in moved and key not in shared and (on := _roots(ask, key, owner, shared)):
            if len(on) > 1:
                text = f"stands by way of {on[0]} and {on[1]}, which are both free; name one of them only"
                raise ValueFaultError(("arrangement", key), text)
            riders[on[0]].append(key)
    found = tuple(
        Unit(key=u.key, names=u.names, free=u.free, riders=tuple(riders[u.key]), column=u.column, said=u.said)
        for u in units
    )
    moving = {*moved, *(key for keys in riders.values() for key in keys)}
    still = {key: position for key, position in ask.arrangement.items() if key not in moving}
    names = tuple(t.name for t in ask.things if t.name not in moving and t.group not in moving)
    return Split(units=found, still=still, still_names=names)


def _groups(ask: Ask) -> dict[str, list[Thing]]:
    groups: dict[str, list[Thing]] = {}
    for thing in ask.things:
        groups.setdefault(thing.group, []).append(thing)
    return groups


def _group_of(ask: Ask, unit: Unit) -> str:
    return next(thing.group for thing in ask.things if thing.name == unit.names[0])


def _units(ask: Ask, group: str, members: list[Thing]) -> Iterable[Unit]:
    free = [thing for thing in members if _is_free(ask, thing)]
    if not free:
        return
    said = ask.free.get(group, Free())
    if said.grid and len(free) == len(members):
        yield Unit(key=group, names=tuple(t.name for t in free), free=said, said=ask.arrangement.get(group))
        return
    stacked = free[0].stack_step > 0 and len(free) > 1 and said.stack > 1 and len(free[0].solids) == 1
    for i, thing in enumerate(free):
        own = ask.free.get(thing.name, said)
        position = ask.arrangement.get(thing.name, ask.arrangement.get(group))
        if stacked:
            names = tuple(t.name for t in free)
            yield Unit(key=f"{group} column {i + 1}", names=names, free=own, column=True, said=position)
        else:
            yield Unit(key=thing.name, names=(thing.name,), free=own, said=position)


def _is_free(ask: Ask, thing: Thing) -> bool:
    if thing.in_build_up or thing.home is not None:
        return False
    position = ask.arrangement.get(thing.name, ask.arrangement.get(thing.group))
    if position is not None and set(ask.states) <= set(position.outside):
        return False
    if thing.name in ask.free or thing.group in ask.free:
        return True
    return position is None or not (position.says_place or any(p.says_place for p in position.states.values()))


def _roots(ask: Ask, key: str, owner: Mapping[str, str], shared: Collection[str]) -> list[str]:
    """Return the free units by way of which the key's things stand."""
    found: dict[str, None] = {}
    todo, seen = [key], {key}
    while todo:
        position = ask.arrangement.get(todo.pop())
        for each in (position, *position.states.values()) if position else ():
            for word, name in each.neighbours:
                if name in shared:
                    group = next((t.group for t in ask.things if t.name == name), name)
                    text = f"{word}: {name} is free one by one; give {group} a grid under free:, or a place"
                    raise ValueFaultError(("arrangement", key, word), text)
                if name in owner:
                    found[owner[name]] = None
                elif name not in seen:
                    seen.add(name)
                    todo += [name, *_key_of(ask, name)]
    return list(found)


def _key_of(ask: Ask, name: str) -> list[str]:
    return [t.group for t in ask.things if t.name == name and t.group in ask.arrangement]
