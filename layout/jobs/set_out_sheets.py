"""Sheets to tape the layout on the floor by."""

from __future__ import annotations

from dataclasses import replace

from layout.drawing.model import Drawing
from layout.jobs.draw import Paper, view_options
from layout.jobs.load import Plan
from layout.views.set_out import distinct, set_out
from layout.views.set_out_full import set_out_full


def set_out_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the set-out sheets, one for each way in which the floor is taken; none where nothing stands on it.

    Raises
    ------
    InputError
        When there is no such paper.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    space, layout, options = plan.project.space, plan.layout, view_options(plan, paper)
    groups = distinct(layout, plan.project.said.states)
    made = [set_out(space, layout, alike[0], replace(options, states=alike)) for alike in groups]
    return tuple(drawing for drawings in made for drawing in drawings)


def full_size_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the same at full size, in strips for a roll of paper; none where nothing stands on the floor.

    Raises
    ------
    InputError
        When there is no such paper, though strips are as large as they must be.
    """
    space, layout, options = plan.project.space, plan.layout, view_options(plan, paper)
    groups = distinct(layout, plan.project.said.states)
    made = [set_out_full(space, layout, alike[0], replace(options, states=alike)) for alike in groups]
    return tuple(drawing for drawings in made for drawing in drawings)
