"""What everything weighs in each state, on which side of the middle it lies, and where its centre is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import fsum

import shapely

from layout.export.csv_table import Cell
from layout.export.workbook import Column, SheetTable
from layout.jobs.load import Plan
from layout.jobs.workbook_units import Said
from layout.model.layout import Placed
from layout.model.solid import outer_box
from layout.model.thing import Thing

NAME = "masses"
_FAR = 1e6


@dataclass(frozen=True, kw_only=True, slots=True)
class Weight:
    """The mass of a thing in kg, the place of its centre in mm, and how much lies left of and before the middle, kg."""

    mass: float
    centre: tuple[float, float, float]
    left: float
    front: float


def weight_of(placed: Placed, middle: float) -> Weight:
    """Return what a thing weighs where it stands; `middle` is the x in mm that parts front and rear.

    Its mass is taken as spread evenly over its volume, since no more is known of it.
    """
    shares = [0.0] * 6
    for solid in placed.solids:
        area, high = shapely.Polygon(solid.outline), solid.z1 - solid.z0
        volume = area.area * high
        left = shapely.clip_by_rect(area, -_FAR, 0.0, _FAR, _FAR).area * high
        front = shapely.clip_by_rect(area, middle, -_FAR, _FAR, _FAR).area * high
        at = (area.centroid.x, area.centroid.y, (solid.z0 + solid.z1) / 2)
        for i, more in enumerate((volume, left, front, *(volume * mm for mm in at))):
            shares[i] += more
    whole, left, front, x, y, z = shares
    mass = placed.thing.mass_kg
    return Weight(
        mass=mass, centre=(x / whole, y / whole, z / whole), left=mass * left / whole, front=mass * front / whole
    )


def weight_in_build_up(thing: Thing, middle: float) -> Weight:
    """Return what something weighs that lies in the build-up of floor, walls or ceiling, at its home.

    The panels of a wall are told unrolled, as if they lay flat beside it: they weigh on the line of the wall, at its
    middle height.
    """
    x, y, z = thing.home or (0.0, 0.0, 0.0)
    solids = tuple(solid.moved(x, y, z) for solid in thing.solids)
    lying = weight_of(Placed(thing=thing, solids=solids, box=outer_box(solids)), middle)
    if y == 0:
        return lying
    return replace(lying, centre=(lying.centre[0], y, z), left=lying.mass if y > 0 else 0.0)


def together(weights: Sequence[Weight]) -> Weight | None:
    """Return several weights as one, None where nothing weighs anything."""
    mass = fsum(one.mass for one in weights)
    if mass <= 0:
        return None
    x, y, z = (fsum(one.mass * one.centre[i] for one in weights) / mass for i in range(3))
    return Weight(mass=mass, centre=(x, y, z), left=fsum(w.left for w in weights), front=fsum(w.front for w in weights))


def masses_table(plan: Plan) -> SheetTable:
    """Return each thing in each state with its mass, its centre and its sides, and the sums of each state."""
    said = Said(plan.project.said.units)
    rows: list[tuple[Cell, ...]] = []
    strong: list[int] = []
    for state in plan.project.said.states:
        rows += _state(plan, state, said)
        strong.append(len(rows) - 1)
    return SheetTable(name=NAME, columns=_columns(said), rows=tuple(rows), strong=tuple(strong), note=_note(plan, said))


def _columns(said: Said) -> tuple[Column, ...]:
    centre = tuple(Column(head=f"{axis} of centre {said.length_unit}", kind="length") for axis in "xyz")
    sides = tuple(Column(head=f"{side} {said.mass_unit}", kind="mass") for side in ("left", "right", "front", "rear"))
    mass = Column(head=f"mass {said.mass_unit}", kind="mass")
    return Column(head="state"), Column(head="thing"), mass, *centre, *sides


def middle_of(plan: Plan) -> float:
    """Return the x of the middle of the floor, mm."""
    x0, _, x1, _ = plan.project.space.shell(0.0).bounds
    return float(x0 + x1) / 2


def _state(plan: Plan, state: str, said: Said) -> Iterator[tuple[Cell, ...]]:
    middle = middle_of(plan)
    weights = [(p.name, weight_of(p, middle)) for p in plan.layout.placed[state]]
    weights += [(t.name, weight_in_build_up(t, middle)) for t in plan.layout.things if t.in_build_up]
    for name, weight in weights:
        yield _row(state, name, weight if weight.mass > 0 else None, said)
    yield _row(state, "all together", together([weight for _, weight in weights]), said)


def _row(state: str, name: str, weight: Weight | None, said: Said) -> tuple[Cell, ...]:
    if weight is None:
        return (state, name, *[None] * 8)
    sides = (weight.left, weight.mass - weight.left, weight.front, weight.mass - weight.front)
    kg = (said.mass(side) for side in sides)
    return (state, name, said.mass(weight.mass), *(said.length(mm, 1) for mm in weight.centre), *kg)


def _note(plan: Plan, said: Said) -> str:
    unknown = sum(thing.mass_kg <= 0 for thing in plan.layout.things)
    missing = f" {unknown} of {len(plan.layout.things)} things have no mass in the plan." if unknown else ""
    return (
        "People and the vehicle itself are not counted; each mass is taken as spread evenly over the thing's volume. "
        "x is measured forward from the rear edge of the floor, y to the left from its middle, z up from it. "
        f"Left and right of the middle, front and rear of x = {said.shown(middle_of(plan))}, half the floor's length."
        + missing
    )
