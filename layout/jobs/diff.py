"""The verb ``diff``: from one project to another, what changes, what is used again, and what it costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

from layout.building.changes import Changes, changes
from layout.building.fixings import BAND, GLUE, fixings
from layout.building.order import grouped
from layout.building.reuse import Reuse, reuse
from layout.cutting.effort import Effort
from layout.cutting.lengths.engine import plan_bars
from layout.errors import Fault, InputError, NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.jobs import cut
from layout.jobs.building import bars_on_sale, lengths_of
from layout.jobs.cut_lengths import lengths_missing
from layout.jobs.diff_stock import Offcuts, offcuts
from layout.jobs.load import Plan, load
from layout.jobs.panels import job_of, parts_of
from layout.model.cutting import CutPlan, Part, Stock
from layout.model.lengths import Bar, BarJob, BarPlan
from layout.model.thing import Thing

Made = TypeVar("Made")
# What cannot be taken off again.
USED_UP = (GLUE, BAND)


@dataclass(frozen=True, kw_only=True)
class Cutting:
    """What is cut for some units: sheets and bars, each None where none is needed."""

    sheets: CutPlan | None = None
    bars: BarPlan | None = None

    @property
    def cost(self) -> float:
        """Return the price of all sheets and bars."""
        return (self.sheets.cost if self.sheets else 0.0) + (self.bars.cost if self.bars else 0.0)


@dataclass(frozen=True, kw_only=True)
class Diff:
    """Two plans, what is otherwise in the new one, and how the old units become the new ones.

    `all_new` is the cutting of the units that are new or made differently, were all their wood new; `cutting` that of
    what is left to cut, with what is left of the old units as offcuts. Both are None where nothing is cut.
    """

    old: Plan
    new: Plan
    changes: Changes
    reuse: Reuse
    offcuts: Offcuts
    all_new: Cutting | None
    cutting: Cutting | None

    @cached_property
    def hardware(self) -> tuple[tuple[str, int], ...]:
        """Return what is to be bought of each item of hardware; less than nothing is left over."""
        had, needed = (_hardware(plan, self.reuse.stays) for plan in (self.old, self.new))
        return tuple(
            (item, needed[item] - (0 if item in USED_UP else had[item]))
            for item in sorted({*had, *needed})
            if needed[item] != (0 if item in USED_UP else had[item])
        )

    @property
    def missing(self) -> tuple[str, ...]:
        """Return a sentence for every part for which the sheets and bars do not do."""
        if self.cutting is None:
            return ()
        sheets = cut.missing(self.cutting.sheets, self.new.project.said.units) if self.cutting.sheets else ()
        return (*sheets, *(lengths_missing(self.cutting.bars) if self.cutting.bars else ()))


def diff(old: str, new: str, effort: Effort, *, anyway: bool = False) -> Diff:
    """Return what is otherwise in the project file `new` than in `old`; nothing is cut for a new plan that fails.

    Raises
    ------
    InputError
        With every fault of both files, and where the sheets or bars of the new one do not do.
    """
    before, after = _both(old, new)
    again = reuse(_built(before), _built(after), _kerf(after))
    left = offcuts(after, again)
    all_new = cutting = None
    if anyway or not after.fails:
        fresh = [thing for thing in _built(after) if thing.name not in again.stays]
        cutting = _cutting(after, _still(fresh, again), left, effort)
        all_new = _cutting(after, fresh, Offcuts(), effort)
    return Diff(
        old=before, new=after, changes=changes(before.layout, after.layout), reuse=again, offcuts=left,
        all_new=all_new, cutting=cutting,
    )  # fmt: skip


def _both(old: str, new: str) -> tuple[Plan, Plan]:
    if old == new == "-":
        raise InputError([Fault("diff", 0, 0, "", "only one of the two files can be standard input")])
    faults: list[Fault] = []
    plans: list[Plan] = []
    for path in (old, new):
        try:
            plans.append(load(path))
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(list(dict.fromkeys(faults)))
    return plans[0], plans[1]


def _built(plan: Plan) -> tuple[Thing, ...]:
    return tuple(thing for thing in plan.layout.things if thing.panels or thing.battens)


def _kerf(plan: Plan) -> float:
    workshop = plan.project.said.workshop
    return workshop.kerf if workshop else 0.0


def _still(things: Sequence[Thing], again: Reuse) -> list[Thing]:
    """Return the things with only those pieces that are still to be cut."""
    panels = {(wood.unit, id(wood.panel)) for wood in again.to_cut}
    battens = {(stick.unit, id(stick.batten)) for stick in again.sticks_to_cut}
    return [
        replace(
            thing, panels=tuple(p for p in thing.panels if (thing.name, id(p)) in panels),
            battens=tuple(b for b in thing.battens if (thing.name, id(b)) in battens),
        )
        for thing in things
    ]  # fmt: skip


def _cutting(plan: Plan, things: Sequence[Thing], left: Offcuts, effort: Effort) -> Cutting:
    parts, lengths = parts_of(things), lengths_of(things)
    workshop = plan.project.said.workshop
    sheets = bars = None
    if parts:
        sheets = _placed(plan, "sheets", lambda: _sheets(plan, parts, left.stocks, effort))
    if lengths and workshop is not None:
        offered: tuple[Bar, ...] = (*bars_on_sale(workshop), *left.bars)
        job = BarJob(parts=lengths, bars=offered, kerf=workshop.kerf)
        bars = _placed(plan, "bars", lambda: plan_bars(job, effort.seconds))
    return Cutting(sheets=sheets, bars=bars)


def _sheets(plan: Plan, parts: tuple[Part, ...], left: tuple[Stock, ...], effort: Effort) -> CutPlan:
    job = job_of(plan)
    return cut.solve(replace(job, parts=parts, stocks=(*job.stocks, *left)), effort)


def _placed(plan: Plan, key: str, work: Callable[[], Made]) -> Made:
    """Return what `work` returns; what the workshop cannot do becomes a fault with its place in the new file."""

    def told() -> Made:
        try:
            return work()
        except (PartTooLargeError, NotEnoughSheetsError) as error:
            raise ValueFaultError(("workshop", key), str(error)) from None
        except ValueFaultError as error:
            path = error.path if error.path[0] not in ("parts", key) else (key,)
            raise ValueFaultError(("workshop", *path), error.text) from None

    return plan.project.placing_faults(told)


def _hardware(plan: Plan, stays: Sequence[str]) -> Counter[str]:
    """Return the hardware of the units of a plan that do not stay as they are, by item."""
    counts: Counter[str] = Counter()
    for units in grouped([thing for thing in plan.layout.things if thing.name not in stays]).values():
        for hardware in fixings(units, plan.project.rules):
            counts[hardware.item] += hardware.count
    return counts
