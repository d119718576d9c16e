"""A scene as seen from above a corner, on paper: things shaded by what they are, people lying, names where wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import line, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, Mark, Pen, Point, Text
from layout.drawing.text_width import Box
from layout.model.layout import Placed
from layout.space.space import Space
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.marks import segment_marks
from layout.views.axonometric.picture import Picture, picture
from layout.views.comparison.look import BED, ROOM, Look, hatch_marks, look_of
from layout.views.comparison.tags import Tags, Wanted
from layout.views.comparison.values import Comparison, Scene
from layout.views.figure import PLAIN, Window

_SEAM = 0.05
_NOTHING = 4000.0  # mm² of the picture: what shows less is not seen
_BESIDE = 1.2  # mm between an edge and the words beside it
_MATTRESS = "mattress"
_BODY = Pen(width=MEDIUM)


@dataclass(frozen=True, kw_only=True, eq=False)
class Sight:
    """A scene as the camera sees it; made once, drawn at any scale."""

    space: Space
    scene: Scene
    camera: Camera

    @cached_property
    def picture(self) -> Picture:
        """Return what shows, in mm of the picture."""
        return picture(self.space, self.scene.placed, self.camera)

    @cached_property
    def hidden(self) -> tuple[str, ...]:
        """Return what shows nowhere, by short names, each once."""
        shown: dict[str, float] = {}
        for i, placed in enumerate(self.scene.placed):
            name = short_name(placed, self.scene.placed)
            area = sum(float(one.area.area) for one in self.picture.areas if one.group == i)
            shown[name] = shown.get(name, 0.0) + area
        return tuple(name for name, area in shown.items() if area < _NOTHING)

    @property
    def extent(self) -> Box:
        """Return x0, y0, x1, y1 of the picture, mm."""
        return self.picture.extent

    def look(self, group: int) -> Look:
        """Return how a group of the picture is drawn: a thing, or what is fixed in the room."""
        return look_of(self.scene.placed[group].thing) if group < self.picture.things else ROOM


def sights_of(comparison: Comparison, camera: Camera) -> dict[int, Sight]:
    """Return the first scene of each arrangement as seen by one camera, by number; what is one scene is seen once."""
    scenes = {id(column.scenes[0]): column.scenes[0] for column in comparison.columns}
    seen = {key: Sight(space=comparison.space, scene=scene, camera=camera) for key, scene in scenes.items()}
    return {column.number: seen[id(column.scenes[0])] for column in comparison.columns}


def picture_window(extent: Box, scale: int, box: Box) -> Window:
    """Return the window that puts an extent into the middle of a box, at its top, on paper."""
    x = (box[0] + box[2]) / 2 - (extent[0] + extent[2]) / 2 / scale
    return Window(scale=scale, axes=PLAIN, shift=(x, box[3] - extent[3] / scale))


def picture_marks(sight: Sight, window: Window) -> Iterator[Mark]:
    """Yield the picture without names."""
    shown, groups = sight.picture, sight.picture.groups
    yield from segment_marks("room", shown.room, window)
    yield from segment_marks("doors", [s for _, each in shown.openings for s in each], window, "chain")
    for one in shown.areas:
        look, area = sight.look(one.group), on_paper(one.area, window)
        yield from filled(area, "things", look.greys[one.tone], groups[one.group].name)
        if look.hatched:
            yield from hatch_marks(area, "things", one.tone, groups[one.group].name)
    for outline, width in ((False, NARROW), (True, MEDIUM)):
        for stroke in shown.strokes:
            if stroke.outline == outline:
                name = groups[stroke.group].name
                yield line("things", *window.ring(stroke.ends), pen=Pen(width=width), id=name)
    yield from _people(sight, window)


def on_paper(shape: BaseGeometry, window: Window) -> BaseGeometry:
    """Return a shape of the picture, mm, as it lies on paper."""
    return shapely.transform(shape, lambda points: np.array([window.at((x, y)) for x, y in points.tolist()]))


def filled(shape: BaseGeometry, layer: str, grey: float, name: str) -> Iterator[Mark]:
    """Yield the parts of a shape on paper filled with a grey; parts with holes are cut in two."""
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        if part.interiors:
            x0, y0, x1, y1 = part.bounds
            at = part.interiors[0].centroid.x
            for half in (shapely.box(x0, y0, at, y1), shapely.box(at, y0, x1, y1)):
                yield from filled(part.intersection(half), layer, grey, name)
        else:
            ring = tuple((x, y) for x, y in part.exterior.coords[:-1])
            yield polygon(layer, ring, pen=Pen(width=_SEAM, grey=grey), fill=grey, id=name)


def _people(sight: Sight, window: Window) -> Iterator[Mark]:
    """Yield those who lie, as they lie on top of all else."""
    for rings in lying(sight, window):
        for i, ring in enumerate(rings):
            fill = 1.0 if i == 0 else None
            yield polygon("people", ring, pen=_BODY if i == 0 else Pen(width=NARROW), fill=fill)


def lying(sight: Sight, window: Window) -> list[list[tuple[Point, ...]]]:
    """Return the outlines on paper of each person who lies: the body, then what is drawn within it."""
    return [
        [_ring(part, person.at[2], sight.camera, window) for part in person.seen("z")]
        for person in sight.scene.people if person.does == "lie"
    ]  # fmt: skip


def _ring(part: BaseGeometry, z: float, camera: Camera, window: Window) -> tuple[Point, ...]:
    points = np.array([(x, y, z) for x, y in part.exterior.coords[:-1]])
    return window.ring((u, v) for u, v, _ in camera.seen(points).tolist())


def name_picture(sight: Sight, window: Window, bounds: Box) -> Tags:
    """Return the names of the things of a picture, equal ones by the name of their group."""
    shown = sight.picture
    areas: list[list[BaseGeometry]] = [[] for _ in range(shown.things)]
    for one in shown.areas:
        if one.group < shown.things:
            areas[one.group].append(on_paper(one.area, window))
    everything = [area for each in areas for area in each]
    lines = [shapely.LineString(window.ring(s)) for s in shown.room]
    tags = Tags(bounds=bounds, picture=shapely.union_all([*everything, *lines]).convex_hull)
    bodies = shapely.union_all([Polygon(rings[0]).buffer(0) for rings in lying(sight, window)])
    tags.marks += [tags.keep_free(text) for text in _door_words(sight, window)]
    tags.write([*_wanted(sight, areas, bodies)])
    return tags


def _door_words(sight: Sight, window: Window) -> Iterator[Text]:
    """Yield the names of the doors at the near edges of the floor, along them and outside."""
    x0, y0, _, y1 = sight.space.shell(0.0).bounds
    near = y0 if sight.camera.side == "right" else y1
    for door in sight.space.doors:
        if door.side in ("rear", sight.camera.side):
            low, high = (
                ((x0, door.low), (x0, door.high)) if door.side == "rear" else ((door.low, near), (door.high, near))
            )
            ends = sight.camera.seen(np.array([(*low, 0.0), (*high, 0.0)]))[:, :2].tolist()
            (ax, ay), (bx, by) = sorted(window.ring((u, v) for u, v in ends))
            slope = np.arctan2(by - ay, bx - ax)
            down = _BESIDE + 1.05 * SMALL_TEXT
            at = ((ax + bx) / 2 + down * float(np.sin(slope)), (ay + by) / 2 - down * float(np.cos(slope)))
            yield Text(
                layer="doors", at=at, text=door.name, height=SMALL_TEXT, anchor="middle", angle=float(np.degrees(slope))
            )


def _wanted(sight: Sight, areas: Sequence[Sequence[BaseGeometry]], bodies: BaseGeometry) -> Iterator[Wanted]:
    for i, placed in enumerate(sight.scene.placed):
        name = short_name(placed, sight.scene.placed)
        free = tuple(area.difference(bodies) for area in areas[i])
        # That something is a bed one sees by who lies on it.
        needed = not (sight.look(i) is BED and not bodies.is_empty)
        yield Wanted(text=name, areas=free, group=name, patch=sight.look(i).patch, needed=needed)


def short_name(placed: Placed, others: Sequence[Placed]) -> str:
    """Return what a thing is called on a picture: its group; a mattress, where there is one bed, as that bed."""
    beds = {p.thing.group for p in others if look_of(p.thing) is BED and p.thing.kind != _MATTRESS}
    return next(iter(beds)) if placed.thing.kind == _MATTRESS and len(beds) == 1 else placed.thing.group
