"""Masses are read exactly."""

from fractions import Fraction

import pytest

from layout.units.mass import format_mass, parse_mass


def test_reads_kilograms_and_pounds() -> None:
    """Kilograms, grams and pounds give their exact value; the international pound is 0.45359237 kg (NIST SP 811)."""
    assert parse_mass("14") == 14
    assert parse_mass("850 g") == Fraction(85, 100)
    assert parse_mass("31 lb") == 31 * Fraction("0.45359237")


@pytest.mark.parametrize("text", ["", "heavy", "1e3", "14 stone", "nan"])
def test_refuses_what_is_no_mass(text: str) -> None:
    """What is not a mass is refused in words."""
    with pytest.raises(ValueError, match=r"mass|unit"):
        parse_mass(text)


def test_speaks_the_units_of_the_project() -> None:
    """A project in inches hears pounds."""
    assert (format_mass(10.0, "mm"), format_mass(10.0, "in")) == ("10.0 kg", "22.0 lb")
