"""The panels of a plan as they lie on the bench, under the names of the cut list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layout.building.alike import alike
from layout.building.worked import works
from layout.jobs.built import built
from layout.jobs.hardware import what_is
from layout.jobs.load import Plan
from layout.jobs.panels import parts_of
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.model.worked import Alike, Work
from layout.units.length import drawn_unit

# How far apart the offsets of an edge that is not straight are told at most: 100 mm, or 4 in.
_EVERY = {"mm": 100.0, "in": 101.6}
_DIGITS = 3


def panel_works(plan: Plan) -> tuple[Work, ...]:
    """Return every panel of the plan, unit after unit."""
    things, rules = built(plan), plan.project.rules
    names = part_names(plan.layout.things)
    every = _EVERY[drawn_unit(plan.project.said.units)]
    return tuple(
        work
        for thing in things
        for work in works(thing, {i: names[thing.name, i] for i in range(len(thing.panels))}, rules, every)
    )


def panels_alike(plan: Plan) -> tuple[Alike, ...]:
    """Return the panels of the plan, those that are made alike together."""
    return alike(panel_works(plan))


def part_names(things: Sequence[Thing]) -> Mapping[tuple[str, int], str]:
    """Return the name in the cut list of each panel, by the name of its unit and its place among the unit's panels.

    The parts for the saw come in the order in which the first panel of each is met, which tells one from the other.
    """
    parts, order = parts_of(things), dict[tuple[object, ...], int]()
    names: dict[tuple[str, int], str] = {}
    for thing in things:
        for i, panel in enumerate(thing.panels):
            names[thing.name, i] = parts[order.setdefault(_key(thing, panel), len(order))].name
    return names


def _key(thing: Thing, panel: Panel) -> tuple[object, ...]:
    size = round(panel.cut_length, _DIGITS), round(panel.cut_width, _DIGITS)
    return thing.group, panel.name, panel.sheet.material, *size, panel.grain


def item_words(panels: Sequence[Alike]) -> dict[str, str]:
    """Return what the catalogue says of each item that holds a joint of the panels or sits on them."""
    fixes = [fix for one in panels for meet in one.first.meets for fix in meet.fixes]
    items = [item for fix in fixes for item in (fix.item, fix.screw) if item]
    items += [fitting.item for one in panels for fitting in one.first.fittings]
    return {item: what_is(item) for item in dict.fromkeys(items)}
