"""Masses: kilograms inside, kg or lb at the border."""

from __future__ import annotations

import re
from fractions import Fraction

# Exact by definition: 1 lb = 0.453 592 37 kg (NIST SP 811, appendix B.8).
KG_PER: dict[str, Fraction] = {
    "kg": Fraction(1),
    "g": Fraction(1, 1000),
    "lb": Fraction(45359237, 100_000_000),
    "lbs": Fraction(45359237, 100_000_000),
}
HOW = "write for instance 14, 14 kg, 850 g or 31 lb"
_MASS = re.compile(r"(-?\d{1,7}(?:\.\d{1,6})?)\s*([a-z]+)?", re.ASCII)


def parse_mass(text: str, default_unit: str = "kg") -> Fraction:
    """Return the mass that `text` says, in kilograms, exactly; a bare number is in `default_unit`.

    Raises
    ------
    ValueError
        When the text is not a mass.
    """
    match = _MASS.fullmatch(text.strip().lower())
    if match is None:
        raise ValueError(f"cannot read {text[:60]!r} as a mass; {HOW}")
    unit = match[2] or default_unit
    if unit not in KG_PER:
        raise ValueError(f"unknown unit {unit!r} in {text!r}; use kg, g or lb")
    return Fraction(match[1]) * KG_PER[unit]


def format_mass(kg: float, units: str = "kg") -> str:
    """Return `kg` with one decimal, in kg or, when `units` is ``in`` or ``ft``, in lb."""
    if units in ("in", "ft"):
        return f"{kg / float(KG_PER['lb']):.1f} lb"
    return f"{kg:.1f} kg"
