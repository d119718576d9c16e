"""What a person does at the saw, cut after cut: the piece in hand, the fence, the turn, what falls off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal

from layout.model.cutting import Cut, CutPlan, CutSheet, Region, Saws
from layout.units.length import Unit, format_length

Edge = Literal["left", "right", "bottom", "top"]
Setting = tuple[Saws, str]

_LOW: dict[str, Edge] = {"length": "left", "width": "bottom"}
_HIGH: dict[str, Edge] = {"length": "right", "width": "top"}
# The finest inch that a tape shows.
_DENOMINATOR = 64


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One cut as it is made.

    `piece` is what is in hand: ``sheet``, or the number of the cut that freed it with ``a`` for the side
    at the low edge and ``b`` for the other. `fence` in mm from the `edge` of that piece to the blade. `turn`:
    this cut runs along the other axis than the one before it on this piece. `yields`: what falls off, each
    by the name that it will have in hand.
    """

    cut: Cut
    region: Region
    piece: str
    fence: float
    edge: Edge
    turn: bool
    yields: tuple[tuple[str, Region], ...]

    @property
    def number(self) -> str:
        """Return the number as lists and diagrams show it: the shop's cuts carry an S."""
        return f"S{self.cut.number}" if self.cut.by == "shop" else str(self.cut.number)


def steps(sheet: CutSheet) -> tuple[Step, ...]:
    """Return the cuts of a sheet in the order in which they are made."""
    return tuple(sorted(_steps(sheet.root), key=lambda step: step.cut.number))


def settings(plan: CutPlan, units: Unit) -> dict[Setting, str]:
    """Return a letter for every fence distance of each saw, by distance; the distance as `said_fence` says it.

    The shop's letters begin with an S, since its fence is another one.
    """
    distances: dict[Setting, float] = {}
    for step in _all_steps(plan):
        distances.setdefault((step.cut.by, said_fence(step, units)), step.fence)
    letters: dict[Setting, str] = {}
    for by, sign in (("shop", "S"), ("home", "")):
        ordered = sorted((mm, setting) for setting, mm in distances.items() if setting[0] == by)
        letters |= {setting: sign + _letter(i) for i, (_, setting) in enumerate(ordered)}
    return letters


def said_fence(step: Step, units: Unit) -> str:
    """Return the fence distance as a person sets it."""
    return format_length(step.fence, units, denominator=_DENOMINATOR)


def walk(root: Region) -> Iterator[Region]:
    """Yield the regions from the whole to the leaves; deep trees do not matter."""
    waiting = [root]
    while waiting:
        region = waiting.pop()
        yield region
        waiting += reversed(region.pieces)


def _all_steps(plan: CutPlan) -> Iterable[Step]:
    return (step for material in plan.materials for sheet in material.sheets for step in steps(sheet))


def _steps(root: Region) -> Iterator[Step]:
    waiting: list[tuple[Region, str, Cut | None]] = [(root, "sheet", None)]
    while waiting:
        region, piece, before = waiting.pop()
        cut = region.cut
        if cut is None:
            continue
        fence, edge = _fence(region, cut)
        yields = tuple((f"{cut.number}{side}", part) for side, part in zip("ab", region.pieces, strict=False))
        turn = before is not None and before.across != cut.across
        yield Step(cut=cut, region=region, piece=piece, fence=fence, edge=edge, turn=turn, yields=yields)
        waiting += [(part, name, cut) for name, part in yields]


def _fence(region: Region, cut: Cut) -> tuple[float, Edge]:
    """Return the distance from the fence to the blade, and the edge that lies at the fence.

    A strip of waste is sawn off beyond the blade, never pinched between blade and fence; so where only the
    side at the high edge is kept, that edge lies at the fence.
    """
    size = region.length if cut.across == "length" else region.width
    low_is_kept = cut.at > 0 and region.pieces[0].kind != "waste"
    # Beyond the line there is something to hold only if the kerf does not end the piece.
    beyond = round(size - cut.at - cut.kerf, 6)
    if low_is_kept or beyond <= 0 or region.pieces[-1].kind == "waste":
        return cut.at, _LOW[cut.across]
    return beyond, _HIGH[cut.across]


def _letter(place: int) -> str:
    before, last = divmod(place, len(ascii_uppercase))
    return (_letter(before - 1) if before else "") + ascii_uppercase[last]
