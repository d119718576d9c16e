"""Where sections are cut when nobody says where, and the stack of heights that each of them tells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.checks.postures import erect, verdict
from layout.checks.spot_room import room_of
from layout.checks.stack import layers
from layout.jobs.load import Plan
from layout.jobs.section_people import context_of, sleepers, users
from layout.model.layout import Placed
from layout.model.person import Person
from layout.model.solid import Point, Solid
from layout.model.spot import Spot
from layout.space.space import Space
from layout.views.section_heights import Heights, Term
from layout.views.section_plane import Plane
from layout.views.section_room import obstacle_cut, upright_room

_TOUCH = 0.01
_DEEP = 1e5  # mm, beyond every roof
_NEAR = 0.05
_EDGE = 1.0  # mm: no height is told so near to an edge


def heights_at(plan: Plan, state: str, plane: Plane) -> Heights | None:
    """Return the stack of heights in an upright plane, where it tells most; None where there is no room.

    That is through somebody in a spot that the plane passes; else through the mattress where most is stacked under it;
    else where most is stacked at all.
    """
    things = plan.layout.placed.get(state, ())
    spot = _spot_in(plan, state, plane)
    if spot is not None:
        return _through_spot(plan, state, spot)
    beds = [p for p in things if sleepers(plan, p) and plane.cut(p.box).area]
    beds = sorted(beds, key=lambda p: (-p.box.z1, p.name))
    spans = plane.crossings(Polygon(beds[0].box.outline)) if beds else _room_spans(plan, plane)
    places = [_at(plane, u) for span in spans for u in _middles(things, plane, span)]
    # One room for all places at the same distance forward.
    rooms = {x: _room_across(plan, x) for x, _ in places}
    stacks = [stack for at in places if (stack := stack_at(plan, state, at, rooms[at[0]])) is not None]
    if not stacks:
        return None
    middle = (min(low for low, _ in spans) + max(high for _, high in spans)) / 2
    best = max(stacks, key=lambda s: (round(_stowed(things, s), 1), len(s.terms), -abs(_along(plane, s.at) - middle)))
    return _over_mattress(plan, beds[0], best) if beds else best


def _room_across(plan: Plan, x: float) -> BaseGeometry:
    return upright_room(plan.project.space, Plane(axis="x", at=x, toward=1))


def stack_at(plan: Plan, state: str, at: Point, room: BaseGeometry | None = None) -> Heights | None:
    """Return all heights over a point of the plan, from the bare floor to bare roof, or to what leans in lower.

    Things, wheel wells, what is free, build-ups; None where the point is not in the space. `room` is the free room
    across at the point (None: worked out here).
    """
    space = plan.project.space
    column = (_room_across(plan, at[0]) if room is None else room).intersection(_line(at[1]))
    if column.is_empty or column.length < _TOUCH:
        return None
    low, roof = column.bounds[1], space.roof_at(at[0])
    under_roof = abs(column.bounds[3] - roof) < _NEAR
    high = roof if under_roof else column.bounds[3]
    things = plan.layout.placed.get(state, ())
    found = layers([*_named(things), *_fixed(space, at)], at, round(low, 2), high)
    terms = [Term(name=layer.name, z0=layer.z0, z1=layer.z1) for layer in found]
    if low >= -_TOUCH and space.floor_build_up:
        terms = [Term(name="floor build-up", z0=-space.floor_build_up, z1=terms[0].z0), *terms]
    if under_roof and space.ceiling_build_up:
        terms.append(Term(name="ceiling build-up", z0=terms[-1].z1, z1=terms[-1].z1 + space.ceiling_build_up))
    return Heights(at=at, terms=tuple(terms), over="the roof" if under_roof else "the leaning wall or end")


def _named(things: Sequence[Placed]) -> Iterator[tuple[str, Solid]]:
    """Yield all solids with the name by which a sum tells them: the piece of furniture, else the group of things."""
    for placed in things:
        for solid in placed.solids:
            yield (solid.name if placed.thing.panels and solid.name else placed.thing.group), solid


def _fixed(space: Space, at: Point) -> Iterator[tuple[str, Solid]]:
    """Yield the fixed obstacles as high as they are over a point."""
    for obstacle in space.obstacles:
        part = obstacle_cut(obstacle, Plane(axis="x", at=at[0], toward=1)).intersection(_line(at[1]))
        if not part.is_empty and part.length > _TOUCH:
            yield (
                obstacle.name,
                Solid(name=obstacle.name, outline=obstacle.outline, z0=part.bounds[1], z1=part.bounds[3]),
            )


def _line(u: float) -> LineString:
    return LineString([(u, -_DEEP), (u, _DEEP)])


def _at(plane: Plane, u: float) -> Point:
    """Return the point in plan of a place along the figure."""
    return (plane.at, u) if plane.axis == "x" else (u, plane.at)


def _along(plane: Plane, at: Point) -> float:
    return at[1] if plane.axis == "x" else at[0]


def _stowed(things: Sequence[Placed], stack: Heights) -> float:
    """Return how much of a stack is neither free nor of the space nor built, mm: gear, bins, the mattress."""
    gear = {p.thing.group for p in things if not p.thing.panels}
    return sum(term.z1 - term.z0 for term in stack.terms if term.name in gear)


def _room_spans(plan: Plan, plane: Plane) -> list[tuple[float, float]]:
    room = upright_room(plan.project.space, plane)
    return [] if room.is_empty else [(room.bounds[0], room.bounds[2])]


def _middles(things: Sequence[Placed], plane: Plane, span: tuple[float, float]) -> list[float]:
    """Return a place in each stretch over which the same is cut: between the edges of all that is cut."""
    low, high = span
    edges = {low, high}
    for placed in things:
        for solid in placed.solids:
            for u in plane.cut(solid).bounds[::2] if plane.cut(solid).area else ():
                edges |= {u} if low < u < high else set()
    return [(a + b) / 2 for a, b in pairwise(sorted(edges)) if b - a > 2 * _EDGE]


def _spot_in(plan: Plan, state: str, plane: Plane) -> Spot | None:
    """Return the spot whose user the plane passes through in the middle, the nearest first."""
    axis = 0 if plane.axis == "x" else 1
    near = [
        s for s in plan.layout.spots if s.used_in(state) and abs(s.at[axis] - plane.at) < _TOUCH and s.does != "lie"
    ]
    return near[0] if near else None


def _through_spot(plan: Plan, state: str, spot: Spot) -> Heights | None:
    stack = stack_at(plan, state, spot.at)
    if stack is None:
        return None
    context = context_of(plan)
    room = room_of(context, plan.layout.placed.get(state, ()), spot)
    highest = max((t for t in stack.terms if t.name == "free"), key=lambda t: t.z1 - t.z0, default=stack.terms[-1])
    if room.in_the_way:
        return _with_words(stack, highest, (f"{spot.name}: {' and '.join(room.in_the_way)} in the way",))
    judge = _stands if spot.does == "stand" else _sits
    told = (f"{spot.name}: {context.say(room.free)} up to {room.over.what}",
            *(judge(context, person, room.free) for person in users(plan, spot)))  # fmt: skip
    return _with_words(stack, highest, told)


def _with_words(stack: Heights, term: Term, words: tuple[str, ...]) -> Heights:
    """Return the stack with words under one of its terms."""
    return replace(stack, terms=tuple(replace(t, words=words) if t is term else t for t in stack.terms))


def _over_mattress(plan: Plan, placed: Placed, stack: Heights) -> Heights:
    """Return the stack with what each sleeper can do in the height that is free over the mattress in this place."""
    free = next((t for t in stack.terms if t.name == "free" and abs(t.z0 - placed.box.z1) < _NEAR), None)
    if free is None:
        return stack
    context = context_of(plan)
    return _with_words(stack, free, tuple(_sits(context, p, free.z1 - free.z0) for p in sleepers(plan, placed)))


def _sits(context: Context, person: Person, free: float) -> str:
    """Return what a person can do in a height over a seat or a mattress, and how much is missing to sit erect."""
    rule = context.rules["headroom"]
    missing = erect(rule, person) - free
    short = f", {context.say(context.up(missing))} short of sitting erect" if missing > _TOUCH else ""
    return f"{person.name} {verdict(rule, person, free)}{short}"


def _stands(context: Context, person: Person, free: float) -> str:
    rule = context.rules["standing"]
    missing = person.stature + rule["shoes"] + rule["hair"] - free
    return (
        f"{person.name} stoops by {context.say(context.up(missing))}"
        if missing > _TOUCH
        else f"{person.name} stands erect"
    )
