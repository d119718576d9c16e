"""Advice on a plan of cuts, in plain words with numbers: what would cost less, and whether a spare sheet is wise."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from layout.cutting.effort import Effort
from layout.cutting.what_if import Found, Patience, Shrink, StoppedError, alone, grain_free, shrinks
from layout.model.cutting import CutJob, CutPlan, MaterialPlan, Part, Region, Stock
from layout.model.sawing import walk
from layout.units.length import Unit, drawn_unit, format_length

About = Literal["grain", "sheet", "size", "spare"]

# Sizes are made smaller in steps of what a tape shows: a millimetre, 1/16 in.
_STEP = {"mm": 1.0, "in": 25.4 / 16}
# A part of more than this share of a sheet is worth a spare one, if no leftover could replace it.
_LARGE = 0.25


@dataclass(frozen=True, kw_only=True, slots=True)
class Advice:
    """One thing that could be otherwise: what it is about, in words, and what the sheets would then be.

    `cost` in the stock's currency; None, like `sheets`, where nothing else would be bought or it cannot be done.
    """

    about: About
    material: str
    text: str
    cost: float | None = None
    sheets: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Wording:
    """How numbers are said: the currency, the unit of lengths."""

    currency: str = ""
    units: Unit = "mm"

    def money(self, cost: float) -> str:
        """Return a price."""
        return f"{cost:.2f} {self.currency}".rstrip()

    def length(self, mm: float) -> str:
        """Return a length with its unit."""
        return format_length(mm, drawn_unit(self.units), denominator=64, unit_sign=True)

    def takes(self, cost: float, sheets: int) -> str:
        """Return a number of sheets and what they cost."""
        return f"{sheets} {'sheet' if sheets == 1 else 'sheets'}, {self.money(cost)}"


def advise(
    plan: CutPlan,
    wording: Wording = Wording(),
    *,
    less: float = 5.0,
    effort: Effort = Effort(),  # noqa: B008 (frozen, so that one default serves all)
) -> tuple[Advice, ...]:
    """Return the advice on every material, by planning the changed jobs with quick effort.

    Parameters
    ----------
    plan
        The plan to improve upon.
    wording
        How prices and lengths are said.
    less
        How much smaller a side may become, mm.
    effort
        The seed, the listener to progress, the seconds for all changed jobs together; its level is not used.
    """
    patience = Patience.of(effort)
    advice: list[Advice] = []
    for material in plan.materials:
        # Who stops a changed job keeps what was found so far, and hears at once of what needs no search.
        try:
            for one in _changed(plan, material, wording, less, patience):
                advice.append(one)
        except StoppedError:
            patience = replace(patience, until=0.0)
            advice.append(Advice(about="size", material=material.material, text=_UNFINISHED))
        advice.extend(_spare(plan.job, material))
    return tuple(advice)


_UNFINISHED = "not every change was tried"


def told(advice: Sequence[Advice]) -> str:
    """Return the advice as lines, grouped by material as it comes; nothing for none."""
    return "".join(f"{one.material}: {one.text}\n" for one in advice)


def advice_json(advice: Sequence[Advice]) -> list[dict[str, Any]]:
    """Return the advice as plain values."""
    return [
        {"about": one.about, "material": one.material, "text": one.text, "cost": one.cost, "sheets": one.sheets}
        for one in advice
    ]


def _changed(
    plan: CutPlan, material: MaterialPlan, wording: Wording, less: float, patience: Patience
) -> Iterator[Advice]:
    """Yield what changed jobs would take; nothing where parts are missing, or a person has stopped the plan itself."""
    if material.unplaced or material.ended == "stopped":
        return
    makers: tuple[tuple[str, Callable[[], Iterator[Advice]]], ...] = (
        ("grain", lambda: _grain(plan.job, material, wording, patience)),
        ("sizes of sheet", lambda: _sheets(plan.job, material, wording, patience)),
        ("sizes of part", lambda: _sizes(plan.job, material, wording, less, patience)),
    )
    for what, make in makers:
        if patience.effort.tell:
            patience.effort.tell(f"{material.material}: what if, {what}")
        yield from make()


def _grain(job: CutJob, plan: MaterialPlan, wording: Wording, patience: Patience) -> Iterator[Advice]:
    found = grain_free(job, plan, patience)
    if found is None:
        return
    if not found.saves_on(plan):
        yield Advice(about="grain", material=plan.material, text="the grain rule costs nothing, as far as was found")
        return
    now, free = wording.takes(plan.cost, len(plan.sheets)), wording.takes(found.cost, found.sheets)
    text = f"the grain rule costs {_saved(found, plan, wording)}: {now} as it is, {free} if every part may be turned"
    yield Advice(about="grain", material=plan.material, text=text, cost=found.cost, sheets=found.sheets)


def _sheets(job: CutJob, plan: MaterialPlan, wording: Wording, patience: Patience) -> Iterator[Advice]:
    """Yield what each size of sheet that can be bought would cost alone, where there is a choice."""
    offered = [stock for stock in job.stocks if stock.material == plan.material and not stock.offcut]
    if len([stock for stock in job.stocks if stock.material == plan.material]) < _CHOICE:
        return
    for stock in offered:
        found = alone(job, plan, stock, patience)
        if found is None:
            yield Advice(about="sheet", material=plan.material, text=f"{stock.name!r} alone does not hold every part")
            continue
        more = found.cost - plan.cost
        gap = f"{wording.money(abs(more))} {'more' if more > 0 else 'less'} than the plan" if more else "like the plan"
        limit = f" (you have {stock.count})" if stock.count is not None and stock.count < found.sheets else ""
        text = f"from {stock.name!r} alone: {wording.takes(found.cost, found.sheets)}, {gap}{limit}"
        yield Advice(about="sheet", material=plan.material, text=text, cost=found.cost, sheets=found.sheets)


_CHOICE = 2


def _sizes(job: CutJob, plan: MaterialPlan, wording: Wording, less: float, patience: Patience) -> Iterator[Advice]:
    step = _STEP[drawn_unit(wording.units)]
    made = shrinks(job, plan, less, step, patience)
    for shrink in made.found:
        text = f"{_shrink(shrink, wording)}: {wording.takes(shrink.found.cost, shrink.found.sheets)}"
        text += f", saves {_saved(shrink.found, plan, wording)}"
        found = shrink.found
        yield Advice(about="size", material=plan.material, text=text, cost=found.cost, sheets=found.sheets)
    if not made.finished:
        yield Advice(about="size", material=plan.material, text=_UNFINISHED)


_MOST_NAMED = 6


def _shrink(shrink: Shrink, wording: Wording) -> str:
    names = list(dict.fromkeys(name for name, _ in shrink.sides))
    named = ", ".join(repr(name) for name in names[:_MOST_NAMED])
    rest = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    sides = {side for _, side in shrink.sides}
    what = sides.pop() if len(sides) == 1 else "side"
    sizes = f"{wording.length(shrink.mm)} to {wording.length(shrink.mm - shrink.less)}"
    return f"{wording.length(shrink.less)} less on the {what} of {named}{rest} ({sizes})"


def _saved(found: Found, plan: MaterialPlan, wording: Wording) -> str:
    """Return the difference in sheets and in price, whichever there is."""
    sheets, cost = len(plan.sheets) - found.sheets, plan.cost - found.cost
    said = [f"{sheets} {'sheet' if sheets == 1 else 'sheets'}"] if sheets > 0 else []
    said += [wording.money(cost)] if round(cost, 2) > 0 else []
    return ", ".join(said)


def _spare(job: CutJob, plan: MaterialPlan) -> Iterator[Advice]:
    """Yield whether one sheet more is wise, in case a cut goes wrong."""
    if not plan.sheets:
        return
    sheet = max((sheet.stock for sheet in plan.sheets), key=lambda stock: stock.length * stock.width)
    left = [leaf for made in plan.sheets for leaf in walk(made.root) if leaf.kind == "offcut"]
    large = [part for part in job.parts if part.material == plan.material and _share(part, sheet) > _LARGE]
    lost = [part for part in large if not any(_replaces(leaf, part) for leaf in left)]
    if lost:
        worst = max(lost, key=lambda part: _share(part, sheet))
        text = (
            f"one spare sheet is wise: {worst.name!r} takes {_share(worst, sheet):.0%} of a sheet,"
            " and no leftover could replace it if a cut goes wrong"
        )
    elif large:
        text = "no spare sheet is needed: a leftover could replace each of the large parts once"
    else:
        text = "no spare sheet is needed: no part takes more than a quarter of a sheet"
    yield Advice(about="spare", material=plan.material, text=text)


def _share(part: Part, sheet: Stock) -> float:
    return part.length * part.width / (sheet.length * sheet.width)


def _replaces(leaf: Region, part: Part) -> bool:
    straight = part.length <= leaf.length and part.width <= leaf.width
    turned = part.width <= leaf.length and part.length <= leaf.width
    return (straight and part.grain != "across") or (turned and part.grain != "along")
