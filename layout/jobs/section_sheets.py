"""Sections and level cuts of a plan as sheets: sensible ones for every state, or any that is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from layout.drawing.model import Drawing
from layout.errors import Fault, InputError
from layout.jobs.draw import Paper, moving_in, view_options
from layout.jobs.load import Plan
from layout.jobs.section_people import only_in, people_in, peopled, sleepers
from layout.jobs.section_places import heights_at
from layout.model.layout import Placed
from layout.model.spot import Spot
from layout.units.length import format_length
from layout.views.options import ViewOptions
from layout.views.section import Toward, plane_at, section
from layout.views.section_plan import level_plan
from layout.views.section_room import room_cut

# A bed whose middle is nearer to the centre line than this is cut along with it, mm.
_ASIDE = 150.0
_SAME = 250.0  # mm between two sections across that would show the same
_MOST_SPOTS = 2


@dataclass(frozen=True, kw_only=True, slots=True)
class _Cut:
    """A section to draw: in which state, for which states it stands, where."""

    state: str
    states: tuple[str, ...]
    x: float | None = None
    y: float | None = None
    awake: bool = False


def section_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the sections of every state in which things stand otherwise.

    Across through the middle of the bed, or of the tallest furniture where nobody sleeps; across through places where
    people stand or sit; along the centre line; along through the bed, where it lies aside.

    Raises
    ------
    InputError
        When there is no such paper.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    cuts = [cut for states in alike_states(plan) for cut in _cuts(plan, states)]
    options = replace(view_options(plan, paper), sheets=len(cuts))
    return tuple(_draw(plan, cut, replace(options, sheet=i + 1)) for i, cut in enumerate(cuts))


def section_at(
    plan: Plan,
    paper: Paper,
    *,
    state: str,
    states: tuple[str, ...] = (),
    x: float | None = None,
    y: float | None = None,
    toward: Toward | None = None,
) -> Drawing:
    """Return the section of a state across at `x` or along at `y`, mm; exactly one of the two.

    `states` are all those in which things stand alike, to be told in the title. `toward` is the way that is looked:
    ``front`` or ``rear`` across, ``left`` or ``right`` along (None: toward the front, or the nearer wall).

    Raises
    ------
    InputError
        When there is no such state or paper, when not exactly one place is given, when it is not inside the space, or
        when `toward` does not go with it.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    check_state(plan, state)
    if (x is None) == (y is None):
        raise _fault("section", "give either x, for a section across, or y, for one along")
    ways = ("front", "rear") if x is not None else ("left", "right")
    if toward is not None and toward not in ways:
        raise _fault("--toward", f"{toward!r} is not a way to look in this section; write {ways[0]} or {ways[1]}")
    _refuse_outside(plan, x, y)
    return _draw(plan, _Cut(state=state, states=states or (state,), x=x, y=y), view_options(plan, paper), toward)


def plan_at(
    plan: Plan,
    paper: Paper,
    *,
    state: str,
    z: float,
    states: tuple[str, ...] = (),
    findings: bool = False,
    zones: bool = True,
) -> Drawing:
    """Return the plan of a state cut at the height `z` mm above the finished floor.

    `states` are all those in which things stand alike. `findings` draws what the checks found, `zones` what must stay
    free at that height.

    Raises
    ------
    InputError
        When there is no such state or paper, or no room at that height.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    check_state(plan, state)
    space, units = plan.project.space, plan.project.said.units
    if not 0 <= z < space.height:
        said, top = (format_length(v, units, unit_sign=True) for v in (z, space.height))
        raise _fault("--at", f"{said} is not inside the space; write a height from 0 to less than {top}")
    return level_plan(
        space, plan.layout, state, z, people=people_in(plan, state), with_zones=zones,
        findings=plan.findings if findings else (),
        options=replace(view_options(plan, paper), states=states or (state,), people_of=only_in(plan, states)),
    )  # fmt: skip


def check_state(plan: Plan, state: str) -> None:
    """Refuse a state that is not there.

    Raises
    ------
    InputError
        Naming those that are.
    """
    states = plan.project.said.states
    if state not in states:
        raise _fault("--state", f"no state is called {state!r}; there are: {', '.join(states)}")


def alike_states(plan: Plan, *, zones: bool = False) -> tuple[tuple[str, ...], ...]:
    """Return the states in groups in which all things stand alike, and with `zones` the same parts move."""
    groups: dict[object, list[str]] = {}
    for state in plan.project.said.states:
        stood = tuple((placed.name, placed.solids) for placed in plan.layout.placed[state])
        groups.setdefault((stood, moving_in(plan, state) if zones else ()), []).append(state)
    return tuple(tuple(group) for group in groups.values())


def _fault(key: str, text: str) -> InputError:
    return InputError([Fault("print", 0, 0, key, text)])


def _refuse_outside(plan: Plan, x: float | None, y: float | None) -> None:
    space, units = plan.project.space, plan.project.said.units
    if room_cut(space, plane_at(x, y)).room.is_empty:
        x0, y0, x1, y1 = space.bounds
        key, at, low, high = ("--x", x or 0.0, x0, x1) if x is not None else ("--y", y or 0.0, y0, y1)
        low_said, high_said = (format_length(v, units, unit_sign=True) for v in (low, high))
        said = format_length(at, units, unit_sign=True)
        raise _fault(key, f"{said} is not inside the space; write a place between {low_said} and {high_said}")


def _draw(plan: Plan, cut: _Cut, options: ViewOptions, toward: Toward | None = None) -> Drawing:
    plane = plane_at(cut.x, cut.y, toward)
    return section(
        plan.project.space, plan.layout, cut.state, x=cut.x, y=cut.y, toward=toward,
        people=people_in(plan, cut.state, awake=cut.awake), heights=heights_at(plan, cut.state, plane),
        options=replace(options, states=cut.states, people_of=only_in(plan, cut.states)),
    )  # fmt: skip


def _cuts(plan: Plan, states: tuple[str, ...]) -> Iterator[_Cut]:
    state = peopled(plan, states)
    things = plan.layout.placed[state]
    shown = _shown(plan, things)
    if shown is not None:
        yield _Cut(state=state, states=states, x=_middle(shown, 0))
    for spot in _apart(plan, state, None if shown is None else _middle(shown, 0)):
        yield _Cut(state=state, states=states, x=spot.at[0], awake=True)
    yield _Cut(state=state, states=states, y=0.0)
    if shown is not None and sleepers(plan, shown) and abs(_middle(shown, 1)) > _ASIDE:
        yield _Cut(state=state, states=states, y=_middle(shown, 1))


def _apart(plan: Plan, state: str, across: float | None) -> Iterator[Spot]:
    """Yield places where people stand or sit, the first few that lie apart from each other and from `across`, mm."""
    xs = [] if across is None else [across]
    most = len(xs) + _MOST_SPOTS
    for spot in plan.layout.spots:
        far = all(abs(spot.at[0] - x) > _SAME for x in xs)
        if spot.used_in(state) and spot.does != "lie" and far and len(xs) < most:
            xs.append(spot.at[0])
            yield spot


def _shown(plan: Plan, things: tuple[Placed, ...]) -> Placed | None:
    """Return what is cut across: the highest bed, else the tallest furniture, else the tallest thing."""
    beds = [p for p in things if sleepers(plan, p)]
    built = [p for p in things if p.thing.panels]
    for some in (beds, built, things):
        if some:
            return max(some, key=lambda p: (p.box.z1, p.name))
    return None


def _middle(placed: Placed, axis: int) -> float:
    bounds = placed.box.bounds
    return round((bounds[axis] + bounds[axis + 2]) / 2, 1)
