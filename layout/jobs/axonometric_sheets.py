"""The scene as seen from above a corner, and every piece of furniture drawn apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layout.drawing.model import Drawing
from layout.jobs.building import lengths_of
from layout.jobs.built import built
from layout.jobs.draw import Paper, view_options
from layout.jobs.load import Plan
from layout.jobs.panels import parts_of
from layout.model.building import Batten
from layout.model.cutting import Part
from layout.model.lengths import Length
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.views.axonometric.exploded import exploded
from layout.views.axonometric.picture import best_side
from layout.views.axonometric.sheet import axonometric

_LETTERED = 2  # a blank and a letter


def axonometric_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return a sheet for each state in which things stand otherwise, all seen from the same side.

    Raises
    ------
    InputError, ScaleError
        When there is no such paper, or the asked scale does not fit on it.
    """
    space, layout = plan.project.space, plan.layout
    chosen = states_alike(plan)
    camera = best_side(space, [layout.placed[alike[0]] for alike in chosen])
    options = view_options(plan, paper)
    return tuple(
        axonometric(
            space,
            layout,
            alike[0],
            replace(options, sheet=i + 1, sheets=len(chosen), states=alike),
            camera=camera,
        )
        for i, alike in enumerate(chosen)
    )


def states_alike(plan: Plan) -> tuple[tuple[str, ...], ...]:
    """Return the states in groups in which the same things stand alike."""
    groups: dict[object, list[str]] = {}
    for state in plan.project.said.states:
        stood = tuple((placed.name, placed.solids) for placed in plan.layout.placed[state])
        groups.setdefault(stood, []).append(state)
    return tuple(tuple(group) for group in groups.values())


def exploded_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return a sheet for each piece of furniture that is built, equal ones once with their count.

    Raises
    ------
    InputError, ScaleError
        When there is no such paper, or the asked scale does not fit on it.
    """
    kinds: dict[object, list[Thing]] = {}
    for unit in built(plan):
        kinds.setdefault((unit.group, unit.panels, unit.battens), []).append(unit)
    options = view_options(plan, paper)
    return tuple(
        exploded(
            units[0],
            piece_names(units[0], built(plan)),
            replace(options, sheet=i + 1, sheets=len(kinds)),
            count=len(units),
        )
        for i, units in enumerate(kinds.values())
    )


def piece_names(unit: Thing, units: Sequence[Thing]) -> tuple[str, ...]:
    """Return the names of a unit's panels, then of its battens, as the cut lists of all `units` have them.

    The name of the unit itself, with which they begin there, is left off.
    """
    parts, lengths = parts_of(units), lengths_of(units)
    own = len(unit.group) + 1
    panels = [
        next((part.name[own:] for part in parts if _is_part(part, unit, panel)), panel.name) for panel in unit.panels
    ]
    battens = [
        next((length.name[own:] for length in lengths if _is_length(length, unit, batten)), batten.name)
        for batten in unit.battens
    ]
    return (*panels, *battens)


def _is_part(part: Part, unit: Thing, panel: Panel) -> bool:
    size = round(panel.cut_length, 3), round(panel.cut_width, 3)
    same = (part.unit, part.material, part.length, part.width, part.grain) == (
        unit.group, panel.sheet.material, *size, panel.grain,
    )  # fmt: skip
    return same and _begins(part.name, f"{unit.group} {panel.name}")


def _is_length(length: Length, unit: Thing, batten: Batten) -> bool:
    same = (length.unit, length.material, length.length) == (
        unit.group, batten.bar.material, round(batten.length, 3),
    )  # fmt: skip
    return same and _begins(length.name, f"{unit.group} {batten.name}")


def _begins(name: str, word: str) -> bool:
    """Return whether a name is the word, or the word with the letter or number that tells it from others."""
    rest = name.removeprefix(word)
    return rest != name and (not rest or (rest[0] == " " and (rest[1:].isdigit() or len(rest) == _LETTERED)))
