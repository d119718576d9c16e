"""DXF files as such: units, dimensions that say what they measure, paper at scale, the same bytes, soundness."""

from __future__ import annotations

import os
import subprocess
import sys
from io import StringIO
from types import SimpleNamespace
from typing import Any, Literal

import pytest
from ezdxf.filemanagement import read as load_dxf

from layout.errors import RefereeError
from layout.export.dxf import dxf
from layout.export.dxf_model import CadDrawing, Circle, Layer, Line, Measure, Page, Words, bounds_of
from layout.units.length import parse_length
from tests.builders import EXAMPLES, ROOT

Units = Literal["mm", "in"]
# Of Autodesk's DXF reference, header variables: $INSUNITS 1 = inches, 4 = millimetres; $MEASUREMENT 0 = English.
HEADER = {"mm": (4, 1), "in": (1, 0)}


def sample(units: Units = "mm", scale: int = 20, length: float = 617.5) -> CadDrawing:
    """Return a drawing with one of each kind of mark, and a sheet of paper."""
    marks = (
        Line(layer="walls", points=((0.0, 0.0), (length, 0.0), (length, 254.0), (0.0, 254.0)), shows="van"),
        Line(layer="way", points=((0.0, 0.0), (25.4, 50.8)), closed=False),
        Circle(layer="walls", centre=(127.0, 127.0), radius=25.4),
        Words(layer="words", at=(50.8, 25.4), text="van", height=50.8, anchor="middle", angle=90.0),
        Measure(layer="sizes", start=(0.0, 0.0), end=(length, 0.0), base=(0.0, -100.0)),
        Measure(layer="sizes", start=(length, 0.0), end=(length, 254.0), base=(800.0, 0.0), upright=True),
    )
    page = Page(name="plan", width=420.0, height=297.0, window=(0.0, -100.0, 800.0, 254.0), scale=scale)
    layers = {"walls": Layer(colour=3, width=0.5), "way": Layer(dash="dashed")}
    return CadDrawing(marks=marks, layers=layers, units=units, scale=scale, pages=(page,))


def read(drawing: CadDrawing) -> Any:
    """Return a drawing as another program reads it."""
    return load_dxf(StringIO(dxf(drawing).decode()))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_units_are_told(units: Units) -> None:
    """A program that opens the file knows what one unit is, and nothing is to be mended."""
    document = read(sample(units))
    found = document.audit()

    assert document.dxfversion == "AC1024"
    assert (document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == HEADER[units]
    assert (found.errors, found.fixes) == ([], [])


@pytest.mark.parametrize(("units", "mm"), [("mm", 1.0), ("in", 25.4)])
def test_model_space_is_at_true_size(units: Units, mm: float) -> None:
    """Every coordinate is the thing's own, in the file's unit, whatever the scale of the paper."""
    walls, way, hole, words, *_ = read(sample(units, scale=50)).modelspace()

    assert [tuple(point) for point in walls.get_points("xy")] == [
        pytest.approx((x / mm, y / mm), abs=1e-8) for x, y in ((0, 0), (617.5, 0), (617.5, 254), (0, 254))
    ]
    assert (walls.closed, way.closed) == (True, False)
    assert hole.dxf.radius == pytest.approx(25.4 / mm)
    assert tuple(words.dxf.align_point)[:2] == pytest.approx((50.8 / mm, 25.4 / mm))
    assert words.dxf.height == pytest.approx(50.8 / mm)


def test_layers_are_our_own() -> None:
    """Each mark lies on the layer that it asked for, with the colour, width and dashes of it."""
    document = read(sample())
    walls, way = document.layers.get("walls"), document.layers.get("way")

    assert [e.dxf.layer for e in document.modelspace()] == ["walls", "way", "walls", "words", "sizes", "sizes"]
    assert (walls.dxf.color, walls.dxf.lineweight, walls.dxf.linetype) == (3, 50, "Continuous")
    dashes = document.linetypes.get(way.dxf.linetype)
    assert dashes.dxf.name == "layout dashed"
    # A line of 3 mm on paper at 1:20, wherever it is shown.
    assert (dashes.simplified_line_pattern()[0], document.header["$PSLTSCALE"]) == (60.0, 0)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("length", [617.5, 600.0, 1234.56, 25.4 * 23.625, 9.0])
def test_a_dimension_says_what_it_measures(units: Units, length: float) -> None:
    """The figure that is shown, the figure that other programs work out, and the true distance are the same."""
    document = read(sample(units, length=length))
    level, upright = document.modelspace().query("DIMENSION")
    unit = {"mm": 1.0, "in": 25.4}[units]
    for dimension, true in ((level, length), (upright, 254.0)):
        style = document.dimstyles.get(dimension.dxf.dimstyle)
        shown = [e.plain_text() for e in dimension.get_geometry_block() if e.dxftype() == "MTEXT"]

        assert dimension.get_measurement() * unit == pytest.approx(true, abs=1e-6)
        assert dimension.dxf.actual_measurement * unit == pytest.approx(true, abs=1e-6)
        assert dimension.dxf.text == ""
        assert (style.dxf.dimlfac, style.dxf.dimscale) == (1.0, 20)
        assert len(shown) == 1
        # A tape's sixteenth of an inch, or a tenth of a millimetre: half of it may be rounded away.
        assert float(parse_length(shown[0], units)) == pytest.approx(
            true, abs={"mm": 0.05, "in": 25.4 / 32}[units] + 1e-6
        )


def test_inches_are_shown_as_fractions() -> None:
    """A person with a tape reads 24 5/16 and not 24.311; the style makes other programs say the same."""
    document = read(sample("in"))
    dimension = document.modelspace().query("DIMENSION").first
    shown = [e.plain_text() for e in dimension.get_geometry_block() if e.dxftype() == "MTEXT"]
    style = dimension.override()

    assert shown == ['24 5/16"']
    assert [style.get(name) for name in ("dimlunit", "dimfrac", "dimdec", "dimpost")] == [5, 2, 4, '<>"']


@pytest.mark.parametrize("units", ["mm", "in"])
def test_paper_shows_the_view_to_scale(units: Units) -> None:
    """On the sheet of paper the window is as much smaller than what it shows as the words beside it say."""
    sheet = read(sample(units)).layout("plan")
    window = next(v for v in sheet.query("VIEWPORT") if v.dxf.id > 1)
    words = sheet.query("TEXT").first

    assert window.dxf.view_height / window.dxf.height == pytest.approx(20)
    assert words.plain_text().startswith("1:20,")
    shown = window.dxf.view_height * {"mm": 1.0, "in": 25.4}[units]
    assert shown >= 354


@pytest.mark.parametrize(("units", "mm"), [("mm", 1.0), ("in", 25.4)])
def test_a_file_opens_with_everything_in_sight(units: Units, mm: float) -> None:
    """Who opens the file sees all of it, and not an empty corner of it."""
    document = read(sample(units))
    view = document.viewports.get_config("*Active")[0].dxf

    assert tuple(document.header["$EXTMIN"])[:2] == pytest.approx((0.0, -100.0 / mm))
    assert tuple(document.header["$EXTMAX"])[:2] == pytest.approx((800.0 / mm, 254.0 / mm))
    assert tuple(view.center)[:2] == pytest.approx((400.0 / mm, 77.0 / mm))
    assert view.height * mm > 400.0


def test_bounds_hold_every_line() -> None:
    """The box of a drawing holds circles and dimension lines too."""
    assert bounds_of(sample().marks) == (0.0, -100.0, 800.0, 254.0)
    assert bounds_of((Circle(layer="a", centre=(5.0, 6.0), radius=2.0),)) == (3.0, 4.0, 7.0, 8.0)


def test_an_unsound_file_is_not_handed_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the library would have to mend is a fault of this program, and said to be one."""
    from ezdxf.document import Drawing

    audit = Drawing.audit

    def with_fault(self: Drawing) -> Any:
        found: Any = audit(self)
        found.errors.append(SimpleNamespace(message="made up"))
        return found

    monkeypatch.setattr("ezdxf.document.Drawing.audit", with_fault)
    with pytest.raises(RefereeError, match="made up"):
        dxf(sample())


def test_the_library_is_left_as_it_was() -> None:
    """Others that use the library in the same program still get dates in their files."""
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    dxf(sample())

    assert options.write_fixed_meta_data_for_testing == before


_SCRIPT = """
import hashlib, sys
from layout.jobs.building import building
from layout.jobs.dxf_files import dxf_files, panel_dxf_files
from layout.jobs.load import load
from layout.jobs.panels import solve_plan
from layout.jobs.workbook_files import workbook_files
plan = load(sys.argv[1])
cuts = solve_plan(plan)
files = {**dxf_files(plan, cuts), **panel_dxf_files(plan), **workbook_files(plan, cuts, building(plan))}
for name, data in files.items():
    print(name, hashlib.sha256(data).hexdigest())
"""


def test_two_runs_write_the_same_bytes() -> None:
    """Files can be compared between runs: no date, no random number, no order of a set gets into them."""
    path = next(p for p in EXAMPLES if p.stem == "high-roof-inches")
    said = [
        subprocess.run(
            [sys.executable, "-c", _SCRIPT, str(path)],
            cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, check=True, capture_output=True, text=True,
        ).stdout.splitlines()
        for seed in ("1", "2")
    ]  # fmt: skip

    assert said[0] == said[1]
    assert len(said[0]) > 5
