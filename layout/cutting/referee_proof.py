"""The referee's check of `MaterialPlan.proof`: that its points are right, and that the plan's claims follow from them.

A proof says: no sheet of a stock holds more points than its room, whichever parts edge-to-edge cuts free from it. A
choice of sheets with less room than all parts together have points cannot do; no claim of the plan may go beyond the
cheapest choice that is left.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from layout.cutting.referee_choice import Offer, has_choice
from layout.cutting.referee_fit import is_plain, may_fit
from layout.cutting.referee_numbers import walk
from layout.cutting.referee_verdict import verdicts
from layout.model.cutting import CutJob, MaterialPlan, Proof

_RESTS_ON = ("points", "sets")
# A price is taken as the nearest fraction with a denominator up to this; so the cost of a plan may differ a little.
_FINEST = 10**6
_DIFFER, _NEAR = Fraction(1, 10**10), Fraction(1, 10**9)


def proof_faults(job: CutJob, material: MaterialPlan) -> Iterator[str]:
    """Yield a sentence for every claim of a material's certificate that is wrong or does not follow."""
    case = _Case(job, material)
    faults = list(case.misread()) or list(case.sheets_beyond()) or list(case.too_small())
    yield from faults
    if material.rests_on not in _RESTS_ON:
        yield f"the bound rests on {material.rests_on!r}, which is nothing that proves it"
    elif material.rests_on == "points" and not faults:
        yield from case.claims_beyond()


class _Case:
    """A material of a job, its parts and the sheets of it that can be had."""

    def __init__(self, job: CutJob, material: MaterialPlan) -> None:
        self.job, self.material = job, material
        self.parts = {part.name: part for part in job.parts if part.material == material.material}
        self.known = {stock.name for stock in job.stocks if stock.material == material.material}
        self.stocks = {s.name: s for s in job.stocks if s.material == material.material and s.count != 0}

    def misread(self) -> Iterator[str]:
        """Yield a sentence for all that cannot be read as points, room and counted parts."""
        for number, proof in enumerate(self.material.proof, 1):
            yield from (f"proof {number}: {fault}" for fault in self._misread(proof))

    def _misread(self, proof: Proof) -> Iterator[str]:
        for what, numbers, known in (("points", proof.points, set(self.parts)), ("room", proof.room, self.known)):
            times = Counter(name for name, _ in numbers)
            yield from (f"{what} for {name!r}, which is nothing that it has" for name in times if name not in known)
            yield from (f"{what} for {name!r} twice" for name in times if times[name] > 1)
            yield from (f"{n!r} {what} for {name!r}" for name, n in numbers if type(n) is not int or n < 0)
        yield from (f"counts {name!r}, which is no part" for name in proof.counted if name not in self.parts)
        said = {name for name, _ in proof.room}
        for name, stock in self.stocks.items():
            # Whether parts fit on a sheet that a shop opens, or on a damaged one, is not known for sure.
            if name not in said and is_plain(self.job, stock) and self._is_of_use(name):
                yield f"says nothing of {name!r}, on which parts fit"

    def _is_of_use(self, name: str) -> bool:
        return any(may_fit(self.job, part, self.stocks[name]) for part in self.parts.values())

    def sheets_beyond(self) -> Iterator[str]:
        """Yield a sentence for every sheet of the plan itself that holds more points than it is said to."""
        for sheet in self.material.sheets:
            leaves = Counter(leaf.part for leaf in walk(sheet.root) if leaf.kind == "part")
            name = sheet.stock.name
            for number, proof in enumerate(self.material.proof, 1):
                held = sum(points * leaves[part] for part, points in proof.points)
                room = dict(proof.room).get(name, 0)
                if held > room:
                    yield f"proof {number}: sheet {sheet.number} holds {held} points, {name!r} is said to hold {room}"

    def too_small(self) -> Iterator[str]:
        """Yield a sentence for every stock of which a sheet can hold more points than it is said to."""
        for number, found in enumerate(verdicts(self.job, self.material), 1):
            room = dict(self.material.proof[number - 1].room)
            for name in (name for name, verdict in found.items() if verdict == "wrong"):
                yield f"proof {number}: a sheet of {name!r} holds more than {room[name]} points"

    def claims_beyond(self) -> Iterator[str]:
        """Yield a sentence for each claim that goes beyond the cheapest choice of sheets that no proof rules out."""
        plan = self.material
        wanted = [sum(n * self.parts[name].count for name, n in proof.points) for proof in plan.proof]
        rooms = [dict(proof.room) for proof in plan.proof]
        if not math.isfinite(plan.least_cost) or (plan.unplaced and not rooms):
            # With parts missing nothing is claimed of the cost, and the bound has nothing to be compared with.
            return
        if not rooms:
            # Without any points so much is sure: a sheet is needed, one on which something fits.
            wanted, rooms = [1], [dict.fromkeys(filter(self._is_of_use, self.stocks), 1)]
        offers = [
            Offer(
                price=Fraction(stock.price).limit_denominator(_FINEST),
                left=stock.count,
                room=tuple(room.get(name, 0) for room in rooms),
            )
            for name, stock in self.stocks.items()
        ]
        dearest = max((offer.price for offer in offers), default=Fraction(0))
        unsure = _NEAR + len(plan.sheets) * (Fraction(1, _FINEST) + dearest * _DIFFER)
        if has_choice(offers, wanted, Fraction(plan.least_cost) - unsure):
            yield f"no plan is said to cost less than {plan.least_cost}, which does not follow from the points"
        of_one = [Offer(price=Fraction(1), left=offer.left, room=offer.room) for offer in offers]
        if has_choice(of_one, wanted, Fraction(plan.bound)):
            yield f"no plan is said to do with fewer than {plan.bound} sheets, which does not follow from the points"
