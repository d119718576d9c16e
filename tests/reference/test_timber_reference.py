"""Timber sizes of the catalogue against the published dressed sizes of softwood lumber."""

import pytest

from layout.files.catalogue import Catalogue
from layout.units.length import parse_length

# 2 x 4: American Softwood Lumber Standard PS 20-05, dressed dry, as printed at sizes.com/materials/
# lumberSoftDimen_US.htm; 2 x 2: from memory.
DRESSED = {"us-2x2": ("1 1/2 in", "1 1/2 in"), "us-2x4": ("1 1/2 in", "3 1/2 in")}


@pytest.mark.parametrize("entry", DRESSED)
def test_nominal_lumber_is_as_thick_as_it_is_dressed(entry: str) -> None:
    """What is called two by four measures 38.1 x 88.9 mm; furniture is made from what a caliper finds."""
    found = Catalogue(None).entry(f"timber/{entry}")

    assert found is not None
    assert [parse_length(str(size), "mm") for size in found["section"]] == [
        parse_length(size, "mm") for size in DRESSED[entry]
    ]
    assert float(parse_length(DRESSED["us-2x4"][1], "mm")) == pytest.approx(88.9)
