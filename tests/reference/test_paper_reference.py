"""Paper, scales and units of drawing files against what the standards publish."""

from __future__ import annotations

from math import sqrt

import pytest

from layout.drawing.model import Drawing
from layout.drawing.paper import paper
from layout.drawing.scales import SCALES, choose_scale, fits
from layout.export.pdf import POINT, pdf
from layout.export.svg import svg

# ISO 216:2007, main series A, trimmed sizes in mm.
ISO_216 = {"A4": (210, 297), "A3": (297, 420), "A2": (420, 594), "A1": (594, 841)}


@pytest.mark.parametrize(("name", "size"), ISO_216.items())
def test_iso_216_sizes(name: str, size: tuple[int, int]) -> None:
    """Protects the A sizes of ISO 216, and their ratio of √2 within the millimetre of rounding."""
    sheet = paper(name, "portrait")
    assert (sheet.width, sheet.height) == size
    assert sheet.height == pytest.approx(sheet.width * sqrt(2), abs=1)


def test_each_a_size_is_the_next_one_doubled() -> None:
    """Protects the halving rule of ISO 216: A1 of 594 × 841 mm is half of A0, 841 × 1189 mm."""
    a0 = (841, 1189)
    assert (paper("A1", "portrait").width, paper("A1", "portrait").height) == (a0[1] // 2, a0[0])
    for large, small in (("A1", "A2"), ("A2", "A3"), ("A3", "A4")):
        assert paper(small, "portrait").height == paper(large, "portrait").width


@pytest.mark.parametrize(("name", "inches"), [("Letter", (8.5, 11)), ("Tabloid", (11, 17))])
def test_asme_y14_1_sizes(name: str, inches: tuple[float, float]) -> None:
    """Protects sizes A and B of ANSI/ASME Y14.1, in inches of exactly 25.4 mm."""
    sheet = paper(name, "portrait")
    assert sheet.width == pytest.approx(inches[0] * 25.4)
    assert sheet.height == pytest.approx(inches[1] * 25.4)


def test_iso_5455_scales() -> None:
    """Protects the recommended reduction scales of ISO 5455 that the drawings may take."""
    assert SCALES == (1, 2, 5, 10, 20, 50, 100)


def test_iso_5457_frame() -> None:
    """Protects the frame of ISO 5457: 20 mm at the left, 10 mm elsewhere, so A3 leaves 390 mm across."""
    x0, y0, x1, y1 = paper("A3").frame
    assert (x0, y0, 420 - x1, 297 - y1) == (20, 10, 10, 10)
    assert x1 - x0 == 390


def test_a_room_of_5998_mm_goes_onto_a3_at_1_to_20() -> None:
    """Protects the hand calculation 5998/20 = 299.9 ≤ 390 < 599.8 = 5998/10."""
    assert choose_scale((5998, 1800), (390, 277)) == 20
    assert not fits((5998, 1800), (390, 277), 10)


def test_svg_unit_is_a_millimetre() -> None:
    """Protects SVG's true size: CSS fixes 1 in = 96 px = 25.4 mm, so a unit of the viewBox must be 1 mm."""
    page = Drawing(name="a", title="a", width=420, height=297, scale=None, marks=())
    head = svg(page).decode()
    assert 'width="420mm"' in head
    assert 'height="297mm"' in head
    assert 'viewBox="0 0 420 297"' in head


def test_pdf_point_is_a_72nd_of_an_inch() -> None:
    """Protects PDF's true size (ISO 32000: user space unit 1/72 in): A3 is 1190.55 × 841.89 points."""
    page = Drawing(name="a", title="a", width=420, height=297, scale=None, marks=())
    assert pytest.approx(25.4 / 72) == 1 / POINT
    box = pdf([page]).split(b"/MediaBox [")[1].split(b"]")[0].split()
    assert [float(number) for number in box] == pytest.approx([0, 0, 1190.551, 841.8898], abs=0.001)
