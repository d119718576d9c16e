"""Rule ``aisle``: how wide the ways are that people take inside, from a door to beds, stove and spots."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from layout.checks.context import Context
from layout.checks.walking.cure import cure
from layout.checks.walking.doorways import opened
from layout.checks.walking.floors import ends, ends_in_words
from layout.checks.walking.goals import Goal
from layout.checks.walking.parts_out import PartOut, parts_out
from layout.checks.walking.scene import Found, Scene, found_way, scene_of
from layout.checks.walking.words import listed
from layout.model.finding import Finding, Severity
from layout.space.aisle import Way
from layout.space.space import TOUCH

RULE = "aisle"
_FOR = (
    ("drawer", "enough for a drawer and somebody before it"), ("work", "enough to stand and bend"),
    ("walk", "enough to walk"), ("squeeze", "enough to squeeze past"), ("least", "too narrow to squeeze past"),
)  # fmt: skip
_TOLD = 3  # parts that are told by name


def check(context: Context) -> Iterator[Finding]:
    """Yield for each place that people want to get to how wide the way is: a failure where nobody passes."""
    if not context.space.doors:
        return  # the rule door-opening asks for them
    space = opened(context.space)
    known: list[tuple[Scene, tuple[Finding, ...]]] = []
    for state in (state for state, _ in context.states if state != "drive"):
        scene = scene_of(context, space, state)
        found = next((findings for other, findings in known if other.alike(scene)), None)
        if found is None:
            found = tuple(_state(context, scene))
            known.append((scene, found))
        yield from (replace(finding, states=(state,)) for finding in found)


def _state(context: Context, scene: Scene) -> Iterator[Finding]:
    for goal in scene.goals:
        found = found_way(scene, goal)
        yield _finding(context, scene, goal, found)
        out = parts_out(scene, goal, found)
        if out:
            yield _with_parts_out(context, goal, found, out)


def _finding(context: Context, scene: Scene, goal: Goal, found: Found) -> Finding:
    rule, severity = context.rules[RULE], found.severity(context.rules[RULE])
    wanted = rule["least"] if severity == "fail" else rule["squeeze"]
    told = found.told
    offer = cure(context, scene, goal, found) if severity != "note" else None
    return Finding(
        rule=RULE, severity=severity, things=tuple(dict.fromkeys((goal.name, *_stops(told)))), states=(),
        measured=round(told.width, 3), wanted=wanted, line=_line(told.way) if told.straight is None else (),
        short_by=round(max(wanted - told.width, 0.0), 3),
        where=goal.body if severity == "fail" and not told.way.pinch else None, text=_text(context, goal, found),
        cure=offer.text if offer else "", does=offer.does if offer else None,
    )  # fmt: skip


def _stops(found: Found) -> tuple[str, ...]:
    """Return the things that make the way narrow, or bar it."""
    if found.straight is not None:
        return found.straight.stops
    if found.way.pinch is not None:
        return tuple(name for name in ends(found.floor, found.way.pinch) if name)
    return found.barred_by


def _line(way: Way) -> tuple[tuple[float, float, float], ...]:
    return tuple((x, y, 0.0) for x, y in way.pinch or ())


def _text(context: Context, goal: Goal, found: Found) -> str:
    if not found.width:
        bars = f": {listed(found.barred_by)} in the way" if found.barred_by else ""
        return f"no way from a door to {goal.name}{bars}"
    said, words = context.say(found.width), _words(context, found)
    if found.straight is not None:
        wide = f"{context.say(found.straight.width)} wide there"
        narrow = f"; {words}" if found.severity(context.rules[RULE]) != "note" else ""
        return f"{goal.name} is reached straight through the {found.door()}, {wide}{narrow}"
    wide = f"{said} wide or more" if found.way.limit == "most" else f"{said} wide at the narrowest"
    return f"from the {found.door()} to {goal.name}: {wide}{_between(found)}; {words}"


def _between(found: Found) -> str:
    """Return what a way is narrow between; nothing where no gap but the reach of a place decides."""
    if found.way.pinch is None:
        return ""
    one, other = ends_in_words(found.floor, found.way.pinch)
    if one == other:
        return f", between both sides of {other.removeprefix('the side of ')}"
    return f", between {one} and {other}"


def _words(context: Context, found: Found) -> str:
    rule = context.rules[RULE]
    if found.posture == "crawl" and found.straight is None:
        narrow = "" if found.width >= rule["squeeze"] - TOUCH else ", and narrow"
        return f"on hands and knees{narrow}{_stooped(context, found)}"
    return next((words for key, words in _FOR if found.width >= rule[key] - TOUCH), "nobody passes")


def _stooped(context: Context, found: Found) -> str:
    """Return why somebody crawls who might walk."""
    best = found.stooped
    if best is None:
        return ""
    bars = f", {listed(best.barred_by)} in the way" if best.barred_by else ""
    return f"; stooped there is {f'{context.say(best.width)}{_between(best)}' if best.width else f'no way{bars}'}"


def _with_parts_out(context: Context, goal: Goal, found: Found, out: Sequence[PartOut]) -> Finding:
    """Tell what remains with the worst of the parts open, and name the others that leave less than a squeeze."""
    rule, worst = context.rules[RULE], out[0]
    width = worst.way.width
    severity: Severity = "warn" if width < rule["least"] - TOUCH else "note"
    wanted = rule["least"] if severity == "warn" else rule["squeeze"]
    left = f"{context.say(width)} remain" if width else "nothing remains"
    others = [part.words for part in out[1:]]
    more = f" (also narrow: {listed([*others[:_TOLD], *_count(others[_TOLD:])])})" if others else ""
    return Finding(
        rule=RULE, severity=severity, things=tuple(dict.fromkeys((goal.name, *(p.owner for p in out if p.owner)))),
        states=(), measured=round(width, 3), wanted=wanted, short_by=round(wanted - width, 3), line=_line(worst.way),
        text=f"with {worst.words} out {left} of the way from the {found.door()} to {goal.name}{more}",
        cure="shut it before anybody passes, or let it open elsewhere" if severity == "warn" else "",
    )  # fmt: skip


def _count(names: Sequence[str]) -> list[str]:
    return [f"{len(names)} more"] if names else []
