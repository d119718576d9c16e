"""What cutting takes and gives: parts and stock in, a tree of edge-to-edge cuts per sheet out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Grain = Literal["along", "across", "free"]
LeafKind = Literal["part", "offcut", "waste"]
Preference = Literal["offcut", "settings", "breakdown"]
Saws = Literal["home", "shop"]
Ended = Literal["proven", "budget", "time", "stopped"]
RestsOn = Literal["points", "sets"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A rectangle that the saw must produce `count` times.

    `length` and `width` in mm. `grain`: the face grain runs ``along`` the length, ``across`` it (along
    the width), or is ``free``. A sheet's grain runs along the sheet's length. `unit` names the piece of
    furniture that it belongs to, for labels. `good_face`: one face is seen, so it must lie the right way up
    for the saw. `edges`: the edges that get a band, in the owner's words.
    """

    name: str
    material: str
    length: float
    width: float
    count: int = 1
    grain: Grain = "free"
    unit: str = ""
    good_face: bool = False
    edges: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Damage:
    """A rectangle of a sheet that no part may touch: its low corner and its size, mm from the sheet's low corner."""

    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, kw_only=True, slots=True)
class EdgeTrim:
    """What is taken off each edge of a sheet, mm; 0 trusts the factory edge. Left is low x, bottom low y."""

    left: float = 0.0
    right: float = 0.0
    bottom: float = 0.0
    top: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Stock:
    """A size of sheet that can be had: mm, price each in the project's currency, count None = unlimited.

    `trim` overrides the job's trim edge by edge. `thickness` as a caliper measures it. `offcut`: left from
    an earlier job, so it is on hand and costs nothing.
    """

    name: str
    material: str
    length: float
    width: float
    price: float = 0.0
    count: int | None = None
    trim: EdgeTrim | None = None
    damage: tuple[Damage, ...] = ()
    thickness: float | None = None
    offcut: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What the shop does before the sheets go home: at most `cuts` edge-to-edge cuts a sheet.

    No piece that it saws may be narrower than `narrowest`; its blade takes `kerf`; a cut lands within
    `tolerance` of its place. At home `trim` is taken off every edge that the shop sawed, at least the
    tolerance. `car` is the largest piece that can be carried, length by width, either way round. All mm.
    """

    cuts: int
    narrowest: float = 0.0
    kerf: float = 3.2
    tolerance: float = 2.0
    trim: float = 5.0
    car: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class CutJob:
    """The whole question: parts, stock, the saw's kerf and the trim taken off every sheet edge (mm).

    `longest_cut` is what the guide takes, `smallest_hold` the least side of a piece that can be held safely
    while it is sawn. `prefer` orders what counts after cost and sheets.
    """

    parts: tuple[Part, ...]
    stocks: tuple[Stock, ...]
    kerf: float = 3.0
    trim: float = 0.0
    smallest_offcut: float = 100.0
    shop: Shop | None = None
    longest_cut: float | None = None
    smallest_hold: float | None = None
    prefer: tuple[Preference, ...] = ("offcut", "settings", "breakdown")


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """One edge-to-edge cut through a region.

    `across` says which way the distance is measured: ``length`` is a saw line at `at` mm from the
    region's low x edge, ``width`` from its low y edge. The kerf (mm) lies beyond the line. `number` is
    the place in the order of cuts of its sheet, from 1; `by` says which saw makes it.
    """

    number: int
    across: Literal["length", "width"]
    at: float
    kerf: float
    by: Saws = "home"


@dataclass(frozen=True, kw_only=True, slots=True)
class Region:
    """A rectangle of a sheet: either cut in two (`cut`, `pieces`) or a leaf (`kind`).

    x runs along the sheet's length, y along its width, both from the sheet's low corner, mm. A leaf of
    kind ``part`` has exactly the part's size; `turned` when the part's length runs along the sheet's width.
    """

    x: float
    y: float
    length: float
    width: float
    cut: Cut | None = None
    pieces: tuple[Region, ...] = ()
    kind: LeafKind | None = None
    part: str = ""
    turned: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class CutSheet:
    """One sheet to cut: `number` counts within its material from 1; `root` is the whole sheet."""

    number: int
    stock: Stock
    root: Region


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """Points for parts, and the most points that edge-to-edge cuts get out of a sheet of each stock.

    A choice of sheets with less room than all parts together have points cannot do. For `room` a sheet may
    yield any number of copies of a part, cut where wanted pieces can end; only of those in `counted` no more
    than are wanted at all.
    """

    points: tuple[tuple[str, int], ...]
    room: tuple[tuple[str, int], ...]
    counted: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class MaterialPlan:
    """All sheets of one material, and what is known of plans that would cost less.

    `bound` is a number of sheets that no plan can go below (0: unknown), `least_cost` a cost that none can go
    below; `proven` when no plan costs less than this one. `why` says in plain words why the bound holds.
    `rests_on`: both follow from the ``points`` of `proof`, or the cost from all ``sets`` of parts that a sheet can
    yield, which were tried.
    `unplaced` names the parts for which the sheets on hand did not do, each as often as it is missing.
    `tries` counts the plans compared, `seconds` the time taken, `ended` what ended the search.
    """

    material: str
    sheets: tuple[CutSheet, ...]
    cost: float
    bound: int
    proven: bool
    least_cost: float = 0.0
    why: str = ""
    proof: tuple[Proof, ...] = ()
    rests_on: RestsOn = "points"
    unplaced: tuple[str, ...] = ()
    tries: int = 0
    seconds: float = 0.0
    ended: Ended = "proven"


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPlan:
    """The refereed answer to a `CutJob`, a material after another in the order of the job."""

    job: CutJob
    materials: tuple[MaterialPlan, ...]

    @property
    def cost(self) -> float:
        """Return the price of all sheets, in the currency of the stock."""
        return sum(material.cost for material in self.materials)

    @property
    def unplaced(self) -> tuple[str, ...]:
        """Return the names of the parts that the sheets on hand do not yield, each as often as it is missing."""
        return tuple(name for material in self.materials for name in material.unplaced)
