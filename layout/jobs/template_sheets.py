"""Templates of a plan at full size, for the panels that follow walls and wheel wells."""

from __future__ import annotations

from layout.drawing.model import Drawing
from layout.jobs.draw import Paper
from layout.jobs.load import Plan
from layout.jobs.panel_sheets import words_for
from layout.jobs.worked import panels_alike
from layout.views.panel_sheets.pages import way_words
from layout.views.templates.sheets import template_pages


def template_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return an overview with offsets and the pages at full size of every panel with an edge that is not straight.

    A scale that is asked for does not matter here: templates are at full size.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    panels = panels_alike(plan)
    return template_pages(panels, way_words(panels), words_for(plan, paper, {}))
