"""Panel sheets of a plan: every panel once, to scale, with all that is marked on it."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from layout.drawing.model import Drawing
from layout.files.catalogue import Catalogue
from layout.jobs.draw import Paper, view_options
from layout.jobs.hardware import drill_of
from layout.jobs.load import Plan
from layout.jobs.worked import item_words, panels_alike
from layout.model.rule import Rule
from layout.units.length import format_length
from layout.views.panel_sheets.pages import panel_pages
from layout.views.panel_sheets.words import Words

_HAIR = 1e-6


def panel_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the panel sheets, none for a plan without furniture.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    panels = panels_alike(plan)
    return panel_pages(panels, words_for(plan, paper, item_words(panels)))


def words_for(plan: Plan, paper: Paper, items: Mapping[str, str]) -> Words:
    """Return how sizes, hardware and drills are told on the sheets of a plan."""
    across = {item: mm for item in items if (mm := _diameter(item))}
    rule = plan.project.rules["drilling"]
    return Words(
        options=view_options(plan, paper), items=items,
        drills={item: _said(mm + rule["free"]) for item, mm in across.items()},
        pilots={item: _said(_pilot(mm, rule)) for item, mm in across.items()},
        lets={item: (drill.across, drill.deep) for item in items if (drill := drill_of(item))},
    )  # fmt: skip


def _diameter(item: str) -> float:
    """Return the diameter of a wood screw, mm; 0 for what is none."""
    entry: Mapping[str, object] = Catalogue(None).entry(f"hardware/{item}") or {}
    return float(str(entry["diameter"])) if "diameter" in entry else 0.0


def _pilot(mm: float, rule: Rule) -> float:
    return ceil(mm * rule["pilot"] / rule["step"] - _HAIR) * rule["step"]


def _said(mm: float) -> str:
    # Drills are metric here like the screws themselves, whatever the project speaks.
    return format_length(mm, "mm", unit_sign=True)
