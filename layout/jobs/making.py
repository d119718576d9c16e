"""A plan on its way to paper: what several sheets need is worked out once, and only if a sheet asks for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from layout.cutting.effort import Effort
from layout.jobs.load import Plan

if TYPE_CHECKING:
    from layout.cutting.advice import Advice
    from layout.jobs.built import Building
    from layout.model.cutting import CutPlan

Tell = Callable[[str], None]


def silent(said: str) -> None:
    """Hear of progress and say nothing of it."""


def currency_of(plan: Plan) -> str:
    """Return the currency of the project's prices, empty where it has no workshop."""
    workshop = plan.project.said.workshop
    return workshop.currency if workshop else ""


@dataclass(frozen=True, kw_only=True)
class Making:
    """A plan, and whether it is to be cut though it fails (`anyway`); `tell` hears what is being done.

    `state` is the only state to draw, None for all of them; with `zones` plans show what must stay free.
    """

    plan: Plan
    anyway: bool = False
    state: str | None = None
    zones: bool = False
    tell: Tell = silent

    @property
    def builds(self) -> bool:
        """Return whether the plan may be cut and built: nobody saws for a plan that fails, unless they insist."""
        return self.anyway or not self.plan.fails

    @cached_property
    def cuts(self) -> CutPlan | None:
        """Return the plan of cuts, None where there is nothing to cut or the plan fails."""
        from layout.jobs.panels import solve_plan

        if not self.builds or not any(thing.panels for thing in self.plan.layout.things):
            return None
        self.tell("cutting")
        return solve_plan(self.plan, self._effort)

    @cached_property
    def advice(self) -> tuple[Advice, ...]:
        """Return what could be otherwise in the cutting."""
        from layout.cutting.advice import Wording, advise

        if self.cuts is None:
            return ()
        wording = Wording(currency=self.currency, units=self.plan.project.said.units)
        return advise(self.cuts, wording, effort=self._effort)

    @cached_property
    def building(self) -> Building | None:
        """Return what building takes beside sheets, None where nothing is built or the plan fails."""
        from layout.jobs.building import building

        if not self.builds:
            return None
        self.tell("building")
        made = building(self.plan)
        return made if made.units else None

    @property
    def currency(self) -> str:
        """Return the currency of the project's prices, empty where it has no workshop."""
        return currency_of(self.plan)

    @cached_property
    def _effort(self) -> Effort:
        return Effort(tell=self.tell)
