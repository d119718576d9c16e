"""The forms that a free unit may take: turned, in other sizes, as another block, so many on each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import shapely
from shapely.geometry.base import BaseGeometry

from layout.arrange.ask import Ask, Sizes
from layout.arrange.boxes import box_of, inner_boxes, outer_boxes
from layout.arrange.places import pieces, reference_places
from layout.arrange.problem import Box, Form
from layout.arrange.units_of import Unit
from layout.checks.walking.doorways import opened
from layout.errors import ValueFaultError
from layout.model.layout import Layout, Placed
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.placing.place import place
from layout.placing.position import Position

_TURNS = (0.0, 90.0, 180.0, 270.0)
_FAR = 1e6
_FLAT = 0.97  # share of a rectangle that a top covers
#: A trial elsewhere, to see whether what rides on a thing goes along as it is; mm.
_ELSEWHERE = (1370.0, 230.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """A form before it is told in boxes: turn, sizes, grid, number on each other, and what then stands where.

    `layout` holds the unit with what rides on it, its reference point at the origin.
    """

    turn: float
    sizes: Sizes
    grid: tuple[int, int, int] | None
    high: int
    layout: Layout

    @property
    def key(self) -> str:
        """Return what tells the way from others of its unit."""
        sizes = ",".join(f"{g}.{k}={v:g}" for g, keys in self.sizes.items() for k, v in keys.items())
        grid = "x".join(map(str, self.grid)) if self.grid else ""
        return f"{self.turn:g}|{sizes}|{grid}|{self.high}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rounding:
    """How forms are told: gaps that loose things keep (to each other, to walls), mm; `outward` to rule things out."""

    between: float
    wall: float
    tolerance: float = 0.5
    outward: bool = False


def ways(ask: Ask, unit: Unit) -> Iterator[Way]:
    """Yield the ways in which the unit may stand, those alike in plan left out.

    Raises
    ------
    ValueFaultError
        When what rides on it does not go along as it is, or none of the sizes can be made.
    """
    seen: set[tuple[object, ...]] = set()
    refused: list[ValueFaultError] = []
    for sizes in _sizes(ask, unit):
        try:
            things = {thing.name: thing for thing in ask.things_with(sizes)}
        except ValueFaultError as error:
            refused.append(error)
            continue
        for turn, grid in product(unit.free.turn or _TURNS, unit.free.grid or (None,)):
            layout = _trial(ask, unit, things, (turn, grid), (0.0, 0.0))
            shape = tuple((s, tuple(map(_rounded, _of(p)))) for s, placed in layout.placed.items() for p in placed)
            if (shape, grid) not in seen:
                seen.add((shape, grid))
                yield from _stacked(ask, unit, Way(turn=turn, sizes=sizes, grid=grid, high=1, layout=layout))
    if not seen and refused:
        raise refused[0]


def _of(placed: Placed) -> tuple[Solid, ...]:
    swept = tuple(s for m in placed.motions for s in m.swept) + tuple(c.solid for c in placed.clears)
    return (*placed.solids, *swept)


def _rounded(solid: Solid) -> tuple[object, ...]:
    corners = frozenset((round(x, 1), round(y, 1)) for x, y in solid.outline)
    return corners, round(solid.z0, 1), round(solid.z1, 1)


def _sizes(ask: Ask, unit: Unit) -> Iterator[Sizes]:
    group = next(thing.group for thing in ask.things if thing.name == unit.names[0])
    tried: dict[str, tuple[float, ...]] = {**unit.free.sizes, **unit.free.counts}
    keys = list(tried)
    for values in product(*(tried[key] for key in keys)):
        own = dict(zip(keys, values, strict=True))
        if not own:
            yield {}
            continue
        others = {
            other: {key: own[key] + more for key, more in follows.items() if key in own}
            for other, follows in unit.free.follow.items()
        }
        yield {group: own, **others}


def _trial(
    ask: Ask, unit: Unit, things: Mapping[str, Thing], turned: tuple[float, tuple[int, int, int] | None],
    at: tuple[float, float],
) -> Layout:  # fmt: skip
    turn, grid = turned
    mine = unit.names[:1] if unit.column else unit.names
    position = position_of(unit, things[mine[0]], at, turn, grid)
    arrangement = {unit.key if not unit.column else mine[0]: position, **{k: ask.arrangement[k] for k in unit.riders}}
    keys = {*arrangement, *mine}
    subset = tuple(t for t in things.values() if t.name in keys or (t.group in keys and t.group not in mine))
    subset = tuple(t for t in subset if t.name in mine or t.name in arrangement or t.group in arrangement)
    return place(ask.space, subset, arrangement, ask.states, ask.people)


def position_of(  # noqa: PLR0917 (what a position says)
    unit: Unit, thing: Thing, at: tuple[float, float], turn: float, grid: tuple[int, int, int] | None,
    foot: float | None = None,
) -> Position:  # fmt: skip
    """Return the position that puts the unit's reference point at `at`, mm; what the file says beside stays."""
    z = (thing.box.z0 if foot is None else foot) + 0.0
    said = unit.said
    kept = {"outside": said.outside, "form": said.form, "states": _only_forms(said)} if said is not None else {}
    return Position(at=(at[0], at[1], z), turn=turn, grid=grid, gap=unit.free.gap if grid else 0.0, **kept)  # type: ignore[arg-type]


def _only_forms(said: Position) -> dict[str, Position]:
    return {state: each for state, each in said.states.items() if each.says_only_form}


def _stacked(ask: Ask, unit: Unit, way: Way) -> Iterator[Way]:
    most = min(unit.free.stack, len(unit.names)) if unit.column else 1
    for high in range(1, most + 1):
        yield replace(way, high=high)


def refuse_unless_rigid(ask: Ask, unit: Unit) -> None:
    """Refuse a unit whose riders do not simply go along with it.

    Raises
    ------
    ValueFaultError
        Naming the rider.
    """
    things = {thing.name: thing for thing in ask.things}
    grid = unit.free.grid[0] if unit.free.grid else None
    one, other = (_trial(ask, unit, things, (0.0, grid), at) for at in ((0.0, 0.0), _ELSEWHERE))
    for state, placed in one.placed.items():
        for a, b in zip(placed, other.placed[state], strict=True):
            moved = [s.moved(*_ELSEWHERE, 0.0) for s in a.solids]
            if [_rounded(s) for s in moved] != [_rounded(s) for s in b.solids]:
                text = f"its place depends on more than {unit.key}, which is free; say it by {unit.key} alone"
                raise ValueFaultError(("arrangement", a.name), text)


@dataclass(frozen=True, kw_only=True, slots=True)
class Carrier:
    """What carries something: its stand, the key of its form, and the height of its top, mm."""

    stand: str
    key: str
    top: float


def form(  # noqa: PLR0917 (what a form is told of)
    ask: Ask, unit: Unit, way: Way, rounding: Rounding, carrier: Carrier | None = None, states: Sequence[str] = ()
) -> Form:
    """Return the way told in boxes, with where its reference point may be; on a carrier, and in some states only."""
    lift = carrier.top - _foot(way) if carrier else 0.0
    placed = {
        state: _lifted(_high(things, way.high), lift)
        for state, things in way.layout.placed.items() if not states or state in states
    }  # fmt: skip
    everything = [p for things in placed.values() for p in things]
    loose = is_loose(everything)
    solids = list(dict.fromkeys(s for p in everything for s in p.solids))
    clears = list(dict.fromkeys(c.solid for p in everything for c in p.clears))
    room = reference_places(ask.space, solids, 0.0 if rounding.outward or not loose else rounding.wall)
    if clears:
        room = room.intersection(reference_places(ask.space, clears))
    room = _where_parts_move(ask, everything, room) if not rounding.outward else room
    room = room.intersection(_limits(unit, solids))
    boxes = inner_boxes if rounding.outward else outer_boxes
    middle, mass = _middle(next(iter(things for things in placed.values() if things)))
    return Form(
        name=_name(way, everything), key=_key(way, carrier), mass=mass, weigh=middle, holds=way.high,
        solids={s: _lifted_out(boxes([b for p in things for b in p.solids]), way) for s, things in placed.items()},
        zones={state: _zones(ask, state, things, outward=rounding.outward) for state, things in placed.items()},
        where=pieces(room, rounding.tolerance, outward=rounding.outward), top=top_of(everything),
        worth=_worth(way, everything), foot=carrier.top if carrier else None,
        needs=(carrier.stand, carrier.key) if carrier else None,
    )  # fmt: skip


def _where_parts_move(ask: Ask, everything: Sequence[Placed], room: BaseGeometry) -> BaseGeometry:
    """Return of the places those at which doors, drawers and lids open within the room, and people stand there.

    Where there is none such it is left to the checks: a part may open through a door of the vehicle.
    """
    parts = [m for p in everything for m in p.motions if any(m.used_in(s) for s in ask.states if s != "drive")]
    swept = [s for m in parts for s in (*m.swept, *([_standing(ask, m.person)] if m.person else []))]
    if not swept:
        return room
    within = room.intersection(reference_places(opened(ask.space), list(dict.fromkeys(swept))))
    return within if within.area > 0 else room


def _standing(ask: Ask, person: Solid) -> Solid:
    """Return the room of somebody who stands and uses a part: over what is stepped on, up to where people lean."""
    rule = ask.rules["sweep"]
    low = min(person.z0, 0.0) + rule["step"]
    return replace(person, z0=low, z1=max(low + 1.0, min(person.z1, rule["body"])))


def is_loose(placed: Sequence[Placed]) -> bool:
    """Return whether all of it comes out, so that it keeps the gaps of loose things."""
    return all(p.thing.take_out is not None for p in placed)


def _high(things: Sequence[Placed], high: int) -> tuple[Placed, ...]:
    if high == 1 or not things:
        return tuple(things)
    first = things[0]
    step = first.thing.stack_step
    moved = [tuple(s.moved(0.0, 0.0, step * k) for s in first.solids) for k in range(high)]
    return tuple(replace(first, solids=s, box=first.box.moved(0.0, 0.0, step * k)) for k, s in enumerate(moved))


def _key(way: Way, carrier: Carrier | None) -> str:
    return f"{way.key}|{carrier.stand}|{carrier.key}" if carrier else way.key


def _lifted_out(boxes: tuple[Box, ...], way: Way) -> tuple[Box, ...]:
    """Return the boxes of a column with the room over it in which the top bin is lifted out of the rim below."""
    first = next(p.thing for things in way.layout.placed.values() for p in things)
    rim = first.box.z1 - first.box.z0 - first.stack_step if way.high > 1 else 0.0
    return tuple((a, b, c, d, e, f + rim + 1.0) for a, b, c, d, e, f in boxes) if rim > 0 else boxes


def _foot(way: Way) -> float:
    return next(p.box.z0 for things in way.layout.placed.values() for p in things)


def _lifted(things: Sequence[Placed], by: float) -> tuple[Placed, ...]:
    if not by:
        return tuple(things)
    return tuple(
        replace(p, solids=tuple(s.moved(0.0, 0.0, by) for s in p.solids), box=p.box.moved(0.0, 0.0, by)) for p in things
    )


def _limits(unit: Unit, solids: Sequence[Solid]) -> BaseGeometry:
    """Return the reference points at which the unit stays within the limits that are said for it."""
    bounds = [s.bounds for s in solids]
    x0, y0 = min(b[0] for b in bounds), min(b[1] for b in bounds)
    x1, y1 = max(b[2] for b in bounds), max(b[3] for b in bounds)
    (low_x, high_x), (low_y, high_y) = unit.free.x or (-_FAR, _FAR), unit.free.y or (-_FAR, _FAR)
    if high_x - x1 < low_x - x0 or high_y - y1 < low_y - y0:
        return shapely.Polygon()
    return shapely.box(low_x - x0, low_y - y0, high_x - x1, high_y - y1)


def _middle(things: Sequence[Placed]) -> tuple[tuple[float, float, float], float]:
    mass = sum(p.thing.mass_kg for p in things)
    if mass <= 0:
        return (0.0, 0.0, 0.0), 0.0
    sums = [0.0, 0.0, 0.0]
    for p in things:
        x0, y0, x1, y1 = p.box.bounds
        for i, v in enumerate(((x0 + x1) / 2, (y0 + y1) / 2, (p.box.z0 + p.box.z1) / 2)):
            sums[i] += p.thing.mass_kg * v
    return (sums[0] / mass, sums[1] / mass, sums[2] / mass), mass


def _zones(ask: Ask, state: str, things: Sequence[Placed], *, outward: bool) -> tuple[Box, ...]:
    """Return what must stay free of the solids of all others in the state."""
    clears = [box_of(clear.solid) for p in things for clear in p.clears]
    if outward:
        return tuple(clears)
    used = [m for p in things for m in p.motions if m.used_in(state)]
    swept = [box_of(s) for m in used for s in m.swept]
    people = [box_of(_standing(ask, m.person)) for m in used if m.person]
    return tuple(dict.fromkeys([*clears, *swept, *people, *_over_beds(ask, state, things)]))


def _over_beds(ask: Ask, state: str, things: Sequence[Placed]) -> Iterator[Box]:
    rule = ask.rules["headroom"]
    for p in things:
        if p.thing.sleeps:
            x0, y0, x1, y1 = p.box.bounds
            over = box("", (x0 + rule["edge"], x1 - rule["edge"]), (y0 + rule["edge"], y1 - rule["edge"]),
                       (p.box.z1, p.box.z1 + rule["least"]))  # fmt: skip
            yield box_of(over)


def top_of(everything: Sequence[Placed]) -> tuple[float, float, float, float, float] | None:
    """Return the flat top of a single thing, which may carry another."""
    names = {p.name for p in everything}
    if len(names) != 1:
        return None
    # Of what ends at the top only: a cabinet's doors end a little lower, before it.
    top = everything[0].box.z1
    flat = shapely.union_all([shapely.Polygon(s.outline) for s in everything[0].solids if s.z1 >= top - 1.0])
    x0, y0, x1, y1 = flat.bounds
    return (x0, y0, x1, y1, top) if flat.area > _FLAT * (x1 - x0) * (y1 - y0) else None


def _worth(way: Way, everything: Sequence[Placed]) -> dict[str, float]:
    """Return what the form alone decides of the wishes: length and width of beds, mm; plywood, m²."""
    panels = {p.name: p.thing.panels for p in everything}
    ply = sum(panel.length * panel.width for own in panels.values() for panel in own) / 1e6
    beds = [p.thing.box.bounds for p in everything if p.thing.sleeps]
    found = {"plywood": ply} if ply else {}
    if beds:
        found |= {"long bed": min(b[2] - b[0] for b in beds), "wide bed": min(b[3] - b[1] for b in beds)}
    return found


def _name(way: Way, everything: Sequence[Placed]) -> str:
    """Return how people call the form."""
    said = [f"{k.replace('_', ' ')} {v:g}" for keys in list(way.sizes.values())[:1] for k, v in keys.items()]
    x0, y0, x1, y1 = everything[0].box.bounds if len(everything) == 1 else _all_bounds(everything)
    lies = "across" if y1 - y0 > x1 - x0 + 1 else "along" if x1 - x0 > y1 - y0 + 1 else ""
    if way.grid:
        said.append(" x ".join(map(str, way.grid)))
    if way.high > 1:
        said.append(f"{way.high} high")
    return ", ".join(part for part in (lies, *said) if part)


def _all_bounds(everything: Sequence[Placed]) -> tuple[float, float, float, float]:
    bounds = [p.box.bounds for p in everything]
    return (min(b[0] for b in bounds), min(b[1] for b in bounds), max(b[2] for b in bounds), max(b[3] for b in bounds))
