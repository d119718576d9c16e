"""A plan as something to build: its units, their hardware, the bars, the order of build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from layout.building.fixings import fixings
from layout.building.order import build_order, grouped
from layout.jobs.load import Plan
from layout.model.building import Hardware, Step
from layout.model.lengths import BarPlan
from layout.model.solid import Solid
from layout.model.thing import Thing

_TOUCH = 0.5  # mm: what stands on another touches it


@dataclass(frozen=True, kw_only=True)
class Building:
    """A plan as something to build; `bars` is None where no unit needs any."""

    plan: Plan
    bars: BarPlan | None

    @property
    def units(self) -> tuple[Thing, ...]:
        """Return the things that are built."""
        return built(self.plan)

    @cached_property
    def groups(self) -> Mapping[str, list[Thing]]:
        """Return the things that are built, equal ones together, by the name of their group."""
        return grouped(self.units)

    @cached_property
    def hardware(self) -> tuple[tuple[str, Hardware], ...]:
        """Return each group's name with each of its items, those of all its units together."""
        rules = self.plan.project.rules
        return tuple((name, item) for name, units in self.groups.items() for item in fixings(units, rules))

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Return the order of build."""
        return build_order(self.units, self.plan.project.rules, carriers(self.plan))

    def price(self, item: str) -> float | None:
        """Return the owner's price of an item of hardware, None where the workshop names none."""
        workshop = self.plan.project.said.workshop
        return workshop.prices.get(item) if workshop else None


def built(plan: Plan) -> tuple[Thing, ...]:
    """Return the things of a plan that are built."""
    return tuple(thing for thing in plan.layout.things if thing.panels or thing.battens)


def carriers(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return, by group, the groups of built things that it stands on in some state."""
    found: dict[str, dict[str, None]] = {}
    names = {thing.name for thing in built(plan)}
    for placed in plan.layout.placed.values():
        stood = [p for p in placed if p.name in names]
        for upper, lower in product(stood, stood):
            if upper.thing.group != lower.thing.group and _carries(lower.box, upper.box):
                found.setdefault(upper.thing.group, {})[lower.thing.group] = None
    return {group: tuple(below) for group, below in found.items()}


def _carries(lower: Solid, upper: Solid) -> bool:
    one, other = lower.bounds, upper.bounds
    above = all(min(one[i + 2], other[i + 2]) - max(one[i], other[i]) > _TOUCH for i in (0, 1))
    return above and abs(upper.z0 - lower.z1) <= _TOUCH
