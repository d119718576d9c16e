"""All things, in all states, in an order in which each neighbour stands before it is needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from layout.errors import ValueFaultError
from layout.model.layout import Layout, Placed
from layout.model.person import Person
from layout.model.solid import Solid, outer_box
from layout.model.thing import Thing
from layout.placing.position import Position
from layout.placing.stand import placed, stand
from layout.space.space import Space


def place(
    space: Space,
    things: tuple[Thing, ...],
    arrangement: Mapping[str, Position],
    states: tuple[str, ...],
    people: tuple[Person, ...] = (),
) -> Layout:
    """Return where every thing stands in every state; `refuse_unknown` has passed every position.

    Parameters
    ----------
    space
        The room, for positions that name its walls and ends.
    things
        In the order of the project file.
    arrangement
        A position by the name of a thing, or of a group of equal ones.
    states
        The ways the space is used; at least one.
    people
        Passed on.

    Raises
    ------
    ValueFaultError
        When things stand by way of each other in a circle, a position does not suit their number, or a thing is given
        a place that lies in the build-up.
    """
    _refuse_built_in(things, arrangement)
    standing = {
        state: _State(
            space, _members(things, arrangement, state), state, _at_home(things, arrangement, state)
        ).all_placed(things)
        for state in states
    }
    outside = {state: _outside(things, arrangement, state) for state in states}
    nowhere = {thing.name for thing in things if not thing.in_build_up}
    for state in states:
        nowhere -= {p.name for p in standing[state]} | set(outside[state])
    unplaced = tuple(thing.name for thing in things if thing.name in nowhere)
    return Layout(things=things, people=people, placed=standing, outside=outside, unplaced=unplaced)


def refuse_unknown(name: str, position: Position, known: set[str], states: tuple[str, ...]) -> None:
    """Refuse a position that names a thing or a state that is not there.

    Raises
    ------
    ValueFaultError
        Naming the nearest known name.
    """
    if name not in known:
        raise ValueFaultError(("arrangement", name), f"there is no thing called {name!r}{_near(name, known)}")
    for key, other in position.neighbours:
        if other not in known:
            raise ValueFaultError(
                ("arrangement", name, key), f"there is no thing called {other!r}{_near(other, known)}"
            )
    for state in (*position.outside, *position.states):
        if state not in states:
            raise ValueFaultError(("arrangement", name), f"there is no state {state!r}; there are: {', '.join(states)}")
    for inner in position.states.values():
        refuse_unknown(name, inner, known, states)


def _near(name: str, known: set[str]) -> str:
    from difflib import get_close_matches

    close = get_close_matches(name, sorted(known), n=1)
    return f"; did you mean {close[0]!r}?" if close else ""


def _position(thing: Thing, arrangement: Mapping[str, Position], state: str) -> tuple[str, Position] | None:
    """Return the key and position that hold for the thing in the state; its own name comes before its group's."""
    for key in (thing.name, thing.group):
        if key in arrangement:
            position = arrangement[key]
            other = position.states.get(state, position)
            if other is not position and other.says_only_form:
                other = replace(position, form=other.form, states={})
            return key, other
    return None


def _outside(things: tuple[Thing, ...], arrangement: Mapping[str, Position], state: str) -> tuple[str, ...]:
    said = [(thing, _position(thing, arrangement, state)) for thing in things]
    return tuple(thing.name for thing, found in said if found is not None and state in found[1].outside)


Member = tuple[Position, tuple[Thing, ...]]


def _members(things: tuple[Thing, ...], arrangement: Mapping[str, Position], state: str) -> dict[str, Member]:
    """Return what is inside in the state: position and things by the key of the arrangement."""
    groups: dict[str, tuple[Position, list[Thing]]] = {}
    for thing in things:
        found = _position(thing, arrangement, state)
        if found and state not in found[1].outside and found[1].says_place:
            groups.setdefault(found[0], (found[1], []))[1].append(_in_form(thing, *found))
    return {key: (position, tuple(members)) for key, (position, members) in groups.items()}


def _at_home(
    things: tuple[Thing, ...], arrangement: Mapping[str, Position], state: str
) -> dict[str, tuple[Placed, ...]]:
    """Return the things that know their own place and are given no other, by name, where they stand in the state."""
    found: dict[str, tuple[Placed, ...]] = {}
    for thing in things:
        said = _position(thing, arrangement, state)
        elsewhere = said is not None and (state in said[1].outside or said[1].says_place)
        if thing.home is not None and not thing.in_build_up and not elsewhere:
            found[thing.name] = (placed(thing, tuple(solid.moved(*thing.home) for solid in thing.solids), 0.0),)
    return found


def _refuse_built_in(things: tuple[Thing, ...], arrangement: Mapping[str, Position]) -> None:
    for thing in things:
        for key in (thing.name, thing.group):
            if thing.in_build_up and key in arrangement:
                text = f"{thing.group} lies in the build-up of the space and takes no room; take this line out"
                raise ValueFaultError(("arrangement", key), text)


def _in_form(thing: Thing, key: str, position: Position) -> Thing:
    """Return the thing in the shape that its position asks for."""
    if position.form is None:
        return thing
    if position.form not in thing.forms:
        known = ", ".join(thing.forms) or "none"
        text = f"{thing.group!r} has no form {position.form!r}; under forms: there are: {known}"
        raise ValueFaultError(("arrangement", key, "form"), text)
    return thing.forms[position.form]


@dataclass
class _State:
    """The work of one state: what stands so far, and what is being asked for."""

    space: Space
    members: dict[str, Member]
    state: str
    done: dict[str, tuple[Placed, ...]] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)

    def all_placed(self, things: tuple[Thing, ...]) -> tuple[Placed, ...]:
        for key in self.members:
            self._stand(key)
        by_name = {p.name: p for group in self.done.values() for p in group}
        return tuple(by_name[thing.name] for thing in things if thing.name in by_name)

    def _stand(self, key: str) -> None:
        if key in self.done:
            return
        position, members = self.members[key]
        self._refuse_circle(key)
        self.asked.append(key)
        if position.into is not None:
            self.done[key] = self._into(key, members, position)
        else:
            self._refuse_number(key, members, position)
            self.done[key] = stand(self.space, members, position, lambda name: self._box(key, name))
        self.asked.pop()

    def _refuse_circle(self, key: str) -> None:
        if key in self.asked:
            ring = " → ".join([*self.asked[self.asked.index(key) :], key])
            raise ValueFaultError(
                ("arrangement", key), f"stands by way of itself: {ring}; give one of them by rear, left or at"
            )

    def _refuse_number(self, key: str, members: tuple[Thing, ...], position: Position) -> None:
        along, across, up = position.grid or (1, 1, 1)
        if along * across * up < len(members):
            raise ValueFaultError(
                ("arrangement", key),
                f"{len(members)} things, but room for {along * across * up}; "
                f"add grid: [along, across, up], or give each by its own name, such as {members[1].name!r}",
            )

    def _box(self, asker: str, name: str) -> Solid:
        """Return the outer box of a neighbour, standing it first if it does not stand yet."""
        parts = self._placed_as(name)
        if not parts:
            raise ValueFaultError(
                ("arrangement", asker), f"{name!r} does not stand anywhere in the state {self.state!r}"
            )
        box = outer_box(tuple(p.box for p in parts), name)
        # Equal bins nest into each other's rims; anything else stands on the rim.
        nests = self.members[asker][1][0].group == parts[0].thing.group
        top = max(p.box.z0 + p.thing.stack_step if nests and p.thing.stack_step else p.box.z1 for p in parts)
        return Solid(name=name, outline=box.outline, z0=box.z0, z1=top)

    def _placed_as(self, name: str) -> tuple[Placed, ...]:
        for key, (_, members) in self.members.items():
            if any(name in (thing.name, thing.group) for thing in members):
                self._stand(key)
        stood = [p for group in self.done.values() for p in group]
        return tuple(p for p in stood if name in (p.thing.name, p.thing.group))

    def _into(self, key: str, members: tuple[Thing, ...], position: Position) -> tuple[Placed, ...]:
        racks = self._placed_as(str(position.into))
        if racks and not any(rack.thing.slots for rack in racks):
            raise ValueFaultError(
                ("arrangement", key, "into"), f"{position.into!r} is no rack; say on: or beside: instead"
            )
        slots = [slot for rack in racks for slot in _slots(rack)]
        first = (position.cell or 1) - 1
        if first + len(members) > len(slots):
            raise ValueFaultError(
                ("arrangement", key, "into"),
                f"{position.into!r} has {len(slots)} places in this state, "
                f"not enough for {len(members)} from number {first + 1} on",
            )
        chosen = slots[first : first + len(members)]
        return tuple(_in_slot(thing, *slot) for thing, slot in zip(members, chosen, strict=True))


#: A rack, where one of its slots is, and how what stands there is turned, degrees.
Slot = tuple[Placed, tuple[float, float, float], float]


def _slots(rack: Placed) -> list[Slot]:
    turns = rack.thing.slot_turns or (0.0,) * len(rack.thing.slots)
    return [(rack, slot, turn) for slot, turn in zip(rack.thing.slots, turns, strict=True)]


def _in_slot(thing: Thing, rack: Placed, slot: tuple[float, float, float], turn_deg: float) -> Placed:
    """Return the thing with its rear middle in the rack's slot, turned as the slot says, and with the rack."""
    solids = tuple(rack.stood(solid.turned(turn_deg).moved(*slot)) for solid in thing.solids)
    return placed(thing, solids, rack.turn_deg + turn_deg)
