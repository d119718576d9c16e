"""The referee of furniture: puts a unit together from its pieces in space and says what does not hold.

It shares no code with the kinds that make the pieces: it reads where each piece stands and what the unit promised.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely

from layout.model.building import Batten, Promise
from layout.model.motion import Face
from layout.model.panel import Joint, Panel
from layout.model.solid import Solid
from layout.model.thing import Thing

_HAIR = 0.02  # mm that sums of sizes may leave
_SPECK = 1.0  # mm³ that is no overlap, mm² that is no gap
_TOGETHER = ("butt", "rebate", "groove", "housing", "batten", "corner block", "insert", "bolt", "hinge", "loose")
_CUT_IN = ("rebate", "groove", "housing")


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """One panel or batten as it stands: its name and role, its solids, its joints."""

    name: str
    role: str
    solids: tuple[Solid, ...]
    thickness: float
    joints: tuple[Joint, ...] = ()
    grain: str = ""

    @property
    def box(self) -> tuple[float, float, float, float, float, float]:
        """Return the low and high corner of all of it, mm."""
        bounds = [(*s.bounds, s.z0, s.z1) for s in self.solids]
        return (
            min(b[0] for b in bounds), min(b[1] for b in bounds), min(b[4] for b in bounds),
            max(b[2] for b in bounds), max(b[3] for b in bounds), max(b[5] for b in bounds),
        )  # fmt: skip


def faults(thing: Thing) -> tuple[str, ...]:
    """Return what does not hold of a built thing, in words; nothing for one that goes together as it promises."""
    pieces = pieces_of(thing)
    return tuple(fault for look in (_thicknesses, _joints, _overlaps, _alone) for fault in look(pieces)) + (
        tuple(_promised(pieces, thing.promise)) if thing.promise else ("promises nothing",)
    )


def pieces_of(thing: Thing) -> tuple[Piece, ...]:
    """Return the panels and battens of a thing as pieces, in its own axes."""
    return (*(_of_panel(panel) for panel in thing.panels), *(_of_batten(batten) for batten in thing.battens))


def _of_panel(panel: Panel) -> Piece:
    return Piece(
        name=panel.name, role=panel.role or panel.name, solids=panel.solids, thickness=panel.sheet.thickness,
        joints=panel.joints, grain=panel.grain,
    )  # fmt: skip


def _of_batten(batten: Batten) -> Piece:
    return Piece(
        name=batten.name, role=batten.role or batten.name, solids=(batten.solid,), thickness=min(batten.bar.section)
    )


def _thicknesses(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield pieces that are not as thick as what they are made of."""
    for piece in pieces:
        box = piece.box
        sizes = [box[i + 3] - box[i] for i in range(3)]
        if all(abs(size - piece.thickness) > _HAIR for size in sizes):
            yield f"{piece.name} is {min(sizes):.2f} thick, its material {piece.thickness:.2f}"


def _joints(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield joints that meet nothing, reach too deep, or have no depth where one is cut."""
    for piece in pieces:
        for joint in piece.joints:
            others = [other for other in pieces if other is not piece and joint.to in (other.name, other.role)]
            if not others:
                yield f"{piece.name}: {joint.kind} to {joint.to}, which is not there"
            elif joint.kind in _CUT_IN and joint.depth <= 0:
                yield f"{piece.name}: a {joint.kind} in {joint.to} without a depth"
            elif joint.kind in _CUT_IN and joint.depth >= min(o.thickness for o in others) - _HAIR:
                yield f"{piece.name}: a {joint.kind} {joint.depth:g} deep goes through {joint.to}"
            elif not any(_touch(piece, other) for other in others):
                yield f"{piece.name}: {joint.kind} to {joint.to}, but {_gap(piece, others):.2f} apart"


def _touch(a: Piece, b: Piece) -> bool:
    """Return whether two pieces share a face or more: no gap along one axis, more than a hair along the others."""
    for one in a.solids:
        for other in b.solids:
            shared = _shared(one, other)
            if min(shared) >= -_HAIR and sum(size > _HAIR for size in shared) >= 2:  # noqa: PLR2004 (a face)
                return True
    return False


def _shared(a: Solid, b: Solid) -> tuple[float, float, float]:
    """Return how far two boxes reach into each other along x, y, z, mm; negative where they are apart."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    return (
        min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0), min(a.z1, b.z1) - max(a.z0, b.z0),
    )  # fmt: skip


def _gap(piece: Piece, others: Sequence[Piece]) -> float:
    return min(
        max(0.0, *(-size for size in _shared(a, b))) for other in others for a in piece.solids for b in other.solids
    )


def _overlaps(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield pairs of pieces that take the same room by other than the depth of the joint between them."""
    for a, b in combinations(pieces, 2):
        cut = [(j.depth, b) for j in _cut_into(a, b)] + [(j.depth, a) for j in _cut_into(b, a)]
        if not cut:
            deepest = max((min(_shared(one, other)) for one in a.solids for other in b.solids), default=-1.0)
            if deepest > _HAIR and _volume(a, b) > _SPECK:
                yield f"{a.name} and {b.name} are {deepest:.2f} in each other"
            continue
        depth, cut_one = cut[0]
        if _volume(a, b) > _SPECK or _is_the_joint(a, b, pieces):
            found = max(_shared(one, other)[_thin(cut_one)] for one in a.solids for other in b.solids)
            if abs(found - depth) > _HAIR:
                yield f"{a.name} and {b.name} are {max(found, 0.0):.2f} in each other, {depth:g} by their joint"


def _cut_into(a: Piece, b: Piece) -> list[Joint]:
    """Return the joints for which `a` reaches into `b`."""
    return [joint for joint in a.joints if joint.to in (b.name, b.role) and joint.kind in _CUT_IN]


def _thin(piece: Piece) -> int:
    """Return the axis along which the piece is as thick as its material."""
    box = piece.box
    return min(range(3), key=lambda i: abs(box[i + 3] - box[i] - piece.thickness))


def _is_the_joint(a: Piece, b: Piece, pieces: Sequence[Piece]) -> bool:
    """Return whether these two, and no others of their names, are those that a joint is cut for."""
    return sum(p.name == a.name for p in pieces) == 1 and sum(p.name == b.name for p in pieces) == 1


def _volume(a: Piece, b: Piece) -> float:
    """Return the volume that two pieces share, mm³."""
    total = 0.0
    for one in a.solids:
        for other in b.solids:
            shared = _shared(one, other)
            if min(shared) > 0:
                plan = shapely.Polygon(one.outline).intersection(shapely.Polygon(other.outline))
                total += plan.area * shared[2]
    return total


def _alone(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield pieces that no chain of joints ties to the first."""
    if not pieces:
        yield "it has no pieces"
        return
    tied, open_ = {0}, [0]
    while open_:
        here = pieces[open_.pop()]
        for i, other in enumerate(pieces):
            if i not in tied and _tied(here, other):
                tied.add(i)
                open_.append(i)
    yield from (f"{piece.name} is joined to nothing" for i, piece in enumerate(pieces) if i not in tied)


def _tied(a: Piece, b: Piece) -> bool:
    names_a, names_b = (a.name, a.role), (b.name, b.role)
    joined = any(j.to in names_b for j in a.joints) or any(j.to in names_a for j in b.joints)
    return joined and _touch(a, b)


def _promised(pieces: Sequence[Piece], promise: Promise) -> Iterator[str]:
    """Yield where the pieces are not what the unit promised."""
    yield from _outside(pieces, promise.outside)
    yield from (fault for face in promise.closed for fault in _closed(pieces, promise.outside, face))
    for opening in promise.openings:
        for piece in pieces:
            if any(min(_shared(solid, opening)) > _HAIR and _in(solid, opening) for solid in piece.solids):
                yield f"{piece.name} stands in the opening {opening.name}"
    for role, count in promise.roles:
        found = sum(piece.role == role for piece in pieces)
        if found != count:
            yield f"{found} of {count} pieces called {role}"
    for role, grain in promise.grains:
        for piece in pieces:
            if piece.role == role and piece.grain != grain:
                yield f"{piece.name}: its grain is {piece.grain}, promised {grain}"


def _in(solid: Solid, opening: Solid) -> bool:
    plan = shapely.Polygon(solid.outline).intersection(shapely.Polygon(opening.outline))
    return bool(plan.area > _SPECK)


def _outside(pieces: Sequence[Piece], outside: Solid) -> Iterator[str]:
    boxes = [piece.box for piece in pieces]
    found = [min(b[i] for b in boxes) for i in range(3)] + [max(b[i] for b in boxes) for i in range(3, 6)]
    x0, y0, x1, y1 = outside.bounds
    wanted = [x0, y0, outside.z0, x1, y1, outside.z1]
    for word, is_, should in zip(("rear", "right", "foot", "front", "left", "top"), found, wanted, strict=True):
        if abs(is_ - should) > _HAIR:
            yield f"its {word} is at {is_:.2f}, promised {should:.2f}"


_ACROSS = {"rear": (0, -1), "front": (0, 1), "right": (1, -1), "left": (1, 1), "bottom": (2, -1), "top": (2, 1)}


def _closed(pieces: Sequence[Piece], outside: Solid, face: Face) -> Iterator[str]:
    """Yield the face if the pieces that lie in it leave any of it open."""
    axis, end = _ACROSS[face]
    x0, y0, x1, y1 = outside.bounds
    low, high = (x0, y0, outside.z0), (x1, y1, outside.z1)
    at = high[axis] if end > 0 else low[axis]
    flat = [i for i in range(3) if i != axis]
    covered = [
        shapely.box(box[flat[0]], box[flat[1]], box[flat[0] + 3], box[flat[1] + 3])
        for piece in pieces
        for box in _boxes(piece)
        if abs((box[axis + 3] if end > 0 else box[axis]) - at) <= _HAIR
    ]
    whole = shapely.box(low[flat[0]], low[flat[1]], high[flat[0]], high[flat[1]])
    missing = whole.difference(shapely.union_all(covered)).area
    if missing > _SPECK * 10:
        yield f"its {face} is open over {missing / 100:.1f} cm²"


def _boxes(piece: Piece) -> Iterator[tuple[float, ...]]:
    for solid in piece.solids:
        x0, y0, x1, y1 = solid.bounds
        yield (x0, y0, solid.z0, x1, y1, solid.z1)
