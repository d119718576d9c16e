"""What a changed job would take: the same question asked again with one thing different."""

from __future__ import annotations

import math
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.cutting import CutJob, EdgeTrim, MaterialPlan, Part, Stock

Side = Literal["length", "width"]
Sides = tuple[tuple[str, Side], ...]
_SIDES: tuple[Side, ...] = ("length", "width")

# So many changed sizes are tried for a material, fewer for more pieces, since each try takes longer: a budget in
# tries and not in seconds, so that the same job gets the same advice.
_MOST_TRIES, _FEWEST_TRIES, _WORK = 48, 8, 60_000
# What must be left of a side that is made smaller, mm.
_LEAST_SIDE = 20.0
_CENT = 1e-9


class StoppedError(Exception):
    """A person stopped it or the time is up, so no further changed job is begun; never leaves this package."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Patience:
    """The effort for every changed job, and the clock's time (``perf_counter``) at which all must be done, if any."""

    effort: Effort
    until: float | None = None

    @classmethod
    def of(cls, effort: Effort) -> Patience:
        """Return the patience for changed jobs: each gets quick effort, all together the seconds of `effort`."""
        until = None if effort.seconds is None else time.perf_counter() + effort.seconds
        return cls(effort=replace(effort, level="quick", seconds=None), until=until)

    def left(self) -> Effort:
        """Return the effort for one more changed job.

        Raises
        ------
        StoppedError
            When no time is left.
        """
        if self.until is None:
            return self.effort
        seconds = self.until - time.perf_counter()
        if seconds <= 0:
            raise StoppedError
        return replace(self.effort, seconds=seconds)


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """What a changed job takes: its cost in the stock's currency, and its sheets."""

    cost: float
    sheets: int

    def saves_on(self, plan: MaterialPlan) -> bool:
        """Return whether it costs less than `plan`, or as much on fewer sheets."""
        return self.cost < plan.cost - _CENT or (self.cost <= plan.cost + _CENT and self.sheets < len(plan.sheets))


@dataclass(frozen=True, kw_only=True, slots=True)
class Shrink:
    """Sides of some parts, all `mm` long, that must lose only `less` mm for a cheaper plan."""

    sides: Sides
    mm: float
    less: float
    found: Found


def grain_free(job: CutJob, plan: MaterialPlan, patience: Patience) -> Found | None:
    """Return what the plan's material takes if every part may lie either way; None when no part is bound."""
    parts = _parts(job, plan.material)
    if all(part.grain == "free" or part.length == part.width for part in parts):
        return None
    return _solved(job, tuple(replace(part, grain="free") for part in parts), patience)


def alone(job: CutJob, plan: MaterialPlan, stock: Stock, patience: Patience) -> Found | None:
    """Return what the material takes from that size of sheet alone, as many as needed; None when it cannot be."""
    only = replace(job, stocks=(replace(stock, count=None),))
    return _solved(only, _parts(job, plan.material), patience)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shrinks:
    """What was found of smaller sides; `finished` when every side that could save was tried."""

    found: tuple[Shrink, ...] = ()
    finished: bool = True


def shrinks(job: CutJob, plan: MaterialPlan, most: float, step: float, patience: Patience) -> Shrinks:
    """Return the sides that need only lose a little, up to `most` mm in steps of `step`, for a cheaper plan.

    Many dimensions are made smaller together first: where that saves nothing, neither does any one of them
    alone, so a few tries leave the few dimensions that matter. Of these, all sides of one dimension together, and
    then each size of part alone, are made as little smaller as will do. What the areas rule out is not searched.
    """
    parts = _parts(job, plan.material)
    search = _Search(job=job, plan=plan, parts=parts, patience=patience, steps=_steps(most, step))
    dimensions = {mm: sides for mm, sides in _dimensions(parts).items() if mm - most >= _LEAST_SIDE}
    found: list[Shrink] = []
    for mm in search.worth_it(dimensions):
        found += _of_dimension(search, mm, dimensions[mm])
    return Shrinks(found=tuple(found), finished=not search.short)


def _of_dimension(search: _Search, mm: float, together: Sides) -> list[Shrink]:
    """Return what single sizes of part must lose, and what all of the dimension must, where that is less."""
    shared = search.least(together, mm)
    sizes = _by_size(search.parts, together)
    own = [search.least(sides, mm) for sides in sizes] if len(sizes) > 1 else []
    alone_ = [shrink for shrink in own if shrink is not None]
    shared_is_less = shared is not None and all(shared.less < shrink.less for shrink in alone_)
    return [*alone_, shared] if shared is not None and shared_is_less else alone_


@dataclass(kw_only=True, slots=True)
class _Search:
    """Asks for ever smaller changes; `short` once the tries were used up before all was asked."""

    job: CutJob
    plan: MaterialPlan
    parts: tuple[Part, ...]
    patience: Patience
    steps: Sequence[float]
    asked: dict[tuple[Sides, float], Found | None] = field(default_factory=dict)
    short: bool = False

    def worth_it(self, dimensions: Mapping[float, Sides]) -> list[float]:
        """Return the dimensions, in order, that save when they alone lose the most; found by halving groups."""
        good: list[float] = []
        waiting = [list(dimensions)] if dimensions else []
        while waiting:
            group = waiting.pop()
            sides = tuple(side for mm in group for side in dimensions[mm])
            if self._saving(sides, self.steps[-1]) is None:
                continue
            if len(group) == 1:
                good += group
                continue
            half = len(group) // 2
            waiting += [group[half:], group[:half]]
        return good

    def least(self, sides: Sides, mm: float) -> Shrink | None:
        """Return the smallest change of these sides that saves, by halving; None when the largest does not."""
        low, high = 0, len(self.steps)
        found = self._saving(sides, self.steps[-1])
        if found is None:
            return None
        while high - low > 1:
            middle = (low + high) // 2
            smaller = self._saving(sides, self.steps[middle - 1])
            low, high, found = (low, middle, smaller) if smaller else (middle, high, found)
        return Shrink(sides=sides, mm=mm, less=self.steps[high - 1], found=found)

    def _saving(self, sides: Sides, less: float) -> Found | None:
        parts = tuple(_smaller(part, sides, less) for part in self.parts)
        if (sides, less) in self.asked:
            return self.asked[sides, less]
        if not _may_save(self.job, parts, self.plan):
            return None
        if len(self.asked) >= self._most():
            self.short = True
            return None
        found = _solved(self.job, parts, self.patience)
        self.asked[sides, less] = found if found is not None and found.saves_on(self.plan) else None
        return self.asked[sides, less]

    def _most(self) -> int:
        pieces = sum(part.count for part in self.parts)
        return max(_FEWEST_TRIES, min(_MOST_TRIES, _WORK // max(1, pieces) ** 2))


def _steps(most: float, step: float) -> list[float]:
    whole = [i * step for i in range(1, math.floor(most / step + _CENT) + 1)]
    return whole if whole and most - whole[-1] < _CENT else [*whole, most]


def _parts(job: CutJob, material: str) -> tuple[Part, ...]:
    return tuple(part for part in job.parts if part.material == material)


def _dimensions(parts: Sequence[Part]) -> dict[float, Sides]:
    """Return the sides of each length, those of the largest area first, since they save most."""
    found: dict[float, list[tuple[str, Side]]] = {}
    area: dict[float, float] = {}
    for part in parts:
        for side in _SIDES:
            mm = round(getattr(part, side), 3)
            found.setdefault(mm, []).append((part.name, side))
            area[mm] = area.get(mm, 0.0) + part.count * part.length * part.width / mm
    return {mm: tuple(found[mm]) for mm in sorted(found, key=lambda mm: (-area[mm], mm))}


def _by_size(parts: Sequence[Part], sides: Sequence[tuple[str, Side]]) -> list[Sides]:
    """Return the sides in groups of parts of one size, which are made smaller together."""
    sizes = {part.name: (part.length, part.width, part.grain) for part in parts}
    groups: dict[tuple[float, float, str, Side], list[tuple[str, Side]]] = {}
    for name, side in sides:
        groups.setdefault((*sizes[name], side), []).append((name, side))
    return [tuple(group) for group in groups.values()]


def _smaller(part: Part, sides: Sequence[tuple[str, Side]], less: float) -> Part:
    length = part.length - less if (part.name, "length") in sides else part.length
    width = part.width - less if (part.name, "width") in sides else part.width
    return replace(part, length=length, width=width)


def _may_save(job: CutJob, parts: Sequence[Part], plan: MaterialPlan) -> bool:
    """Return whether the areas leave room for a cheaper plan, or for one with fewer sheets.

    Any two pieces of a sheet lie a kerf apart, so with a kerf added to two edges of every piece and of the sheet
    the pieces still do not overlap, and their areas can be summed. Every cost is a sum of whole prices, so a
    floor under it may be raised to the next multiple of what divides all of them.
    """
    kerf = min(job.kerf, job.shop.kerf) if job.shop else job.kerf
    area = math.fsum(part.count * (part.length + kerf) * (part.width + kerf) for part in parts)
    offers = [(_area(stock, job, kerf), stock) for stock in job.stocks if stock.material == plan.material]
    offers = [(room, stock) for room, stock in offers if room > 0]
    fewest = math.ceil(area / max(room for room, _ in offers) - _CENT) if offers else 0
    return _floor(area, offers) < plan.cost - _CENT or fewest < len(plan.sheets)


def _floor(area: float, offers: Sequence[tuple[float, Stock]]) -> float:
    """Return a cost that no choice of sheets of so much area in total goes below: the cheapest area first."""
    cost, left = 0.0, area
    for room, stock in sorted(offers, key=lambda offer: offer[1].price / offer[0]):
        taken = left if stock.count is None else min(left, room * stock.count)
        cost, left = cost + taken * stock.price / room, left - taken
    # Prices are decimal fractions: the shortest text of the float is the price as it was written.
    prices = [Fraction(str(stock.price)) for _, stock in offers if stock.price > 0]
    if not prices:
        return 0.0
    whole = math.lcm(*(price.denominator for price in prices))
    unit = math.gcd(*(int(price * whole) for price in prices)) / whole
    return math.ceil(cost / unit - 1e-6) * unit


def _area(stock: Stock, job: CutJob, kerf: float) -> float:
    trim = stock.trim or EdgeTrim(left=job.trim, right=job.trim, bottom=job.trim, top=job.trim)
    length = stock.length - trim.left - trim.right + kerf
    width = stock.width - trim.bottom - trim.top + kerf
    return length * width if min(length, width) > 0 else 0.0


def _solved(job: CutJob, parts: tuple[Part, ...], patience: Patience) -> Found | None:
    """Return what these parts take from the job's sheets; None when a part has no room.

    Raises
    ------
    StoppedError
        When a person stopped it, or no time is left.
    """
    effort = patience.left()
    try:
        [plan] = plan_cuts(replace(job, parts=parts), effort).materials
    except (PartTooLargeError, NotEnoughSheetsError):
        return None
    if plan.ended == "stopped":
        raise StoppedError
    return None if plan.unplaced else Found(cost=plan.cost, sheets=len(plan.sheets))
