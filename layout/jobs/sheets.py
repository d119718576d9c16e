"""Every kind of sheet by name: what it is for, what makes it, and where it stands in the book."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal

from layout.drawing.model import Drawing
from layout.drawing.title_block import numbered
from layout.errors import Fault, InputError

if TYPE_CHECKING:
    from layout.jobs.draw import Paper
    from layout.jobs.making import Making


# What functions take: the `Making`, its plan, its cuts and its building (None where there are none), the paper.
Takes = tuple[Literal["making", "plan", "paper", "cuts", "building"], ...]
_ALL: Takes = ("making", "paper")


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    """Sheets that belong together: their `chapter` in the book, their type of document, the name of their PDF.

    With `alone` each drawing is a file of its own as well; without a `file` they are in the book only. What is `loose`
    is a file of the folder, but no part of the bound book: it goes on other paper.
    """

    chapter: str
    kind: str
    file: str = ""
    alone: bool = False
    loose: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """A kind of sheet: its `name` for people, its group, one line that `says` what it is for.

    `make` is ``module:function`` in ``layout.jobs``, called with what it `takes`; it is imported when it is called.
    What `builds` is made only of a plan that may be built.
    """

    name: str
    group: Group
    says: str
    make: str
    takes: Takes = ("plan", "paper")
    builds: bool = False


FRONT = Group(chapter="Read first", kind="notes")
MEASURE = Group(chapter="Measuring", kind="measuring sheet", file="measure")
DRAWN = Group(chapter="Drawings", kind="layout drawing", file="drawings", alone=True)
SET_OUT = Group(chapter="Setting out", kind="set-out drawing", file="set-out")
PANEL_LIST = Group(chapter="Panels", kind="list", file="panels")
PANELS = Group(chapter="Panels", kind="panel drawing", file="panel-sheets")
CUTTING = Group(chapter="Cutting", kind="cutting diagram", file="cutting-diagrams", alone=True)
CUT_LIST = Group(chapter="Cutting", kind="list", file="cut-list")
ASSEMBLY = Group(chapter="Building", kind="assembly drawing", file="assembly")
BUILDING = Group(chapter="Building", kind="list", file="building")
FULL_SIZE = Group(chapter="Setting out", kind="set-out drawing", file="set-out-full-size", loose=True)
TEMPLATES = Group(chapter="Templates", kind="template", file="templates", loose=True)
LABELS = Group(chapter="Labels", kind="labels", file="labels", loose=True)

# In the order of the book. One entry for each kind of sheet.
SHEETS: tuple[Sheet, ...] = (
    Sheet(
        name="cautions",
        group=FRONT,
        says="what to take care of; nothing here is certified",
        make="front_sheets:caution_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="findings",
        group=FRONT,
        says="what the checks found, and what would mend it",
        make="front_sheets:finding_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="measure",
        group=MEASURE,
        says="to take along with the tape: what to measure, what is known",
        make="measure_sheets:measure_sheets",
    ),
    Sheet(name="plan", group=DRAWN, says="the floor from above", make="view_sheets:plan_sheets", takes=_ALL),
    Sheet(name="left", group=DRAWN, says="what stands at the left wall", make="view_sheets:left_sheets", takes=_ALL),
    Sheet(name="right", group=DRAWN, says="what stands at the right wall", make="view_sheets:right_sheets", takes=_ALL),
    Sheet(name="rear", group=DRAWN, says="the view in from the rear", make="view_sheets:rear_sheets", takes=_ALL),
    Sheet(name="front", group=DRAWN, says="the view back from the front", make="view_sheets:front_sheets", takes=_ALL),
    Sheet(
        name="section", group=DRAWN, says="the space cut open, with its heights", make="section_sheets:section_sheets"
    ),
    Sheet(
        name="scene", group=DRAWN, says="all of it from above a corner", make="axonometric_sheets:axonometric_sheets"
    ),
    Sheet(
        name="roof",
        group=DRAWN,
        says="what stands on the roof, and what is under each hole",
        make="roof_sheets:roof_sheets",
    ),
    Sheet(
        name="set-out",
        group=SET_OUT,
        says="where things stand on the floor, to tape it out",
        make="set_out_sheets:set_out_sheets",
    ),
    Sheet(
        name="panel-list",
        group=PANEL_LIST,
        says="every panel of every unit: size, grain, count, mass",
        make="cut_sheets:panel_list_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="panels",
        group=PANELS,
        says="each panel with its sizes, holes, notches and joints",
        make="panel_sheets:panel_sheets",
        builds=True,
    ),
    Sheet(
        name="cutting",
        group=CUTTING,
        says="a sheet of plywood and its cuts in order",
        make="cut_sheets:cutting_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="cut-list",
        group=CUT_LIST,
        says="what to saw, cut by cut, and what to buy for it",
        make="cut_sheets:cut_list_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="assembly",
        group=ASSEMBLY,
        says="each unit drawn apart, its pieces named",
        make="axonometric_sheets:exploded_sheets",
        builds=True,
    ),
    Sheet(
        name="building",
        group=BUILDING,
        says="order of build, screws, hardware, bars, what it costs",
        make="cut_sheets:building_sheets",
        takes=_ALL,
    ),
    Sheet(
        name="set-out-full",
        group=FULL_SIZE,
        says="the floor at full size on a roll of paper, to lay down and mark by",
        make="set_out_sheets:full_size_sheets",
    ),
    Sheet(
        name="templates",
        group=TEMPLATES,
        says="edges that follow walls and wheel wells, at full size",
        make="template_sheets:template_sheets",
        builds=True,
    ),
    Sheet(
        name="labels",
        group=LABELS,
        says="a sticker for every part as it is cut",
        make="label_sheets:label_sheets",
        takes=("plan", "cuts", "paper"),
        builds=True,
    ),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class FileKind:
    """Files of the book that are no sheets: what they are for, and what makes them, as for a `Sheet`."""

    says: str
    make: str
    takes: Takes
    builds: bool = False


# One line for each kind of file.
FILES: tuple[FileKind, ...] = (
    FileKind(
        says="the space and all in it to turn round: HTML in a browser, GLB elsewhere",
        make="scene_files:scene_files",
        takes=("plan",),
    ),
    FileKind(
        says="for a drawing program or a machine, at true size",
        make="dxf_files:dxf_files",
        takes=("plan", "cuts"),
        builds=True,
    ),
    FileKind(
        says="the lists for a spreadsheet", make="workbook_files:workbook_files", takes=("plan", "cuts", "building")
    ),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Made:
    """A kind of sheet and its drawings."""

    sheet: Sheet
    drawings: tuple[Drawing, ...]


def sheet_names() -> tuple[str, ...]:
    """Return the names of all kinds of sheet, in the order of the book."""
    return tuple(sheet.name for sheet in SHEETS)


def sheet_list() -> str:
    """Return every kind of sheet with what it is for, a line each."""
    return "".join(f"{sheet.name:14} {sheet.says}\n" for sheet in SHEETS)


def sheets_called(names: Sequence[str]) -> tuple[Sheet, ...]:
    """Return the kinds of sheet of those names, in the order of the book.

    Raises
    ------
    InputError
        When there is no such sheet; the message names one that is near, or all of them.
    """
    for name in names:
        if name not in sheet_names():
            near = get_close_matches(name, sheet_names(), n=1)
            hint = f"did you mean {near[0]!r}?" if near else f"there are: {', '.join(sheet_names())}"
            raise InputError([Fault("print", 0, 0, "--sheet", f"no sheet is called {name!r}; {hint}")])
    return tuple(sheet for sheet in SHEETS if sheet.name in names)


def make_sheets(sheets: Sequence[Sheet], making: Making, paper: Paper) -> tuple[Made, ...]:
    """Return the drawings of each kind of sheet; a kind that has nothing to show is left out.

    Raises
    ------
    InputError, ScaleError, RefereeError
        As drawing and cutting do.
    """
    made = []
    for sheet in sheets:
        making.tell(f"drawing {sheet.name}")
        drawings = _call(sheet, making, paper) if making.builds or not sheet.builds else ()
        if drawings:
            made.append(Made(sheet=sheet, drawings=tuple(drawings)))
    return tuple(made)


def make_files(making: Making, paper: Paper) -> tuple[tuple[FileKind, dict[str, bytes]], ...]:
    """Return the files of the book that are no sheets, by their names, with what each kind is for."""
    return tuple((kind, _call(kind, making, paper)) for kind in FILES if making.builds or not kind.builds)


def _call(kind: Sheet | FileKind, making: Making, paper: Paper) -> Any:
    """Return what the function of a kind makes; its module is imported now, so that help stays quick."""
    module, _, name = kind.make.partition(":")
    function: Callable[..., Any] = getattr(import_module(f"layout.jobs.{module}"), name)
    had: dict[str, Any] = {"making": making, "paper": paper}
    return function(*(had[word] if word in had else getattr(making, word) for word in kind.takes))


def in_one_count(made: Sequence[Made], first: int = 1, of: int | None = None) -> tuple[Made, ...]:
    """Return the drawings with their title blocks numbered through, each identified by the name of its file.

    The count begins with `first`, and ends with `of`, or with the last of these drawings.
    """
    count = of or first - 1 + sum(len(one.drawings) for one in made)
    names = iter(stems([drawing for one in made for drawing in one.drawings]))
    place = iter(range(first, count + 1))
    return tuple(
        Made(sheet=one.sheet, drawings=tuple(_numbered(one, d, next(names), next(place), count) for d in one.drawings))
        for one in made
    )


def _numbered(one: Made, drawing: Drawing, name: str, sheet: int, sheets: int) -> Drawing:
    named = replace(drawing, name=name)
    return numbered(named, number=name, kind=one.sheet.group.kind, sheet=sheet, sheets=sheets)


_LONGEST = 60


def stems(drawings: Sequence[Drawing]) -> tuple[str, ...]:
    """Return a name for the file of each drawing that every system takes, no two alike."""
    return file_names([drawing.name for drawing in drawings])


def file_names(wished: Sequence[str]) -> tuple[str, ...]:
    """Return each wished name as one that every system takes for a file, no two alike, not even without case."""
    taken: dict[str, str] = {}
    for one in wished:
        plain = "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in one)[:_LONGEST]
        name = next(name for name in _more(plain or "sheet") if name.casefold() not in taken)
        taken[name.casefold()] = name
    return tuple(taken.values())


def _more(name: str) -> Iterator[str]:
    yield name
    count = 2
    while True:
        yield f"{name}-{count}"
        count += 1
