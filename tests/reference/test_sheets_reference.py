"""Sheets against published figures."""

import pytest

from layout.files.catalogue import Catalogue
from layout.model.panel import Sheet
from layout.units.length import parse_length

# Nominal mm, kg/m³, kg per 1220 x 2440: a maker's birch plywood data sheet to EN 315 (vdocuments.site/
# birch-plywood-datasheet); the sheet works with the nominal thickness.
BIRCH = [
    (4, 660, 7.9), (6.5, 670, 13.0), (9, 710, 19.0), (12, 695, 24.8), (15, 690, 30.8), (18, 685, 36.7),
    (21, 680, 42.5), (24, 680, 48.6), (27, 673, 54.1), (30, 672, 60.0),
]  # fmt: skip


@pytest.mark.parametrize(("thickness", "density", "mass"), BIRCH)
def test_mass_of_birch_sheets(thickness: float, density: float, mass: float) -> None:
    """A sheet's mass is length x width x thickness x density, as the maker's data sheet for birch plywood prints it."""
    sheet = Sheet(material="birch", thickness=thickness, density_kg_m3=density)

    assert sheet.mass_kg(2440, 1220) == pytest.approx(mass, abs=0.06)


# The same data sheet: nominal, average (lower, upper), mm.
BIRCH_THICKNESS = {"birch-9": (8.8, 9.5), "birch-12": (11.5, 12.5), "birch-15": (14.3, 15.3), "birch-18": (17.1, 18.1)}
# PS 1-19 performance categories, in (apawood-europe.org, performance category): 1/2 and 23/32.
PS1_THICKNESS = {"us-half-inch": ("0.469 in", "0.531 in"), "us-three-quarter": ("0.688 in", "0.750 in")}


def _thickness(name: str) -> float:
    entry = Catalogue(None).entry(f"sheets/{name}")
    assert entry is not None
    return float(parse_length(entry["thickness"], "mm"))


@pytest.mark.parametrize("name", BIRCH_THICKNESS)
def test_catalogue_birch_is_within_the_makers_limits(name: str) -> None:
    """The catalogue's real thickness of birch plywood lies within the maker's lower and upper limit (EN 315 data sheet)."""
    low, high = BIRCH_THICKNESS[name]

    assert low <= _thickness(name) <= high


@pytest.mark.parametrize("name", PS1_THICKNESS)
def test_catalogue_us_sheets_are_within_ps1(name: str) -> None:
    """The catalogue's real thickness of US plywood lies within its PS 1-19 category."""
    low, high = (float(parse_length(text)) for text in PS1_THICKNESS[name])

    assert low <= _thickness(name) <= high


@pytest.mark.parametrize(
    ("low", "high"),
    [(".219", ".281"), (".313", ".375"), (".344", ".406"), (".406", ".469"), (".438", ".500"), (".469", ".531"),
     (".563", ".625"), (".594", ".656"), (".688", ".750"), (".719", ".781")],
)  # fmt: skip
def test_ps1_band_is_a_sixteenth(low: str, high: str) -> None:
    """PS 1-19: up to 13/16 in the band from least to most is 1/16 in; our inches read it exactly (±0.001 in)."""
    band = parse_length(f"0{high} in") - parse_length(f"0{low} in")

    assert float(band) == pytest.approx(float(parse_length("1/16 in")), abs=0.0254)


def test_four_by_eight_feet() -> None:
    """48 x 96 in is 1219.2 x 2438.4 mm exactly (1 in = 25.4 mm, NIST SP 811 B.6); PS 1 prints it as 1220 x 2440."""
    assert (parse_length("48 in") * 10, parse_length("96 in") * 10) == (12192, 24384)
