"""Views of a space and its things in one state as outlines at true size: plan, both sides, rear."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from layout.drawing.text_width import Box
from layout.export.dxf_labels import Names
from layout.export.dxf_measures import LAYER as DIMENSIONS
from layout.export.dxf_measures import Span, measures_round
from layout.export.dxf_model import CadMark, Circle, Layer, Line, bounds_of
from layout.export.dxf_shapes import rings
from layout.model.layout import Placed
from layout.model.solid import Point
from layout.views.doors import door_tracks
from layout.views.fixed import within
from layout.views.outlines import corners, middle_y, rear_outline, side_outline
from layout.views.plan import SHOULDER
from layout.views.shapes import ABOVE, LEFT, REAR, RIGHT, Look, Seen, on_one_side, seen, shows

if TYPE_CHECKING:
    from layout.space.space import Space

SPACE, SHOULDERS, FIXED, HOLES, DOORS = "space", "space at the shoulder", "wells and obstacles", "floor holes", "doors"
TRACKS, TIE_DOWNS, ZONES, PIECES = "door tracks", "tie-downs", "zones", "pieces"
TEXT, HIDDEN_TEXT = "text", "text hidden"
THINGS, FURNITURE, HIDDEN = "things", "furniture", " hidden"
LOOKS = {
    SPACE: Layer(colour=7, width=0.5), SHOULDERS: Layer(colour=8, dash="dashed"), FIXED: Layer(colour=8, width=0.35),
    HOLES: Layer(colour=8, dash="dashed"), DOORS: Layer(colour=4), TRACKS: Layer(colour=4, dash="dashed"),
    TIE_DOWNS: Layer(colour=4), ZONES: Layer(colour=6, dash="chain"), PIECES: Layer(colour=8, width=0.13),
    THINGS: Layer(colour=5, width=0.35), FURNITURE: Layer(colour=3, width=0.35),
    THINGS + HIDDEN: Layer(colour=5, dash="dashed"), FURNITURE + HIDDEN: Layer(colour=3, dash="dashed"),
    TEXT: Layer(colour=7), HIDDEN_TEXT: Layer(colour=8), DIMENSIONS: Layer(colour=1, width=0.18),
}  # fmt: skip
# How a view turns (along, up) of what is looked at: as it is, or mirrored.
_MIRRORED = (-1, 0, 0, 1, 0, 0)
_TIE_DOWN = 20.0
# Things with a side at least so long (mm) get dimensions, the largest few of them.
_LARGE, _MOST_LARGE = 400.0, 8
Turn = Callable[[BaseGeometry], BaseGeometry]


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """One view, its marks in its own axes: right and up, mm."""

    name: str
    note: str
    marks: tuple[CadMark, ...]


def plan_view(space: Space, placed: Sequence[Placed], state: str, scale: int) -> View:
    """Return the plan: x to the right, y up, as in the project."""
    made = _Made("plan", scale)
    floor = space.shell(0.0)
    _add_space(made, space, floor)
    for thing in placed:
        made.marks += _zones(thing, state)
    made.things(placed, ABOVE, hidden=True)
    spans = [thing.box.bounds for thing in _large(placed, ABOVE)]
    along = [(b[0], b[2]) for b in spans] + [(d.low, d.high) for d in space.doors if d.side != "rear"]
    across = [(b[1], b[3]) for b in spans] + [(d.low, d.high) for d in space.doors if d.side == "rear"]
    made.measure(along, [*_between_wells(space), *across], floor.bounds)
    return View(name="plan", note="origin: the rear edge of the floor, in the middle", marks=tuple(made.marks))


def _add_space(made: _Made, space: Space, floor: BaseGeometry) -> None:
    """Add to a plan what belongs to the space: walls, what stands and lies in it, doors, tie-downs."""
    made.area(SPACE, floor)
    made.area(SHOULDERS, space.shell(SHOULDER))
    for obstacle in space.obstacles:
        made.ring(FIXED, within(space, obstacle), obstacle.name)
    for hole in space.holes:
        made.ring(HOLES, hole.outline, hole.name)
    for door in space.doors:
        tracks = door_tracks(door, floor.bounds)
        made.marks += [Line(layer=TRACKS, points=track, closed=False) for track, _ in tracks]
        sill = _sill(door.side, (door.low, door.high), floor.bounds)
        made.marks.append(Line(layer=DOORS, points=sill, closed=False, shows=door.name, view="plan"))
    made.marks += [Circle(layer=TIE_DOWNS, centre=t.at[:2], radius=_TIE_DOWN) for t in space.tie_downs]


def side_view(space: Space, placed: Sequence[Placed], side: Literal["left", "right"], scale: int) -> View:
    """Return what reaches onto one side, seen from the aisle: toward the right wall the front is to the left."""
    look, sign = (LEFT, 1) if side == "left" else (RIGHT, -1)
    name = f"{side} side"
    made = _Made(name, scale, mirrored=side == "right")
    made.ring(SPACE, space.long_section())
    for obstacle in space.obstacles:
        if sign * middle_y(obstacle) > 0:
            made.ring(FIXED, side_outline(obstacle), obstacle.name)
    for door in space.doors:
        if door.side == side:
            made.ring(DOORS, corners((door.low, door.sill, door.high, door.top)), door.name)
    things = [part for p in placed if (part := on_one_side(p, look))]
    made.things(things, look, hidden=True)
    made.measure_things(things, look, shapely.Polygon(space.long_section()).bounds)
    note = f"seen from the aisle, front to the {'right' if sign > 0 else 'left'}"
    return View(name=name, note=note, marks=tuple(made.marks))


def rear_view(space: Space, placed: Sequence[Placed], scale: int) -> View:
    """Return what is seen from behind through the rear; left is left. What is hidden is left out."""
    made = _Made("rear", scale, mirrored=True)
    room = space.cross_section(space.shell(0.0).bounds[0])
    made.ring(SPACE, room)
    for obstacle in space.obstacles:
        if obstacle.name != "closed rear door":
            made.ring(FIXED, rear_outline(obstacle, room), obstacle.name)
    for door in space.doors:
        if door.side == "rear":
            made.ring(DOORS, corners((door.low, door.sill, door.high, door.top)), door.name)
    visible = made.things(placed, REAR, hidden=False)
    made.measure_things(visible, REAR, shapely.Polygon(room).bounds)
    return View(name="rear", note="seen from behind", marks=tuple(made.marks))


class _Made:
    """One view being made; what is put into it is turned as it looks."""

    def __init__(self, view: str, scale: int, *, mirrored: bool = False) -> None:
        self.view = view
        self.mirrored = mirrored
        self.scale = scale
        self.names = Names(scale)
        self.marks: list[CadMark] = []

    def turned(self, area: BaseGeometry) -> BaseGeometry:
        return affine_transform(area, _MIRRORED) if self.mirrored else area

    def span(self, low: float, high: float) -> Span:
        return (-high, -low) if self.mirrored else (low, high)

    def area(self, layer: str, area: BaseGeometry, shows: str = "") -> None:
        self.marks += rings(layer, self.turned(area), shows, self.view)

    def ring(self, layer: str, ring: Sequence[Point], shows: str = "") -> None:
        sign = -1 if self.mirrored else 1
        self.marks.append(Line(layer=layer, points=tuple((sign * u, v) for u, v in ring), shows=shows, view=self.view))

    def things(self, placed: Sequence[Placed], look: Look, *, hidden: bool) -> list[Placed]:
        """Add outlines and names, and return what shows; what is hidden has layers of its own, or is left out."""
        things = seen(tuple(placed), look)
        visible = [one for one in things if shows(one)]
        covered = [one for one in things if not shows(one)] if hidden else []
        for one in (*visible, *covered):
            layer = FURNITURE if one.placed.thing.panels or one.placed.thing.battens else THINGS
            self.area(layer if one in visible else layer + HIDDEN, _outline(one.placed, look), one.placed.name)
        for one in visible if hidden else []:
            for piece in one.panels:
                self.area(PIECES, piece)
        for layer, named in ((TEXT, visible), (HIDDEN_TEXT, covered)):
            for one in sorted(named, key=lambda s: (s.whole.area, s.placed.name)):
                self.marks.append(self.names.put(layer, one.placed.name, self.turned(_label_area(one)).bounds))
        return [one.placed for one in visible]

    def measure(self, along: Sequence[Span], upward: Sequence[Span], whole: Box) -> None:
        edge = bounds_of(tuple(self.marks))
        low, high = self.span(whole[0], whole[2])
        turned = [self.span(*span) for span in along]
        self.marks += measures_round(edge, turned, upward, (low, whole[1], high, whole[3]), self.scale)

    def measure_things(self, things: Sequence[Placed], look: Look, whole: Box) -> None:
        """Add the lengths of the largest things and the heights of their tops above the floor."""
        boxes = [look.outline(thing.box).bounds for thing in _large(things, look)]
        self.measure([(b[0], b[2]) for b in boxes], [(0.0, b[3]) for b in boxes], whole)


def _outline(thing: Placed, look: Look) -> BaseGeometry:
    """Return the whole outline of a thing, whatever stands before it."""
    return shapely.union_all([look.outline(solid) for solid in thing.solids])


def _label_area(one: Seen) -> BaseGeometry:
    shape = one.shown if shows(one) else one.whole
    return max(shapely.get_parts(shape), key=lambda part: part.area, default=one.whole)


def _large(things: Sequence[Placed], look: Look) -> list[Placed]:
    """Return the largest things as seen, the largest first."""

    def sides(thing: Placed) -> tuple[float, float]:
        u0, v0, u1, v1 = look.outline(thing.box).bounds
        return u1 - u0, v1 - v0

    large = [thing for thing in things if max(sides(thing)) >= _LARGE]
    return sorted(large, key=lambda thing: (-sides(thing)[0] * sides(thing)[1], thing.name))[:_MOST_LARGE]


def _sill(side: str, span: Span, floor: Box) -> tuple[Point, Point]:
    """Return where a door's opening lies in plan, in the edge of the floor."""
    if side == "rear":
        return (floor[0], span[0]), (floor[0], span[1])
    y = floor[3] if side == "left" else floor[1]
    return (span[0], y), (span[1], y)


def _zones(thing: Placed, state: str) -> Iterator[Line]:
    """Yield what stays free round a thing, and what its moving parts sweep in this state."""
    for clear in thing.clears:
        yield from rings(ZONES, ABOVE.outline(clear.solid), f"{thing.name} clear", "plan")
    for motion in thing.motions:
        if motion.used_in(state) and motion.swept:
            swept = shapely.union_all([ABOVE.outline(solid) for solid in motion.swept])
            yield from rings(ZONES, swept, f"{thing.name} {motion.name}", "plan")


def _between_wells(space: Space) -> list[Span]:
    """Return the span across between the wheel wells, if there is one on each side."""
    wells = [[y for _, y in o.outline] for o in space.obstacles if o.name.startswith("wheel well")]
    left, right = [min(ys) for ys in wells if min(ys) > 0], [max(ys) for ys in wells if max(ys) < 0]
    return [(max(right), min(left))] if left and right else []
