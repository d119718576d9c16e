"""SVG, PDF and CSV: true, plain, and the same bytes every time."""

from __future__ import annotations

import csv
import re
import xml.etree.ElementTree as ET

import pytest

from layout.drawing.model import Drawing, Path, Pen, Text
from layout.drawing.text_width import font_size, text_width
from layout.export.csv_table import csv_table
from layout.export.pdf import Chapter, pdf, pdf_book, printable
from layout.export.svg import number, svg

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def drawing() -> Drawing:
    """Return a small sheet with two layers that take turns."""
    marks = (
        Path(layer="walls", points=((10, 10), (60.00004, 10), (60, 40)), closed=True, id="van"),
        Text(layer="labels", at=(20, 20), text="<bin & lid> \x07", height=3.6, id="bin 1"),
        Path(layer="walls", points=((0, 0), (1e-7, -1e-7)), pen=Pen(width=0.0, dash="dashed"), fill=1.0),
        Text(layer="labels", at=(50, 50), text="up", angle=90.0, anchor="middle"),
    )
    return Drawing(name="plan", title="plan <one>", width=100, height=80, scale=20, marks=marks)


def test_svg_groups_by_layer_with_ids(drawing: Drawing) -> None:
    """Protects those who pick layers or things out of the file by name."""
    root = ET.fromstring(svg(drawing))
    groups = root.findall(f"{SVG}g")
    assert [g.get("data-layer") for g in groups] == ["walls", "labels"]
    assert [g.get("id") for g in groups] == ["layer-walls", "layer-labels"]
    assert [len(g) for g in groups] == [2, 2]
    assert groups[0][0].get("data-id") == "van"
    assert groups[1][0].get("data-id") == "bin 1"
    assert groups[0][1].get("data-id") is None


def test_svg_turns_y_over_once(drawing: Drawing) -> None:
    """Protects the drawing from standing on its head: paper has y up, SVG has it down."""
    walls, labels = ET.fromstring(svg(drawing)).findall(f"{SVG}g")
    assert walls[0].get("d") == "M10 70 L60 70 L60 40 Z"
    assert (labels[0].get("x"), labels[0].get("y")) == ("20", "60")
    assert labels[1].get("transform") == "rotate(-90 50 30)"


def test_svg_text_is_as_high_as_said(drawing: Drawing) -> None:
    """Protects the height of lettering: a capital of the font is 1493/2048 of its size; others stand in for the font."""
    text = ET.fromstring(svg(drawing)).findall(f"{SVG}g")[1][0]
    assert float(text.get("font-size") or 0) == pytest.approx(3.6 * 2048 / 1493, abs=0.001)
    assert (text.get("font-family") or "").split(", ")[0] == "DejaVu Sans Condensed"
    assert (text.get("font-family") or "").endswith(", sans-serif")
    assert text.text == "<bin & lid>  "


def test_svg_knows_only_greys(drawing: Drawing) -> None:
    """Protects printing in black and white."""
    for colour in re.findall(rb"#([0-9a-f]{6})", svg(drawing)):
        assert colour[:2] == colour[2:4] == colour[4:]


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.0, "0"), (-0.0004, "0"), (1e-9, "0"), (12345678.0, "12345678"), (1.23456, "1.235"), (10.0, "10")],
)
def test_numbers_are_plain(value: float, text: str) -> None:
    """Protects readers of the file from exponents, minus nought and endless digits."""
    assert number(value) == text


def test_same_drawing_same_bytes(drawing: Drawing) -> None:
    """Protects comparing files between runs: no dates, no random names."""
    assert svg(drawing) == svg(drawing)
    assert pdf([drawing, drawing]) == pdf([drawing, drawing])


def test_pdf_is_printed_without_scaling(drawing: Drawing) -> None:
    """Protects true size on paper: the viewer is told not to scale; each sheet has a page and a bookmark."""
    data = pdf([drawing, drawing])
    assert b"/PrintScaling /None" in data
    assert data.count(b"/Type /Page\n") + data.count(b"/Type /Page ") == 2
    assert data.count(b"/Title (plan <one>)") == 3


def test_stand_ins_for_the_font_are_hardly_ever_wider() -> None:
    """Protects an SVG that is shown without the font: Arial has the widths of Helvetica, and words in it stay in place."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    for said in (
        "bed left upright 670.2 × 235.1",
        "100 mm: measure me after printing",
        "wheel well left",
        "1880",
    ):
        assert stringWidth(said, "Helvetica", font_size(2.5)) <= text_width(said, 2.5) * 1.02, said


def test_pdf_book_has_bookmarks_in_two_levels(drawing: Drawing) -> None:
    """Protects finding a sheet in a long file: a bookmark for each chapter and each sheet, the first level closed."""
    data = pdf_book([Chapter(title="One", drawings=(drawing,)), Chapter(title="Two", drawings=(drawing,) * 2)], "t")
    assert data.count(b"/Title (One)") == data.count(b"/Title (Two)") == 1
    assert data.count(b"/Title (plan <one>)") == 3
    assert b"/PageMode /UseOutlines" in data


def test_pdf_marks_signs_that_its_font_lacks() -> None:
    """Protects against text that vanishes without a trace."""
    assert printable("Ö × 漢 \n") == "Ö × ?  "
    assert printable("3 ⅝″ Ω Ж") == "3 ⅝″ Ω Ж"


def test_csv_texts_cannot_be_formulas() -> None:
    """Protects a person who opens a stranger's cut list in a spreadsheet."""
    data = csv_table([["=1+1", "+x", "-x", "@x", "rail", -3.5, None], ['a,"b"', "ä", 7, "", "", "", ""]])
    rows = list(csv.reader(data.decode("utf-8").splitlines()))
    assert rows[0] == ["'=1+1", "'+x", "'-x", "'@x", "rail", "-3.5", ""]
    assert rows[1][:3] == ['a,"b"', "ä", "7"]
