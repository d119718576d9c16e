"""Rule ``door-opening``: doors stay open far enough to get in; how wide and how high each of them stays free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import Polygon

from layout.checks.bodies import Bodies, bodies_of
from layout.checks.context import Context
from layout.checks.moves import is_free, scenes, shifted
from layout.checks.walking.beds import sleepers
from layout.checks.walking.doorways import opened
from layout.checks.walking.gates import Gate, Opening, gates, opening
from layout.checks.walking.site import Site
from layout.checks.walking.straight import Limits, Place, widest_straight
from layout.checks.walking.words import move_in_words
from layout.model.cure import Cure, Shift3
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.space.space import TOUCH

RULE = "door-opening"


def check(context: Context) -> Iterator[Finding]:
    """Yield a failure for each door below its wanted width, or when no door keeps a way in, and a note of each door."""
    if not context.space.doors:
        yield Finding(rule=RULE, severity="note", things=(), states=(), text="the space has no door; add its openings")
        return
    all_gates = gates(context.space, context.rules[RULE])
    for state, _ in context.states:
        found = [opening(gate, context.bodies(state)) for gate in all_gates]
        for one, wanted in _short(context, state, context.bodies(state), found):
            yield _finding(context, state, one, wanted)
        yield from (_note(context, state, one) for one in found)


def too_narrow(context: Context, state: str, bodies: Bodies) -> frozenset[str]:
    """Return the doors that fail with those bodies in place."""
    found = [opening(gate, bodies) for gate in gates(context.space, context.rules[RULE])]
    return frozenset(one.door.name for one, _ in _short(context, state, bodies, found))


def _short(context: Context, state: str, bodies: Bodies, found: Sequence[Opening]) -> Iterator[tuple[Opening, float]]:
    """Yield the openings that are too narrow, and what is wanted of them."""
    for one in found:
        if one.door.keep_clear is not None and one.width < one.door.keep_clear - TOUCH:
            yield one, one.door.keep_clear
    best, wanted = max(found, key=lambda one: one.width), context.rules[RULE]["way_in"]
    if state != "drive" and best.width < wanted - TOUCH and not _over_a_bed(context, bodies, wanted):
        yield best, wanted


def _over_a_bed(context: Context, bodies: Bodies, wanted: float) -> bool:
    """Return whether people get in by climbing through a door onto a bed."""
    rule, site = context.rules[RULE], Site(space=opened(context.space), bodies=bodies)
    limits = Limits(far=rule["depth"], over=rule["over_bed"], step=rule["step_over"])
    places = (Place(plan=Polygon(p.solids[0].outline), top=p.box.z1) for p in sleepers(bodies.things))
    reached = (widest_straight(site, site.space.doors, place, limits) for place in places)
    return any(one is not None and one.width >= wanted - TOUCH for one in reached)


def _note(context: Context, state: str, found: Opening) -> Finding:
    """Say what stays free of a door; where that is too narrow to walk in, also what stays above what stands there."""
    door, say = found.door, context.say
    text = f"{door.name}: {say(found.width)} of {say(door.width)} wide"
    if found.width > TOUCH:
        text += f", {say(found.height)} of {say(door.top - door.sill)} high"
    text += " stay free"
    if found.over is not None and found.width < context.rules[RULE]["way_in"] - TOUCH:
        text += f"; above {found.over.name} {say(found.over.width)} wide, {say(found.over.height)} high"
    return Finding(
        rule=RULE, severity="note", things=found.blockers, states=(state,), measured=round(found.width, 3), text=text
    )


def _finding(context: Context, state: str, found: Opening, wanted: float) -> Finding:
    door, say = found.door, context.say
    lead = "" if door.keep_clear == wanted else "no way in: "
    cure, does = _cure(context, state, found, wanted)
    return Finding(
        rule=RULE, severity="fail", things=found.blockers, states=(state,), measured=round(found.width, 3),
        wanted=round(wanted, 3), short_by=round(wanted - found.width, 3), where=found.gate.zone,
        text=f"{lead}the {door.name} keeps only {say(found.width)} of {say(door.width)} free, wanted {say(wanted)}",
        cure=cure, does=does,
    )  # fmt: skip


def _cure(context: Context, state: str, found: Opening, wanted: float) -> tuple[str, Cure | None]:
    """Return the shortest move of one thing that opens the door far enough and hits nothing."""
    things = context.layout.placed[state]
    moves = sorted(
        (abs(shift[0]) + abs(shift[1]), placed.name, shift)
        for placed in things
        if placed.name in found.blockers
        for shift in _moves(context, found, placed, wanted)
        if _opens(context, state, found.gate, placed, shift, wanted)
    )
    if moves:
        _, name, shift = moves[0]
        placed = next(p for p in things if p.name == name)
        names = tuple(dict.fromkeys(p.name for scene in scenes(context, things, placed) for p in scene.group))
        return move_in_words(context, name, shift), Cure(things=names, shift=shift)
    who = ", ".join(found.blockers) or "the space itself"
    return f"{context.say(wanted - found.width)} more wanted; in the way: {who}", None


def _moves(context: Context, found: Opening, placed: Placed, wanted: float) -> Iterator[Shift3]:
    """Yield moves along the opening by what is missing, and away from the door out of the step in."""
    missing = context.up(wanted - found.width)
    (x0, y0, _, y1), (_, zy0, zx1, zy1) = placed.box.bounds, found.gate.zone.bounds
    if found.door.side == "rear":
        yield from ((0.0, missing, 0.0), (0.0, -missing, 0.0), (context.up(zx1 - x0), 0.0, 0.0))
        return
    away = -context.up(y1 - zy0) if found.door.side == "left" else context.up(zy1 - y0)
    yield from ((missing, 0.0, 0.0), (-missing, 0.0, 0.0), (0.0, away, 0.0))


def _opens(context: Context, state: str, gate: Gate, placed: Placed, shift: Shift3, wanted: float) -> bool:  # noqa: PLR0917 (what a try is made of)
    """Return whether the door is wide enough after the move, which hits nothing and narrows no other door."""
    things = context.layout.placed[state]
    tried = scenes(context, things, placed)
    if not is_free(context, tried, shift):
        return False
    names = {p.name for p in tried[0].group}
    moved = bodies_of([shifted(p, shift) if p.name in names else p for p in things])
    before, after = (too_narrow(context, state, bodies) for bodies in (context.bodies(state), moved))
    return opening(gate, moved).width >= wanted - TOUCH and after <= before
