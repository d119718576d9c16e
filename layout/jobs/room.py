"""What the room measures: a few lines with every check, or all about one height."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from math import radians, tan
from typing import Any

from layout.errors import Fault, InputError
from layout.jobs.load import Plan
from layout.space.measures import Measures
from layout.space.measures import measures as room_at
from layout.units.length import format_length, parse_length
from layout.units.mass import format_mass


def measured(plan: Plan) -> list[str]:
    """Return the room's clear measures at useful heights, one line each."""
    space, units = plan.project.space, plan.project.said.units
    middle = space.length / 2

    def say(mm: float) -> str:
        return format_length(mm, units, unit_sign=True)

    inches = units in ("in", "ft")
    floor = f"{space.floor_area / 92903.04:.1f} ft²" if inches else f"{space.floor_area / 1e6:.2f} m²"
    volume = f"{space.volume / 28316846.592:.0f} ft³" if inches else f"{space.volume / 1e9:.2f} m³"
    heights = [12 * 25.4 * n if inches else 300.0 * n for n in range(6)]
    lines = [f"room: floor {say(space.length)} long, {floor} free, {volume}"]
    lines += [line for z in heights if z < space.roof_at(middle) and (line := _at(plan, z))]
    mass = sum(thing.mass_kg for thing in plan.layout.things)
    lines += _rake(space.rake_deg)
    return [*lines, f"load: {format_mass(mass, units)} in {len(plan.layout.things)} things, people not counted"]


def _rake(rake_deg: float) -> list[str]:
    """Return what a floor that is not level when parked means; all heights stay square to the floor."""
    if not rake_deg:
        return []
    down, up = ("front", "rear") if rake_deg > 0 else ("rear", "front")
    per_metre = 1000 * tan(radians(abs(rake_deg)))
    return [
        f"rake: parked, the floor falls {abs(rake_deg):g}° toward the {down}; a level reads {per_metre:.0f} mm in a "
        f"metre, so measure square to the floor; what is not latched rolls, and drawers open, toward the {down}; "
        f"sleep with the head at the {up}"
    ]


def _at(plan: Plan, z: float) -> str:
    """Return one line about the room at height `z` mm, empty where there is none."""
    found = room_at(plan.project.space, z)
    if found is None:
        return ""
    say = _sayer(plan)
    ribs = f" ({say(found.between_ribs)} between the ribs)" if found.between_ribs is not None else ""
    return (
        f"  at height {say(z)}: {say(found.width)} wide at the narrowest{ribs}, {say(found.length)} long in the middle"
    )


def _sayer(plan: Plan) -> Callable[[float], str]:
    units = plan.project.said.units
    return lambda mm: format_length(round(mm, 1), units, unit_sign=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomWish:
    """What is asked of the room: a height above the finished floor, and from where to where along, mm."""

    z: float
    stretch: tuple[float, float] | None = None

    @classmethod
    def read(cls, plan: Plan, height: str, low: str | None, high: str | None) -> RoomWish:
        """Return the wish as typed, in the project's units where no other stand by.

        Raises
        ------
        InputError
            When a length cannot be read, or the stretch does not rise.
        """
        x0, _, x1, _ = plan.project.space.bounds
        z = _typed(plan, "--at", height)
        ends = (x0 if low is None else _typed(plan, "--from", low), x1 if high is None else _typed(plan, "--to", high))
        if ends[0] >= ends[1]:
            raise InputError(
                [Fault("check", 0, 0, "--from", "--from must be less than --to: x runs forward from the rear")]
            )
        return cls(z=z, stretch=None if low is None and high is None else ends)


def _typed(plan: Plan, option: str, text: str) -> float:
    try:
        return float(parse_length(text, plan.project.said.units))
    except ValueError as error:
        raise InputError([Fault("check", 0, 0, option, str(error))]) from None


def _found(plan: Plan, wish: RoomWish) -> Measures:
    found = room_at(plan.project.space, wish.z, wish.stretch)
    if found is None:
        space, say = plan.project.space, _sayer(plan)
        reach = f"it reaches up to {say(space.height)}, and from {say(space.bounds[0])} to {say(space.bounds[2])} along"
        raise InputError([Fault("check", 0, 0, "--at", f"the room has nothing there; {reach}")])
    return found


def room_report(plan: Plan, wish: RoomWish) -> str:
    """Return what is free at the height, as text for people.

    Raises
    ------
    InputError
        When the room has no such height or stretch.
    """
    found, say = _found(plan, wish), _sayer(plan)
    low, high = found.stretch
    ribs = [] if found.between_ribs is None else [f"          {say(found.between_ribs)} between the ribs"]
    lines = [
        f"at height {say(found.z)} above the finished floor, from {say(low)} to {say(high)} along:",
        f"  width   {say(found.width)} at the narrowest, at {say(found.narrowest_at)} along",
        *ribs,
        f"  length  {say(found.length)} in the middle",
        f"  height  {say(found.height)} up to the lowest of the roof, at {say(found.lowest_at)} along",
    ]
    return "\n".join(lines) + "\n"


def room_json(plan: Plan, wish: RoomWish) -> dict[str, Any]:
    """Return what is free at the height for programs, mm.

    Raises
    ------
    InputError
        When the room has no such height or stretch.
    """
    return asdict(_found(plan, wish))
