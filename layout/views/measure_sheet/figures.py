"""The three sketches of the measure sheet: from above, from the side, across; with arrows where the tape goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from layout.drawing.lines import arc_points, arrow, hatch, line, mask, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, TEXT, WIDE, Mark, Path, Pen, Point, Text
from layout.drawing.text_width import Box, text_box, text_width
from layout.views.measure_sheet.entries import ways
from layout.views.measure_sheet.sketch import Opening, Sketch, Well

_CHAIN = Pen(width=NARROW, dash="chain")
_DASHED = Pen(width=NARROW, dash="dashed")
_THIN = Pen(width=NARROW)
_OUT = 8.0  # mm of paper that datum lines reach beyond
_LEAST_GAP = 4.0  # mm of paper between door and roof from which on a tape is drawn there
_LEAST_TAPE = 8.0  # mm of paper: an arrow shorter than this gets its key beside it


@dataclass(frozen=True)
class Fit:
    """How a sketch lies in its room on the paper: the same factor both ways, in the middle."""

    scale: float
    shift: Point

    @classmethod
    def of(cls, box: Box, room: Box) -> Fit:
        """Return the largest at which `box` (mm of the vehicle) has room in `room` (mm of paper)."""
        wide, high = box[2] - box[0] or 1.0, box[3] - box[1] or 1.0
        scale = min((room[2] - room[0]) / wide, (room[3] - room[1]) / high)
        x = (room[0] + room[2] - scale * (box[0] + box[2])) / 2
        y = (room[1] + room[3] - scale * (box[1] + box[3])) / 2
        return cls(scale, (x, y))

    def at(self, point: Point) -> Point:
        """Return the place on the paper."""
        return point[0] * self.scale + self.shift[0], point[1] * self.scale + self.shift[1]

    def ring(self, points: Sequence[Point]) -> tuple[Point, ...]:
        """Return the places on the paper of several points."""
        return tuple(self.at(point) for point in points)


class _Marks:
    """The marks of a sketch; keys come last, so that no line runs over them."""

    def __init__(self) -> None:
        self.lines: list[Mark] = []
        self.keys: list[Mark] = []
        self.taken: list[Box] = []

    @property
    def all(self) -> tuple[Mark, ...]:
        return (*self.lines, *self.keys)

    def tape(self, key: str, a: Point, b: Point, share: float = 0.5) -> None:
        """Add where the tape goes: a line with a head at both ends, and its key on it."""
        for tail, head in ((a, b), (b, a)):
            self.lines += arrow("tape", tail, head, size=2.6, width=NARROW)
        run = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
        ux, uy = (b[0] - a[0]) / run, (b[1] - a[1]) / run
        shares = (share, 0.5, 0.35, 0.65, 0.25, 0.75, 0.15, 0.85)
        spots = [(a[0] + ux * run * s, a[1] + uy * run * s) for s in shares] if run > _LEAST_TAPE else []
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        offs = (5.0, -5.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0)
        spots += [(middle[0] - uy * off, middle[1] + ux * off) for off in offs]
        self.key(key, spots)

    def key(self, said: str, spots: Sequence[Point]) -> None:
        """Add a key in a circle at the first spot that is free."""
        radius = max(text_width(said, SMALL_TEXT) / 2 + 0.9, 2.3)
        boxes = [(x - radius, y - radius, x + radius, y + radius) for x, y in spots]
        free = [i for i, box in enumerate(boxes) if not any(_meet(box, other) for other in self.taken)]
        if not said or not free:
            return
        centre = spots[free[0]]
        self.taken.append(boxes[free[0]])
        ring = polygon("keys", arc_points(centre, radius, 0, 360)[:-1], pen=_THIN, fill=1.0)
        at = (centre[0], centre[1] - SMALL_TEXT / 2)
        self.keys += [ring, Text(layer="keys", at=at, text=said, height=SMALL_TEXT, anchor="middle")]

    def word(self, said: str, at: Point, *, height: float = SMALL_TEXT, angle: float = 0.0) -> None:
        """Add a word at its middle, if its place is free."""
        low = (at[0], at[1] - height / 2) if not angle else (at[0] + height / 2, at[1])
        text = Text(layer="words", at=low, text=said, height=height, anchor="middle", angle=angle)
        box = text_box(text)
        if not any(_meet(box, other) for other in self.taken):
            self.taken.append(box)
            self.keys += [mask("words", box), text]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] + 0.4 and b[0] < a[2] + 0.4 and a[1] < b[3] + 0.4 and b[1] < a[3] + 0.4


def from_above(sketch: Sketch, room: Box) -> tuple[Mark, ...]:
    """Return the floor from above, front to the right: corners by letter, the ways of the tape by number."""
    x0, y0, x1, y1 = sketch.box
    fit = Fit.of(sketch.box, (room[0] + 16, room[1] + 12, room[2] - 16, room[3] - 12))
    marks = _Marks()
    ring = fit.ring([place for _, place in sketch.corners])
    marks.lines.append(polygon("floor", ring, pen=Pen(width=WIDE)))
    for well in sketch.wells:
        marks.lines += _well_from_above(well, fit, sketch)
    cross = fit.at((0.0, y0)), fit.at((0.0, y1))
    centre = fit.at((x0, 0.0)), fit.at((x1, 0.0))
    marks.lines.append(line("datum", (cross[0][0], cross[0][1] - _OUT), (cross[1][0], cross[1][1] + _OUT), pen=_CHAIN))
    marks.lines.append(
        line("datum", (centre[0][0] - _OUT, centre[0][1]), (centre[1][0] + _OUT, centre[1][1]), pen=_CHAIN)
    )
    _name_corners(sketch, fit, marks)
    marks.word("cross line, x 0", (cross[1][0] + 16, cross[1][1] + 8))
    marks.word("centreline, y 0", (centre[0][0] + (centre[1][0] - centre[0][0]) * 0.75, centre[0][1] + 2.6))
    marks.word("front", (centre[1][0] + 6.0, centre[1][1] + 6), angle=90.0)
    _door_gaps(sketch, fit, marks)
    for number, (a, b) in enumerate(ways(sketch), 1):
        _way(marks, str(number), sketch, fit, (a, b))
    _well_tapes(sketch, fit, marks)
    return marks.all


def _way(marks: _Marks, key: str, sketch: Sketch, fit: Fit, ends: tuple[str, str]) -> None:
    """Add the way of the tape between two corners; along a side it lies a little inside."""
    a, b = (fit.at(sketch.corner(name)) for name in ends)
    ring = fit.ring([place for _, place in sketch.corners])
    middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    names = [name for name, _ in sketch.corners]
    i, j = sorted(names.index(name) for name in ends)
    is_side = j - i == 1 or j - i == len(names) - 1
    inset = 3.0 if is_side else 0.0
    run = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    nx, ny = -(b[1] - a[1]) / run * inset, (b[0] - a[0]) / run * inset
    if (middle[0] - a[0]) * nx + (middle[1] - a[1]) * ny < 0:
        nx, ny = -nx, -ny
    marks.tape(key, (a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), 0.5 if is_side else 0.3)


def _name_corners(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    x0, y0, x1, y1 = sketch.box
    for name, (x, y) in sketch.corners:
        px, py = fit.at((x, y))
        dx, dy = (-5.5 if x < (x0 + x1) / 2 else 5.5), (-5.0 if y < (y0 + y1) / 2 else 5.0)
        marks.word(name, (px + dx, py + dy), height=TEXT + 1.5)


def _well_from_above(well: Well, fit: Fit, sketch: Sketch) -> list[Path]:
    _, y0, _, y1 = sketch.box
    ys = (y1 - well.width, y1) if well.side == "left" else (y0, y0 + well.width)
    ring = fit.ring([(well.x0, ys[0]), (well.x1, ys[0]), (well.x1, ys[1]), (well.x0, ys[1])])
    return [polygon("wells", ring, pen=_THIN, fill=0.95), *hatch("wells", ring, 2.5, grey=0.6)]


def _well_tapes(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    """Add where the tape goes at the first left wheel well, and between it and the right one."""
    well = next((w for w in sketch.wells if w.side == "left"), None)
    if well is None:
        return
    _, y0, _, y1 = sketch.box
    x0, inner, middle = 0.0, y1 - well.width, (well.x0 + well.x1) / 2
    step = 7.0 / fit.scale
    marks.tape("a", fit.at((x0, inner + step)), fit.at((well.x0, inner + step)))
    marks.tape("b", fit.at((x0, inner - step)), fit.at((well.x1, inner - step)), 0.65)
    marks.tape("c", fit.at((middle, inner)), fit.at((middle, y1)))
    other = y0 + well.width if any(w.side == "right" for w in sketch.wells) else y0
    marks.tape("d", fit.at((middle + 2 * step, other)), fit.at((middle + 2 * step, inner)), 0.25)


def _door_gaps(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    x0, y0, _, y1 = sketch.box
    for door in sketch.doors:
        low, high = door.start, door.start + door.width
        if door.side == "rear":
            ends = fit.at((x0, low)), fit.at((x0, high))
        else:
            y = y1 if door.side == "left" else y0
            ends = fit.at((low, y)), fit.at((high, y))
            marks.word(door.name, ((ends[0][0] + ends[1][0]) / 2, ends[0][1] + (4.0 if door.side == "left" else -4.0)))
        marks.lines += [line("doors", *ends, pen=Pen(width=1.2, grey=1.0)), line("doors", *ends, pen=_DASHED)]


def from_the_side(sketch: Sketch, room: Box) -> tuple[Mark, ...]:
    """Return the space from its right side, front to the right: heights by key, the doors, the front end."""
    x0, _, x1, _ = sketch.box
    fit = Fit.of((x0, 0.0, x1, sketch.top), (room[0] + 14, room[1] + 10, room[2] - 14, room[3] - 8))
    marks = _Marks()
    marks.lines.append(polygon("walls", fit.ring(_side_ring(sketch)), pen=Pen(width=WIDE)))
    for well in sketch.wells[:1]:
        ring = fit.ring([(well.x0, 0), (well.x1, 0), (well.x1, well.height), (well.x0, well.height)])
        marks.lines += [polygon("wells", ring, pen=_THIN, fill=0.95), *hatch("wells", ring, 2.5, grey=0.6)]
    foot, head = fit.at((x0, 0.0)), fit.at((x0, sketch.top))
    marks.lines.append(line("datum", (foot[0], foot[1] - _OUT), (head[0], head[1] + 4), pen=_CHAIN))
    marks.word("cross line, x 0", (foot[0] + 16, foot[1] - 5))
    marks.word("bare floor", (fit.at(((x0 + x1) / 2, 0.0))[0], foot[1] - 5))
    _roof_tapes(sketch, fit, marks)
    for i, (z, x) in enumerate(sketch.front, 1):
        lift = 3.0 / fit.scale if z == 0 else 0.0
        marks.tape(f"f{i}", fit.at((x0, z + lift)), fit.at((x, z + lift)), 0.82)
    for door in [d for d in sketch.doors if d.side != "rear"][:1]:
        _side_door(door, sketch, fit, marks)
    return marks.all


def _side_ring(sketch: Sketch) -> list[Point]:
    x0, _, x1, _ = sketch.box
    front = [(x, z) for z, x in sketch.front] or [(x1, 0.0)]
    roof = sorted(sketch.roof, reverse=True)
    top = [(x, z) for x, z in roof if x < front[-1][0]]
    return [(x0, 0.0), *front, (front[-1][0], roof[0][1]), *top]


def _roof_tapes(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    x0, _, x1, _ = sketch.box
    count = max(3, len(sketch.roof))
    end = sketch.front[-1][1] if sketch.front else x1
    xs = [x for x, _ in sorted(sketch.roof)] if len(sketch.roof) >= count else [x0, (x0 + end) / 2, end]
    for i, x in enumerate(xs, 1):
        inner = min(max(x, x0 + 5 / fit.scale), end - 5 / fit.scale)
        marks.tape(f"r{i}", fit.at((inner, 0.0)), fit.at((inner, _roof_at(sketch, inner))), 0.62)


def _roof_at(sketch: Sketch, x: float) -> float:
    pairs = sorted(sketch.roof)
    for (a, za), (b, zb) in pairwise(pairs):
        if a <= x <= b:
            return za + (zb - za) * (x - a) / (b - a)
    return pairs[0][1] if x < pairs[0][0] else pairs[-1][1]


def _side_door(door: Opening, sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    x0, _, x1, _ = sketch.box
    low, high, top = door.start, door.start + door.width, door.sill + door.height
    ring = fit.ring([(low, door.sill), (high, door.sill), (high, top), (low, top)])
    marks.lines.append(polygon("doors", ring, pen=Pen(width=MEDIUM, dash="dashed")))
    level = door.sill + door.height * 0.14
    ahead = _at([(z, x) for z, x in sketch.front], level) if sketch.front else x1
    marks.tape("s1", fit.at((x0, level)), fit.at((low, level)), 0.3)
    marks.tape("s1" if ahead - high > 12 / fit.scale else "", fit.at((high, level)), fit.at((ahead, level)))
    marks.tape("s2", fit.at((low, level)), fit.at((high, level)))
    marks.tape("s2", fit.at((low + (high - low) * 0.6, door.sill)), fit.at((low + (high - low) * 0.6, top)), 0.75)
    marks.word(door.name, fit.at((low + (high - low) * 0.3, top * 0.42)))
    roof = _roof_at(sketch, low)
    if roof - top > 1.0:
        x = low + (high - low) * 0.25
        marks.tape("s3", fit.at((x, top)), fit.at((x, roof)))


def across(sketch: Sketch, room: Box) -> tuple[Mark, ...]:
    """Return the space from behind, left to the left: half-widths by height, the rear door dashed."""
    half = max(w for _, w in sketch.profile)
    fit = Fit.of((-half, 0.0, half, sketch.top), (room[0] + 12, room[1] + 12, room[2] - 12, room[3] - 10))
    marks = _Marks()
    # Seen from behind the left side is at the left of the paper: the axis across is turned about.
    up = [(-w, z) for z, w in sketch.profile if z <= sketch.top]
    ring = [*up, *([(up[-1][0], sketch.top)] if up[-1][1] < sketch.top else [])]
    ring += [(-y, z) for y, z in reversed(ring)]
    marks.lines.append(polygon("walls", fit.ring(ring), pen=Pen(width=WIDE)))
    for well in {w.side: w for w in sketch.wells}.values():
        sign, wide = (-1.0 if well.side == "left" else 1.0), sketch.profile[0][1]
        ys = (sign * wide, sign * (wide - well.width))
        corners = fit.ring([(ys[0], 0), (ys[1], 0), (ys[1], well.height), (ys[0], well.height)])
        marks.lines += [polygon("wells", corners, pen=_THIN, fill=0.95), *hatch("wells", corners, 2.5, grey=0.6)]
    foot, head = fit.at((0.0, 0.0)), fit.at((0.0, sketch.top))
    marks.lines.append(line("datum", (foot[0], foot[1] - _OUT), (head[0], head[1] + 5), pen=_CHAIN))
    marks.word("centreline", (head[0], head[1] + 6))
    marks.word("left", fit.at((-half * 0.75, -9 / fit.scale)))
    marks.word("right", fit.at((half * 0.75, -9 / fit.scale)))
    _height_tapes(sketch, fit, marks)
    _rear_door(sketch, fit, marks)
    return marks.all


def _height_tapes(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    """Add a tape to each side at each height, as far as the wheel well where one is."""
    wells = {w.side: w for w in sketch.wells}
    for i, z in enumerate(sketch.heights[0] if sketch.heights else (), 1):
        lift = max(z, 2.5 / fit.scale)
        for side, sign in (("left", -1.0), ("right", 1.0)):
            well = wells.get(side)
            blocked = well.width if well is not None and well.height > z else 0.0
            wall = fit.at((sign * (_at(sketch.profile, z) - blocked), lift))
            marks.tape(f"h{i}" if side == "left" else "", fit.at((0.0, lift)), wall, 0.6)


def _rear_door(sketch: Sketch, fit: Fit, marks: _Marks) -> None:
    for door in sketch.doors:
        if door.side != "rear":
            continue
        top = door.sill + door.height
        corners = [(-door.start, door.sill), (-door.start - door.width, door.sill), (-door.start - door.width, top)]
        ring = fit.ring([*corners, (-door.start, top)])
        marks.lines.append(polygon("doors", ring, pen=Pen(width=MEDIUM, dash="dashed")))
        level = min(top, sketch.top) - 4 / fit.scale
        marks.tape("t2", fit.at((-door.start, level)), fit.at((-door.start - door.width, level)), 0.4)
        side = -door.start - door.width * 0.12
        marks.tape("t2", fit.at((side, door.sill)), fit.at((side, top)), 0.88)
        if (sketch.top - top) * fit.scale > _LEAST_GAP:
            over = -door.start - door.width * 0.6
            marks.tape("t3", fit.at((over, top)), fit.at((over, sketch.top)))


def _at(profile: Sequence[Point], z: float) -> float:
    for (a, wa), (b, wb) in pairwise(profile):
        if a <= z <= b:
            return wa + (wb - wa) * (z - a) / (b - a)
    return profile[0][1] if z < profile[0][0] else profile[-1][1]


Draw = Callable[[Sketch, Box], tuple[Mark, ...]]
