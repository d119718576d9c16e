"""Arrangements that a search found as files to compare: sheets, each as SVG and all as PDF, and the table as CSV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.arrange.aspects import when
from layout.drawing.model import Drawing
from layout.drawing.title_block import numbered
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.jobs.arrange import Tried
from layout.jobs.compare import Row, plan_of
from layout.jobs.draw import Paper, options_for
from layout.jobs.load import Plan
from layout.jobs.section_people import people_in, shares_of
from layout.jobs.sheets import stems
from layout.model.layout import Placed
from layout.units.length import format_length
from layout.views.comparison.sheets import comparison_sheets
from layout.views.comparison.values import Column, Comparison, Line, Scene
from layout.views.people import Figure, body_of

_KIND = "comparison"
_MOVED = 1.0  # mm: what stands nearer than this to where it stood has not moved


def comparison_files(tried: Tried, rows: Sequence[Row], paper: Paper = Paper()) -> dict[str, bytes]:  # noqa: B008 (frozen)
    """Return ``comparison.pdf``, each sheet as SVG, and the table as ``comparison.csv``, by file name.

    `rows` is the table of differences as `layout.jobs.compare.compared` returns it.

    Raises
    ------
    InputError
        When there is no such paper.
    ScaleError
        When it is too small.
    """
    sheets = comparison_drawings(tried, rows, paper)
    files = {f"{stem}.svg": svg(sheet) for stem, sheet in zip(stems(sheets), sheets, strict=True)}
    title = tried.project.said.title
    return {"comparison.pdf": pdf(sheets, f"{title}: arrangements"), **files, "comparison.csv": _csv(tried, rows)}


def comparison_drawings(tried: Tried, rows: Sequence[Row], paper: Paper = Paper()) -> tuple[Drawing, ...]:  # noqa: B008 (frozen)
    """Return the sheets of the comparison, numbered through; none where nothing was found."""
    if not tried.found.arrangements:
        return ()
    made = comparison_sheets(
        comparison_of(tried, rows), options_for(tried.project.said.units, tried.project.said.title, paper)
    )
    return tuple(
        numbered(sheet, number=f"C{i + 1}", kind=_KIND, sheet=i + 1, sheets=len(made)) for i, sheet in enumerate(made)
    )


def comparison_of(tried: Tried, rows: Sequence[Row]) -> Comparison:
    """Return what is drawn of the arrangements found."""
    lines = tuple(Line(name=row.name, cells=row.cells, best=_best_shown(row)) for row in rows)
    plans = [plan_of(tried, one) for one in tried.found.arrangements]
    columns = tuple(
        Column(
            number=i + 1, name=name, scenes=tuple(_scenes(plan)),
            remarks=(*_states(plan), *_best(lines, i)),
        )
        for i, (name, plan) in enumerate(zip(tried.names, plans, strict=True))
    )  # fmt: skip
    return Comparison(space=tried.project.space, columns=columns, lines=lines, stands=_stands(plans[0], tried))


def _groups(plan: Plan) -> list[tuple[str, ...]]:
    """Return the states in groups in which all stands alike."""
    groups: dict[object, list[str]] = {}
    for state in plan.project.said.states:
        stood = tuple((placed.name, placed.solids) for placed in plan.layout.placed[state])
        groups.setdefault(stood, []).append(state)
    return [tuple(group) for group in groups.values()]


def _scenes(plan: Plan) -> Iterator[Scene]:
    states = plan.project.said.states
    groups = _groups(plan)
    first = plan.layout.placed[groups[0][0]]
    for group in groups:
        # Of states in which all stands alike the one with most people in it is drawn, the last of them.
        state = max(reversed(group), key=lambda s: len(people_in(plan, s)))
        placed = plan.layout.placed[state]
        said = "always like this" if len(groups) == 1 else when(group, states)
        yield Scene(said=said, placed=placed, people=people_in(plan, state), gone=_gone(first, placed))


def _gone(first: Sequence[Placed], now: Sequence[Placed]) -> tuple[Placed, ...]:
    """Return what stood elsewhere at first."""
    there = {p.name: p for p in now}
    return tuple(p for p in first if p.name not in there or _apart(p, there[p.name]))


def _apart(a: Placed, b: Placed) -> bool:
    low = max(abs(p - q) for p, q in zip(a.box.bounds, b.box.bounds, strict=True))
    return max(low, abs(a.box.z0 - b.box.z0)) > _MOVED


def _states(plan: Plan) -> Iterator[str]:
    """Yield what is outside or elsewhere in which states, in words."""
    groups, states = _groups(plan), plan.project.said.states
    first = plan.layout.placed[groups[0][0]]
    for group in groups[1:]:
        now = plan.layout.placed[group[0]]
        inside = {p.name for p in now}
        before = {p.name for p in first}
        gone = _gone(first, now)
        told = {
            "outside": [p.name for p in gone if p.name not in inside],
            "moved": [p.name for p in gone if p.name in inside],
            "inside as well": [p.name for p in now if p.name not in before],
        }
        said = "; ".join(f"{', '.join(names)} {word}" for word, names in told.items() if names)
        yield f"{when(group, states).capitalize()}: {said}."


def _best_shown(row: Row) -> tuple[bool, ...]:
    """Return which are best as far as the texts tell: what reads alike is marked alike, and not where all do."""
    texts = {cell for cell, best in zip(row.cells, row.best, strict=True) if best}
    return tuple(cell in texts and len(set(row.cells)) > 1 for cell in row.cells)


def _best(lines: Sequence[Line], number: int) -> Iterator[str]:
    """Yield in which lines it is best and no other is."""
    alone = [f"{one.name} {one.cells[number]}" for one in lines if one.best[number] and sum(one.best) == 1]
    if alone:
        yield f"Best of all: {'; '.join(alone)}."


def _stands(plan: Plan, tried: Tried) -> tuple[Figure, str] | None:
    """Return the tallest of the people, to stand beside the pictures."""
    people = plan.layout.people
    if not people:
        return None
    tallest = max(people, key=lambda person: person.stature)
    figure = Figure(
        name=tallest.name, does="stand", at=(0.0, 0.0, 0.0), toward=(1.0, 0.0), body=body_of(tallest, shares_of(plan))
    )
    said = format_length(tallest.stature, tried.project.said.units, unit_sign=True)
    return figure, f"{tallest.name}, {said} tall"


def _csv(tried: Tried, rows: Sequence[Row]) -> bytes:
    """Return the table: a row a measure with the texts of all arrangements, and which are best."""
    header = ["measure", *(f"{i + 1}: {name}" for i, name in enumerate(tried.names)), "best"]
    body = [
        [row.name, *row.cells, ", ".join(str(i + 1) for i, best in enumerate(row.best) if best)] for row in rows
    ]  # fmt: skip
    return csv_table([header, *body])
