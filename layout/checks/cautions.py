"""Rule ``cautions``: what is usually warned of where something burns or people sleep; never a verdict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import LineString, Polygon

from layout.checks.context import Context
from layout.checks.walking.goals import covered
from layout.checks.walking.scene import WALKING
from layout.checks.walking.site import Site
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.thing import Hazard
from layout.space.parts import Door, WayOut
from layout.space.space import Space

RULE = "cautions"
_ON_FIRE: frozenset[Hazard] = frozenset({"gas", "flame"})


def check(context: Context) -> Iterator[Finding]:
    """Yield a note for each hazard and for sleeping inside, and a warning where fire is between a bed and its exits."""
    yield from _sleeping(context)
    yield from _hazards(context)
    for state, things in context.states:
        if state != "drive":
            for bed in (placed for placed in things if placed.thing.sleeps):
                yield from _cut_off(context, state, things, bed)


def _sleeping(context: Context) -> Iterator[Finding]:
    sleepers = tuple(dict.fromkeys(name for thing in context.layout.things for name in thing.sleeps))
    flames = _with(context, "flame")
    if sleepers:
        yield _note(
            (),
            f"{_listed(sleepers)} sleep{'s' if len(sleepers) == 1 else ''} inside: fit a smoke alarm and a carbon "
            "monoxide alarm, keep two ways out that open from inside, and let nothing burn while anybody sleeps",
            "what is asked for where you are is in your local codes",
        )
    if sleepers or flames:
        yield _note(flames, _air(context, burning=bool(flames)), "local codes and licensed practice decide")


def _air(context: Context, *, burning: bool) -> str:
    """Say how much is to stay open, by the size of the floor."""
    rule, square = context.rules[RULE], context.space.shell(0.0).area / 1e6
    what = "with a flame inside" if burning else "without a flame inside"
    floor = _area(context, square)
    if square > rule["large"]:
        return f"air {what}: the figures known here end at {_area(context, rule['large'])} of floor, this has {floor}"
    size = ("small" if square <= rule["small"] else "large") if burning else "none"
    high, low = (_opening(context, rule[f"{at}_{size}"]) for at in ("high", "low"))
    return (
        f"air {what}: for {floor} of floor leave {high} open high up and {low} low down, so that nobody can shut them; "
        "thresholds to be warned by, not law"
    )


def _area(context: Context, m2: float) -> str:
    return f"{m2 * 10.76391:.1f} ft²" if context.units in ("in", "ft") else f"{m2:.2f} m²"


def _opening(context: Context, cm2: float) -> str:
    return f"{cm2 / 6.4516:.1f} in²" if context.units in ("in", "ft") else f"{cm2:g} cm²"


def _hazards(context: Context) -> Iterator[Finding]:
    """Yield what is usual with each hazard, once for all things that have it."""
    fuse = context.say(context.rules[RULE]["fuse"])
    said: tuple[tuple[Hazard, str, str], ...] = (
        ("gas", "bottled gas sinks: its bottle rides in a locker that is tight toward the inside and open to the "
                "outside at its lowest place, and is shut while driving and sleeping",
         "have it fitted and tested by somebody licensed, to local codes"),
        ("flame", "a flame uses up the air and makes carbon monoxide: cook with a door or the roof open, never to "
                  "heat, with an extinguisher within reach of the bed and of the door",
         "local codes and the maker's paper decide where it may be lit"),
        ("heater", "a heater that burns fuel draws its air from outside and blows its fumes outside, away from doors "
                   "and windows, with the maker's distances kept round it",
         "have it fitted and tested by somebody licensed, to local codes"),
        ("battery", f"its main fuse sits within {fuse} of its plus pole, its poles are covered, it is held in a "
                    "crash, and it has the air and the warmth that its maker asks for",
         "cable sizes, fuses and charging are for somebody licensed, to local codes"),
    )  # fmt: skip
    for hazard, text, cure in said:
        names = _with(context, hazard)
        if names:
            yield _note(names, f"{_listed(names)}: {text}", cure)


def _with(context: Context, hazard: Hazard) -> tuple[str, ...]:
    return tuple(thing.name for thing in context.layout.things if hazard in thing.hazards)


def _note(things: tuple[str, ...], text: str, cure: str) -> Finding:
    return Finding(rule=RULE, severity="note", things=things, states=(), text=text, cure=cure)


def _cut_off(context: Context, state: str, things: Sequence[Placed], bed: Placed) -> Iterator[Finding]:
    """Yield a warning if gas or a flame that is not stowed is near the straight way from the bed to each exit."""
    site = Site(space=context.space, bodies=context.bodies(state))
    over = context.rules[WALKING]["cook"]
    burning = [p for p in things if _ON_FIRE & {*p.thing.hazards} and not covered(site, p, over)]
    exits = _exits(context.space)
    if not burning or not exits:
        return
    near = [_nearest(opening, bed, burning) for opening in exits.values()]
    away, name = max(near)
    wanted = context.rules[RULE]["near"]
    if away < wanted:
        said = f"the only way out, the {next(iter(exits))}" if len(exits) == 1 else f"all {len(exits)} ways out"
        yield Finding(
            rule=RULE, severity="warn", things=(*dict.fromkeys(who for _, who in near), bed.name), states=(state,),
            measured=round(away, 3), wanted=round(wanted, 3), short_by=round(wanted - away, 3),
            text=f"a fire at {name} is {context.say(away)} from the straight way between the middle of {bed.name} "
                 f"and {said}; {context.say(wanted)} wanted",
            cure=f"stow {name} elsewhere at night, or give the bed a way out on its other side; local codes decide",
        )  # fmt: skip


def _exits(space: Space) -> dict[str, LineString]:
    """Return the openings that a sleeper can leave by, in plan, by name."""
    doors = {door.name: _door_line(space, door) for door in space.doors if door.opens_inside}
    return {**doors, **{way.name: _way_line(way) for way in space.ways_out}}


def _door_line(space: Space, door: Door) -> LineString:
    x0, y0, _, y1 = space.bounds
    if door.side == "rear":
        return LineString([(x0, door.low), (x0, door.high)])
    y = y1 if door.side == "left" else y0
    return LineString([(door.low, y), (door.high, y)])


def _way_line(way: WayOut) -> LineString:
    return LineString([(way.x[0], way.y[0]), (way.x[1], way.y[1])])


def _nearest(opening: LineString, bed: Placed, burning: Sequence[Placed]) -> tuple[float, str]:
    """Return the nearest of those burning to the shortest way from the bed's middle to the opening: how far, which."""
    way = shapely.shortest_line(Polygon(bed.solids[0].outline).centroid, opening)
    return min((float(way.distance(Polygon(p.box.outline))), p.name) for p in burning)


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
