"""What is seen in a section: what the plane cuts, and of what is beyond it the lines that nothing nearer hides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.views.people import Figure, lines_of
from layout.views.people_figure import Outline
from layout.views.section_plane import Plane

# More solids of one name than this are slabs of one slanting or round piece, drawn as one.
_MOST_ALIKE = 12
_GRID = 1e-3  # mm: what differs by less is the same line
_SLIVER = 1.0  # mm²


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPiece:
    """A piece that the plane cuts: the thing that it belongs to, and its shape (mm of the figure).

    `material` tells what is cut: boards and bars, a mattress, or goods, whose inside nobody knows.
    """

    thing: str
    piece: str
    material: str
    shape: BaseGeometry


@dataclass(frozen=True, kw_only=True, slots=True)
class Beyond:
    """What is seen of something beyond the plane: its lines, and the area that it covers, mm of the figure.

    `body` is the whole outline of a person.
    """

    name: str
    lines: tuple[LineString, ...]
    area: BaseGeometry
    fixed: bool = False
    body: Outline = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Scene:
    """All that is seen in a section, what is beyond the plane from near to far."""

    cut: tuple[CutPiece, ...]
    beyond: tuple[Beyond, ...]

    def area(self, name: str) -> BaseGeometry:
        """Return where a thing is seen, cut or beyond."""
        cut = [piece.shape for piece in self.cut if piece.thing == name]
        return shapely.union_all([*cut, *(one.area for one in self.beyond if one.name == name)])

    @property
    def names(self) -> tuple[str, ...]:
        """Return the names of all that is seen but people, what is cut first."""
        cut = [piece.thing for piece in self.cut]
        return tuple(dict.fromkeys((*cut, *(one.name for one in self.beyond if not one.body))))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Item:
    near: float
    name: str
    shape: BaseGeometry
    fixed: bool = False
    body: Outline = ()


def scene(
    plane: Plane,
    things: Sequence[Placed],
    people: Sequence[Figure],
    *,
    fixed: Sequence[tuple[str, float, BaseGeometry]],
    room: BaseGeometry,
    hidden_by: BaseGeometry,
) -> Scene:
    """Return what is seen of things, people and fixed parts within `room`, the free room in the plane.

    Parameters
    ----------
    plane
        Where is cut, and which way is looked.
    things, people
        In the axes of the space. A person whom the plane crosses is drawn whole, before all else that is beyond.
    fixed
        Parts of the space beyond the plane: name, distance from it in mm, outline in the figure.
    room
        What is beyond is seen only through this.
    hidden_by
        What else hides what is beyond: fixed parts that are cut.
    """
    cut = tuple(piece for placed in things for piece in _cut_pieces(plane, placed))
    items = [item for placed in things for item in _items(plane, placed)]
    items += [_Item(near=near, name=name, shape=shape, fixed=True) for name, near, shape in fixed]
    items += [item for person in people for item in _people(plane, person)]
    cover = shapely.union_all([*(piece.shape for piece in cut), hidden_by])
    return Scene(cut=cut, beyond=tuple(_seen(sorted(items, key=lambda i: (i.near, i.name)), room, cover)))


def material_of(placed: Placed, solid: Solid) -> str:
    """Return what a solid is made of, as hatching tells it: ``wood``, ``foam`` or ``goods``."""
    if placed.thing.panels or placed.thing.battens:
        return "wood"
    return "foam" if placed.thing.kind == "mattress" else "goods"


def _cut_pieces(plane: Plane, placed: Placed) -> Iterator[CutPiece]:
    slabs: dict[str, list[BaseGeometry]] = {}
    # Nobody knows the inside of goods, so that all that is cut of them is one piece.
    keys = [
        placed.name if material_of(placed, solid) == "goods" else _piece(placed, solid, i)
        for i, solid in enumerate(placed.solids)
    ]
    for key, solid in zip(keys, placed.solids, strict=True):
        shape = plane.cut(solid)
        if shape.area > 0:
            slabs.setdefault(key, []).append(shape)
    solids = dict(zip(keys, placed.solids, strict=True))
    for piece, shapes in slabs.items():
        yield CutPiece(
            thing=placed.name, piece=solids[piece].name, material=material_of(placed, solids[piece]),
            shape=shapely.union_all(shapes, grid_size=_GRID),
        )  # fmt: skip


def _piece(placed: Placed, solid: Solid, place: int) -> str:
    """Return one key for all slabs of a slanting piece, and one for each other solid."""
    alike = sum(1 for other in placed.solids if other.name == solid.name)
    return solid.name if alike > _MOST_ALIKE else f"{solid.name} #{place}"


def _items(plane: Plane, placed: Placed) -> Iterator[_Item]:
    slabs: dict[str, list[tuple[float, BaseGeometry]]] = {}
    for i, solid in enumerate(placed.solids):
        shape = plane.beyond(solid)
        if shape.area > 0:
            slabs.setdefault(_piece(placed, solid, i), []).append((max(plane.span(solid)[0], 0.0), shape))
    for found in slabs.values():
        shape = shapely.union_all([shape for _, shape in found], grid_size=_GRID)
        yield _Item(near=min(near for near, _ in found), name=placed.name, shape=shape)


def _people(plane: Plane, person: Figure) -> Iterator[_Item]:
    near, far = plane.body_span(person)
    if far > 0:
        outline = person.seen(plane.axis, plane.toward)
        yield _Item(near=near if near > 0 else -1.0, name=person.name, shape=outline[0], body=outline)


def _seen(items: Sequence[_Item], room: BaseGeometry, cover: BaseGeometry) -> Iterator[Beyond]:
    """Yield what is seen of each item, the nearest first: what nothing nearer covers."""
    for item in items:
        shape = shapely.set_precision(item.shape, _GRID)
        # People are drawn through walls: that a bed is too short for somebody must be seen.
        within = shape if item.body else shape.intersection(room)
        area = _areas(within if item.near < 0 else within.difference(cover))
        if area.area > _SLIVER:
            lines = area.boundary if item.body else shape.boundary.intersection(room).difference(cover)
            yield Beyond(name=item.name, lines=tuple(lines_of(lines)), area=area, fixed=item.fixed, body=item.body)
            cover = shapely.union_all([cover, shape], grid_size=_GRID)


def _areas(shape: BaseGeometry) -> BaseGeometry:
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return shapely.union_all(parts)
