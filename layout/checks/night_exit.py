"""Rule ``night-exit``: everybody gets out of bed without climbing over another, and there are two ways out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.context import Context, by_places
from layout.checks.walking.doorways import opened
from layout.checks.walking.escape import Exit, doors_from, exits, over_things, room_out
from layout.checks.walking.exits import published
from layout.checks.walking.night import Bed, Night, beds
from layout.checks.walking.scene import WALKING
from layout.checks.walking.site import Site
from layout.checks.walking.words import listed
from layout.model.finding import Finding
from layout.space.space import Space

RULE = "night-exit"


def check(context: Context) -> Iterator[Finding]:
    """Yield for each bed who is trapped in it, and which ways out of it there are: a warning for fewer than two."""
    if not context.space.doors and not context.space.ways_out:
        return  # the rule door-opening asks for doors
    space = opened(context.space)
    states = [state for state, _ in context.states if state != "drive"]
    yield from by_places(context, lambda state, _: _state(context, _site(space, context, state)), states)


def _site(space: Space, context: Context, state: str) -> Site:
    return Site(space=space, bodies=context.bodies(state))


def _state(context: Context, site: Site) -> Iterator[Finding]:
    walk, rule = context.rules[WALKING], context.rules[RULE]
    doors = tuple(d for d in site.space.doors if d.opens_inside and published((d.width, d.top - d.sill), rule))
    night = Night(walk=walk, rule=rule, site=site, doors=doors)
    for bed in beds(site, walk):
        yield from _bed(context, night, bed)


def _bed(context: Context, night: Night, bed: Bed) -> Iterator[Finding]:
    ways = exits(night, bed, context.space.doors, context.space.ways_out)
    out = [doors_from(night, bed, k) for k in range(len(bed.strips))]
    enough = sum(way.good for way in ways) >= night.rule["exits"]
    if not any(out):
        yield _nobody(context, night, bed, ways)
        return
    yield from (_climbs(context, night, bed, out, k) for k, doors in enumerate(out) if not doors)
    if not enough:
        yield _few(context, night, bed, ways)
    elif all(out):
        yield _note(bed, out, ways)


def _nobody(context: Context, night: Night, bed: Bed, ways: Sequence[Exit]) -> Finding:
    """Tell that nobody reaches a door over the floor: perhaps over things or by a window, else not at all."""
    doors, windows = over_things(night, bed), [way.name for way in ways if way.good]
    width, most = night.width, max(room_out(night, bed, k) for k in range(len(bed.strips)))
    who = listed([strip.sleeper for strip in bed.strips])
    text = f"no way out of {bed.name} for {who}: {_faults(ways)}"
    if doors:
        text = f"out of {bed.name} only by climbing over what is no higher, to {_doors(doors)}: {who}"
    elif windows:
        text = f"out of {bed.name} by no door, only by {listed(windows)}: {who}"
    return Finding(
        rule=RULE, severity="warn" if doors or windows else "fail", states=(), where=bed.placed.box, text=text,
        things=tuple(dict.fromkeys((bed.name, *(name for way in ways for name in way.stops)))),
        measured=round(most, 3), wanted=width, short_by=round(max(width - most, 0.0), 3),
        cure=f"keep a way {context.say(width)} wide free from {bed.name} to a door that opens from inside",
    )  # fmt: skip


def _climbs(context: Context, night: Night, bed: Bed, out: Sequence[tuple[str, ...]], k: int) -> Finding:
    """Tell that a sleeper gets out over others only: those up to the nearest who reaches a door."""
    nearest = min((j for j, doors in enumerate(out) if doors), key=lambda j: (abs(j - k), j))
    low, high = sorted((k, nearest))
    over = [strip.sleeper for j, strip in enumerate(bed.strips) if low <= j <= high and j != k]
    sleeper, width, most = bed.strips[k].sleeper, night.width, room_out(night, bed, k)
    left = f"{context.say(most)} remain" if most else "nothing remains"
    return Finding(
        rule=RULE, severity="warn", things=(bed.name,), states=(), where=bed.strips[k].body,
        measured=round(most, 3), wanted=width, short_by=round(width - most, 3),
        text=f"{sleeper} climbs over {listed(over)} to get out of {bed.name}: {left} along {sleeper}'s own edges, "
             f"{context.say(width)} wanted",
        cure=f"free {context.say(width)} at {sleeper}'s side, head or foot, or turn the bed",
    )  # fmt: skip


def _few(context: Context, night: Night, bed: Bed, ways: Sequence[Exit]) -> Finding:
    good = [way.name for way in ways if way.good]
    count = f"only {len(good)} way{'s' if len(good) > 1 else ''} out of {bed.name}, {listed(good)}"
    said = [count if good else f"no good way out of {bed.name}", _faults(ways)]
    long, short = (context.say(night.rule[key]) for key in ("pushed_long", "pushed_short"))
    return Finding(
        rule=RULE, severity="warn", states=(), where=bed.placed.box, text="; ".join(part for part in said if part),
        things=tuple(dict.fromkeys((bed.name, *(name for way in ways for name in way.stops)))),
        cure=f"free another, or add a window or hatch of at least {long} × {short} that opens from inside",
    )  # fmt: skip


def _faults(ways: Sequence[Exit]) -> str:
    return "; ".join(f"{way.name} {way.fault}" for way in ways if not way.good)


def _note(bed: Bed, out: Sequence[tuple[str, ...]], ways: Sequence[Exit]) -> Finding:
    """Tell by which doors each gets out, and which ways out there are."""
    each = [f"{strip.sleeper} by {_doors(doors)}" for strip, doors in zip(bed.strips, out, strict=True)]
    good = listed([_with_figures(way) for way in ways if way.good])
    return Finding(
        rule=RULE,
        severity="note",
        things=(bed.name,),
        states=(),
        text=f"out of {bed.name}: {', '.join(each)}; ways out: {good}",
    )


def _with_figures(way: Exit) -> str:
    return f"{way.name} (as large as {listed(way.figures)} asks)" if way.window else way.name


def _doors(names: Sequence[str]) -> str:
    return " or ".join(f"the {name}" for name in names)
