"""The referee of furniture: puts a unit together from its pieces in space and says what does not hold.

It shares no code with the kinds that make the pieces: it reads where each piece stands and what the unit promised.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import prod

from layout.building.pieces import Piece, pieces_of
from layout.building.prism import HAIR, Meeting, Span, apart, meeting, shared, shared_volume
from layout.building.promised import promised
from layout.building.sound import misshapen, sound
from layout.model.panel import Joint
from layout.model.thing import Thing

_SPECK = 1.0  # mm³ that is no overlap
CUT_IN = ("rebate", "groove", "housing")
_FREE = ("loose", "hinge")  # joints that hold nothing where it is
_NEAR = 2.5  # mm: a gap that is no room between two pieces, but a joint that does not close


def faults(thing: Thing) -> tuple[str, ...]:
    """Return what does not hold of a built thing, in words; nothing for one that goes together as it promises.

    Each piece is as thick as its material, sawn so that with its edge bands it has its size, and counted in the
    thing's volume and mass. Every joint meets a piece where it says, closes, and is as deep as it says; an edge bears
    on the other piece with all its thickness; nothing else takes the same room; joints tie all pieces together. The
    outside, what is closed, what stays free, what is counted and how the grain runs are as the thing promises.
    """
    pieces = pieces_of(thing)
    if not pieces:
        return ("it has no pieces",)
    shapeless = tuple(misshapen(pieces))
    if shapeless:
        return shapeless
    pairs = tuple(_Pair(a=a, b=b) for a, b in combinations(pieces, 2) if _near(a, b))
    found = (
        *sound(thing, pieces),
        *(fault for pair in pairs for fault in _pair_faults(pair, pieces)),
        *_unmet(pieces, pairs),
        *_alone(pieces, pairs),
        *(promised(thing, pieces, thing.promise) if thing.promise else ("promises nothing",)),
    )
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Way:
    """A joint of one piece to another, and how the two meet along it (None: apart)."""

    piece: Piece
    other: Piece
    joint: Joint
    axis: int
    meeting: Meeting | None

    @property
    def depth(self) -> float:
        """Return how deep the joint says that it is."""
        return self.joint.depth if self.joint.kind in CUT_IN else 0.0

    @property
    def met(self) -> bool:
        """Return whether the two meet as the joint says."""
        return self.meeting is not None and abs(self.meeting.depth - self.depth) <= HAIR


@dataclass(frozen=True, kw_only=True)
class _Pair:
    """Two pieces near each other."""

    a: Piece
    b: Piece

    @cached_property
    def ways(self) -> tuple[_Way, ...]:
        """Return the joints between the two."""
        return tuple(
            _Way(piece=p, other=q, joint=j, axis=p.across(j), meeting=meeting(p.prism, q.prism, p.across(j)))
            for p, q in ((self.a, self.b), (self.b, self.a))
            for j in p.joints
            if q.called(j.to)
        )

    @cached_property
    def met(self) -> tuple[_Way, ...]:
        """Return the joints by which they meet as told."""
        return tuple(way for way in self.ways if way.met)


def _near(a: Piece, b: Piece) -> bool:
    """Return whether two pieces may have to do with each other: no further apart than a panel is thick."""
    return min(apart(a.prism, b.prism)) > -2 * max(_thin(a), _thin(b), _NEAR)


def _thin(piece: Piece) -> float:
    return min(piece.size(axis) for axis in range(3))


def _pair_faults(pair: _Pair, pieces: Sequence[Piece]) -> Iterator[str]:
    yield from _overlap(pair)
    for way in pair.met:
        yield from _bearing(way)
    if not pair.met:
        yield from (fault for way in pair.ways for fault in _gap(way, pieces))


def _overlap(pair: _Pair) -> Iterator[str]:
    """Yield the pair if it takes the same room by other than the depth of a joint, or a joint in it is too shallow."""
    a, b = pair.a, pair.b
    cut = [way for way in pair.ways if way.joint.kind in CUT_IN]
    if any(way.met for way in cut):
        return
    box = shared(a.prism, b.prism)
    deepest = min(high - low for low, high in box) if box else 0.0
    inside = deepest > HAIR and shared_volume(a.prism, b.prism) > _SPECK
    for way in cut:
        if inside or way.meeting is not None:
            found = way.meeting.depth if way.meeting else deepest
            yield f"{a.name} and {b.name} are {max(found, 0.0):.2f} in each other, {way.depth:g} by their joint"
            return
    if inside:
        yield f"{a.name} and {b.name} are {deepest:.2f} in each other"


def _bearing(way: _Way) -> Iterator[str]:
    """Yield an edge that bears on the other piece with less than all its thickness."""
    if way.joint.side is None or way.joint.kind in _FREE or way.meeting is None:
        return
    low, high = way.meeting.box[way.piece.prism.axis]
    wanted = min(way.piece.size(way.piece.prism.axis), way.other.size(way.piece.prism.axis))
    if high - low < wanted - HAIR:
        yield f"{way.piece.name} bears on {way.other.name} by only {high - low:.2f} of {wanted:.2f}"


def _gap(way: _Way, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield a joint that does not close, though the two pieces face each other with nothing between them.

    A joint stands for all places where the piece meets others of that name, so one that is met at one end may gape at
    the other: by a little, or by just a thickness or a depth that was taken off twice. What only lies or hangs there
    has play at its edges.
    """
    if way.joint.kind == "hinge" or (way.joint.kind == "loose" and way.joint.side is not None):
        return
    sizes = apart(way.piece.prism, way.other.prism)
    gap = -sizes[way.axis]
    facing = all(size > HAIR for axis, size in enumerate(sizes) if axis != way.axis)
    if facing and gap > HAIR and _suspect(way, gap) and not _filled(way, pieces):
        yield f"{way.piece.name}: {way.joint.kind} to {way.other.name}, but {gap:.2f} apart"


def _suspect(way: _Way, gap: float) -> bool:
    twice = (_thin(way.piece), _thin(way.other), way.depth)
    return gap <= _NEAR or any(abs(gap - mm) <= HAIR for mm in twice)


def _filled(way: _Way, pieces: Sequence[Piece]) -> bool:
    """Return whether a third piece stands between two, over most of where they face each other."""
    one, other = way.piece.prism.box, way.other.prism.box
    facing = [(max(a[0], b[0]), min(a[1], b[1])) for a, b in zip(one, other, strict=True)]
    facing[way.axis] = facing[way.axis][::-1]
    whole = _size(facing)
    for third in pieces:
        if third is not way.piece and third is not way.other:
            part = [(max(a[0], b[0]), min(a[1], b[1])) for a, b in zip(facing, third.prism.box, strict=True)]
            if all(high > low for low, high in part) and _size(part) > whole / 2:
                return True
    return False


def _size(box: Sequence[Span]) -> float:
    return prod(high - low for low, high in box)


def _unmet(pieces: Sequence[Piece], pairs: Sequence[_Pair]) -> Iterator[str]:
    """Yield joints to what is not there, that are no joints, or that meet none of the pieces they name."""
    met = {(id(way.piece), way.joint) for pair in pairs for way in pair.met}
    for piece in pieces:
        for joint in piece.joints:
            others = [other for other in pieces if other is not piece and other.called(joint.to)]
            if not others:
                yield f"{piece.name}: {joint.kind} to {joint.to}, which is not there"
            elif joint.kind in CUT_IN and joint.depth <= 0:
                yield f"{piece.name}: a {joint.kind} in {joint.to} without a depth"
            elif joint.kind in CUT_IN and joint.depth >= min(o.size(piece.across(joint)) for o in others) - HAIR:
                yield f"{piece.name}: a {joint.kind} {joint.depth:g} deep goes through {joint.to}"
            elif (id(piece), joint) not in met:
                yield f"{piece.name}: {joint.kind} to {joint.to}, but {_miss(piece, joint, others)}"


def _miss(piece: Piece, joint: Joint, others: Sequence[Piece]) -> str:
    """Return how a joint misses the pieces that it names."""
    gaps = [max(0.0, *(-size for size in apart(piece.prism, other.prism))) for other in others]
    where = f"its {joint.side} edge" if joint.side else "its face"
    return f"{min(gaps):.2f} apart" if min(gaps) > HAIR else f"not at {where}"


def _alone(pieces: Sequence[Piece], pairs: Sequence[_Pair]) -> Iterator[str]:
    """Yield the pieces that no chain of joints ties to the most of the others."""
    groups = {id(piece): {id(piece)} for piece in pieces}
    for pair in pairs:
        one, other = groups[id(pair.a)], groups[id(pair.b)]
        if pair.met and one is not other:
            one |= other
            groups.update(dict.fromkeys(other, one))
    largest = max((groups[id(piece)] for piece in pieces), key=len)
    yield from (f"{piece.name} is joined to nothing" for piece in pieces if id(piece) not in largest)
