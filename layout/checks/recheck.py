"""Checking again when little has moved: only what can have changed is looked at, with the same findings as a whole run.

It covers the rules in `COVERED`. All others look at a layout as a whole, along ways through it or over all of its
states, and are run whole (`run.checks`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from layout.checks import carried, inside, overlap, placed
from layout.checks.bodies import bodies_of, with_others
from layout.checks.context import Context, merged
from layout.checks.curing.cures import Shifts
from layout.checks.curing.offer import Window
from layout.checks.rests import WHOLE, Said, meet, said, still_said
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed

COVERED = ("inside", "overlap", "carried", *WHOLE, "placed")
Key = tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """A finding, and on what part of the plan its cure rests: x0, y0, x1, y1, mm."""

    finding: Finding
    window: Window


ByKey = Mapping[Key, Found]


@dataclass(frozen=True, kw_only=True, slots=True)
class Checked:
    """What the covered rules say of a layout: by rule and state, then by the numbers of the things concerned.

    `said` is what the rules say that are run whole.
    """

    context: Context
    found: Mapping[tuple[str, str], ByKey]
    said: Mapping[str, Said]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Return the findings as a whole run of the covered rules tells them, in its order."""
        told = [by_key[key].finding for by_key in self.found.values() for key in sorted(by_key)]
        whole = [finding for rule in WHOLE for finding in self.said[rule].findings]
        return merged([*told, *whole, *placed.check(self.context)])


def check_covered(context: Context) -> Checked:
    """Return what the covered rules say of a whole layout."""
    found: dict[tuple[str, str], ByKey] = {}
    shifts = Shifts(context=context)
    for rule in ("inside", "overlap", "carried"):
        for state, things in context.states:
            everything = overlap.near_pairs(context, state) if rule == "overlap" else [(k,) for k in range(len(things))]
            found[rule, state] = _asked(shifts, rule, state, everything)
    return Checked(context=context, found=found, said={rule: said(rule, context) for rule in WHOLE})


def recheck(before: Checked, layout: Layout) -> Checked:
    """Return what the covered rules say of `layout`: that of `before` with some things moved, in the same room.

    The same findings as `check_covered`, which is run where other things stand there than before.
    """
    old = before.context
    context = Context(space=old.space, layout=layout, rules=old.rules, units=old.units)
    if not _same_things(old.layout, layout):
        return check_covered(context)
    changes = {state: _changed(old.layout.placed[state], things) for state, things in context.states}
    moved = _bounds(changes, old.layout, layout)
    for state, numbers in changes.items():
        _take_over_bodies(old, context, state, numbers)
    found: dict[tuple[str, str], ByKey] = {}
    shifts = Shifts(context=context)
    for (rule, state), by_key in before.found.items():
        again = {key for key, known in by_key.items() if changes[state] & set(key) or _rests_on(known, moved)}
        again |= _touched(context, rule, state, (changes[state], moved))
        kept = {key: known for key, known in by_key.items() if key not in again}
        found[rule, state] = kept | _asked(shifts, rule, state, sorted(again))
    whole = {rule: still_said(rule, before.said[rule], context, moved) for rule in WHOLE}
    return Checked(context=context, found=found, said=whole)


def _same_things(old: Layout, new: Layout) -> bool:
    if old.placed.keys() != new.placed.keys() or old.people != new.people or old.things != new.things:
        return False
    pairs = [(things, new.placed[state]) for state, things in old.placed.items()]
    return [*old.placed] == [*new.placed] and all(
        [id(p.thing) for p in one] == [id(p.thing) for p in other] or [p.thing for p in one] == [p.thing for p in other]
        for one, other in pairs
    )


def _changed(old: tuple[Placed, ...], new: tuple[Placed, ...]) -> set[int]:
    return {k for k, (one, other) in enumerate(zip(old, new, strict=True)) if one is not other and one != other}


def _bounds(changes: Mapping[str, set[int]], old: Layout, new: Layout) -> list[Window]:
    """Return where things that changed were and are, in all states: a cure is tried in several."""
    return [
        layout.placed[state][k].box.bounds
        for state, numbers in changes.items()
        for k in sorted(numbers)
        for layout in (old, new)
    ]


def _take_over_bodies(old: Context, context: Context, state: str, changed: Iterable[int]) -> None:
    before, things = old.bodies(state), context.layout.placed[state]
    swapped = {k: things[k] for k in changed}
    alike = all(len(before.of(k)) == len(placed.solids) for k, placed in swapped.items())
    # The context keeps them for all rules; here they are known without working them all out again.
    context._bodies[state] = with_others(before, swapped) if alike else bodies_of(things)


def _rests_on(known: Found, moved: Iterable[Window]) -> bool:
    return any(meet(known.window, bounds) for bounds in moved)


def _touched(context: Context, rule: str, state: str, change: tuple[set[int], list[Window]]) -> set[Key]:
    """Return what the rule must look at since things changed, beside the findings that rest on their places."""
    changed, moved = change
    if rule == "overlap":
        return _pairs_with(context, state, changed)
    if rule == "inside" or not changed:
        return {(k,) for k in changed}
    # What stood on a thing that moved, or stands on one now.
    bodies = context.bodies(state)
    near = [int(k) for bounds in moved for k in bodies.owner[_overlaps(bodies.low, bodies.high, bounds)]]
    return {(k,) for k in {*changed, *near}}


def _pairs_with(context: Context, state: str, changed: set[int]) -> set[Key]:
    bodies, numbers = context.bodies(state), sorted(changed)
    solids = [(k, solid) for k in numbers for solid in bodies.things[k].solids]
    pairs = {(solids[i][0], int(bodies.owner[j])) for i, j in bodies.near([solid for _, solid in solids])}
    return {(min(a, b), max(a, b)) for a, b in pairs if a != b}


def _asked(shifts: Shifts, rule: str, state: str, keys: Iterable[Key]) -> dict[Key, Found]:
    if rule == "overlap":
        pairs = overlap.among(shifts, state, [(a, b) for a, b in keys])
        return {pair: Found(finding=finding, window=window) for pair, finding, window in pairs}
    numbers = [k for (k,) in keys]
    said = inside.among(shifts, state, numbers) if rule == "inside" else carried.among(shifts.context, state, numbers)
    return {(k,): Found(finding=finding, window=window) for k, finding, window in said}


def _overlaps(low: Any, high: Any, bounds: Window) -> Any:
    x0, y0, x1, y1 = bounds
    return (low[:, 0] <= x1) & (high[:, 0] >= x0) & (low[:, 1] <= y1) & (high[:, 1] >= y0)
