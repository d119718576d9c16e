"""A unit drawn apart: its panels and battens along the axes from the middle, numbered, with their sizes beside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from layout.drawing.labels import Labels
from layout.drawing.lines import line
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, SMALLEST_TEXT, TEXT, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, shorten, text_width
from layout.drawing.title_block import sheet_room
from layout.model.thing import Thing
from layout.views.axonometric.apart import apart, guides
from layout.views.axonometric.areas import Shown, shown_areas
from layout.views.axonometric.bodies import Body, of_panel, of_solid
from layout.views.axonometric.camera import ENDS, SIDES, Camera
from layout.views.axonometric.marks import area_marks, segment_marks, stroke_marks
from layout.views.axonometric.naming import mark_key
from layout.views.axonometric.picture import tones
from layout.views.axonometric.room import segments
from layout.views.axonometric.scale import composed
from layout.views.axonometric.scene import Group, Segment, Stroke, occluders, shown_of, strokes
from layout.views.figure import PLAIN, Figure, Margins, Window
from layout.views.options import ViewOptions

_PITCH = 1.75
_GAP = 3.0
_WIDEST = 0.42  # of the sheet's room

Row = tuple[str, str, str, str]


def exploded(
    unit: Thing,
    names: Sequence[str],
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
    *,
    count: int = 1,
) -> Drawing:
    """Return a unit drawn apart; `names` are those of its panels and then its battens, equal pieces of one name.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    bodies = [*(of_panel(panel) for panel in unit.panels), *(of_solid(batten.solid) for batten in unit.battens)]
    camera = _before(unit)
    # Whether a piece shows does not hang on its holes, and without them it is soon known.
    whole = [of_panel(replace(panel, holes=())) for panel in unit.panels]
    by = apart([*whole, *bodies[len(whole) :]], camera)
    moved = tuple(Group(name=name, bodies=(body.moved(d),)) for name, body, d in zip(names, bodies, by, strict=True))
    faces, of = occluders(moved, camera)
    ways = camera.seen(segments([tuple(map(tuple, way.tolist())) for way in guides(bodies, names, by)]))
    view = _Exploded(
        unit=unit,
        count=count,
        groups=moved,
        strokes=strokes(moved, camera, faces, of),
        areas=shown_areas(faces, of, tones(moved, faces)),
        guides=tuple(shown_of(ways, faces)),
        extent=_extent([g.bodies[0] for g in moved], camera),
        options=options,
    )
    return composed(view.figure(), options)


def _before(unit: Thing) -> Camera:
    """Return the camera that sees most of the good faces of fronts, doors and backs; from the rear right if none."""

    def seen(camera: Camera) -> float:
        eye = dict(zip("xyz", camera.to_eye.tolist(), strict=True))
        ways = [(panel.area, eye[panel.through] * (1 if panel.good == "high" else -1), panel) for panel in unit.panels]
        return round(sum(area for area, way, panel in ways if panel.good and panel.through != "z" and way > 0))

    return max((Camera(side=side, end=end) for end in ENDS for side in SIDES), key=seen)


def _extent(bodies: Sequence[Body], camera: Camera) -> Box:
    seen = camera.seen(np.concatenate([body.points for body in bodies]))
    (u0, v0), (u1, v1) = seen[:, :2].min(axis=0).tolist(), seen[:, :2].max(axis=0).tolist()
    return u0, v0, u1, v1


@dataclass(frozen=True, kw_only=True, eq=False)
class _Exploded:
    unit: Thing
    count: int
    groups: tuple[Group, ...]
    strokes: tuple[Stroke, ...]
    areas: tuple[Shown, ...]
    guides: tuple[Segment, ...]
    extent: Box
    options: ViewOptions

    def figure(self) -> Figure:
        times = f", {self.count} of them" if self.count > 1 else ""
        room = sheet_room(self.options.page)
        table = self._table(room)
        return Figure(
            name=f"apart-{self.unit.group}",
            title=f"{self.unit.group} drawn apart{times}",
            extent=self.extent,
            margins=Margins(left=8, bottom=6, right=10 + table.width, top=6),
            axes=PLAIN,
            draw=lambda window, labels: self.draw(window, labels, table),
            outside=5.0,
            beside=table.width,
        )

    def draw(self, window: Window, labels: Labels, table: _Table) -> tuple[Mark, ...]:
        self._keys(window, labels)
        return (
            *segment_marks("guides", self.guides, window, "dashed"),
            *area_marks(self.areas, self.groups, window),
            *stroke_marks(self.strokes, self.groups, window),
            *table.marks(),
        )

    def _keys(self, window: Window, labels: Labels) -> None:
        """Put numbers on the pieces that have room for them, and on at least one piece of each kind."""
        keys = {name: str(i + 1) for i, name in enumerate(self._kinds())}
        areas = [[s for s in self.areas if s.group == i] for i in range(len(self.groups))]
        largest_first = sorted(range(len(areas)), key=lambda i: (-sum(s.area.area for s in areas[i]), i))
        marked = {self.groups[i].name for i in largest_first if self._key(keys, areas, i, window, labels, wanted=False)}
        for i in largest_first:
            name = self.groups[i].name
            if name not in marked and self._key(keys, areas, i, window, labels, wanted=True):
                marked.add(name)

    def _key(
        self,
        keys: dict[str, str],
        areas: list[list[Shown]],
        i: int,
        window: Window,
        labels: Labels,
        *,
        wanted: bool,
    ) -> bool:
        return mark_key(keys[self.groups[i].name], areas[i], window, labels, wanted=wanted)

    def _kinds(self) -> list[str]:
        return list(dict.fromkeys(group.name for group in self.groups))

    def _table(self, room: Box) -> _Table:
        kinds = self._kinds()
        names = [group.name for group in self.groups]
        rows: list[Row] = []
        for i, name in enumerate(kinds):
            rows.append((str(i + 1), name, f"{names.count(name)} ×", self._size(names.index(name))))
        return _fitted(rows, room)

    def _size(self, place: int) -> str:
        said = self.options.said
        if place < len(self.unit.panels):
            panel = self.unit.panels[place]
            return f"{said(panel.length)} × {said(panel.width)} × {said(panel.sheet.thickness)}"
        batten = self.unit.battens[place - len(self.unit.panels)]
        return f"{said(batten.length)}, {batten.bar.material}"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Table:
    """The list at the side: rows of key, name, count, size; letters `height` mm high, columns `widths` mm wide."""

    rows: tuple[Row, ...]
    height: float
    widths: tuple[float, ...]
    at: tuple[float, float]

    @property
    def width(self) -> float:
        return sum(self.widths)

    def marks(self) -> Iterator[Mark]:
        x, top = self.at
        y = top - TEXT
        yield Text(layer="table", at=(x, y), text="finished sizes", height=SMALL_TEXT)
        y -= 1.6
        yield line("table", (x, y), (x + self.width - _GAP, y), pen=Pen(width=MEDIUM))
        for row in self.rows:
            y -= self.height * _PITCH
            yield from self._row(row, y)
            foot = y - self.height * 0.4
            yield line("table", (x, foot), (x + self.width - _GAP, foot), pen=Pen(width=NARROW, grey=0.6))

    def _row(self, row: Row, y: float) -> Iterator[Mark]:
        x = self.at[0]
        for i, (text, width) in enumerate(zip(row, self.widths, strict=True)):
            end = i in (0, 2)
            said = shorten(text, width - _GAP + 1e-6, self.height)
            at = (x + width - _GAP if end else x, y)
            if said:
                yield Text(layer="table", at=at, text=said, height=self.height, anchor="end" if end else "start")
            x += width


def _fitted(rows: Sequence[Row], room: Box) -> _Table:
    """Return the list with the largest letters at which it has room at the right of the sheet."""
    x0, y0, x1, y1 = room
    for height in (SMALL_TEXT, 2.1, SMALLEST_TEXT):
        widths = [max(text_width(row[i], height) for row in rows) + _GAP for i in range(4)]
        fits = sum(widths) <= (x1 - x0) * _WIDEST and (len(rows) + 2) * height * _PITCH <= y1 - y0 - 8
        if fits or height == SMALLEST_TEXT:
            break
    over = sum(widths) - (x1 - x0) * _WIDEST
    widths[1] -= max(0.0, over)
    most = int((y1 - y0 - 8) / (height * _PITCH)) - 2
    kept = list(rows)
    if len(rows) > most:
        kept = [*rows[: most - 1], ("", f"and {len(rows) - most + 1} more: see the lists", "", "")]
    return _Table(rows=tuple(kept), height=height, widths=tuple(widths), at=(x1 - sum(widths), y1 - 2))
