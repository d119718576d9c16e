"""The first sheets of the book: contents, cautions, findings."""

from __future__ import annotations

from collections.abc import Sequence

from layout.drawing.model import Drawing
from layout.jobs.cautions import cautions
from layout.jobs.draw import Paper, reading_options
from layout.jobs.making import Making
from layout.jobs.sheets import FRONT, Made, Sheet
from layout.views.tables import table_pages
from layout.views.text_pages import text_pages

CONTENTS = Sheet(name="contents", group=FRONT, says="every sheet of the book with its number", make="", takes=())


def caution_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return the usual cautions, and those of this project."""
    return text_pages("Cautions", cautions(making.plan), reading_options(making.plan, paper))


def finding_sheets(making: Making, paper: Paper) -> tuple[Drawing, ...]:
    """Return what the checks found as a table; nothing where nothing was found."""
    header = ("", "rule", "when", "what was found", "what would mend it")
    rows = [
        ("accepted" if f.accepted else f.severity, f.rule, ", ".join(f.states), f.text, f.accepted or f.cure)
        for f in making.plan.findings
    ]
    return table_pages("Findings", header, rows, reading_options(making.plan, paper)) if rows else ()


def contents(made: Sequence[Made], making: Making, paper: Paper) -> Made:
    """Return the contents of a book that goes on with `made`, all of them with the number of their sheet.

    Its own pages count, so it is made again until it is as long as the numbers in it say.
    """
    pages, options = 1, reading_options(making.plan, paper)
    while True:
        drawings = table_pages("Contents", ("sheet", "title", "file"), _rows(made, pages), options)
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
