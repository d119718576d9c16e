"""The look of a sheet against the published standards: line widths, letters, frame, title block."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from math import sqrt

import pytest

from layout.drawing.lines import line
from layout.drawing.model import (
    FRAME,
    LINE_WIDTHS,
    MEDIUM,
    NARROW,
    SMALL_TEXT,
    SMALLEST_TEXT,
    TEXT,
    TITLE_TEXT,
    WIDE,
    Drawing,
    Path,
    Text,
)
from layout.drawing.paper import centring_marks, paper
from layout.drawing.scales import SCALES, choose_scale, fits
from layout.drawing.title_block import BLOCK_WIDTH, TitleBlock, numbered, sheet_marks, sheet_room
from layout.export.svg import svg

# ISO 128-20, clause on line widths: the series in mm, in the ratio 1:√2 (from memory).
ISO_128 = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
# ISO 3098-1: heights of capitals in mm, in the ratio 1:√2 (from memory).
ISO_3098 = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)
# ISO 5457:1999, table 1: drawing space in mm of trimmed sheets; A4 upright, the others across (from memory).
ISO_5457 = {"A1": (811, 574), "A2": (564, 400), "A3": (390, 277), "A4": (180, 277)}
# ISO 7200:2004, tables 1 to 3: mandatory fields, as the sheet calls them (from memory).
ISO_7200 = {
    "legal owner": "owner",
    "identification number": "number",
    "date of issue": "date of issue",
    "sheet number": "sheet 3 of 7",
    "title": "title",
    "approval person": "approved by",
    "creator": "created by",
    "document type": "type",
}

# ISO 5455:1979, table: reductions 1:1 to 1:10000, in steps of 1, 2 and 5 with powers of ten.
ISO_5455 = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
# ISO 216:2007, table 1: trimmed sizes of the A series in mm. ANSI/ASME Y14.1: sheets A to D in inches.
ISO_216 = {"A1": (594, 841), "A2": (420, 594), "A3": (297, 420), "A4": (210, 297)}
ANSI = {"Letter": (8.5, 11), "Tabloid": (11, 17), "ANSI C": (17, 22), "ANSI D": (22, 34)}


def _sheet(name: str = "A3", way: str = "landscape") -> Drawing:
    sheet = paper(name, way)  # type: ignore[arg-type]  # parameters of tests are plain strings
    block = TitleBlock(title="plan", project="van", scale=20, sheet=3, sheets=7, number="plan-drive", kind="drawing")
    marks = sheet_marks(sheet, block)
    return Drawing(name="plan-drive", title="plan", width=sheet.width, height=sheet.height, scale=20, marks=marks)


def _said(drawing: Drawing) -> dict[str, str]:
    return {mark.id or mark.text: mark.text for mark in drawing.marks if isinstance(mark, Text)}


def test_line_widths_are_the_series_of_iso_128() -> None:
    """The widths that drawings may use are those of the standard, √2 apart but for rounding; the pens are of them."""
    assert LINE_WIDTHS == ISO_128
    for narrow, wide in pairwise(ISO_128):
        assert wide / narrow == pytest.approx(sqrt(2), abs=0.05)
    assert {NARROW, MEDIUM, WIDE, FRAME} <= set(ISO_128)


def test_letters_are_as_high_as_iso_3098_has_them() -> None:
    """The heights that labels, notes and titles ask for are those of the standard."""
    assert {SMALLEST_TEXT, SMALL_TEXT, TEXT, TITLE_TEXT} <= set(ISO_3098)


@pytest.mark.parametrize(("name", "space"), ISO_5457.items())
def test_the_frame_leaves_the_drawing_space_of_iso_5457(name: str, space: tuple[int, int]) -> None:
    """The frame is as large as the standard's drawing space, its line 0.7 mm wide, 20 mm from the left edge."""
    drawing = _sheet(name, "portrait" if name == "A4" else "landscape")
    frame = next(mark for mark in drawing.marks if isinstance(mark, Path))
    xs, ys = zip(*frame.points, strict=True)

    assert (max(xs) - min(xs), max(ys) - min(ys)) == space
    assert (min(xs), min(ys)) == (20, 10)
    assert frame.pen.width == 0.7


@pytest.mark.parametrize("name", ["A4", "A3", "Tabloid"])
def test_centring_marks_stand_in_the_middle_of_the_edges(name: str) -> None:
    """Four lines of 0.7 mm on the two axes of the sheet, outside the frame, so that no drawing crosses them."""
    sheet = paper(name)
    ends = centring_marks(sheet)
    x0, y0, x1, y1 = sheet.frame
    drawn = [m.points for m in _sheet(name).marks if isinstance(m, Path) and m.pen.width == 0.7 and len(m.points) == 2]

    assert sorted(drawn) == sorted(ends)
    assert len(ends) == 4
    for (ax, ay), (bx, by) in ends:
        assert ax == bx == sheet.width / 2 or ay == by == sheet.height / 2
        assert not (x0 < (ax + bx) / 2 < x1 and y0 < (ay + by) / 2 < y1)


@pytest.mark.parametrize("field", ISO_7200)
def test_the_title_block_has_the_fields_of_iso_7200(field: str) -> None:
    """Every mandatory field has its place, though some are left to be written in by hand."""
    assert ISO_7200[field] in [mark.text for mark in _sheet().marks if isinstance(mark, Text)]


def test_what_is_written_by_hand_is_blank_and_high_enough() -> None:
    """Owner, names and date: a caption and nothing else in a cell 9 mm high, of which a pen has 5 mm."""
    drawing = _sheet()
    cells = {m.text: m for m in drawing.marks if isinstance(m, Text) and m.text in ("owner", "date of issue")}
    top = max(mark.at[1] for mark in cells.values())

    assert len(cells) == 2
    assert [m.text for m in drawing.marks if isinstance(m, Text) and top - 6.4 < m.at[1] < top - 0.1] == []


@pytest.mark.parametrize(
    ("name", "way"), [("A4", "portrait"), ("A4", "landscape"), ("A3", "landscape"), ("Letter", "portrait")]
)
def test_the_title_block_is_180_mm_wide_in_the_low_right_corner(name: str, way: str) -> None:
    """ISO 7200 gives the width, ISO 5457 the corner; the room for drawing ends above it."""
    sheet = paper(name, way)  # type: ignore[arg-type]  # parameters of tests are plain strings
    block = next(m for m in _sheet(name, way).marks if isinstance(m, Path) and m.closed and m.pen.width == MEDIUM)
    xs, ys = zip(*block.points, strict=True)

    assert BLOCK_WIDTH == 180
    assert (max(xs) - min(xs), max(xs), min(ys)) == (pytest.approx(180), sheet.frame[2], sheet.frame[1])
    assert sheet_room(sheet)[1] > max(ys)


def test_numbers_come_when_the_set_is_known() -> None:
    """Number, type and place in the set are filled in anew, in place of what stood there; all else stays as it is."""
    before = _sheet()
    after = numbered(before, number="plan-camp", kind="layout drawing", sheet=12, sheets=40)
    was, now = _said(before), _said(after)

    assert {name for name in now if now[name] != was.get(name)} == {"number", "type", "sheet"}
    assert (now["number"], now["type"], now["sheet"]) == ("plan-camp", "layout drawing", "sheet 12 of 40")
    assert len(after.marks) == len(before.marks)


def test_a_drawing_without_a_title_block_gets_none() -> None:
    """A page that is no sheet, such as one of stickers, is not written on."""
    bare = Drawing(
        name="a", title="a", width=100, height=100, scale=None, marks=(Text(layer="a", at=(1, 1), text="x"),)
    )
    assert numbered(bare, number="1", kind="x", sheet=1, sheets=2) is bare


def test_scales_are_those_of_iso_5455() -> None:
    """A scale that is chosen is of the standard's series, each with the largest first."""
    assert set(SCALES) <= set(ISO_5455)
    assert list(SCALES) == sorted(SCALES)


def test_a_long_trailer_on_a3_is_drawn_at_1_to_20() -> None:
    """5998 mm take 299.9 mm of the 390 mm of the frame at 1:20; at 1:10 they would take 599.8 mm."""
    assert choose_scale((5998, 1800), ISO_5457["A3"]) == 20
    assert fits((5998, 1800), ISO_5457["A3"], 20)
    assert not fits((5998, 1800), ISO_5457["A3"], 10)


@pytest.mark.parametrize(("name", "size"), ISO_216.items())
def test_iso_paper_is_as_large_as_iso_216_has_it(name: str, size: tuple[int, int]) -> None:
    """Sizes to the millimetre, the long side √2 of the short one but for rounding."""
    sheet = paper(name, "portrait")
    assert (sheet.width, sheet.height) == size
    assert sheet.height / sqrt(2) == pytest.approx(sheet.width, abs=1)


@pytest.mark.parametrize(("name", "inches"), ANSI.items())
def test_paper_in_inches_is_as_large_as_ansi_has_it(name: str, inches: tuple[float, float]) -> None:
    """Sizes of the sheets A to D, an inch being 25.4 mm exactly."""
    sheet = paper(name, "portrait")
    assert (sheet.width, sheet.height) == pytest.approx([25.4 * side for side in inches])


def test_a_unit_of_the_svg_is_a_millimetre() -> None:
    """The size is told in mm, and the view box is as many units: no program's idea of dots an inch comes in.

    CSS Values and Units, level 3: 1 in is 25.4 mm is 96 px; a sheet of plywood of 1220 mm at 1:20 is 61 units long.
    """
    edge = line("a", (100.0, 100.0), (100.0 + 1220 / 20, 100.0), id="edge")
    root = ET.fromstring(svg(Drawing(name="a", title="a", width=420, height=297, scale=20, marks=(edge,))))
    (path,) = (element for element in root.iter() if element.tag.endswith("}path"))
    xs = [float(x) for x in re.findall(r"[ML]([-\d.]+) ", path.attrib["d"])]

    assert (root.attrib["width"], root.attrib["height"], root.attrib["viewBox"]) == ("420mm", "297mm", "0 0 420 297")
    assert max(xs) - min(xs) == pytest.approx(61.0)
