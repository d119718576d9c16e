"""All that one run of ``cut`` found, and how it is shown, written and told to programs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layout.cutting.advice import Advice, Wording, advice_json, advise, told
from layout.cutting.as_json import as_json
from layout.cutting.effort import Effort
from layout.cutting.lengths.as_json import as_json as lengths_json
from layout.cutting.one_sheet.plan import OneSheetPlan
from layout.jobs import cut
from layout.jobs.book import currency_of
from layout.jobs.building import building
from layout.jobs.cut_lengths import lengths_files, lengths_missing, lengths_words, solve_lengths
from layout.jobs.cut_one_sheet import as_plan, one_sheet, one_sheet_words
from layout.jobs.cut_summary import cares
from layout.jobs.cut_tables import TableJob, solve_tables
from layout.jobs.draw import Paper, options_for
from layout.jobs.load import Plan
from layout.jobs.panels import job_of, solve_plan
from layout.model.cutting import CutPlan
from layout.model.lengths import BarPlan
from layout.units.length import Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What is asked for: the effort, how much smaller parts may become (mm; None: no advice), one sheet by its name."""

    effort: Effort
    less: float | None = None
    one_sheet: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Result:
    """The plan of sheets and, where parts have no width, of bars; `one_sheet` where only one was asked for."""

    plan: CutPlan
    units: Unit
    title: str
    currency: str = ""
    bars: BarPlan | None = None
    one_sheet: OneSheetPlan | None = None
    advice: tuple[Advice, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """Return a sentence for every part for which the sheets and bars on hand do not do."""
        bars = lengths_missing(self.bars) if self.bars else ()
        return (*cut.missing(self.plan, self.units), *bars)

    @property
    def shown(self) -> str:
        """Return what is told on standard output, with the time that it took."""
        return self._words(timed=True)

    def as_json(self) -> dict[str, Any]:
        """Return everything as plain values; lengths in mm."""
        made = as_json(self.plan, timed=True)
        if self.bars:
            made["lengths"] = lengths_json(self.bars)
            made["cost"] += self.bars.cost
            made["unplaced"] += self.bars.unplaced
        if self.one_sheet:
            one = self.one_sheet
            made["one_sheet"] = {
                "value": one.value,
                "bound": one.bound,
                "proven": one.proven,
                "parts": dict(one.parts),
            }
        return {**made, "what_if": advice_json(self.advice)} if self.advice else made

    def files(self, paper: str | None) -> dict[str, bytes]:
        """Return every file by name; the same job writes the same bytes.

        Raises
        ------
        InputError
            When there is no such paper.
        """
        options = options_for(self.units, self.title, Paper(name=paper))
        said = self._words(timed=False) + "".join(f"{line}\n" for line in self.missing)
        if self.bars is None:
            return cut.files(self.plan, self.units, self.currency, options, said)
        bars = lengths_files(self.bars, self.plan, self.units, options)
        if not self.plan.materials:
            return {**bars, "cutting.txt": said.encode()}
        return {**cut.files(self.plan, self.units, self.currency, options, said), **bars}

    def _words(self, *, timed: bool) -> str:
        if self.one_sheet:
            return one_sheet_words(self.one_sheet) + cares(self.plan)
        sheets = cut.summary(self.plan, self.currency, timed=timed) if self.plan.materials else ""
        bars = lengths_words(self.bars) if self.bars else ""
        return sheets + bars + cares(self.plan) + told(self.advice)


def of_tables(asked: TableJob, units: Unit, wish: Wish) -> Result:
    """Return the result for tables of parts and sheets.

    Raises
    ------
    InputError
        With the row of what cannot be cut.
    """
    if wish.one_sheet is not None:
        made = one_sheet(asked.job, wish.one_sheet, wish.effort)
        return Result(plan=as_plan(made), units=units, title="Parts", one_sheet=made)
    plan = solve_tables(asked, wish.effort)
    bars = solve_lengths(asked, wish.effort)
    return Result(plan=plan, units=units, title="Parts", bars=bars, advice=_advice(plan, units, "", wish))


def of_project(project: Plan, wish: Wish) -> Result:
    """Return the result for the furniture of a project.

    Raises
    ------
    InputError
        With the place in the file of what cannot be cut.
    """
    units, title, currency = project.project.said.units, project.project.said.title, currency_of(project)
    if wish.one_sheet is not None:
        made = one_sheet(job_of(project), wish.one_sheet, wish.effort)
        return Result(plan=as_plan(made), units=units, title=title, currency=currency, one_sheet=made)
    bars = building(project).bars
    plan = solve_plan(project, wish.effort)
    advice = _advice(plan, units, currency, wish)
    return Result(plan=plan, units=units, title=title, currency=currency, bars=bars, advice=advice)


def _advice(plan: CutPlan, units: Unit, currency: str, wish: Wish) -> tuple[Advice, ...]:
    if wish.less is None:
        return ()
    return advise(plan, Wording(currency=currency, units=units), less=wish.less, effort=wish.effort)
