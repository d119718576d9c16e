"""Numbers of a project in the units that its lists speak."""

from __future__ import annotations

from typing import Literal

from layout.units.length import MM_PER, Unit, drawn_unit, format_length
from layout.units.mass import KG_PER


class Said:
    """Lengths and masses as numbers in the units of a project's lists: mm and kg, or inches and pounds."""

    def __init__(self, units: Unit) -> None:
        self.length_unit: Literal["mm", "in"] = drawn_unit(units)
        self.mass_unit = "lb" if self.length_unit == "in" else "kg"

    def length(self, mm: float, decimals: int = 3) -> float:
        """Return a length; in mm with so many decimals, in inches exactly enough to tell 1/64 in."""
        return round(mm / float(MM_PER[self.length_unit]), 6 if self.length_unit == "in" else decimals) + 0.0

    def mass(self, kg: float) -> float:
        """Return a mass, to a gram or a thousandth of a pound."""
        return round(kg / float(KG_PER[self.mass_unit]), 3) + 0.0

    def shown(self, mm: float) -> str:
        """Return a length as text with its unit."""
        return format_length(mm, self.length_unit, unit_sign=True)
