"""The verb ``print``: plan and elevations of every state, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.drawing.model import Drawing
from layout.errors import Fault, InputError
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.jobs.load import Plan
from layout.views.elevation import rear_elevation, side_elevation
from layout.views.options import ViewOptions
from layout.views.plan import plan as floor_plan


@dataclass(frozen=True, kw_only=True)
class Paper:
    """What a person chooses of the paper: its name, and the scale as the 20 of 1:20 (None: what fits)."""

    name: str = "A3"
    scale: int | None = None


def view_options(plan: Plan, paper: Paper) -> ViewOptions:
    """Return the options of the plan's drawings on that paper."""
    units = "in" if plan.project.said.units in ("in", "ft") else "mm"
    return ViewOptions(paper=paper.name, scale=paper.scale, units=units, project=plan.project.said.title)  # type: ignore[arg-type]


def drawings(plan: Plan, paper: Paper, state: str | None = None) -> tuple[Drawing, ...]:
    """Return the plan, both side elevations and the rear elevation of one state, or of all.

    Raises
    ------
    InputError
        When there is no such state.
    ScaleError
        When the asked scale does not fit on the paper; the message names one that does.
    """
    states = plan.project.said.states
    if state is not None and state not in states:
        raise InputError(
            [Fault("print", 0, 0, "--state", f"no state is called {state!r}; there are: {', '.join(states)}")]
        )
    options = view_options(plan, paper)
    return tuple(drawing for each in states if state in (None, each) for drawing in _one_state(plan, each, options))


def _one_state(plan: Plan, state: str, options: ViewOptions) -> tuple[Drawing, ...]:
    space, layout, findings = plan.project.space, plan.layout, plan.findings
    return (
        floor_plan(space, layout, state, findings, options),
        side_elevation(space, layout, state, "left", findings, options),
        side_elevation(space, layout, state, "right", findings, options),
        rear_elevation(space, layout, state, findings, options),
    )


def drawing_files(sheets: Sequence[Drawing], title: str, name: str = "drawings") -> dict[str, bytes]:
    """Return each drawing as SVG and as PDF, and all together as ``NAME.pdf``, by file name."""
    files = {f"{drawing.name}.svg": svg(drawing) for drawing in sheets}
    files |= {f"{drawing.name}.pdf": pdf([drawing], drawing.title) for drawing in sheets}
    return {**files, f"{name}.pdf": pdf(sheets, title)}
