"""Rule ``way-in``: what is built outside goes in whole, and nothing is heavier than those who carry it can lift."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from layout.checks.context import Context
from layout.model.cure import Cure
from layout.model.finding import Finding, Severity
from layout.model.layout import Placed
from layout.model.thing import Thing
from layout.space.carry_body import Unit, stepped
from layout.space.carry_in import fitting_poses, goes_in, height_to_stand_up, may_stand_up, stands, tightest
from layout.space.carry_room import OpenRoom, opened
from layout.space.carry_smaller import least_cut
from layout.units.mass import format_mass

RULE = "way-in"
_WORDS = ("shorter", "narrower", "lower")
_LEAST_GAIN = 5.0  # mm: a cure along another side is told only when it is smaller by so much
_PIECES = (1, 3, 10, 30)  # of how many boxes a unit is taken to be, until it stands free at its place
#: What is measured, what is wanted, mm, and the words for both.
Tight = tuple[float, float, str]


def check(context: Context) -> Iterator[Finding]:
    """Yield a warning for each built unit that is to be assembled inside, and what is too heavy to lift."""
    if context.space.doors:
        room = opened(context.space, context.space.doors, context.rules[RULE]["frame"])
        for placed in _built(context):
            yield from _way_in(context, room, placed)
    for alike in _alike(context.layout.things):
        yield from _lift(context, alike)


def _built(context: Context) -> Iterator[Placed]:
    """Yield each thing of panels as it stands in the first state in which it does."""
    seen: set[str] = set()
    for _, things in context.states:
        for placed in things:
            if placed.thing.panels and placed.name not in seen:
                seen.add(placed.name)
                yield placed


def _way_in(context: Context, room: OpenRoom, placed: Placed) -> Iterator[Finding]:
    unit = _unit(room, placed)
    if unit is None:
        # What is not inside anyway is told by another rule.
        if all(room.space.holds(solid) for solid in placed.solids):
            yield Finding(
                rule=RULE, severity="note", things=(placed.name,), states=(), where=placed.box,
                text=f"{placed.name} fills its place closely: whether it goes in whole is not judged",
            )  # fmt: skip
    elif not goes_in(room, unit):
        yield _finding(context, room, placed, unit)


def _unit(room: OpenRoom, placed: Placed) -> Unit | None:
    """Return the thing as it is carried: the box round it, or boxes one above the other; None if neither is free."""
    own, solids = placed.thing.box, placed.thing.solids
    x0, y0, x1, y1 = own.bounds
    sizes, at = (x1 - x0, y1 - y0, own.z1 - own.z0), _middle(placed)
    bodies = (stepped(solids, most) for most in _PIECES)
    units = (Unit(sizes=sizes, pieces=pieces, at=at, turn_deg=placed.turn_deg) for pieces in bodies)
    return next((unit for unit in units if stands(room, unit)), None)


def _middle(placed: Placed) -> tuple[float, float, float]:
    """Return where the middle of the thing's own box stands, and its foot; a corner of its first solid tells."""
    x0, y0, x1, y1 = placed.thing.box.bounds
    before, after = placed.thing.solids[0].outline[0], placed.solids[0].outline[0]
    dx, dy = (x0 + x1) / 2 - before[0], (y0 + y1) / 2 - before[1]
    c, s = cos(radians(placed.turn_deg)), sin(radians(placed.turn_deg))
    return after[0] + dx * c - dy * s, after[1] + dx * s + dy * c, placed.box.z0


def _finding(context: Context, room: OpenRoom, placed: Placed, unit: Unit) -> Finding:
    cut = _nearest_cut(context, room, unit)
    measured, wanted, text = _tight(context, room, unit, cut)
    return Finding(
        rule=RULE, severity="warn", things=(placed.name,), states=(), where=placed.box,
        measured=round(measured, 3), wanted=round(wanted, 3), short_by=round(wanted - measured, 3),
        text=f"{placed.name} {text}; assemble inside", cure=_cure(context, room, unit, cut),
        does=_does(placed, cut),
    )  # fmt: skip


def _nearest_cut(context: Context, room: OpenRoom, unit: Unit) -> tuple[float, int] | None:
    """Return the least by which the unit must be smaller along one of its sides, and which; None for more than half."""
    best: tuple[float, int] | None = None
    for axis, size in enumerate(unit.sizes):
        most = min(size / 2, best[0] - _LEAST_GAIN if best else size)
        cut = least_cut(room, unit, axis, context.down(most), context.up)
        best = (cut, axis) if cut is not None else best
    return best


def _tight(context: Context, room: OpenRoom, unit: Unit, cut: tuple[float, int] | None) -> Tight:
    """Return the tightest measure: the opening, the height to stand the unit up, or its own size for the turn."""
    poses = [pose for pose, doors in fitting_poses(room, unit.sizes).items() if doors]
    tight = tightest(room, unit.sizes)
    if not poses:
        text = (
            f"the {tight.door.name} is {context.say(tight.measured)} {tight.word}, {context.say(tight.wanted)} wanted"
        )
        return tight.measured, tight.wanted, f"does not go in whole: {text}"
    if not may_stand_up(room, unit.sizes):
        wanted = height_to_stand_up(room, unit.sizes)
        text = (
            f"standing it up inside takes {context.say(wanted)} of height, there are {context.say(room.space.height)}"
        )
        return room.space.height, wanted, f"passes the {tight.door.name} only {' or '.join(poses)}, and {text}"
    text = f"passes the {tight.door.name}, but no way was found to turn it behind and bring it to its place"
    by, axis = cut or (0.0, 0)
    return unit.sizes[axis] - by, unit.sizes[axis], text


def _cure(context: Context, room: OpenRoom, unit: Unit, cut: tuple[float, int] | None) -> str:
    if cut is None:
        return "assemble it inside"
    less, words = unit.smaller(cut[1], cut[0]), f"{context.say(cut[0])} {_WORDS[cut[1]]}"
    through = [d.name for d in room.doors if goes_in(opened(room.space, (d,), room.frame), less)]
    return f"assemble it inside, or make it {words}: then it passes the {through[0] if through else 'doors'}"


def _does(placed: Placed, cut: tuple[float, int] | None) -> Cure | None:
    """Return the cut as numbers, half of it at either end, where the thing's axes lie as those of the space."""
    if cut is None or placed.turn_deg % 180:
        return None
    half = cut[0] / 2
    trims = ((half, half, 0.0, 0.0, 0.0), (0.0, 0.0, half, half, 0.0), (0.0, 0.0, 0.0, 0.0, cut[0]))
    return Cure(things=(placed.name,), trim=trims[cut[1]])


def _alike(things: tuple[Thing, ...]) -> Iterator[tuple[Thing, ...]]:
    """Yield the things that are of one group and one mass."""
    groups: dict[tuple[str, float], list[Thing]] = {}
    for thing in things:
        groups.setdefault((thing.group, thing.mass_kg), []).append(thing)
    yield from (tuple(group) for group in groups.values())


def _lift(context: Context, alike: tuple[Thing, ...]) -> Iterator[Finding]:
    """Yield what is too heavy: furniture as it is carried in, empty; bins and the like as loaded."""
    thing, one = alike[0], context.rules[RULE]["lift"]
    pair = context.rules[RULE]["pair"]
    empty = sum(panel.mass_kg for panel in thing.panels)
    if thing.in_build_up:
        return  # laid piece by piece
    if thing.take_out:
        if thing.mass_kg > one:
            words = f"as loaded, over the {_kg(context, one)} that one person lifts"
            cure = f"load {_kg(context, thing.mass_kg - one)} less, or carry it by two"
            yield _heavy(alike, "note", f"{_kg(context, thing.mass_kg)} {words}", cure)
    elif empty > one * pair:
        heaviest = max(panel.mass_kg for panel in thing.panels)
        words = f"empty, over the {_kg(context, one * pair)} that {pair:g} people lift"
        cure = f"take it apart to carry it: its heaviest piece has {_kg(context, heaviest)}"
        yield _heavy(alike, "warn", f"{_kg(context, empty)} {words}", cure)
    elif empty > one:
        words = f"empty, over the {_kg(context, one)} that one person lifts"
        yield _heavy(alike, "note", f"{_kg(context, empty)} {words}", "carry it by two")


def _heavy(alike: tuple[Thing, ...], severity: Severity, words: str, cure: str) -> Finding:
    names = tuple(thing.name for thing in alike)
    each = "weighs" if len(names) == 1 else "weigh each"
    return Finding(
        rule=RULE, severity=severity, things=names, states=(), text=f"{', '.join(names)} {each} {words}", cure=cure
    )


def _kg(context: Context, kg: float) -> str:
    return format_mass(kg, context.units)
