"""The roof plan as a sheet, where the project tells of its roof."""

from __future__ import annotations

from dataclasses import replace

from layout.checks.roof_plan import RULE, round_it
from layout.drawing.model import Drawing
from layout.jobs.draw import Paper, view_options
from layout.jobs.load import Plan
from layout.jobs.section_sheets import alike_states
from layout.model.finding import Finding
from layout.views.roof_plan import roof_plan

_WORDS = {"fail": "FAILS: ", "warn": "TAKE CARE: ", "note": ""}


def roof_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the roof plan, nothing where the project has no roof; under it what stands inside in the last state.

    Its foot tells where each hole is, what is under it in every state, and what is wrong.

    Raises
    ------
    InputError
        When there is no such paper.
    ScaleError
        When the asked scale does not fit on the paper.
    """
    roof = plan.project.space.roof_top
    if roof is None:
        return ()
    states = alike_states(plan)[-1]
    rule = plan.project.rules[RULE]
    notes = [_said(f, plan.project.said.states) for f in plan.findings if f.rule == RULE and not f.accepted]
    drawing = roof_plan(
        plan.project.space, plan.layout, states[-1], roof=roof, notes=notes,
        clear={thing.name: round_it(rule, thing) for thing in roof.things},
        options=replace(view_options(plan, paper), states=states),
    )  # fmt: skip
    return (drawing,)


def _said(finding: Finding, states: tuple[str, ...]) -> str:
    where = f"{', '.join(finding.states)}: " if finding.states and finding.states != states else ""
    cure = f". Cure: {finding.cure}" if finding.cure and finding.severity != "note" else ""
    return f"{_WORDS[finding.severity]}{where}{finding.text}{cure}"
