"""What cutting to length takes and gives: parts and bars in, a plan of cross-cuts per bar and its proof out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Length:
    """A batten, profile or tube that the saw must produce `count` times, `length` in mm.

    `unit` names the piece of furniture that it belongs to, for labels.
    """

    name: str
    material: str
    length: float
    count: int = 1
    unit: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """A bar that can be had: length in mm, price each in the project's currency, count None = unlimited.

    `offcut`: left from an earlier job, so it is on hand, counted, and costs nothing.
    """

    name: str
    material: str
    length: float
    price: float = 0.0
    count: int | None = None
    offcut: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class BarJob:
    """The whole question: parts, bars, the saw's kerf and the trim taken off each end of every bar (mm).

    The trim includes the kerf of its own cut. A leftover of at least `smallest_offcut` mm is worth keeping.
    """

    parts: tuple[Length, ...]
    bars: tuple[Bar, ...]
    kerf: float = 3.0
    trim: float = 0.0
    smallest_offcut: float = 300.0


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPiece:
    """A piece on a bar: `at` is its start in mm from the bar's own end, where the first trim is taken off."""

    part: str
    at: float
    length: float


@dataclass(frozen=True, kw_only=True, slots=True)
class CutBar:
    """One bar to cut: `number` counts within its material from 1, `pieces` in the order in which they are cut.

    `leftover` is the good length in mm beyond the last kerf, without the trim of the far end; a remainder no
    longer than the kerf is sawdust, so 0.
    """

    number: int
    stock: Bar
    pieces: tuple[CutPiece, ...]
    leftover: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Weights:
    """Points that prove a bound: `worth` for one piece of each part, `most` that any filling of a bar is worth.

    All pieces together are worth so many points, so the bars of a plan must have room for as many: that rules
    out every choice of bars with less. Both are whole numbers, by name of the part and of the bar.
    """

    worth: tuple[tuple[str, int], ...]
    most: tuple[tuple[str, int], ...]
    reason: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class TriedBars:
    """A choice of bars, by name and count, on which all but `missing` pieces cannot be laid: all ways were tried."""

    bars: tuple[tuple[str, int], ...]
    missing: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class BarProof:
    """All that is needed to check a bound again: points, and choices of bars that were tried out."""

    weights: tuple[Weights, ...] = ()
    tried: tuple[TriedBars, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class BarMaterial:
    """All bars of one material, and what is known of better plans.

    Plans are ordered by pieces missing, then cost, then bars to buy, then all bars. `unplaced` names the pieces
    for which the bars on hand did not do, each as often as it is missing; no plan misses fewer than
    `fewest_missing`. Of the plans that miss no more than this one, none costs less than `least_cost` and none
    takes fewer than `fewest_bars` bars. `proven`: no plan comes before this one. `why` says so in plain words.
    """

    material: str
    bars: tuple[CutBar, ...]
    cost: float
    least_cost: float
    fewest_bars: int
    proven: bool
    fewest_missing: int = 0
    unplaced: tuple[str, ...] = ()
    why: str = ""
    proof: BarProof = BarProof()


@dataclass(frozen=True, kw_only=True, slots=True)
class BarPlan:
    """The refereed answer to a `BarJob`, a material after another in the order of the job."""

    job: BarJob
    materials: tuple[BarMaterial, ...]

    @property
    def cost(self) -> float:
        """Return the price of all bars, in the currency of the stock."""
        return sum(material.cost for material in self.materials)

    @property
    def proven(self) -> bool:
        """Return whether no plan is better, for every material."""
        return all(material.proven for material in self.materials)

    @property
    def unplaced(self) -> tuple[str, ...]:
        """Return the names of the pieces that the bars on hand do not yield, each as often as it is missing."""
        return tuple(name for material in self.materials for name in material.unplaced)
