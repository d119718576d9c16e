"""Rule ``standing``: how high it is where people stand, sit and lie, told by person and as a sum."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from layout.checks.context import Context
from layout.checks.postures import erect, least_for, rank, verdict
from layout.checks.spot_room import SpotRoom, room_of
from layout.checks.stack import Layer, total
from layout.checks.standing_cure import help_for
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.person import Person
from layout.model.solid import Solid
from layout.model.spot import Spot
from layout.space.space import TOUCH

RULE = "standing"
_DOES = {"stand": "stands", "sit": "sits", "lie": "lies"}


@dataclass(frozen=True, kw_only=True, slots=True)
class _Told:
    """What a person does in a spot, the height that would be wanted, mm, and whether what there is will do."""

    word: str
    wanted: float
    good: bool


def check(context: Context) -> Iterator[Finding]:
    """Yield for each spot the height there, as a note; as a warning where somebody named has too little, or no room."""
    for state, things in context.states:
        for spot in context.layout.spots:
            if spot.used_in(state):
                room = room_of(context, things, spot)
                yield (
                    _taken(context, state, spot, room)
                    if room.in_the_way
                    else _height(context, (state, things), spot, room)
                )


def _taken(context: Context, state: str, spot: Spot, room: SpotRoom) -> Finding:
    names = " and ".join(room.in_the_way)
    are = "are" if len(room.in_the_way) > 1 else "is"
    return Finding(
        rule=RULE, severity="warn", things=tuple(n for n in room.in_the_way if n in _names(context, state)),
        states=(state,), where=_column(room), cure=f"put {spot.name} elsewhere, or what is there",
        text=f"{spot.name}: {names} {are} where somebody {_DOES[spot.does]}",
    )  # fmt: skip


def _names(context: Context, state: str) -> set[str]:
    return {placed.name for placed in context.layout.placed[state]}


def _column(room: SpotRoom) -> Solid:
    return Solid(name="spot", outline=room.plan, z0=room.foot, z1=max(room.over.z, room.foot + 1.0))


def _height(context: Context, scene: tuple[str, Sequence[Placed]], spot: Spot, room: SpotRoom) -> Finding:
    people = [p for p in context.layout.people if not spot.people or p.name in spot.people]
    told = [_JUDGES[spot.does](context, person, room.free) for person in people]
    short = [one for one in told if not one.good]
    warns = bool(short) and bool(spot.people)
    wanted = max((one.wanted for one in short or told), default=None)
    cure, does = help_for(context, scene[1], spot, room, wanted) if warns and wanted else ("", None)
    said = "; ".join(f"{person.name} {one.word}" for person, one in zip(people, told, strict=True))
    stack = (*room.under, Layer(name="free", z0=room.foot, z1=room.over.z))
    lead = f"{spot.name}: {context.say(room.free)} up to {room.over.what}"
    return Finding(
        rule=RULE, severity="warn" if warns else "note", things=(room.over.thing,) if room.over.thing else (),
        states=(scene[0],), measured=round(room.free, 3), wanted=None if wanted is None else round(wanted, 3),
        short_by=None if wanted is None else round(max(wanted - room.free, 0.0), 3), where=_column(room), cure=cure,
        does=does, text="; ".join(part for part in (lead, said, total(context, stack, room.over)) if part),
    )  # fmt: skip


def _stands(context: Context, person: Person, free: float) -> _Told:
    rule = context.rules[RULE]
    wanted = person.stature + rule["shoes"] + rule["hair"]
    if free >= wanted - TOUCH:
        return _Told(word="stands", wanted=wanted, good=True)
    return _Told(word=f"stoops by {context.say(wanted - free)}", wanted=wanted, good=False)


def _sits(context: Context, person: Person, free: float) -> _Told:
    rule = context.rules["headroom"]
    wanted, word = erect(rule, person), verdict(rule, person, free)
    if rank(word) < rank("stoops"):
        word = "cannot sit"
    short = f", {context.say(wanted - free)} short of sitting erect" if free < wanted - TOUCH else ""
    return _Told(word=f"{word}{short}", wanted=wanted, good=word.startswith("sits"))


def _lies(context: Context, person: Person, free: float) -> _Told:
    rule = context.rules["headroom"]
    word = verdict(rule, person, free)
    wanted = least_for(rule, person, "stoops")
    return _Told(word=word, wanted=wanted, good=rank(word) >= rank("stoops"))


_JUDGES: dict[str, Callable[[Context, Person, float], _Told]] = {"stand": _stands, "sit": _sits, "lie": _lies}
