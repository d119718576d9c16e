"""How a section is drawn: what is cut wide and hatched by its material, what is beyond narrow."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import line
from layout.drawing.model import MEDIUM, NARROW, WIDE, Mark, Pen
from layout.views.figure import Window
from layout.views.people import body_marks, lines_of
from layout.views.section_seen import Beyond, CutPiece
from layout.views.shapes import shape_marks

CUT = "cut"
BEYOND = "beyond"
# Narrower than this on paper a cut piece is filled: hatching would not be seen in it (ISO 128-50), mm.
_THIN = 1.3
# Distance of the hatching lines on paper by material, and whether they fall to the right, mm.
_HATCHES: dict[str, tuple[float, bool, float]] = {
    "wood": (1.6, False, 0.0), "foam": (3.0, True, 0.0), "goods": (7.0, False, 0.55), "lining": (1.8, True, 0.35),
    "fixed": (2.2, True, 0.0),
}  # fmt: skip
_LINES = 14  # about so many hatching lines across a large area


def cut_marks(piece: CutPiece, window: Window) -> Iterator[Mark]:
    """Yield a piece that is cut: hatched and outlined wide; filled where it is too thin for that."""
    yield from hatched_marks(CUT, piece.shape, piece.material, window, id=piece.thing)


def hatched_marks(
    layer: str,
    shape: BaseGeometry,
    material: str,
    window: Window,
    id: str = "",  # noqa: A002 (the mark's own word)
) -> Iterator[Mark]:
    """Yield a cut shape with the hatching of its material; what it surrounds is left as it is."""
    if shape.is_empty:
        return
    if material != "goods" and is_thin(shape, window):
        fill = 0.0 if material == "wood" else 0.55
        for part in without_holes(shape):
            yield from shape_marks(layer, part, window, pen=Pen(width=0.0), fill=fill, id=id)
        yield from shape_marks(layer, shape, window, pen=Pen(width=NARROW), id=id)
        return
    spacing, falling, grey = _HATCHES[material]
    # A large area has fewer lines, so that the sheet is not black with them.
    wider = min(2 * spacing, on_paper(shape, window).area ** 0.5 / _LINES)
    yield from hatching(layer, shape, window, max(spacing, wider), falling=falling, grey=grey)
    yield from shape_marks(layer, shape, window, pen=Pen(width=MEDIUM if material == "goods" else WIDE), id=id)


def without_holes(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    """Yield a shape in parts that surround nothing, so that each can be filled."""
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and part.interiors:
            x0, y0, x1, y1 = part.bounds
            middle = part.interiors[0].centroid.x
            for low, high in ((x0 - 1, middle), (middle, x1 + 1)):
                yield from without_holes(part.intersection(box(low, y0 - 1, high, y1 + 1)))
        elif isinstance(part, Polygon) and not part.is_empty:
            yield part


def is_thin(shape: BaseGeometry, window: Window) -> bool:
    """Return whether a shape is nowhere thicker on paper than what can be hatched."""
    return bool(shape.buffer(-_THIN / 2 * window.scale, join_style="mitre").is_empty)


def hatching(
    layer: str, shape: BaseGeometry, window: Window, spacing: float, *, falling: bool = False, grey: float = 0.0
) -> Iterator[Mark]:
    """Yield lines at 45 degrees on paper over a shape, holes left free, `spacing` mm apart."""
    x0, y0, x1, y1 = window.box(shape.bounds)
    area = on_paper(shape, window)
    step, rise = spacing * 2**0.5, y1 - y0
    pen = Pen(width=NARROW, grey=grey)
    # Lines are counted from the corner of the sheet, so that those of neighbours run on.
    first, last = (x0, x1 + rise) if falling else (x0 - rise, x1)
    starts = [step * i for i in range(int(first // step), int(last // step) + 2)]
    way = -1.0 if falling else 1.0
    lines = MultiLineString([[(u, y0), (u + way * rise, y1)] for u in starts])
    for part in lines_of(lines.intersection(area)):
        yield line(layer, *part.coords, pen=pen)


def on_paper(shape: BaseGeometry, window: Window) -> BaseGeometry:
    """Return a shape of the figure where it lies on the paper, mm."""
    return shapely.transform(shape, lambda points: [window.at((u, v)) for u, v in points])


def beyond_marks(one: Beyond, window: Window) -> Iterator[Mark]:
    """Yield what is seen of a thing or a person beyond the plane: narrow lines."""
    if one.body:
        yield from body_marks(one.body, one.area, window, one.name)
        return
    for part in one.lines:
        yield line(BEYOND, *window.ring(part.coords), pen=Pen(width=NARROW), id=one.name)


def outline_lines(shape: BaseGeometry) -> list[LineString]:
    """Return the borders of a shape as lines."""
    return lines_of(shape.boundary)
