"""What the person may choose of a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout import __version__
from layout.drawing.paper import Orientation, Paper, paper
from layout.drawing.title_block import TitleBlock
from layout.units.length import format_length


@dataclass(frozen=True, kw_only=True, slots=True)
class ViewOptions:
    """Paper by name, scale as the 20 of 1:20 (None: the largest that fits), units, and the project's title.

    `sheet` of `sheets` is told in the title block; views of several sheets count for themselves. `states` names the
    states that a drawing stands for, where things stand alike in several; `people_of` names those of them in which the
    people are there who are drawn, empty where that need not be told.
    """

    paper: str = "A3"
    orientation: Orientation = "landscape"
    scale: int | None = None
    units: Literal["mm", "in"] = "mm"
    project: str = ""
    sheet: int = 1
    sheets: int = 1
    states: tuple[str, ...] = ()
    people_of: str = ""

    def said_state(self, state: str) -> str:
        """Return the words for the state that is drawn, and for those that look the same."""
        return ", ".join(self.states) or state

    def said_people(self) -> tuple[tuple[str, str], ...]:
        """Return the line for the foot of the sheet that says when people are there, where it is not all the time."""
        return (("", f"people as in: {self.people_of}"),) if self.people_of else ()

    @property
    def page(self) -> Paper:
        """Return the paper as it lies."""
        return paper(self.paper, self.orientation)

    def said(self, mm: float) -> str:
        """Return a length in mm as the drawing says it."""
        return format_length(mm, self.units)

    def block(self, title: str, scale: int | None) -> TitleBlock:
        """Return what the title block says for a drawing of that title and scale."""
        return TitleBlock(
            title=title,
            project=self.project,
            scale=scale,
            sheet=self.sheet,
            sheets=self.sheets,
            units=self.units,
            program=f"layout {__version__}",
        )
