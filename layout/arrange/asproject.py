"""Places to a layout: positions as the project file would say them, placed by the program's own placing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from layout.arrange.ask import Sizes
from layout.arrange.build import Built
from layout.arrange.forms import position_of
from layout.arrange.problem import Place
from layout.arrange.units_of import Unit
from layout.model.layout import Layout
from layout.placing.place import place
from layout.placing.position import Position


@dataclass(frozen=True, kw_only=True, slots=True)
class Said:
    """An arrangement as the file says it: positions by key, and the sizes that are other than in the file."""

    positions: Mapping[str, Position]
    sizes: Sizes


def said_of(built: Built, places: Sequence[Place]) -> Said:
    """Return what the file says for places."""
    positions: dict[str, Position] = {}
    sizes: dict[str, Mapping[str, float]] = {}
    states_of = {stand.name: stand.states for stand in built.problem.stands}
    left = {group: list(_names(built, group)) for group in built.problem.totals}
    for each in places:
        unit = built.units.get(each.stand)
        if unit is None or each.form is None:
            continue
        way = built.ways[each.stand, each.form.key]
        sizes |= dict(way.sizes)
        if unit.column:
            group = next(g for g, names in left.items() if unit.names[0] in _names(built, g))
            thing = next(t for t in built.ask.things if t.name == unit.names[0])
            for k in range(each.form.holds):
                name, foot = left[group].pop(0), thing.box.z0 + k * thing.stack_step
                positions[name] = position_of(unit, thing, each.at, way.turn, None, foot)
        else:
            thing = next(t for t in built.ask.things if t.name == unit.names[0])
            made = position_of(unit, thing, each.at, way.turn, way.grid, each.form.foot)
            states = states_of[each.stand]
            if unit.key not in positions:
                positions[unit.key] = _left_out(made, each.left_in)
            else:
                positions[unit.key] = _elsewhere(positions[unit.key], made, states[0], out=bool(each.left_in))
    return Said(positions=positions, sizes=sizes)


def _names(built: Built, group: str) -> tuple[str, ...]:
    unit: Unit = next(u for u in built.units.values() if u.column and _group(built, u) == group)
    return unit.names


def _group(built: Built, unit: Unit) -> str:
    return next(t.group for t in built.ask.things if t.name == unit.names[0])


def _elsewhere(first: Position, other: Position, state: str, *, out: bool) -> Position:
    """Return the position with another one in a state, where it is another."""
    if out:
        return _left_out(first, (state,))
    bare = replace(first, states={}, outside=())
    if replace(other, states={}, outside=()) == bare:
        return first
    return replace(first, states={**first.states, state: replace(other, states={}, outside=())})


def _left_out(position: Position, states: Iterable[str]) -> Position:
    more = tuple(s for s in states if s not in position.outside)
    return replace(position, outside=(*position.outside, *more)) if more else position


def layout_of(built: Built, said: Said) -> Layout:
    """Return the layout that the file would give with those positions and sizes."""
    ask = built.ask
    arrangement = {key: p for key, p in ask.arrangement.items() if key not in said.positions}
    arrangement = {key: p for key, p in arrangement.items() if not _overruled(built, key, said)}
    things = ask.things_with(said.sizes)
    layout = place(ask.space, things, {**arrangement, **said.positions}, ask.states, ask.people)
    return replace(layout, spots=ask.spots)


def _overruled(built: Built, key: str, said: Said) -> bool:
    """Return whether the key is that of a free group whose things are all placed one by one."""
    members = [t.name for t in built.ask.things if t.group == key]
    return bool(members) and all(name in said.positions for name in members)
