"""Where two pieces of a unit meet: over what length and width they are joined."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from layout.building.pieces import Piece, pieces_of
from layout.building.prism import HAIR, meeting
from layout.model.panel import Joint, Panel
from layout.model.thing import Thing

CUT_IN = ("rebate", "groove", "housing")


@dataclass(frozen=True, kw_only=True, slots=True)
class Contact:
    """A joint as it is made: `piece` against `to` across an axis, along a line `length` mm long, `width` mm wide.

    `area` is what is glued, mm²: the cheeks of what is cut in belong to it.
    """

    piece: Piece
    joint: Joint
    to: Piece
    axis: int
    length: float
    width: float
    area: float

    @property
    def by_edge(self) -> bool:
        """Return whether an edge of one of the two is held, so that a screw goes into an edge."""
        return self.joint.side is not None or self._stands(self.to)

    @property
    def edge(self) -> float:
        """Return how thick the edge is that is held, mm."""
        return self.into.size(self.into.prism.axis) if isinstance(self.into.made_of, Panel) else self.width

    @property
    def through(self) -> Piece:
        """Return the piece that a screw goes through: not the one whose edge is held; of two faces the thinner one."""
        if self.by_edge:
            return self.to if self.joint.side is not None else self.piece
        return min((self.piece, self.to), key=lambda piece: piece.size(self.axis))

    @property
    def into(self) -> Piece:
        """Return the piece that a screw goes into."""
        return self.to if self.through is self.piece else self.piece

    @property
    def in_line(self) -> bool:
        """Return whether the edges of two panels meet in one plane, so that no screw goes through either."""
        panels = isinstance(self.piece.made_of, Panel) and isinstance(self.to.made_of, Panel)
        return panels and self.joint.side is not None and self._stands(self.to)

    def _stands(self, piece: Piece) -> bool:
        return isinstance(piece.made_of, Panel) and piece.prism.axis != self.axis


def contacts(thing: Thing) -> Iterator[Contact]:
    """Yield every joint of a unit where its pieces meet as it says, in the order of its pieces; each pair once."""
    pieces = pieces_of(thing)
    seen: set[tuple[frozenset[int], int]] = set()
    for piece in pieces:
        for joint in piece.joints:
            for other in pieces:
                if other is not piece and other.called(joint.to):
                    key = frozenset((id(piece), id(other))), piece.across(joint)
                    contact = None if key in seen else _contact(piece, joint, other)
                    if contact is not None:
                        seen.add(key)
                        yield contact


def _contact(piece: Piece, joint: Joint, other: Piece) -> Contact | None:
    axis = piece.across(joint)
    depth = joint.depth if joint.kind in CUT_IN else 0.0
    met = meeting(piece.prism, other.prism, axis)
    if met is None or abs(met.depth - depth) > HAIR:
        return None
    width, length = sorted(high - low for i, (low, high) in enumerate(met.box) if i != axis)
    return Contact(
        piece=piece, joint=joint, to=other, axis=axis, length=length, width=width, area=met.area + 2 * depth * length
    )
