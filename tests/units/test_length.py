"""Lengths are read exactly and written back as people read them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.units.length import exact_length, format_length, parse_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("610", 610), ("610 mm", 610), ("61 cm", 610), ("0.6 m", 600), ("24 in", "609.6"), ('23 5/8"', "600.075"),
        ("23-5/8 in", "600.075"), ("6' 2 1/2\"", "1892.3"), ("6 ft 2 in", "1879.6"), ("6′2″", "1879.6"),
        ("½ in", "12.7"), ('5½"', "139.7"), ("-30 mm", -30), ("1 1/2 inch", "38.1"), ("6 ft", "1828.8"),
    ],
)  # fmt: skip
def test_reads_what_people_write(text: str, mm: object) -> None:
    """Every way of writing a length that the README names gives its exact value."""
    assert parse_length(text, "mm") == Fraction(str(mm))


@pytest.mark.parametrize(
    "text", ["", "-", "1e9", "nan", "inf", "1:10", "5/0 in", "6' 2", "1,5", "2 foot 3 mm", "1 2 3", "0x10", "9" * 80]
)
def test_refuses_what_is_no_length(text: str) -> None:
    """What is not a length is refused in words, never guessed at."""
    with pytest.raises(ValueError, match=r".{10}"):
        parse_length(text, "mm")


def test_bare_number_needs_units() -> None:
    """A number without a unit is an error where the file states none."""
    with pytest.raises(ValueError, match="states none"):
        parse_length("24", None)
    assert parse_length("24", "in") == Fraction("609.6")


@given(st.integers(-64 * 3000, 64 * 3000))
def test_every_64th_of_an_inch_survives(ticks: int) -> None:
    """A multiple of 1/64 in comes back exactly after being written and read."""
    length = Fraction(ticks, 64) * Fraction(127, 5)

    assert parse_length(exact_length(length)) == length


@given(st.integers(-(10**8), 10**8))
def test_every_micrometre_survives(micrometres: int) -> None:
    """A multiple of 1 µm comes back exactly after being written and read."""
    length = Fraction(micrometres, 1000)

    assert parse_length(exact_length(length)) == length


@given(st.integers(-16 * 500, 16 * 500))
def test_shown_inches_read_back(ticks: int) -> None:
    """Inches as shown, to 1/16, read back as what was shown."""
    length = Fraction(ticks, 16) * Fraction(127, 5)

    assert parse_length(format_length(float(length), "in")) == length


def test_shown_millimetres() -> None:
    """Millimetres are shown to a tenth, without needless zeros or a minus before zero."""
    assert [format_length(mm) for mm in (610.0, 610.54, -0.01, 0.25)] == ["610", "610.5", "0", "0.2"]
    assert format_length(610.0, "cm", unit_sign=True) == "61 cm"
