"""What cutting takes and gives: parts and stock in, a tree of edge-to-edge cuts per sheet out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Grain = Literal["along", "across", "free"]
LeafKind = Literal["part", "offcut", "waste"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A rectangle that the saw must produce `count` times.

    `length` and `width` in mm. `grain`: the face grain runs ``along`` the length, ``across`` it (along
    the width), or is ``free``. A sheet's grain runs along the sheet's length. `unit` names the piece of
    furniture that it belongs to, for labels.
    """

    name: str
    material: str
    length: float
    width: float
    count: int = 1
    grain: Grain = "free"
    unit: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stock:
    """A size of sheet that can be had: mm, price each in the project's currency, count None = unlimited."""

    name: str
    material: str
    length: float
    width: float
    price: float = 0.0
    count: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class CutJob:
    """The whole question: parts, stock, the saw's kerf and the trim taken off every sheet edge (mm)."""

    parts: tuple[Part, ...]
    stocks: tuple[Stock, ...]
    kerf: float = 3.0
    trim: float = 0.0
    smallest_offcut: float = 100.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """One edge-to-edge cut through a region.

    `across` says which way the distance is measured: ``length`` is a saw line at `at` mm from the
    region's low x edge, ``width`` from its low y edge. The kerf (mm) lies beyond the line. `number` is
    the place in the order of cuts of its sheet, from 1.
    """

    number: int
    across: Literal["length", "width"]
    at: float
    kerf: float


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
class MaterialPlan:
    """All sheets of one material; `bound` is a number of sheets that no plan can go below (0: unknown)."""

    material: str
    sheets: tuple[CutSheet, ...]
    cost: float
    bound: int
    proven: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPlan:
    """The refereed answer to a `CutJob`, a material after another in the order of the job."""

    job: CutJob
    materials: tuple[MaterialPlan, ...]

    @property
    def cost(self) -> float:
        """Return the price of all sheets, in the currency of the stock."""
        return sum(material.cost for material in self.materials)
