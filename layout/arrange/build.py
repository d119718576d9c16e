"""A question to a problem: units to stands with forms, doors to what they keep free, people to ways, wishes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely

from layout.arrange.ask import Ask
from layout.arrange.boxes import inner_boxes, outer_boxes
from layout.arrange.forms import Carrier, Rounding, Way, form, is_loose, refuse_unless_rigid, top_of, ways
from layout.arrange.places import TENTHS, pieces
from layout.arrange.problem import Box, DoorWay, Form, Piece, Problem, Stand, Walk, Wish
from layout.arrange.pulls_of import BY_HAND, pulls_of
from layout.arrange.units_of import Split, Unit, split
from layout.checks.walking.doorways import opened
from layout.checks.walking.gates import Gate, gates
from layout.model.layout import Layout, Placed
from layout.model.thing import Thing
from layout.placing.place import place
from layout.space.parts import Door

_OFTEN = {"daily": 3.0, "weekly": 1.0, "rarely": 0.2, None: 0.3}
_MORE = 100.0  # mm beyond the width to work in that nobody wants any more
_SHORT = 20.0  # mm less than the rule allows, so that a grid and its rounding stay within it
_SILL = 20.0  # mm by which a corridor may end short of the wall at its door, where that leans


@dataclass(frozen=True, kw_only=True)
class Built:
    """A problem, and what its stands and forms mean: the units, their ways by form key, and what stands still."""

    ask: Ask
    problem: Problem
    parts: Split
    units: Mapping[str, Unit]
    ways: Mapping[tuple[str, str], Way]
    still: Layout

    def stand(self, name: str) -> Stand:
        """Return the stand of that name."""
        return next(stand for stand in self.problem.stands if stand.name == name)


def rounding_of(ask: Ask, *, tight: bool = False, outward: bool = False) -> Rounding:
    """Return how forms are told: with the gaps that the rule row-gap wants, or `tight`, with what must be at least."""
    rule = ask.rules["row-gap"]
    if outward:
        return Rounding(between=0.0, wall=0.0, outward=True)
    if tight:
        return Rounding(between=rule["tolerance"] + 0.1, wall=0.0, tolerance=0.1)
    return Rounding(between=rule["between"] + rule["tolerance"], wall=rule["wall"] + rule["tolerance"])


def build(ask: Ask, rounding: Rounding) -> Built:
    """Return the problem of the question.

    Raises
    ------
    ValueFaultError
        When something is said of a free thing that the search cannot keep.
    """
    parts = split(ask)
    units: dict[str, Unit] = {}
    found: dict[tuple[str, str], Way] = {}
    stands: list[Stand] = []
    known: dict[tuple[object, ...], tuple[Form, ...]] = {}
    still = _still(ask, parts)
    fixed = tuple(_fixed(ask, still, outward=rounding.outward))
    for unit in sorted(parts.units, key=lambda unit: unit.free.on != ("floor",)):
        alike = _alike(ask, unit)
        key = (alike, unit.column) if alike else (unit.key,)
        if key not in known:
            refuse_unless_rigid(ask, unit)
            mine = [(way, f) for way in ways(ask, unit) for f in _forms(ask, unit, way, rounding, (*stands, *fixed))]
            known[key] = tuple(f for _, f in mine)
            found |= {(str(key), f.key): way for way, f in mine}
        for stand in _stands(ask, unit, known[key], alike):
            found |= {(stand.name, f.key): found[str(key), f.key] for f in known[key]}
            units[stand.name] = unit
            stands.append(stand)
    problem = Problem(
        stands=(*stands, *fixed, *_doors(ask)), states=ask.states,
        totals=_totals(ask, parts), walks=() if rounding.outward else tuple(_walks(ask, stands, still, found)),
        pulls=() if rounding.outward else tuple(pulls_of(ask, stands, found)),
        wishes=tuple(_wishes(ask, stands, found)), gap=rounding.between, length=ask.space.length,
        height=ask.space.height, linked=_linked(stands),
    )  # fmt: skip
    return Built(ask=ask, problem=problem, parts=parts, units=units, ways=found, still=still)


def _alike(ask: Ask, unit: Unit) -> str:
    """Return what equal things that may change places have in common; nothing for what is alone or carries others."""
    thing = _thing(ask, unit.names[0])
    others = [t for t in ask.things if t.group == thing.group]
    return (
        thing.group if len(others) > 1 and not unit.riders and not unit.free.grid and unit.key not in ask.free else ""
    )


def _thing(ask: Ask, name: str) -> Thing:
    return next(thing for thing in ask.things if thing.name == name)


def _forms(ask: Ask, unit: Unit, way: Way, rounding: Rounding, stands: Sequence[Stand]) -> Iterator[Form]:
    """Yield the way as forms: on the floor, and on every top that may carry it."""
    for name in unit.free.on:
        if name == "floor":
            yield form(ask, unit, way, rounding)
            continue
        for stand in stands:
            if name in (stand.name, stand.unit, stand.group):
                for f in stand.forms:
                    if f.top is not None:
                        yield form(ask, unit, way, rounding, Carrier(stand=stand.name, key=f.key, top=f.top[4]))


def _stands(ask: Ask, unit: Unit, forms: tuple[Form, ...], alike: str) -> Iterator[Stand]:
    """Yield the unit's stand; where it may be moved, one for each state."""
    thing = _thing(ask, unit.names[0])
    inside = tuple(s for s in ask.states if unit.said is None or s not in unit.said.outside)
    made = Stand(
        name=unit.key, group=thing.group if unit.column else unit.key, forms=forms, states=inside, unit=unit.key,
        may_leave=tuple(s for s in inside if s in unit.free.outside), absent=unit.column, alike=alike,
        loose=thing.take_out is not None and not unit.riders, by_hand=thing.kind in BY_HAND,
    )  # fmt: skip
    if unit.free.moves == "no" or unit.column or len(inside) < 2:  # noqa: PLR2004 (one state is no other)
        yield made
        return
    for state in inside:
        leave = tuple(s for s in made.may_leave if s == state)
        yield replace(made, name=f"{unit.key} in {state}", states=(state,), may_leave=leave, alike="")


def _linked(stands: Sequence[Stand]) -> tuple[tuple[str, str], ...]:
    """Return pairs of stands of one unit in states that follow each other."""
    return tuple((a.name, b.name) for a, b in pairwise(stands) if a.unit == b.unit and not a.absent)


def _totals(ask: Ask, parts: Split) -> dict[str, int]:
    return {_thing(ask, unit.names[0]).group: len(unit.names) for unit in parts.units if unit.column}


def _still(ask: Ask, parts: Split) -> Layout:
    names = set(parts.still_names)
    return place(ask.space, tuple(t for t in ask.things if t.name in names), parts.still, ask.states, ask.people)


def _fixed(ask: Ask, still: Layout, *, outward: bool) -> Iterator[Stand]:
    boxes = inner_boxes if outward else outer_boxes
    for name in dict.fromkeys(p.name for things in still.placed.values() for p in things):
        stood = {state: p for state, things in still.placed.items() for p in things if p.name == name}
        solids = {state: boxes(p.solids) for state, p in stood.items()}
        zones = {state: tuple(_fixed_zones(p, state, outward=outward)) for state, p in stood.items()}
        one = next(iter(stood.values()))
        yield Stand(
            name=name, group=name, states=tuple(stood), fixed=(0.0, 0.0), loose=is_loose([one]),
            by_hand=one.thing.kind in BY_HAND,
            forms=(Form(name="", key="", solids=solids, zones=zones, mass=one.thing.mass_kg, weigh=_middle(one),
                        top=top_of([one])),),
        )  # fmt: skip


def _fixed_zones(placed: Placed, state: str, *, outward: bool) -> Iterator[Box]:
    solids = [clear.solid for clear in placed.clears]
    if not outward:
        solids += [s for m in placed.motions if m.used_in(state) for s in m.swept]
    for s in solids:
        yield (s.bounds[0], s.bounds[1], s.z0, s.bounds[2], s.bounds[3], s.z1)


def _middle(placed: Placed) -> tuple[float, float, float]:
    x0, y0, x1, y1 = placed.box.bounds
    return ((x0 + x1) / 2, (y0 + y1) / 2, (placed.box.z0 + placed.box.z1) / 2)


# --- doors and ways ---------------------------------------------------------------------------------------------------


def _doors(ask: Ask) -> Iterator[Stand]:
    """Yield for each door what it keeps free: what its owner wants always, and a way in that one of them has."""
    rule = ask.rules["door-opening"]
    awake = tuple(state for state in ask.states if state != "drive")
    for gate in gates(ask.space, rule):
        if gate.door.keep_clear is not None:
            yield _door(gate, gate.door.keep_clear, ask.states, f"{gate.door.name} kept clear", absent=False)
        for state in awake:
            yield _door(gate, rule["way_in"], (state,), f"way in by the {gate.door.name} in {state}", absent=True)


def _door(gate: Gate, width: float, states: tuple[str, ...], name: str, *, absent: bool) -> Stand:
    x0, y0, x1, y1 = gate.zone.bounds
    low, high = gate.walked
    rear = gate.door.side == "rear"
    box: Box = (0.0, 0.0, low, x1 - x0, width, high) if rear else (0.0, 0.0, low, width, y1 - y0, high)
    stretches = _stretches(gate, width)
    where = tuple(_span(x0, a, x0, b) if rear else _span(a, y0, b, y0) for a, b in stretches)
    made = Form(name="", key="", solids={}, zones=dict.fromkeys(states, (box,)), where=where)
    return Stand(name=name, group=name, forms=(made,), states=states, absent=absent)


def _stretches(gate: Gate, width: float) -> Iterator[tuple[float, float]]:
    """Yield from where to where along the door its free width may begin, in the empty room."""
    walked = gate.walked
    taken = [*gate.walls, *(span for _, span, z in gate.fixed if min(z[1], walked[1]) - max(z[0], walked[0]) > 0)]
    free = shapely.LineString([(gate.whole[0], 0.0), (gate.whole[1], 0.0)])
    for a, b in taken:
        free = free.difference(shapely.box(a, -1.0, b, 1.0))
    for part in shapely.get_parts(free):
        low, _, high, _ = part.bounds
        if high - low >= width - 0.1:
            yield low, max(low, high - width)


def _span(x0: float, y0: float, x1: float, y1: float) -> Piece:
    """Return the half-planes of a box that may be a line or a point."""
    a, b, c, d = (round(v * TENTHS) for v in (x0, y0, x1, y1))
    return ((-1, 0, -a), (0, -1, -b), (1, 0, c), (0, 1, d))


def _walks(ask: Ask, stands: list[Stand], still: Layout, found: Mapping[tuple[str, str], Way]) -> Iterator[Walk]:
    rule = ask.rules["aisle"]
    if not ask.space.doors:
        return
    space = opened(ask.space)
    posture = "crawl" if space.height < rule["stoop"] else "stoop"
    heights = (rule["step_over"], rule[posture])
    rooms = pieces(space.common_room(*heights), 1.0)
    doors = tuple(_doorway(door, space.bounds, space.common_room(*heights).bounds) for door in space.doors)
    for state in (s for s in ask.states if s != "drive"):
        yield Walk(
            state=state, doors=doors, rooms=rooms, goals=tuple(_goals(ask, state, stands, still, found)),
            heights=heights, least=rule["least"] + 1.0, best=rule["work"] + _MORE, near=rule["near"] - _SHORT,
            straight=rule["straight"] - _SHORT,
            way_in=tuple(f"way in by the {door.name} in {state}" for door in space.doors),
        )  # fmt: skip


def _doorway(door: Door, outer: tuple[float, ...], room: tuple[float, ...]) -> DoorWay:
    if door.side == "rear":
        return DoorWay(name=door.name, touch=(outer[0], door.low, room[0] + _SILL, door.high), along="y")
    if door.side == "left":
        return DoorWay(name=door.name, touch=(door.low, room[3] - _SILL * 4, door.high, outer[3]), along="x")
    return DoorWay(name=door.name, touch=(door.low, outer[1], door.high, room[1] + _SILL * 4), along="x")


def _goals(
    ask: Ask, state: str, stands: list[Stand], still: Layout, found: Mapping[tuple[str, str], Way]
) -> Iterator[tuple[str, Box | None]]:  # fmt: skip
    """Yield where people want to get to: stands that hold beds or flames, and places that stay."""
    for stand in stands:
        if state not in stand.states or not stand.forms:
            continue
        way = found[stand.name, stand.forms[0].key]
        if any(p.thing.sleeps or "flame" in p.thing.hazards for p in way.layout.placed.get(state, ())):
            yield stand.name, None
    for p in still.placed.get(state, ()):
        if p.thing.sleeps:
            yield "", (*p.box.bounds[:2], p.box.z0, *p.box.bounds[2:], p.box.z1)
    for spot in ask.spots:
        if not spot.states or state in spot.states:
            x, y = spot.at
            yield "", (x - 1, y - 1, spot.seat, x + 1, y + 1, spot.seat + 1)


# --- wishes -----------------------------------------------------------------------------------------------------------


def _wishes(ask: Ask, stands: list[Stand], found: Mapping[tuple[str, str], Way]) -> Iterator[Wish]:
    said = ask.wishes
    weights = {
        "aisle": said.aisle, "low": said.low, "balance": said.balance, "long bed": said.long_bed,
        "wide bed": said.wide_bed, "plywood": said.plywood, "stay": said.stay,
    }  # fmt: skip
    yield from (Wish(kind=kind, weight=weight) for kind, weight in weights.items() if weight)
    if said.reach and ask.space.doors:
        for stand in stands:
            thing = _thing(ask, _unit_thing(ask, stand))
            if thing.take_out is not None:
                points = tuple(_door_box(ask, d) for d in ask.space.doors if not thing.doors or d.name in thing.doors)
                yield Wish(
                    kind="reach", weight=said.reach, stands=(stand.name,), points=points, share=_OFTEN[thing.reach]
                )
    for kind, pairs, weight in (("near", said.near, 2), ("apart", said.apart, 2)):
        for one, other in pairs:
            yield from _between(ask, (kind, weight), (one, other), stands)


def _unit_thing(ask: Ask, stand: Stand) -> str:
    names = {t.group: t.name for t in reversed(ask.things)} | {t.name: t.name for t in ask.things}
    return names.get(stand.unit) or names[stand.group]


def _door_box(ask: Ask, door: Door) -> tuple[float, float, float, float]:
    x0, y0, _, y1 = ask.space.bounds
    if door.side == "rear":
        return (x0, door.low, x0, door.high)
    return (door.low, y1, door.high, y1) if door.side == "left" else (door.low, y0, door.high, y0)


def _between(ask: Ask, wish: tuple[str, int], pair: tuple[str, str], stands: list[Stand]) -> Iterator[Wish]:
    (kind, weight), (one, other) = wish, pair
    names = {stand.name for stand in stands}
    doors = {door.name: _door_box(ask, door) for door in ask.space.doors}
    mine = [n for n in names if n == one or _group(ask, n) == one]
    for name in sorted(mine):
        if other in doors:
            yield Wish(kind=kind, weight=weight, stands=(name,), points=(doors[other],))
        for there in sorted(n for n in names if (n == other or _group(ask, n) == other) and n != name):
            yield Wish(kind=kind, weight=weight, stands=(name, there))


def _group(ask: Ask, name: str) -> str:
    return next((t.group for t in ask.things if name in (t.name, t.group) or name.startswith(f"{t.group} column ")), "")


def without(problem: Problem, names: Iterable[str]) -> Problem:
    """Return the problem without some stands, as if they had not been asked for."""
    gone = set(names)
    return replace(
        problem, stands=tuple(s for s in problem.stands if s.name not in gone and s.group not in gone),
        totals={group: n for group, n in problem.totals.items() if group not in gone},
    )  # fmt: skip
