"""A panel as it lies on the bench: its outline as drawn, and all that meets it, is cut into it or is drilled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.cutting import Grain
from layout.model.motion import Face as Way
from layout.model.panel import Axis, JointKind, Side
from layout.model.solid import Point

Rect = tuple[float, float, float, float]
Face = Literal["near", "far"]
Role = Literal["through", "into", "block", "bolt"]
Ring = tuple[Point, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Fix:
    """What holds a joint along its line: so many of an item, the outer ones `end` mm from its ends, `apart` mm apart.

    `role` is what the panel has to do with it: drilled ``through``, holds the point of a screw (``into``), carries a
    corner ``block`` with `per` of `screw`, or is held by a ``bolt``.
    """

    item: str
    count: int
    end: float
    apart: float
    role: Role
    screw: str = ""
    per: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Meet:
    """Where other pieces meet the panel: on its face within `rect` (mm from its low left corner), or on its `side`.

    `face` is the face that they meet (None: an edge). `depth` is how deep the panel is cut there, or how far its edge
    reaches into the others; `cut` tells which. `to` names them.
    """

    rect: Rect
    kind: JointKind
    to: tuple[str, ...]
    side: Side | None = None
    face: Face | None = None
    depth: float = 0.0
    cut: bool = False
    fixes: tuple[Fix, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Fitting:
    """A piece of hardware on the panel's large face: which item and what for, at (u, v) mm from its low left corner.

    `face` is the face that it goes in at or is put on.
    """

    item: str
    why: str
    at: Point
    face: Face


@dataclass(frozen=True, kw_only=True, slots=True)
class EdgeTable:
    """An edge that is not straight, as offsets from the straight line at `base` along the panel's length or width, mm.

    `side` is which edge; each row a place along the line and how far the edge is from the line there. Between rows the
    edge is straight. `whole` is False where the edge has an undercut that rows cannot tell.
    """

    side: Side
    along: Literal["length", "width"]
    base: float
    rows: tuple[Point, ...]
    whole: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Work:
    """One panel of a unit as it lies on the bench, looked at from its `near` face: length to the right, width up, mm.

    `part` is its name in the cut list, `unit` the name of its unit, `group` that of all equal units. `length` and
    `width` are finished, `cut_length` and `cut_width` as sawn. `good` is the face that is seen later. `loose` tells in
    words what it lies on or hangs on without a fixed joint. `stands` is the axis of the unit along which those of
    its name are spread, and where along that it begins, mm; `looks` the way that its near face looks there.
    """

    part: str
    unit: str
    group: str
    material: str
    thickness: float
    mass_kg: float
    length: float
    width: float
    cut_length: float
    cut_width: float
    oversize: float
    grain: Grain
    outline: Ring
    holes: tuple[Ring, ...] = ()
    good: Face | None = None
    bands: tuple[tuple[Side, float], ...] = ()
    meets: tuple[Meet, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    loose: tuple[str, ...] = ()
    tables: tuple[EdgeTable, ...] = ()
    stands: tuple[Axis, float] = ("x", 0.0)
    looks: Way = "front"


@dataclass(frozen=True, kw_only=True, slots=True)
class Alike:
    """Panels that are made alike: one drawing for all; `mirrored` are made as its mirror image.

    `first` stands for all: what meets it carries the names of what meets any of them.
    """

    first: Work
    same: tuple[Work, ...]
    mirrored: tuple[Work, ...] = ()

    @property
    def every(self) -> tuple[Work, ...]:
        """Return all of them."""
        return self.same + self.mirrored
