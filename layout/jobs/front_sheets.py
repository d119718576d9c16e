"""The first sheets of the book: contents, cautions, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layout.drawing.model import Drawing
from layout.drawing.paper import ISO_SIZES, US_SIZES
from layout.jobs.cautions import cautions
from layout.jobs.draw import Paper, view_options
from layout.jobs.making import Making
from layout.jobs.sheets import FRONT, Made, Sheet
from layout.views.options import ViewOptions
from layout.views.tables import table_pages
from layout.views.text_pages import text_pages

CONTENTS = Sheet(name="contents", group=FRONT, says="every sheet of the book with its number", make="", takes=())


def caution_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the usual cautions, and those of this project."""
    return text_pages("Cautions", cautions(making.plan), _upright(making, paper))


def finding_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return what the checks found as a table; nothing where nothing was found."""
    header = ("", "rule", "when", "what was found", "what would mend it")
    rows = [
        ("accepted" if f.accepted else f.severity, f.rule, ", ".join(f.states), f.text, f.accepted or f.cure)
        for f in making.plan.findings
    ]
    return table_pages("Findings", header, rows, _upright(making, paper)) if rows else ()


def contents(made: Sequence[Made], making: Making, paper: Paper) -> Made:
    """Return the contents of a book that goes on with `made`, all of them with the number of their sheet.

    Its own pages count, so it is made again until it is as long as the numbers in it say.
    """
    pages = 1
    while True:
        drawings = table_pages("Contents", ("sheet", "title", "file"), _rows(made, pages), _upright(making, paper))
        if len(drawings) == pages:
            return Made(sheet=CONTENTS, drawings=drawings)
        pages = len(drawings)


def _rows(made: Sequence[Made], pages: int) -> list[tuple[str, str, str]]:
    rows: list[tuple[str, str, str]] = []
    sheet, chapter = pages, ""
    for one in made:
        for drawing in one.drawings:
            sheet += 1
            if one.sheet.group.chapter != chapter:
                chapter = one.sheet.group.chapter
                rows.append(("", chapter.upper(), ""))
            rows.append((str(sheet), drawing.title, f"{one.sheet.group.file or 'book'}.pdf"))
    return rows


def _upright(making: Making, paper: Paper) -> ViewOptions:
    """Return the options of pages to read: on the smallest paper of the family, since text gains nothing by more."""
    options = view_options(making.plan, paper)
    family = US_SIZES if options.page.name in [name for name, _, _ in US_SIZES] else ISO_SIZES
    return replace(options, paper=family[0][0], orientation="portrait", scale=None)
