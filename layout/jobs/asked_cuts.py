"""Cuts through the space where somebody asks for one: plans at a height, sections across at x and along at y."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from layout.drawing.model import Drawing
from layout.errors import Fault, InputError
from layout.jobs.draw import Paper
from layout.jobs.load import Plan
from layout.jobs.making import Making
from layout.jobs.section_people import peopled
from layout.jobs.section_sheets import alike_states, check_state, plan_at, section_at
from layout.jobs.sheets import Made, sheets_called
from layout.units.length import parse_length
from layout.views.section import Toward


@dataclass(frozen=True, kw_only=True, slots=True)
class AskedCuts:
    """Where to cut, in the words of a person: heights, and places forward of the cross line and left of the middle.

    `toward` is the way to look in sections, where it goes with them.
    """

    heights: Sequence[str] = ()
    xs: Sequence[str] = ()
    ys: Sequence[str] = ()
    toward: Toward | None = None

    def __bool__(self) -> bool:
        """Return whether any cut is asked for."""
        return bool(self.heights or self.xs or self.ys)


def asked_cuts(making: Making, paper: Paper, asked: AskedCuts) -> tuple[Made, ...]:
    """Return the cuts asked for, in the state asked for or in every state in which things stand otherwise.

    Raises
    ------
    InputError
        When there is no such state or paper, or a place is no length or not inside the space.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    plan = making.plan
    if making.state is not None:
        check_state(plan, making.state)
    groups = ((making.state,),) if making.state is not None else alike_states(plan, zones=making.zones)
    found = {
        "plan": tuple(drawing for states in groups for drawing in _plans(making, paper, asked, states)),
        "section": tuple(drawing for states in groups for drawing in _sections(plan, paper, asked, states)),
    }
    return tuple(
        Made(sheet=sheet, drawings=found[sheet.name]) for sheet in sheets_called(list(found)) if found[sheet.name]
    )


def _plans(making: Making, paper: Paper, asked: AskedCuts, states: tuple[str, ...]) -> Iterator[Drawing]:
    plan, state = making.plan, peopled(making.plan, states)
    for said in asked.heights:
        z = _mm(plan, "--at", said)
        yield plan_at(plan, paper, state=state, states=states, z=z, findings=making.zones, zones=making.zones)


def _sections(plan: Plan, paper: Paper, asked: AskedCuts, states: tuple[str, ...]) -> Iterator[Drawing]:
    state = peopled(plan, states)
    for said in asked.xs:
        yield section_at(plan, paper, state=state, states=states, x=_mm(plan, "--x", said), toward=asked.toward)
    for said in asked.ys:
        yield section_at(plan, paper, state=state, states=states, y=_mm(plan, "--y", said), toward=asked.toward)


def _mm(plan: Plan, option: str, said: str) -> float:
    try:
        return float(parse_length(said, plan.project.said.units))
    except ValueError as error:
        raise InputError([Fault("print", 0, 0, option, str(error))]) from None
