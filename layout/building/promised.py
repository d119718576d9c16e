"""What a unit promised of itself, held against its pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import shapely

from layout.building.pieces import Piece
from layout.building.prism import AXES, HAIR, Box, Prism, of_solid, shared, shared_volume
from layout.model.building import Promise
from layout.model.motion import Face
from layout.model.panel import Panel
from layout.model.solid import Solid
from layout.model.thing import Thing

_SPECK = 1.0  # mm³ that is no overlap, mm² that is no gap
_ENDS = (("rear", 0, 0), ("front", 0, 1), ("right", 1, 0), ("left", 1, 1), ("foot", 2, 0), ("top", 2, 1))
_FACES: dict[Face, tuple[int, int]] = {
    "rear": (0, 0), "front": (0, 1), "right": (1, 0), "left": (1, 1), "bottom": (2, 0), "top": (2, 1),
}  # fmt: skip


def promised(thing: Thing, pieces: Sequence[Piece], promise: Promise) -> Iterator[str]:
    """Yield where the pieces of a thing are not what it promised, in words."""
    yield from _outside(pieces, promise.outside)
    yield from (fault for face in promise.closed for fault in _closed(pieces, promise.outside, face))
    yield from (fault for opening in promise.openings for fault in _open(pieces, opening))
    yield from _roles(pieces, promise)
    yield from _grains(pieces, promise)
    yield from _places(pieces, promise)
    counts = Counter[str]()
    for hardware in thing.hardware:
        counts[hardware.item] += hardware.count
    for item, count in promise.hardware:
        if counts[item] != count:
            yield f"{counts[item]} of {count} {item}"


def _outside(pieces: Sequence[Piece], outside: Solid) -> Iterator[str]:
    wanted = of_solid(outside).box
    for word, axis, end in _ENDS:
        ends = [piece.prism.box[axis][end] for piece in pieces]
        found = max(ends) if end else min(ends)
        if abs(found - wanted[axis][end]) > HAIR:
            yield f"its {word} is at {found:.2f}, promised {wanted[axis][end]:.2f}"


def _open(pieces: Sequence[Piece], opening: Solid) -> Iterator[str]:
    room = of_solid(opening)
    for piece in pieces:
        box = shared(piece.prism, room)
        if box and min(high - low for low, high in box) > HAIR and shared_volume(piece.prism, room) > _SPECK:
            yield f"{piece.name} stands in the opening {opening.name}"


def _roles(pieces: Sequence[Piece], promise: Promise) -> Iterator[str]:
    counts = Counter(piece.role for piece in pieces)
    wanted = Counter[str]()
    for role, count in promise.roles:
        wanted[role] += count
    for role, count in wanted.items():
        if counts[role] != count:
            yield f"{counts[role]} of {count} pieces called {role}"
    if promise.roles:
        yield from (f"nothing called {role} was promised" for role in counts if role not in wanted)


def _places(pieces: Sequence[Piece], promise: Promise) -> Iterator[str]:
    """Yield promised places where no piece of the role stands, each piece taken once."""
    free: dict[str, list[Piece]] = {}
    for piece in pieces:
        free.setdefault(piece.role, []).append(piece)
    for role, solid in promise.places:
        wanted = of_solid(solid).box
        there = next((piece for piece in free.get(role, []) if _same(piece.prism.box, wanted)), None)
        if there is None:
            yield f"no {role} stands at {_said(wanted)}"
        else:
            free[role].remove(there)


def _same(one: Box, other: Box) -> bool:
    return all(abs(a - b) <= HAIR for p, q in zip(one, other, strict=True) for a, b in zip(p, q, strict=True))


def _said(box: Box) -> str:
    return ", ".join(f"{axis} {low:.2f} to {high:.2f}" for axis, (low, high) in zip(AXES, box, strict=True))


def _grains(pieces: Sequence[Piece], promise: Promise) -> Iterator[str]:
    for role, grain in promise.grains:
        for piece in pieces:
            if piece.role == role and isinstance(piece.made_of, Panel) and piece.made_of.grain != grain:
                yield f"{piece.name}: its grain is {piece.made_of.grain}, promised {grain}"


def _closed(pieces: Sequence[Piece], outside: Solid, face: Face) -> Iterator[str]:
    """Yield the face if the pieces that lie in it leave any of it open; holes that are sawn in them do not count."""
    axis, end = _FACES[face]
    box = of_solid(outside).box
    covered = [_print(piece.prism, axis, end) for piece in pieces if _at(piece, axis, end, box[axis][end])]
    (u0, u1), (v0, v1) = (box[i] for i in range(3) if i != axis)
    open_ = shapely.box(u0, v0, u1, v1).difference(shapely.union_all(covered))
    missing = open_.buffer(-HAIR, join_style="mitre").area
    if missing > _SPECK:
        yield f"its {face} is open over {missing / 100:.1f} cm²"


def _at(piece: Piece, axis: int, end: int, place: float) -> bool:
    return abs(piece.prism.box[axis][end] - place) <= HAIR


def _print(prism: Prism, axis: int, end: int) -> shapely.Geometry:
    """Return what of its outermost plane along an axis a prism covers, in the other two axes."""
    if axis == prism.axis:
        return shapely.Polygon(prism.face.exterior)
    low, high = prism.box[axis]
    edge = prism.section(axis, (high - HAIR, high) if end else (low, low + HAIR))
    other = next(i for i in prism.flat if i != axis)
    flat = [i for i in range(3) if i != axis]
    spans = []
    for part in shapely.get_parts(edge):
        bounds = part.bounds
        at = prism.flat.index(other)
        sides = {other: (bounds[at], bounds[at + 2]), prism.axis: (prism.low, prism.high)}
        spans.append(shapely.box(sides[flat[0]][0], sides[flat[1]][0], sides[flat[0]][1], sides[flat[1]][1]))
    return shapely.union_all(spans)
