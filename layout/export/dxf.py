"""A `CadDrawing` as DXF (AutoCAD 2010): model space at 1:1, own layers, real dimensions, the same bytes every time.

Units: ``$INSUNITS`` is 1 for inches and 4 for millimetres, ``$MEASUREMENT`` 0 for English and 1 for metric patterns
(Autodesk's DXF reference, "HEADER Section Group Codes").
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from io import StringIO
from typing import TYPE_CHECKING, Any, cast

from layout.drawing.model import SMALL_TEXT, Dash
from layout.errors import RefereeError
from layout.export.dxf_model import CadDrawing, CadMark, Circle, Layer, Line, Measure, Page, Words, bounds_of
from layout.export.dxf_names import for_data, for_text, layer_names
from layout.model.solid import Point
from layout.units.length import format_length

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.layouts.layout import Paperspace

VERSION = "R2010"
STYLE = "layout"
# The application's name under which the names of things are kept with their outlines.
DATA = "LAYOUT_NAMES"
_INCH = 25.4
_FRAME_LAYER = "paper frame"
# A font that every CAD program has or stands another in for; shapes of letters are not part of the file.
_FONT = "arial.ttf"
# Lengths on paper in mm: all of the pattern, then line (+) and gap (-) in turn, a point being 0.
_DASHES: dict[Dash, tuple[float, ...]] = {
    "dashed": (4.2, 3.0, -1.2), "chain": (9.0, 6.0, -1.2, 0.6, -1.2), "dotted": (1.5, 0.5, -1.0),
}  # fmt: skip
# Widths of lines that the format knows, in hundredths of a mm.
_WIDTHS = (13, 18, 25, 35, 50, 70, 100)
# Sizes of a dimension on paper, mm: arrow, gap round the text, extension lines beyond and before.
_ARROW, _GAP, _BEYOND, _OFF = 2.5, 0.8, 1.25, 1.0
_SIXTEENTHS = 4
# The edge of a sheet of paper, and what a window on it shows round its view, mm.
_AROUND, _AROUND_VIEW = 10.0, 3.0
# How much more than all is in sight when a file is opened.
_AROUND_ALL = 1.1


def dxf(drawing: CadDrawing) -> bytes:
    """Return the DXF file of the drawing.

    Raises
    ------
    RefereeError
        When the finished file is not sound: a fault of this program.
    """
    from ezdxf import options, units  # type: ignore[attr-defined]  # exported without saying so
    from ezdxf.filemanagement import new

    with _fixed_data(options):
        document = new(VERSION, units=units.IN if drawing.units == "in" else units.MM)
        document.header["$MEASUREMENT"] = 0 if drawing.units == "in" else 1
        _Writer(document, drawing).write()
        found = document.audit()
        if found.errors or found.fixes:
            raise RefereeError(f"a DXF file is not sound: {[*found.errors, *found.fixes][0].message}")
        _order_classes(document)
        out = StringIO()
        document.write(out)
    return out.getvalue().encode("utf-8", errors="replace")


def _order_classes(document: Document) -> None:
    """Put the classes of a file in order: the library adds them from a set, whose order differs from run to run."""
    section = document.classes
    section.add_required_classes(document.dxfversion)
    ordered = sorted(section.classes.items())
    section.classes.clear()
    section.classes.update(ordered)


@contextmanager
def _fixed_data(options: Any) -> Iterator[None]:
    """Leave out the time and the random numbers that a file gets, and put the library back as it was."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


class _Writer:
    """One document being filled: lengths come in mm and go out in the drawing's unit."""

    def __init__(self, document: Document, drawing: CadDrawing) -> None:
        self.document = document
        self.drawing = drawing
        self.unit = _INCH if drawing.units == "in" else 1.0
        wanted = [mark.layer for mark in drawing.marks] + ([_FRAME_LAYER] if drawing.pages else [])
        self.names: Mapping[str, str] = layer_names(wanted)

    def write(self) -> None:
        self.document.styles.add(STYLE, font=_FONT)
        self._dashes()
        self._layers()
        self._dimension_style()
        self.document.appids.add(DATA)
        # Dashes are as long as they should be at the drawing's scale; nobody is to scale them on the paper again.
        self.document.header["$LTSCALE"] = 1.0
        self.document.header["$PSLTSCALE"] = 0
        space = self.document.modelspace()
        for mark in self.drawing.marks:
            self._mark(space, mark)
        for page in self.drawing.pages:
            self._page(page)
        if self.drawing.marks:
            self._show_all()

    def mm(self, value: float) -> float:
        """Return a length in the unit of the file, free of the last bits that sums of fractions leave."""
        return round(value / self.unit, 9) + 0.0

    def at(self, point: Point) -> Point:
        return self.mm(point[0]), self.mm(point[1])

    def paper(self, value: float) -> float:
        """Return in the unit of the file how long in model space something is that is `value` mm long on paper."""
        return self.mm(value * self.drawing.scale)

    def _show_all(self) -> None:
        """Let programs open the file with everything in sight."""
        x0, y0, x1, y1 = bounds_of(self.drawing.marks)
        self.document.modelspace().reset_extents((*self.at((x0, y0)), 0), (*self.at((x1, y1)), 0))
        # A screen is about half as high as it is wide.
        high = max(y1 - y0, (x1 - x0) / 2, 1.0) * _AROUND_ALL
        self.document.set_modelspace_vport(self.mm(high), center=self.at(((x0 + x1) / 2, (y0 + y1) / 2)))

    def _dashes(self) -> None:
        for name, lengths in _DASHES.items():
            self.document.linetypes.add(f"layout {name}", [self.paper(length) for length in lengths], description=name)

    def _layers(self) -> None:
        for wanted, name in self.names.items():
            look = self.drawing.layers.get(wanted, Layer())
            layer = self.document.layers.add(name, color=look.colour, lineweight=_width(look.width))
            if look.dash != "solid":
                layer.dxf.linetype = f"layout {look.dash}"
        if self.drawing.pages:
            # The library puts what a sheet of paper shows itself by onto this layer.
            self.document.layers.add("VIEWPORTS", plot=False)

    def _dimension_style(self) -> None:
        """Make our own style: as large on paper as other text, one unit being one unit, fractions for inches."""
        inches = self.drawing.units == "in"
        self.document.dimstyles.new(
            STYLE,
            dxfattribs={
                "dimscale": self.drawing.scale, "dimlfac": 1.0, "dimtxsty": STYLE, "dimtxt": self.mm(SMALL_TEXT),
                "dimasz": self.mm(_ARROW), "dimgap": self.mm(_GAP), "dimexe": self.mm(_BEYOND), "dimexo": self.mm(_OFF),
                "dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimtofl": 1, "dimzin": 8, "dimdsep": ord("."),
                "dimlunit": 5 if inches else 2, "dimfrac": 2, "dimdec": _SIXTEENTHS if inches else 1,
            },
        )  # fmt: skip

    def _mark(self, space: BaseLayout, mark: CadMark) -> None:
        look = {"layer": self.names[mark.layer]}
        if isinstance(mark, Line):
            self._line(space, mark, look)
        elif isinstance(mark, Circle):
            space.add_circle(self.at(mark.centre), self.mm(mark.radius), dxfattribs=look)
        elif isinstance(mark, Words):
            self._words(space, mark, look)
        else:
            self._measure(space, mark, look)

    def _line(self, space: BaseLayout, mark: Line, look: dict[str, str]) -> None:
        line = space.add_lwpolyline([self.at(p) for p in mark.points], close=mark.closed, dxfattribs=look)
        if mark.shows:
            line.set_xdata(DATA, [(1000, for_data(mark.shows)), (1000, for_data(mark.view))])

    def _words(self, space: BaseLayout, mark: Words, look: dict[str, str]) -> None:
        from ezdxf.enums import TextEntityAlignment

        text = for_text(mark.text)
        if text:
            more = {**look, "style": STYLE, "rotation": mark.angle}
            middle = mark.anchor == "middle"
            align = TextEntityAlignment.CENTER if middle else TextEntityAlignment.LEFT
            made = space.add_text(text, height=self.mm(mark.height), dxfattribs=more)
            made.set_placement(self.at(mark.at), align=align)

    def _measure(self, space: BaseLayout, mark: Measure, look: dict[str, str]) -> None:
        made = space.add_linear_dim(
            base=self.at(mark.base), p1=self.at(mark.start), p2=self.at(mark.end), angle=90 if mark.upright else 0,
            text=format_length(mark.length, self.drawing.units), dimstyle=STYLE, dxfattribs=look,
            # The library leaves the sign of the unit out of a style that it writes, so each dimension has it.
            override={"dimpost": '<>"'} if self.drawing.units == "in" else None,
        )  # fmt: skip
        made.render()
        # The library draws no fractions, so it was given the text; other programs work the same out by the style.
        made.dimension.dxf.text = ""
        made.dimension.dxf.actual_measurement = self.mm(mark.length)
        for part in made.dimension.get_geometry_block() or ():
            if part.dxf.layer != "Defpoints":
                part.dxf.layer = look["layer"]

    def _page(self, page: Page) -> None:
        layouts = self.document.layouts
        if page is self.drawing.pages[0]:
            layouts.rename("Layout1", page.name)
        sheet = cast("Paperspace", layouts.get(page.name) if page.name in layouts else layouts.new(page.name))
        size = self.mm(page.width), self.mm(page.height)
        sheet.page_setup(size=size, margins=(0, 0, 0, 0), units="inch" if self.drawing.units == "in" else "mm")
        x0, y0, x1, y1 = page.window
        # No larger than the view, so that its neighbours in model space stay outside.
        room = ((x1 - x0) / page.scale + 2 * _AROUND_VIEW, (y1 - y0) / page.scale + 2 * _AROUND_VIEW)
        sheet.add_viewport(
            center=self.at((page.width / 2, page.height / 2)),
            size=(self.mm(room[0]), self.mm(room[1])),
            view_center_point=self.at(((x0 + x1) / 2, (y0 + y1) / 2)),
            view_height=self.mm(room[1] * page.scale),
            dxfattribs={"layer": self.names[_FRAME_LAYER]},
        )
        said = f"1:{page.scale}, to be plotted on {page.width:g} x {page.height:g} mm at 1:1"
        look = {"layer": self.names[_FRAME_LAYER], "style": STYLE}
        words = sheet.add_text(said, height=self.mm(SMALL_TEXT), dxfattribs=look)
        words.set_placement(self.at((_AROUND, _AROUND / 2 - SMALL_TEXT / 2)))


def _width(mm: float) -> int:
    """Return the nearest width of line that the format knows, in hundredths of a mm."""
    return min(_WIDTHS, key=lambda width: abs(width - 100 * mm))
