"""Labels of a plan: a sticker for every part as it is cut."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from layout.drawing.model import Drawing
from layout.drawing.paper import paper as paper_called
from layout.jobs.draw import Paper, view_options
from layout.jobs.load import Plan
from layout.jobs.worked import panels_alike
from layout.model.cutting import CutPlan
from layout.model.sawing import walk
from layout.model.worked import Alike, Work
from layout.units.length import format_length
from layout.views.label_sheets import FACES, Grid, Label, label_pages
from layout.views.options import ViewOptions
from layout.views.panel_sheets.pages import way_words
from layout.views.panel_sheets.words import SIDES

_US = ("Letter", "Tabloid")


def label_sheets(plan: Plan, cuts: CutPlan | None, paper: Paper) -> tuple[Drawing, ...]:
    """Return the labels, one for every part: on A4, or on Letter where the paper is Letter or Tabloid.

    With a cut plan each says from which sheet it is cut, and labels come in the order of the sheets. Print them at full
    size.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    options = view_options(plan, paper)
    small = "Letter" if options.page.name in _US else "A4"
    rule = plan.project.rules["labels"]
    word = small.lower()
    grid = Grid(
        columns=round(rule[f"{word}_columns"]), rows=round(rule[f"{word}_rows"]), width=rule[f"{word}_width"],
        height=rule[f"{word}_height"], between=rule[f"{word}_between"], printer=rule["printer"],
    )  # fmt: skip
    return label_pages(labels_of(panels_alike(plan), cuts, options), grid, paper_called(small, "portrait"))


def labels_of(panels: Sequence[Alike], cuts: CutPlan | None, options: ViewOptions) -> tuple[Label, ...]:
    """Return a label for every part, in the order in which the saw yields them where that is known."""
    sheets = sheets_of(cuts) if cuts else {}
    every = list(_works(panels))
    total, seen = Counter(work.part for work, _ in every), Counter[str]()
    made: list[tuple[tuple[int, int], Label]] = []
    for i, (work, way) in enumerate(every):
        number = seen[work.part]
        seen[work.part] += 1
        place = sheets.get(work.part, ())[number : number + 1]
        order, said = place[0] if place else (len(every) + i, _no_sheet(cuts))
        count = f"{number + 1}\u00a0of\u00a0{total[work.part]}" if total[work.part] > 1 else ""
        made.append(((order, i), Label(name=work.part, lines=_lines(work, count, way, said, options), work=work)))
    return tuple(label for _, label in sorted(made, key=lambda one: one[0]))


def _no_sheet(cuts: CutPlan | None) -> str:
    return "no room for it on the sheets on hand" if cuts else ""


def _works(panels: Sequence[Alike]) -> Iterator[tuple[Work, str]]:
    """Yield every part with the way in which it is worked, where there are several."""
    for one, way in zip(panels, way_words(panels), strict=True):
        told = way.removeprefix(", ")
        both = bool(one.mirrored)
        yield from ((work, _joined(told, "as drawn" if both else "")) for work in one.same)
        yield from ((work, _joined(told, "mirror image of the drawing")) for work in one.mirrored)


def _joined(*said: str) -> str:
    return ", ".join(word for word in said if word)


def _lines(work: Work, count: str, way: str, sheet: str, options: ViewOptions) -> tuple[str, ...]:
    def said(mm: float) -> str:
        return options.said(mm)

    thick = format_length(work.thickness, options.units, denominator=32)
    sawn = (work.cut_length, work.cut_width) != (work.length, work.width)
    cut = f"saw to {said(work.cut_length)} × {said(work.cut_width)}" if sawn else ""
    bands = f"band: {', '.join(SIDES[side] for side, _ in work.bands)}" if work.bands else ""
    lines = (
        f"{said(work.length)} × {said(work.width)} × {thick} {work.material}", cut,
        _joined(f"for {work.unit}", count), way, bands, FACES[work.good], sheet,
    )  # fmt: skip
    return tuple(line for line in lines if line)


def sheets_of(cuts: CutPlan) -> Mapping[str, tuple[tuple[int, str], ...]]:
    """Return for each name of a part where its pieces are cut: the place in the order of all, the sheet."""
    found: dict[str, list[tuple[int, str]]] = defaultdict(list)
    order = 0
    for material in cuts.materials:
        for sheet in material.sheets:
            for leaf in walk(sheet.root):
                if leaf.kind == "part":
                    found[leaf.part].append((order, f"from {sheet.stock.name}, sheet {sheet.number}"))
                    order += 1
    return {name: tuple(places) for name, places in found.items()}
