"""The referee's verdict on the rooms of a proof: whether a sheet can hold more points than it is said to.

First by its area and by rows of wide pieces, which costs nothing; where that does not do, all cuts are tried. Sheets
that a shop opens, and damaged ones, hold no more than the plain sheet, which is what is looked at, with the narrowest
blade. Where a room could be reckoned on a coarser scale only, and seemed to be too small there, it stays open.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from layout.cutting.referee_fit import is_plain
from layout.cutting.referee_numbers import down, factory_trims, up
from layout.cutting.referee_room import Worth, most_held
from layout.cutting.referee_sums import Size
from layout.model.cutting import CutJob, MaterialPlan, Part, Proof, Stock

Verdict = Literal["holds", "wrong", "open"]

# Sums of two numbers, for all proofs of a material; a quarter of a second or so.
_WORK = 100_000_000


def verdicts(job: CutJob, material: MaterialPlan) -> tuple[dict[str, Verdict], ...]:
    """Return for each proof what comes out for the room of each stock; the proofs must name what there is."""
    sizes, work = _Sizes(job, material.material), _WORK // max(1, len(material.proof))
    return tuple(_verdicts(sizes, proof, work) for proof in material.proof)


class _Sizes:
    """The parts and sheets of a material, a kerf added to their high edges, in steps of the grid."""

    def __init__(self, job: CutJob, material: str) -> None:
        blades = (up(job.kerf), up(job.shop.kerf)) if job.shop else (up(job.kerf),)
        self.job, self.kerf = job, min(blades)
        stocks = [stock for stock in job.stocks if stock.material == material and stock.count != 0]
        self.parts = {part.name: part for part in job.parts if part.material == material}
        self.sheets = {stock.name: self._sheet(stock) for stock in stocks}
        self.plain = [self.sheets[stock.name] for stock in stocks if is_plain(job, stock)]

    def _sheet(self, stock: Stock) -> Size:
        left, right, bottom, top = factory_trims(self.job, stock)
        length, width = down(stock.length) - left - right, down(stock.width) - bottom - top
        return max(0, length + self.kerf), max(0, width + self.kerf)

    def ways(self, part: Part) -> tuple[Size, ...]:
        """Return the ways to lay a part that its grain allows and that fit on some sheet."""
        length, width = up(part.length) + self.kerf, up(part.width) + self.kerf
        ways = {"along": {(length, width)}, "across": {(width, length)}}.get(
            part.grain, {(length, width), (width, length)}
        )
        return tuple(sorted(way for way in ways if any(_fits(way, sheet) for sheet in self.sheets.values())))

    def surely(self, worth: Worth) -> Worth:
        """Return parts with the ways that they have for sure.

        Of two ways that fit on plain sheets only where a shop or damage comes first, one need not be possible.
        """
        if len(worth.ways) == 1:
            return worth
        return replace(worth, ways=tuple(way for way in worth.ways if any(_fits(way, sheet) for sheet in self.plain)))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Claim:
    """The parts that a proof gives points, and the room that it claims for each stock."""

    worths: tuple[Worth, ...]
    rooms: dict[str, int]


def _verdicts(sizes: _Sizes, proof: Proof, work: int) -> dict[str, Verdict]:
    claim = _claim(sizes, proof)
    hard = {n: room for n, room in claim.rooms.items() if not _is_enough(claim.worths, sizes.sheets[n], room)}
    found: dict[str, Verdict] = dict.fromkeys(claim.rooms, "holds")
    found |= _reckoned(sizes, replace(claim, rooms=hard), work)
    wrong = {name: room for name, room in hard.items() if found[name] == "wrong"}
    sure = tuple(map(sizes.surely, claim.worths))
    if wrong and sure != claim.worths:
        again = _reckoned(sizes, _Claim(worths=sure, rooms=wrong), work)
        found |= {name: "wrong" if verdict == "wrong" else "open" for name, verdict in again.items()}
    return found


def _claim(sizes: _Sizes, proof: Proof) -> _Claim:
    """Return a proof with the parts that count alike taken together."""
    # A common divisor of the points divides what a sheet holds of them, so a room may be rounded down to it.
    unit = math.gcd(*(points for _, points in proof.points)) or 1
    counts = Counter[tuple[int, tuple[Size, ...], bool]]()
    for name, points in proof.points:
        if points:
            part = sizes.parts[name]
            counts[points // unit, sizes.ways(part), name in proof.counted] += part.count
    worths = tuple(Worth(points=p, ways=ways, count=n, counted=c) for (p, ways, c), n in counts.items())
    return _Claim(worths=worths, rooms={name: room // unit for name, room in proof.room if name in sizes.sheets})


def _is_enough(worths: Sequence[Worth], sheet: Size, room: int) -> bool:
    """Return whether a sheet plainly holds no more, by its area or since wide pieces lie in one row."""
    laid = [(worth.points, way) for worth in worths for way in worth.ways if _fits(way, sheet)]
    # Points are whole: what is less than one more than the room is no more than the room.
    if all(points * sheet[0] * sheet[1] < (room + 1) * way[0] * way[1] for points, way in laid):
        return True
    for axis in (0, 1):
        # No two lie side by side, so that they follow each other along the axis.
        wide = all(2 * way[1 - axis] > sheet[1 - axis] for _, way in laid)
        if wide and all(points * sheet[axis] < (room + 1) * way[axis] for points, way in laid):
            return True
    return False


def _reckoned(sizes: _Sizes, claim: _Claim, work: int) -> dict[str, Verdict]:
    """Return what trying all cuts says to each room."""
    if not claim.rooms:
        return {}
    sheets = [sizes.sheets[name] for name in claim.rooms]
    held = most_held(claim.worths, sheets, max(claim.rooms.values()), work)
    beyond: Verdict = "wrong" if held.exact else "open"
    pairs = zip(claim.rooms.items(), held.most, strict=True)
    return {name: beyond if most > room else "holds" for (name, room), most in pairs}


def _fits(way: Size, sheet: Size) -> bool:
    return way[0] <= sheet[0] and way[1] <= sheet[1]
