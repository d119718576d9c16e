"""Things as seen from one side: which part shows, which is hidden, and their outlines as marks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import Polygon
from shapely.geometry import box as shapely_box
from shapely.geometry.base import BaseGeometry

from layout.drawing.labels import Labels
from layout.drawing.lines import polygon
from layout.drawing.model import MEDIUM, NARROW, Mark, Path, Pen
from layout.drawing.text_width import Box, overlap
from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box
from layout.views.figure import Window

LAYER = "things"
PANELS = "panels"
HIDDEN = "hidden things"
# Slivers between faces that touch are no visible parts: mm of width.
_HAIR = 0.5
# More solids of one name than this are slabs of a slanting panel, not equal panels.
_MOST_ALIKE = 12
# Hidden by more than this share a thing counts as farther; showing less than the second, as hidden.
_FAR_SHARE, _LABEL_SHARE = 0.01, 0.3


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """A way to look: the outline (mm) of a solid as seen, and its span of distance from the eye, mm."""

    outline: Callable[[Solid], BaseGeometry]
    span: Callable[[Solid], tuple[float, float]]


def from_above(solid: Solid) -> BaseGeometry:
    """Return the outline of the solid in plan."""
    return Polygon(solid.outline)


ABOVE = Look(outline=from_above, span=lambda s: (-s.z1, -s.z0))
LEFT = Look(
    outline=lambda s: shapely_box(s.bounds[0], s.z0, s.bounds[2], s.z1),
    span=lambda s: (s.bounds[1], s.bounds[3]),
)
RIGHT = Look(outline=LEFT.outline, span=lambda s: (-s.bounds[3], -s.bounds[1]))
REAR = Look(
    outline=lambda s: shapely_box(s.bounds[1], s.z0, s.bounds[3], s.z1),
    span=lambda s: (s.bounds[0], s.bounds[2]),
)
FRONT = Look(outline=REAR.outline, span=lambda s: (-s.bounds[2], -s.bounds[0]))


@dataclass(frozen=True, kw_only=True, slots=True)
class Seen:
    """A thing as seen: what shows of it, what is hidden behind others, and its panels' outlines."""

    placed: Placed
    shown: BaseGeometry
    hidden: BaseGeometry
    panels: tuple[BaseGeometry, ...]

    @property
    def whole(self) -> BaseGeometry:
        """Return the outline of the whole thing, hidden or not."""
        return shapely.unary_union([self.shown, self.hidden])


def seen(things: tuple[Placed, ...], look: Look) -> tuple[Seen, ...]:
    """Return all things as seen, the farthest first."""
    far_first = sorted(things, key=lambda p: (-look.span(p.box)[0], p.name))
    fronts = [(thing, look.span(solid)[1], look.outline(solid)) for thing in things for solid in thing.solids]
    tree = shapely.STRtree([outline for _, _, outline in fronts])
    return tuple(_one(thing, fronts, tree, look) for thing in far_first)


def on_one_side(thing: Placed, look: Look) -> Placed | None:
    """Return what of the thing reaches onto the side of the centreline that `look` faces, if anything."""
    solids = tuple(solid for solid in thing.solids if look.span(solid)[1] > 0)
    return replace(thing, solids=solids, box=outer_box(solids, thing.name)) if solids else None


def _one(thing: Placed, fronts: list[tuple[Placed, float, BaseGeometry]], tree: shapely.STRtree, look: Look) -> Seen:
    nearest = look.span(thing.box)[0]
    outline = shapely.unary_union([look.outline(solid) for solid in thing.solids])
    near = [fronts[i] for i in sorted(tree.query(outline).tolist())]
    before = [front for other, far, front in near if other is not thing and far <= nearest + 1]
    cover = shapely.unary_union(before)
    shown = _clean(outline.difference(cover))
    panels = _panels(thing, look) if len(thing.solids) > 1 else ()
    return Seen(placed=thing, shown=shown, hidden=_clean(outline.intersection(cover)), panels=panels)


def _panels(thing: Placed, look: Look) -> tuple[BaseGeometry, ...]:
    """Return the outlines of a thing's pieces; the slabs that stand for one slanting panel are drawn as one."""
    slabs: dict[str, list[BaseGeometry]] = {}
    for solid in thing.solids:
        slabs.setdefault(solid.name, []).append(look.outline(solid))
    few = [shapes if len(shapes) <= _MOST_ALIKE else [shapely.unary_union(shapes)] for shapes in slabs.values()]
    return tuple(shape for shapes in few for shape in shapes)


def _clean(shape: BaseGeometry) -> BaseGeometry:
    return shape.buffer(-_HAIR / 2, join_style="mitre").buffer(_HAIR / 2, join_style="mitre").normalize()


def shape_marks(
    layer: str,
    shape: BaseGeometry,
    window: Window,
    *,
    pen: Pen,
    fill: float | None = None,
    id: str = "",  # noqa: A002 (the mark's own word)
) -> tuple[Path, ...]:
    """Return the outlines of a shape; what it surrounds without containing it is drawn but not filled."""
    marks: list[Path] = []
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and not part.is_empty:
            ring = window.ring(part.exterior.coords[:-1])
            marks.append(polygon(layer, ring, pen=pen, fill=fill, id=id))
            marks += [polygon(layer, window.ring(r.coords[:-1]), pen=pen, id=id) for r in part.interiors]
    return tuple(marks)


def thing_marks(
    things: tuple[Seen, ...], window: Window, *, far_thin: bool = False, hidden: bool = True
) -> tuple[Mark, ...]:
    """Return all things: what shows of them with solid lines, what is hidden dashed, panels thin.

    `far_thin` draws those that others hide in part with thin lines; without `hidden` nothing is dashed,
    and no panels are drawn.
    """
    white, none = Pen(width=0.0), Pen(width=NARROW, grey=0.45)
    fills = [m for s in things for m in shape_marks(LAYER, s.shown, window, pen=white, fill=1.0)]
    panels = [m for s in things if hidden for p in s.panels for m in shape_marks(PANELS, p, window, pen=none)]
    outlines: list[Mark] = []
    for one in things:
        name = one.placed.name
        dashed = Pen(width=NARROW, dash="dashed")
        thin = far_thin and one.hidden.area > _FAR_SHARE * one.whole.area
        solid = Pen(width=NARROW if thin else MEDIUM)
        if hidden:
            outlines += shape_marks(HIDDEN, one.hidden, window, pen=dashed, id=name)
        outlines += shape_marks("outlines", one.shown, window, pen=solid, id=name)
    return (*fills, *panels, *outlines)


def name_things(things: tuple[Seen, ...], window: Window, labels: Labels) -> None:
    """Write the names of the things, the smallest first, since they have the least choice."""
    boxes = {one.placed.name: window.box(_label_area(one).bounds) for one in things}
    for one in sorted(things, key=lambda s: (_label_area(s).area, s.placed.name)):
        name = one.placed.name
        area = boxes[name]
        avoid = tuple(b for n, b in boxes.items() if n != name and overlap(b, area) and _size(b) < _size(area))
        labels.name(name, area, avoid, id=name)


def shows(one: Seen) -> bool:
    """Return whether enough of the thing shows for a name to stand on it."""
    return bool(one.shown.area > _LABEL_SHARE * one.whole.area)


def _size(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _label_area(one: Seen) -> BaseGeometry:
    shape = one.shown if shows(one) else one.whole
    parts = [part for part in shapely.get_parts(shape) if not part.is_empty]
    return max(parts, key=lambda part: part.area) if parts else one.whole.envelope
