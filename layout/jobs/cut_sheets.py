"""What is sawn and built, as sheets; none for a plan that fails, unless the person insists."""

from __future__ import annotations

from dataclasses import replace

from layout.drawing.model import Drawing
from layout.jobs import cut
from layout.jobs.building import building_pages
from layout.jobs.draw import Paper, reading_options, view_options
from layout.jobs.making import Making
from layout.jobs.panels import panel_table
from layout.views.options import ViewOptions
from layout.views.tables import table_pages


def panel_list_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the list of all panels, also of a plan that fails; nothing where there are none."""
    header, rows = panel_table(making.plan)
    return table_pages("Panels", header, rows, reading_options(making.plan, paper)) if rows else ()


def cutting_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the diagram of each sheet to cut."""
    options = replace(view_options(making.plan, paper), scale=None)
    return cut.diagrams(making.cuts, options) if making.cuts else ()


def cut_list_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the lists of the cutting as pages."""
    if making.cuts is None:
        return ()
    return cut.pages(making.cuts, making.plan.project.said.units, making.currency, _upright(making, paper))


def building_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the lists of the building as pages."""
    if making.building is None:
        return ()
    return building_pages(making.building, making.cuts, making.currency, view_options(making.plan, paper))


def _upright(making: Making, paper: Paper) -> ViewOptions:
    return replace(view_options(making.plan, paper), orientation="portrait", scale=None)
