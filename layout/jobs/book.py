"""The verb ``book``: everything in one folder, and all its sheets in one file to print."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from layout.drawing.model import Drawing
from layout.export.csv_table import csv_table
from layout.export.index_page import files_of
from layout.export.pdf import Chapter, pdf, pdf_book
from layout.export.svg import svg
from layout.export.write import is_plain
from layout.jobs import check, cut
from layout.jobs.book_index import INDEX, index
from layout.jobs.building import building_lists
from layout.jobs.draw import Paper
from layout.jobs.front_sheets import contents
from layout.jobs.load import Plan
from layout.jobs.making import Making, Tell, currency_of, silent
from layout.jobs.panels import panel_table
from layout.jobs.sheets import SHEETS, FileKind, Made, in_one_count, make_files, make_sheets

__all__ = ["Book", "bind", "book", "bound", "currency_of"]


@dataclass(frozen=True, kw_only=True)
class Book:
    """The files of a book by name, without the page that lists them; `says` tells what some of them are for."""

    title: str
    made: tuple[Made, ...]
    files: Mapping[str, bytes]
    says: Mapping[str, str]

    @property
    def sheets(self) -> tuple[Drawing, ...]:
        """Return the sheets of the bound book, page by page; what goes on other paper is not among them."""
        return tuple(drawing for one in self.made if not one.sheet.group.loose for drawing in one.drawings)

    def whole(self, left: Sequence[str] = ()) -> dict[str, bytes]:
        """Return all files, and the page that lists them; `left` are files of an earlier book in the same folder."""
        return {INDEX: index(self.title, self.files, self.made, self.says, left), **self.files}

    def left_in(self, folder: Path) -> tuple[str, ...]:
        """Return the files in a folder that an earlier book lists and this one does not make."""
        page = folder / INDEX
        if not page.is_file():
            return ()
        listed = files_of(page.read_bytes())
        return tuple(name for name in listed if name not in self.files and is_plain(name) and (folder / name).is_file())


def book(plan: Plan, paper: Paper, *, anyway: bool = False, tell: Tell = silent) -> dict[str, bytes]:
    """Return every file of the book by name; no cut list for a plan that fails, unless `anyway`.

    `tell` hears before each step what is being done.

    Raises
    ------
    InputError, ScaleError, RefereeError
        As drawing and cutting do.
    """
    return bound(plan, paper, anyway=anyway, tell=tell).whole()


def bound(plan: Plan, paper: Paper, *, anyway: bool = False, tell: Tell = silent) -> Book:
    """Return the book as `book` does, before the page that lists its files is made."""
    making = Making(plan=plan, anyway=anyway, tell=tell)
    return bind(making, paper, make_sheets(SHEETS, making, paper), make_files(making, paper))


def bind(
    making: Making, paper: Paper, every: Sequence[Made], others: Sequence[tuple[FileKind, dict[str, bytes]]]
) -> Book:
    """Return the book of all sheets and other files of a plan, numbered through, with its contents."""
    inside = [one for one in every if not one.sheet.group.loose]
    within = in_one_count((contents(inside, making, paper), *inside))
    made = (*within, *(in_one_count([one])[0] for one in every if one.sheet.group.loose))
    making.tell("writing")
    plan = making.plan
    files = {"book.pdf": _book_pdf(within, plan), **_drawn(made, plan), **_listed(making)}
    says = {name: kind.says for kind, ones in others for name in ones}
    files |= {name: data for _, ones in others for name, data in ones.items()}
    return Book(title=plan.project.said.title, made=made, files=files, says=says)


def _book_pdf(made: Sequence[Made], plan: Plan) -> bytes:
    chapters = [
        Chapter(title=title, drawings=tuple(drawing for one in ones for drawing in one.drawings))
        for title, ones in groupby(made, key=lambda one: one.sheet.group.chapter)
    ]
    return pdf_book(chapters, plan.project.said.title)


def _drawn(made: Sequence[Made], plan: Plan) -> dict[str, bytes]:
    """Return the drawings that are files of their own as SVG and PDF, and the PDF of each kind of sheet."""
    files: dict[str, bytes] = {}
    together: dict[str, list[Made]] = {}
    for one in made:
        together.setdefault(one.sheet.group.file, []).append(one)
        for drawing in one.drawings if one.sheet.group.alone else ():
            files[f"{drawing.name}.svg"] = svg(drawing)
            files[f"{drawing.name}.pdf"] = pdf([drawing], drawing.title)
    for name, ones in together.items():
        # What is in the book alone has no file of its own.
        if name:
            files[f"{name}.pdf"] = pdf([d for one in ones for d in one.drawings], plan.project.said.title)
    return files


def _listed(making: Making) -> dict[str, bytes]:
    """Return the findings and the lists: text for people, tables for a spreadsheet, JSON for programs."""
    plan = making.plan
    files = {
        "findings.txt": check.report(plan).encode(),
        "findings.json": (json.dumps(check.as_json(plan), indent=1, ensure_ascii=False) + "\n").encode(),
    }
    header, rows = panel_table(plan)
    if rows:
        files["panels.csv"] = csv_table([header, *rows])
    if making.cuts is not None:
        units = plan.project.said.units
        for name, (head, body) in cut.tables(making.cuts, units, making.currency).items():
            files[f"{name}.csv"] = csv_table([head, *body])
        files["cutting.txt"] = cut.report(making.cuts, units, making.currency, making.advice).encode()
    if making.building is not None:
        files |= building_lists(making.building, making.cuts, making.currency)
    return files
