"""Plan and elevations as sheets: each for every state that looks different."""

from __future__ import annotations

from layout.drawing.model import Drawing
from layout.jobs.draw import Paper, view_drawings
from layout.jobs.making import Making


def plan_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the floor plans."""
    return view_drawings(making.plan, paper, making.state, ("plan",), zones=making.zones)


def left_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the elevations of the left side."""
    return view_drawings(making.plan, paper, making.state, ("left",))


def right_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the elevations of the right side."""
    return view_drawings(making.plan, paper, making.state, ("right",))


def rear_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the elevations from the rear."""
    return view_drawings(making.plan, paper, making.state, ("rear",))


def front_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the elevations from the front."""
    return view_drawings(making.plan, paper, making.state, ("front",))
