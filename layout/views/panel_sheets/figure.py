"""One panel to scale: outline, cuts, what stands on it, screws, grain, and its running dimensions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from layout.drawing.dimensions import Dimension, dimension_marks
from layout.drawing.labels import Labels, key
from layout.drawing.lines import arrow, circle, cross, hatch, line, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALLEST_TEXT, WIDE, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, overlap, text_width
from layout.model.panel import Side
from layout.model.worked import Fix, Meet, Rect, Work
from layout.views.panel_sheets.fitting_words import Symbol, fitted_groups
from layout.views.panel_sheets.running import Running, running
from layout.views.panel_sheets.words import Words, edge_span, hole_words, meet_words, middle, places_words, round_hole

_EDGE = 3.6  # mm from the outline to the letters of its edges
_BESIDE = 8.0  # mm for them where no dimensions stand
_OVERALL = 9.0
_NEARER = 0.6  # mm that the row of whole sizes comes nearer than a first row does
_THIN = Pen(width=NARROW)
_SCREW = 0.7
_BAND = 1.2
_TICK = 1.8
_MANY = 4
_FLAT = 0.05
_NEAR_END = 0.5  # mm: what lies so near the far end is told by the whole size
_SIGN = 0.8
_SMALL = 6.0  # mm: a hole so small on paper has its letter beside it
_FEW_SIGNS = 12
# How far from its sign a letter is tried, mm, and which ways.
_AWAY = (4.0, 5.5, 7.0, 9.0, 11.0, 14.0)
_WAYS = ((0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7), (0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0))
_CLUSTER = 14.0  # mm: signs so near each other share a letter
_LARGE = 12.0  # mm of paper that a figure needs for its grain arrow
Note = tuple[str, str]


@dataclass(kw_only=True)
class PanelFigure:
    """A panel at 1:`scale`, its low left corner of the outline at (`x`, `y`) once its margins are known."""

    work: Work
    scale: int
    words: Words

    def __post_init__(self) -> None:
        """Find the dimensions and with them the margins."""
        work, far = self.work, (0.0, 0.0)
        size = work.length / self.scale, work.width / self.scale
        us, vs = _stations(work, 0), _stations(work, 1)
        self._u = running(us, lambda mm: mm / self.scale, self.words.said, (far[0], size[0])) if us else _none()
        self._v = running(vs, lambda mm: mm / self.scale, self.words.said, (far[1], size[1])) if vs else _none()
        self.size = size
        self.left = max(self._v.depth, _BESIDE) + _OVERALL
        self.low = max(self._u.depth, _BESIDE) + _OVERALL
        self.width, self.height = self.left + size[0] + _BESIDE, self.low + size[1] + _BESIDE

    def drawn(self) -> tuple[tuple[Mark, ...], tuple[Note, ...]]:
        """Return the marks within (0, 0) to (width, height), and the notes with their letters."""
        labels = Labels(bounds=(0.0, 0.0, self.width, self.height), letters=True, taken=self._signs())
        made = [*self._panel(), *self._meets(labels), *self._fittings(labels), *self._dimensions()]
        notes = tuple(labels.notes)
        return (*made, *labels.marks), notes

    def _at(self, u: float, v: float) -> Point:
        return self.left + u / self.scale, self.low + v / self.scale

    def _box(self, rect: Rect) -> Box:
        return *self._at(rect[0], rect[1]), *self._at(rect[2], rect[3])

    def _panel(self) -> list[Mark]:
        ring = tuple(self._at(u, v) for u, v in self.work.outline)
        marks: list[Mark] = [polygon("panel", ring, pen=Pen(width=WIDE), fill=1.0, id=self.work.part)]
        for hole in self.work.holes:
            marks.append(polygon("holes", tuple(self._at(u, v) for u, v in hole), pen=Pen(width=MEDIUM), fill=0.85))
            if round_hole(hole) is not None:
                marks += cross("holes", self._at(*middle(hole)), 2.0)
        marks += [self._band(side) for side, _ in self.work.bands]
        return [*marks, *self._grain()]

    def _band(self, side: Side) -> Mark:
        """Return a thick line just inside a banded edge."""
        (x0, y0), (x1, y1), d = self._at(0, 0), self._at(self.work.length, self.work.width), _BAND / 2
        ends: dict[Side, tuple[Point, Point]] = {
            "left": ((x0 + d, y0), (x0 + d, y1)), "right": ((x1 - d, y0), (x1 - d, y1)),
            "bottom": ((x0, y0 + d), (x1, y0 + d)), "top": ((x0, y1 - d), (x1, y1 - d)),
        }  # fmt: skip
        return line("bands", *ends[side], pen=Pen(width=_BAND))

    def _grain(self) -> list[Mark]:
        """Return a double arrow along the grain, a quarter up the panel where there is room for it."""
        wide, high = self.size
        if self.work.grain == "free" or max(wide, high) < _LARGE:
            return []
        level = self.work.grain == "along"
        half = min(10.0, (wide if level else high) * 0.2)
        x, y = self._free_place(half, level=level)
        dx, dy = (half, 0.0) if level else (0.0, half)
        ends = (x - dx, y - dy), (x + dx, y + dy)
        return [*arrow("grain", ends[1], ends[0]), *arrow("grain", ends[0], ends[1])]

    def _free_place(self, half: float, *, level: bool) -> Point:
        """Return where an arrow has its middle, clear of seats, cuts and holes if there is such a place."""
        taken = [self._box(m.rect) for m in self.work.meets if m.side is None]
        taken += [self._box(_bounds(hole)) for hole in self.work.holes] + self._signs()
        wide, high = self.size
        dx, dy = (half, 1.0) if level else (1.0, half)
        places = [(self.left + wide * i / 10, self.low + high * j / 10) for j in (3, 2, 7, 4, 8) for i in range(2, 9)]
        free = (p for p in places if not any(overlap((p[0] - dx, p[1] - dy, p[0] + dx, p[1] + dy), b) for b in taken))
        return next(free, places[1])

    def _meets(self, labels: Labels) -> list[Mark]:
        """Return cuts, seats and screws; each gets the letter of its note, those that read the same the same one."""
        groups: dict[str, list[Meet]] = {}
        for meet in sorted(self.work.meets, key=lambda m: (m.side is not None, not m.cut, m.rect)):
            groups.setdefault(meet_words(meet, self.words), []).append(meet)
        made: list[Mark] = [mark for meets in groups.values() for meet in meets for mark in self._one(meet)]
        for said, meets in groups.items():
            letter = _noted(f"{said}{places_words(meets, self.work, self.words)}", labels)
            # Of many alike along an edge the first one is enough.
            told = meets[:1] if len(meets) > _MANY and meets[0].side else meets
            made += [mark for meet in told for mark in self._letter(letter, meet, labels)]
        for hole, count in self._told_holes():
            said = hole_words(hole, self.words)
            ends = _across(self._box(_bounds(hole)))
            letter = _noted(f"{count} times: {said}" if count > 1 else said, labels)
            small = _run(*ends) < _SMALL
            made += _led(letter, _mid(*ends), labels) if small else labels.circled(letter, *ends, -_run(*ends) / 2)
        return made

    def _fittings(self, labels: Labels) -> list[Mark]:
        """Return a sign at each place of hardware, and the letter of its note beside it; one letter for a cluster."""
        made: list[Mark] = []
        for group in fitted_groups(self.work, self.words):
            letter, told = _noted(group.said, labels), list[Point]()
            places = [self._at(*point) for point in sorted(group.points)]
            for at in places:
                made += _sign(group.symbol, at)
            for x, y in places if len(places) <= _FEW_SIGNS else places[:1]:
                if all(hypot(x - p, y - q) > _CLUSTER for p, q in told):
                    told.append((x, y))
                    made += _led(letter, (x, y), labels)
        return made

    def _signs(self) -> list[Box]:
        """Return the boxes round the signs of hardware, which no letter covers."""
        places = [self._at(*one.at) for one in self.work.fittings]
        return [(x - 1.2 * _SIGN, y - 1.2 * _SIGN, x + 1.2 * _SIGN, y + 1.2 * _SIGN) for x, y in places]

    def _told_holes(self) -> list[tuple[tuple[Point, ...], int]]:
        """Return one hole of each kind and how many there are: many alike are told at the first."""
        first = {hole_words(hole, self.words): hole for hole in reversed(self.work.holes)}
        counts = Counter(hole_words(hole, self.words) for hole in self.work.holes)
        return [(hole, counts[said]) for said, hole in first.items()]

    def _one(self, meet: Meet) -> list[Mark]:
        if meet.side is not None:
            return self._ticks(meet)
        ring = tuple(self._at(u, v) for u, v in _ring(meet.rect))
        far = meet.face == "far" or meet.kind == "loose"
        pen = Pen(width=NARROW, dash="dashed" if far else "solid")
        marks: list[Mark] = [polygon("cuts" if meet.cut else "seats", ring, pen=pen)]
        if meet.cut and not far:
            marks += hatch("cuts", ring, 1.5)
        return [*marks, *(mark for fix in meet.fixes for mark in self._screws(fix, meet.rect))]

    def _ticks(self, meet: Meet) -> list[Mark]:
        """Return two short lines out from an edge, from where to where a joint reaches that is not all of it."""
        span = edge_span(meet, self.work)
        if span is None:
            return []
        (x0, y0), (x1, y1) = self._at(0, 0), self._at(self.work.length, self.work.width)
        marks: list[Mark] = []
        for mm in span:
            x, y = self._at(mm, mm)
            ends: dict[str | None, tuple[Point, Point]] = {
                "left": ((x0, y), (x0 - _TICK, y)), "right": ((x1, y), (x1 + _TICK, y)),
                "bottom": ((x, y0), (x, y0 - _TICK)), "top": ((x, y1), (x, y1 + _TICK)),
            }  # fmt: skip
            marks.append(line("seats", *ends[meet.side], pen=_THIN))
        return marks

    def _screws(self, fix: Fix, rect: Rect) -> list[Mark]:
        """Return a small cross at every screw that goes through here, and a dot where a block stands."""
        if fix.role in ("into",):
            return []
        marks: list[Mark] = []
        for u, v in screw_points(fix, rect):
            at = self._at(u, v)
            marks += [circle("screws", at, _SCREW)] if fix.role == "block" else [*cross("screws", at, 2 * _SCREW)]
        return marks

    def _letter(self, said: str, meet: Meet, labels: Labels) -> list[Mark]:
        x0, y0, x1, y1 = self._box(meet.rect)
        out = {"left": (-_EDGE, 0.0), "right": (_EDGE, 0.0), "bottom": (0.0, -_EDGE), "top": (0.0, _EDGE)}
        dx, dy = out[meet.side] if meet.side else (0.0, 0.0)
        if meet.side in ("left", "right"):
            x0 = x1 = self.left if meet.side == "left" else self.left + self.size[0]
        if meet.side in ("bottom", "top"):
            y0 = y1 = self.low if meet.side == "bottom" else self.low + self.size[1]
        start, end = _across((x0 + dx, y0 + dy, x1 + dx, y1 + dy))
        return labels.circled(said, start, end, -_run(start, end) / 2)

    def _dimensions(self) -> list[Mark]:
        (x0, y0), (x1, y1) = self._at(0, 0), self._at(self.work.length, self.work.width)
        marks: list[Mark] = []
        for one, side, edge, ends, shift in (
            (self._u, "bottom", y0, (x0, x1), x0), (self._v, "left", x0, (y0, y1), y0)
        ):  # fmt: skip
            placed = Running(
                places=tuple(p + shift for p in one.places), texts=one.texts, height=one.height, pitch=one.pitch
            )
            marks += placed.marks(side, edge, ends)  # type: ignore[arg-type]  # the words of the two ways above
        whole = self.words.said(self.work.length), self.words.said(self.work.width)
        low, left = y0 - max(self._u.depth, _BESIDE), x0 - max(self._v.depth, _BESIDE)
        marks += self._overall((x0, x1), whole[0], "bottom", low + _NEARER)
        marks += self._overall((y0, y1), whole[1], "left", left + _NEARER)
        return marks

    def _overall(self, span: tuple[float, float], said: str, side: str, edge: float) -> list[Mark]:
        """Return the whole length or width; centred past its end where it is too short for the text."""
        one = Dimension(low=span[0], high=span[1], text=said)
        if one.fits_within:
            return list(dimension_marks(((one,),), side, edge))  # type: ignore[arg-type]  # two of the four sides
        bare = Dimension(low=span[0], high=span[1], text="")
        marks = list(dimension_marks(((bare,),), side, edge))  # type: ignore[arg-type]  # as above
        marks = [mark for mark in marks if not isinstance(mark, Text)]
        level, centre, half = edge - 7.0 - 0.9, (span[0] + span[1]) / 2, text_width(said, SMALLEST_TEXT) / 2
        at = (centre, level + 1.8) if side == "bottom" else (level, centre)
        least = half + 0.5
        along = max(centre, least)
        at = (along, at[1]) if side == "bottom" else (at[0], along)
        return [*marks, Text(layer="dimensions", at=at, text=said, height=SMALLEST_TEXT, anchor="middle",
                             angle=0.0 if side == "bottom" else 90.0)]  # fmt: skip


def _noted(said: str, labels: Labels) -> str:
    """Return the letter of a new note."""
    letter = key(len(labels.notes), letters=True)
    labels.notes.append((letter, said))
    return letter


def _led(letter: str, at: Point, labels: Labels) -> list[Mark]:
    """Return a letter in a circle as near to a sign as there is room, with a line to it where it is farther off."""
    radius = max(text_width(letter, SMALLEST_TEXT), SMALLEST_TEXT) / 2 + 0.7
    for away in _AWAY:
        for dx, dy in _WAYS:
            x, y = at[0] + away * dx, at[1] + away * dy
            if labels.free((x - radius, y - radius, x + radius, y + radius)):
                made = labels.circled(letter, (x, y), (x, y), 0.0)
                start = (at[0] + dx * _SIGN, at[1] + dy * _SIGN), (x - dx * radius, y - dy * radius)
                return [line("hardware", *start, pen=_THIN), *made]
    return labels.circled(letter, at, at, 0.0)


def _sign(symbol: Symbol, at: Point) -> list[Mark]:
    """Return a circle with a cross for a hole right through, a dot for one that is not, a square for what is put on."""
    if symbol == "through":
        return [circle("hardware", at, _SIGN), *cross("hardware", at, 3 * _SIGN)]
    if symbol == "blind":
        return [circle("hardware", at, _SIGN, fill=0.0)]
    x, y = at
    ring = ((x - _SIGN, y - _SIGN), (x + _SIGN, y - _SIGN), (x + _SIGN, y + _SIGN), (x - _SIGN, y + _SIGN))
    return [polygon("hardware", ring, pen=_THIN)]


def _none() -> Running:
    return Running(places=(), texts=())


def _stations(work: Work, axis: int) -> list[float]:
    """Return the distances along the length (0) or the width (1) at which something is marked; none: no need."""
    size = work.width if axis else work.length
    found = [p[axis] for p in _corners(work)]
    for hole in work.holes:
        ends = [p[axis] for p in hole]
        found += [middle(hole)[axis]] if round_hole(hole) is not None else [min(ends), max(ends)]
    found += [one.at[axis] for one in work.fittings]
    for meet in work.meets:
        low, high = meet.rect[axis], meet.rect[axis + 2]
        if meet.side is None and (low > _FLAT or high < size - _FLAT):
            # A thin seat is told at its near line, a wide one or one that ends within at both.
            found += [low] if meet.rect[3 - axis] - meet.rect[1 - axis] > high - low else [low, high]
    inner = sorted({round(mm, 1) for mm in found if _FLAT < mm < size - _NEAR_END})
    # The far end has a dimension of its own.
    return [0.0, *inner] if inner else []


def _corners(work: Work) -> list[Point]:
    """Return the corners that are told by dimensions: not those within a curve, which the offsets tell."""
    ring = work.outline
    return [
        here
        for before, here, after in zip((ring[-1], *ring), ring, (*ring[1:], ring[0]), strict=False)
        if not (work.tables and _slants(before, here) and _slants(here, after))
    ]


def _slants(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) > _FLAT and abs(a[1] - b[1]) > _FLAT


def screw_points(fix: Fix, rect: Rect) -> list[Point]:
    """Return where the fasteners stand on the panel: along the middle of the longer way of their joint, mm."""
    u0, v0, u1, v1 = rect
    along_u = u1 - u0 >= v1 - v0
    start = (u0 if along_u else v0) + fix.end
    places = [start + i * fix.apart for i in range(fix.count)]
    if along_u:
        return [(place, (v0 + v1) / 2) for place in places]
    return [((u0 + u1) / 2, place) for place in places]


def _ring(rect: Rect) -> Sequence[Point]:
    u0, v0, u1, v1 = rect
    return (u0, v0), (u1, v0), (u1, v1), (u0, v1)


def _bounds(ring: Sequence[Point]) -> Rect:
    us, vs = zip(*ring, strict=True)
    return min(us), min(vs), max(us), max(vs)


def _across(box: Box) -> tuple[Point, Point]:
    """Return the middle line of a box along its longer way."""
    x0, y0, x1, y1 = box
    if x1 - x0 >= y1 - y0:
        return (x0, (y0 + y1) / 2), (x1, (y0 + y1) / 2)
    return ((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1)


def _mid(start: Point, end: Point) -> Point:
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2


def _run(start: Point, end: Point) -> float:
    return hypot(end[0] - start[0], end[1] - start[1])
