"""A plan of cuts in a few plain lines: what is bought, whether less could do, what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from layout.cutting.handling import handling
from layout.model.cutting import CutPlan, MaterialPlan
from layout.units.length import Unit, drawn_unit, format_length


def summary(plan: CutPlan, currency: str, *, timed: bool = True) -> str:
    """Return what is bought and why fewer sheets cannot do, or that it is not ruled out.

    `timed` tells the seconds that the search took; files leave them out, since the same job gives the same file.
    """
    lines = []
    for material in plan.materials:
        prices = {stock.price for stock in plan.job.stocks if stock.material == material.material}
        lines.append(_material(material, currency, one_price=len(prices) == 1, timed=timed))
    return "\n".join([*lines, f"all sheets: {_money(plan.cost, currency)}"]) + "\n"


def missing(plan: CutPlan, units: Unit) -> tuple[str, ...]:
    """Return a sentence for every part that the sheets on hand do not yield."""
    parts = {part.name: part for part in plan.job.parts}
    lengths = drawn_unit(units)
    return tuple(
        f"no room for {count} × {name!r}"
        f" ({' × '.join(format_length(mm, lengths, denominator=64) for mm in (parts[name].length, parts[name].width))}"
        f"): the sheets of {material.material!r} on hand do not do; add a sheet, or a larger count"
        for material in plan.materials
        for name, count in Counter(material.unplaced).items()
    )


def cares(plan: CutPlan) -> str:
    """Return what the plan asks of the person at the saw that is hard or not safe, a line each."""
    return "".join(f"take care: {line}\n" for line in handling(plan))


def _material(material: MaterialPlan, currency: str, *, one_price: bool, timed: bool) -> str:
    own = sum(sheet.stock.offcut for sheet in material.sheets)
    used = _sheets(len(material.sheets)) + (f" ({own} of them your own offcuts)" if own else "")
    found = f"{material.material}: {used}, {_money(material.cost, currency)}"
    known = _fewer(material) if one_price else _cheaper(material, currency)
    if material.unplaced:
        known = f"{len(material.unplaced)} pieces have no room on the sheets on hand"
    return "; ".join((found, known, *_effort(material, timed=timed)))


def _fewer(material: MaterialPlan) -> str:
    """Return what is known of plans with fewer sheets, where all sheets cost the same."""
    used, least = len(material.sheets), material.bound
    if used <= 1:
        return "nothing less will do"
    if material.proven or used <= least:
        return f"fewer than {used} is impossible{_because(material)}"
    fewest = max(least, 1)
    open_ = f"{fewest} is" if fewest == used - 1 else f"{fewest} to {used - 1} are"
    below = f", fewer than {fewest} is impossible{_because(material)}" if fewest > 1 else ""
    return f"{open_} not ruled out{below}"


def _cheaper(material: MaterialPlan, currency: str) -> str:
    """Return what is known of cheaper plans, where sheets have different prices and so their number says little."""
    if material.proven:
        return f"nothing cheaper is possible{_because(material)}"
    if material.least_cost:
        floor = _money(material.least_cost, currency)
        return f"cheaper is not ruled out, less than {floor} is impossible{_because(material)}"
    return "cheaper is not ruled out"


def _because(material: MaterialPlan) -> str:
    return f" because {material.why}" if material.why else ""


def _effort(material: MaterialPlan, *, timed: bool) -> Iterator[str]:
    seconds = f"{material.seconds:.0f} seconds" if material.seconds >= _ONE else "less than a second"
    if material.ended == "stopped":
        yield "stopped before its end: this is the best plan so far"
    elif material.ended == "time":
        yield "the time given was used up" + (f" after {seconds}" if timed else "")
    elif timed and not material.proven:
        yield f"searched {seconds}"


_ONE = 1.0


def _sheets(count: int) -> str:
    return f"{count} sheet" if count == 1 else f"{count} sheets"


def _money(cost: float, currency: str) -> str:
    return f"{cost:.2f} {currency}".rstrip()
