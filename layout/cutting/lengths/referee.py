"""The referee of bars: proves from the plan alone that it can be sawn and that its claims hold.

It shares no code with the search: its own arithmetic, its own search for better choices of bars.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from layout.cutting.lengths.referee_proof import TOO_LONG, claim_faults
from layout.errors import RefereeError
from layout.model.lengths import BarJob, BarMaterial, BarPlan, CutBar, Length

# The grid on which plans are made: an eighth of a micrometre. A float may miss a place on it by a little.
_STEP = Fraction(1, 8000)
_MISS = Fraction(1, 1000)


def require(plan: BarPlan) -> None:
    """Do nothing when the plan keeps every rule and its claims hold.

    Raises
    ------
    RefereeError
        Otherwise, with every broken rule.
    """
    broken = referee(plan)
    if broken:
        raise RefereeError("the plan of bars breaks its own rules:\n" + "\n".join(broken))


def referee(plan: BarPlan) -> tuple[str, ...]:
    """Return a sentence for every rule that the plan breaks; nothing for a plan that can be sawn as it is."""
    return tuple(_faults(plan))


def too_long_to_check(job: BarJob, material: BarMaterial) -> bool:
    """Return whether the proof of a material is too long to be checked again, so that its claims do not count."""
    return any(TOO_LONG in fault for fault in claim_faults(job, material))


def _faults(plan: BarPlan) -> Iterator[str]:
    wanted = list(dict.fromkeys(part.material for part in plan.job.parts))
    found = [material.material for material in plan.materials]
    if found != wanted:
        yield f"the materials are {found}, the job asks for {wanted}"
    for material in plan.materials:
        name = material.material
        yield from (f"{name}: {fault}" for fault in _material(plan.job, material))
        for bar in material.bars:
            yield from (f"{name}, bar {bar.number}: {fault}" for fault in _bar(plan.job, name, bar))
        # Claims are about sound plans: of a broken one they mean nothing.
    yield from _counts(plan)
    yield from _stock_counts(plan)
    for material in plan.materials:
        yield from (f"{material.material}: {fault}" for fault in claim_faults(plan.job, material))


def _material(job: BarJob, material: BarMaterial) -> Iterator[str]:
    numbers = [bar.number for bar in material.bars]
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"the bars are numbered {numbers}"
    cost = math.fsum(bar.stock.price for bar in material.bars)
    if not math.isclose(cost, material.cost, rel_tol=1e-12, abs_tol=1e-9):
        yield f"the bars cost {cost}, the plan says {material.cost}"
    strangers = set(material.unplaced) - {part.name for part in job.parts if part.material == material.material}
    if strangers:
        yield f"{sorted(strangers)} are called missing, but are no parts of it"


def _bar(job: BarJob, material: str, bar: CutBar) -> Iterator[str]:
    if bar.stock.material != material:
        yield f"is a bar of {bar.stock.material}"
    numbers = [bar.leftover, *(mm for piece in bar.pieces for mm in (piece.at, piece.length))]
    rough = [mm for mm in numbers if not _on_grid(mm)]
    if rough:
        yield f"the numbers {rough} are off the grid"
        return
    if not bar.pieces:
        yield "nothing is cut from it"
    yield from _places(job, {part.name: part for part in job.parts if part.material == material}, bar)


def _places(job: BarJob, parts: dict[str, Length], bar: CutBar) -> Iterator[str]:
    """Walk along the bar: the first piece starts after the trim, each next a kerf after the one before."""
    kerf, trim, far = _up(job.kerf), _up(job.trim), _down(bar.stock.length) - _up(job.trim)
    start, end = trim, trim
    for piece in bar.pieces:
        if _near(piece.at) != start:
            yield f"part {piece.part!r} starts at {piece.at} mm, not at {float(start * _STEP)} mm"
        if piece.part not in parts:
            yield f"part {piece.part!r} is none of this material"
        elif _near(piece.length) != _up(parts[piece.part].length):
            yield f"part {piece.part!r} is {piece.length} mm long, wanted {parts[piece.part].length} mm"
        end = start + _near(piece.length)
        start = end + kerf
    if end > far:
        yield f"the pieces end at {float(end * _STEP)} mm, the good length at {float(far * _STEP)} mm"
    elif _near(bar.leftover) != max(0, far - start):
        yield f"the leftover is {bar.leftover} mm, not {float(max(0, far - start) * _STEP)} mm"


def _counts(plan: BarPlan) -> Iterator[str]:
    pieces = Counter(piece.part for material in plan.materials for bar in material.bars for piece in bar.pieces)
    missing = Counter(plan.unplaced)
    for part in plan.job.parts:
        times, lacking = pieces.pop(part.name, 0), missing.pop(part.name, 0)
        if times + lacking != part.count:
            yield f"part {part.name!r} is cut {times} times and missing {lacking} times, wanted {part.count}"
    yield from (f"part {name!r} is cut {times} times, but nobody asked for it" for name, times in pieces.items())


def _stock_counts(plan: BarPlan) -> Iterator[str]:
    used = Counter(bar.stock for material in plan.materials for bar in material.bars)
    for stock, times in used.items():
        if stock not in plan.job.bars:
            yield f"bar {stock.name!r} of {stock.material} is used {times} times, but is not in the job"
        elif stock.count is not None and times > stock.count:
            yield f"bar {stock.name!r} of {stock.material} is used {times} times, but {stock.count} are on hand"


def _on_grid(mm: float) -> bool:
    return math.isfinite(mm) and abs(Fraction(mm) / _STEP - _near(mm)) <= _MISS


def _near(mm: float) -> int:
    return round(Fraction(mm) / _STEP)


def _up(mm: float) -> int:
    return math.ceil(Fraction(mm) / _STEP - _MISS)


def _down(mm: float) -> int:
    return math.floor(Fraction(mm) / _STEP + _MISS)
