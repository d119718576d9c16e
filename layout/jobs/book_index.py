"""What each file of the book is for, as a page that a browser opens from the folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

from layout.export.index_page import Listed, index_page
from layout.jobs.sheets import Made, Sheet

INDEX = "index.html"
_PRINT = "To print at 100 %; measure the check length before you trust the paper"
_LOOK = "One drawing each: SVG for a screen or a drawing program, PDF to print"
_LISTS = "Lists, for a spreadsheet (CSV), to read (TXT) or for programs (JSON)"
_OTHER = "Other files"
_LEFT = "Of an earlier book; this one no longer makes them"

_SAYS = {
    "book.pdf": "everything on paper in one file, with contents and bookmarks",
    "drawings.pdf": "the drawings of the layout",
    "panels.pdf": "every panel of every unit",
    "cutting-diagrams.pdf": "a diagram for each sheet of plywood",
    "cut-list.pdf": "what to saw, cut by cut, and what to buy for it",
    "building.pdf": "order of build, screws, hardware, bars, what it costs",
    "findings.txt": "what the checks found, and the measures of the room",
    "findings.json": "the same for programs, in mm and kg",
    "panels.csv": "every panel of every unit: size, grain, count, mass",
    "parts.csv": "what to saw, ready to be cut again with layout cut --parts",
    "cut-list.csv": "every cut in order",
    "shop-list.csv": "the cuts that the shop makes",
    "fence-settings.csv": "each setting of the fence, and what is cut with it",
    "sheets-to-buy.csv": "sheets to buy, with their prices",
    "leftovers.csv": "what is left over, ready to be used again with layout cut --sheets",
    "cutting.txt": "why no fewer sheets do, what to beware of, and what could be otherwise",
    "units.csv": "each unit: mass, who lifts it, how it is held and gets in",
    "steps.csv": "the order of build",
    "drilling.csv": "screws and blocks, joint by joint",
    "battens.csv": "battens to saw to length",
    "places.csv": "what is put on panels, and where",
    "body.csv": "where units are held to the body, from the cross line and the centreline",
    "hardware.csv": "screws and fittings, with their reasons",
    "hardware-by-unit.csv": "the same for each unit",
    "bars-to-buy.csv": "bars of timber to buy",
    "bars-cut-list.csv": "bars, cut to length",
    "shopping.csv": "what it all costs",
    "building.txt": "notes on the building",
}


def index(
    title: str, names: Iterable[str], made: Sequence[Made], says: Mapping[str, str], left: Sequence[str] = ()
) -> bytes:
    """Return the page for a book called `title` with files of those `names` and drawings `made`.

    `says` tells what files are for that are no drawings of the book. `left` are files in the folder that
    an earlier book made and this one does not.
    """
    alone = dict(_alone(made))
    together = {f"{one.sheet.group.file}.pdf": one.sheet for one in made}
    groups: dict[str, list[tuple[str, str]]] = {_PRINT: [], _LOOK: [], _LISTS: [], _OTHER: []}
    for name in names:
        groups[_group(name, alone)].append((name, says.get(name) or _says(name, alone, together)))
    listed = [Listed(heading=heading, files=files) for heading, files in groups.items()]
    stale = Listed(heading=_LEFT, files=[(name, "delete it if you do not need it") for name in left])
    note = "Nothing here is certified: read the cautions in book.pdf first."
    return index_page(title, chain(listed, [stale]), note)


def _alone(made: Sequence[Made]) -> Iterator[tuple[str, tuple[Sheet, str]]]:
    for one in made:
        if one.sheet.group.alone:
            yield from ((d.name, (one.sheet, d.title)) for d in one.drawings)


def _group(name: str, alone: dict[str, tuple[Sheet, str]]) -> str:
    stem, _, ending = name.rpartition(".")
    if stem in alone:
        return _LOOK
    if ending == "pdf":
        return _PRINT
    return _LISTS if ending in ("csv", "txt", "json", "xlsx") else _OTHER


def _says(name: str, alone: dict[str, tuple[Sheet, str]], together: dict[str, Sheet]) -> str:
    stem = name.rpartition(".")[0]
    if name in _SAYS:
        return _SAYS[name]
    if stem in alone:
        sheet, title = alone[stem]
        return f"{title}: {sheet.says}"
    if name in together:
        return together[name].says
    return ""
