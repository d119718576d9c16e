"""Who stands, sits and lies where in a state, as figures to draw."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import box

from layout.checks.context import Context
from layout.checks.spot_room import room_of
from layout.jobs.load import Plan
from layout.model.layout import Placed
from layout.model.person import Person
from layout.model.solid import Point
from layout.model.spot import Spot
from layout.space.space import Space
from layout.views.people import Figure, in_spot, on_mattress

_NIGHT, _ROAD = "sleep", "drive"
_OVER = 400.0  # mm over the mattress where heads are looked for room


def context_of(plan: Plan) -> Context:
    """Return what the checks know of a plan, to ask their figures."""
    return Context(
        space=plan.project.space, layout=plan.layout, rules=plan.project.rules, units=plan.project.said.units
    )


def shares_of(plan: Plan) -> dict[str, float]:
    """Return the measures of a body as shares of the stature, by name."""
    return {name: number.value for name, number in plan.project.rules["people"].numbers.items()}


def people_in(plan: Plan, state: str, *, awake: bool = False) -> tuple[Figure, ...]:
    """Return who is drawn in a state: sleepers on their mattresses at night, all others in their spots.

    Night is the state called ``sleep``; where no state is called so, every state but ``drive``. Nobody is in two
    places: at night a mattress comes before a spot, and with `awake` nobody sleeps. Of several people who use a spot
    the tallest is drawn.
    """
    asleep = () if awake else tuple(_asleep(plan, state))
    return (*asleep, *_in_spots(plan, state, {figure.name for figure in asleep}))


def peopled(plan: Plan, states: Sequence[str]) -> str:
    """Return the state with most people in it, the last of them: drawn for all states in which things stand alike."""
    return max(reversed(states), key=lambda state: len(people_in(plan, state)))


def only_in(plan: Plan, states: Sequence[str]) -> str:
    """Return in which of `states` the people are there who are drawn for all of them; empty where they always are."""
    drawn = people_in(plan, peopled(plan, states)) if states else ()
    there = [state for state in states if people_in(plan, state) == drawn]
    return ", ".join(there) if len(there) < len(states) else ""


def _asleep(plan: Plan, state: str) -> Iterator[Figure]:
    states = plan.project.said.states
    if state == _ROAD or (_NIGHT in states and state != _NIGHT):
        return
    for placed in plan.layout.placed.get(state, ()):
        people = sleepers(plan, placed)
        if people:
            ways = [on_mattress(placed, people, shares_of(plan), reverse=reverse) for reverse in (True, False)]
            # The heads lie where there is more room; toward the rear where both ends are alike.
            yield from max(ways, key=lambda way: round(_room_for_heads(plan.project.space, placed, way), -3))


def sleepers(plan: Plan, placed: Placed) -> tuple[Person, ...]:
    """Return the people described who sleep on a thing."""
    return tuple(p for p in plan.layout.people if p.name in placed.thing.sleeps)


def _room_for_heads(space: Space, placed: Placed, way: Sequence[Figure]) -> float:
    """Return how much room there is over the half of the mattress on which the heads lie, mm²."""
    x0, y0, x1, y1 = placed.box.bounds
    dx, dy = way[0].toward
    along = abs(dx) >= abs(dy)
    half = box(
        (x0 + x1) / 2 if along and dx > 0 else x0, (y0 + y1) / 2 if not along and dy > 0 else y0,
        (x0 + x1) / 2 if along and dx < 0 else x1, (y0 + y1) / 2 if not along and dy < 0 else y1,
    )  # fmt: skip
    return float(space.shell(placed.box.z1 + _OVER).intersection(half).area)


def _in_spots(plan: Plan, state: str, taken: set[str]) -> Iterator[Figure]:
    context, things = context_of(plan), plan.layout.placed.get(state, ())
    for spot in plan.layout.spots:
        free = [p for p in users(plan, spot) if p.name not in taken]
        if spot.used_in(state) and free:
            person = max(free, key=lambda p: p.stature)
            taken = taken | {person.name}
            room = room_of(context, things, spot)
            toward = facing(plan.project.space, spot)
            yield in_spot(spot, person, shares_of(plan), foot=room.foot, ground=room.ground, toward=toward)


def users(plan: Plan, spot: Spot) -> tuple[Person, ...]:
    """Return the people described who use a spot."""
    return tuple(p for p in plan.layout.people if not spot.people or p.name in spot.people)


def facing(space: Space, spot: Spot) -> Point:
    """Return which way somebody looks: forward; who sits, away from the wall or end that is nearest."""
    if spot.does != "sit":
        return 1.0, 0.0
    x0, y0, x1, y1 = space.bounds
    x, y = spot.at
    near = {(1.0, 0.0): x - x0, (-1.0, 0.0): x1 - x, (0.0, 1.0): y - y0, (0.0, -1.0): y1 - y}
    return min(near, key=lambda way: near[way])
