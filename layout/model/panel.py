"""Panels: the flat pieces that furniture is made of."""

from __future__ import annotations

from dataclasses import dataclass

from layout.model.cutting import Grain
from layout.model.solid import Solid


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """A material as the furniture sees it: the real thickness in mm and the density in kg/m³."""

    material: str
    thickness: float
    density_kg_m3: float

    def mass_kg(self, length: float, width: float) -> float:
        """Return the mass of a panel of `length` x `width` mm: volume x density, kg."""
        return length * width * self.thickness * self.density_kg_m3 * 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Panel:
    """One flat piece of a unit: finished size in mm, face grain, and where it stands in the unit.

    `solid` is the piece in the unit's own axes. `grain`: ``along`` its length, ``across`` it or ``free``.
    """

    name: str
    sheet: Sheet
    length: float
    width: float
    grain: Grain
    solid: Solid

    @property
    def mass_kg(self) -> float:
        """Return the mass, kg."""
        return self.sheet.mass_kg(self.length, self.width)
