"""How the leaf of a table turns: with its thickness, and with the legs that are folded under it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import asin, degrees, hypot

from layout.model.motion import Face, Motion
from layout.model.solid import Solid, box
from layout.things.fold_table_frame import LEAF, LEG, RAIL, TableFrame
from layout.things.motion import MotionSpec
from layout.things.opening import Part

_LEVEL = 90.0
Path = tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ThickLeaf:
    """A leaf that turns by a right angle about one long edge of it, as two leaves as thin as a line.

    `far` turns about that edge and ends at the corner that is furthest from it, ahead of the leaf by the angle between
    them; `flat` turns about the edge above or below that one and lies along the leaf's other face. What a rectangle
    passes through that turns about its corner P, with its side of length d leading, is the sector about P up to its
    far corner, and the rectangle itself where it ends. Of that last one the sector leaves out a triangle at the edge,
    and that is within d of the other edge: the second sector. `level` is the leaf where it ends. Opened less far, it is
    told without that triangle, so that what stops it there is met up to the thickness of the leaf too late.
    """

    far: Part
    flat: Part
    level: Solid

    @property
    def full(self) -> float:
        """Return how far it opens, degrees."""
        return _LEVEL

    @property
    def degrees(self) -> bool:
        """Return whether it turns on a hinge."""
        return True

    @property
    def hinge(self) -> str:
        """Return the edge of what hangs or stands that it turns on."""
        return self.far.hinge

    def swept(self, opening: float) -> tuple[Solid, ...]:
        """Return what it passes through when it opens so far, degrees."""
        if opening <= 0:
            return ()
        return *self.far.swept(opening + self.far.full - _LEVEL), *self.flat.swept(opening)

    def left_open(self) -> tuple[Solid, ...]:
        """Return what it fills while it stays open."""
        return (self.level,)

    def rehung(self) -> None:
        """Return nothing: hung at its other edge it would be another table."""
        return


def motions(frame: TableFrame, path: Path, person: float, states: tuple[str, ...]) -> tuple[Motion, ...]:
    """Return how the folded leaf opens, and the room that its legs come out through, at the place `path` of the file.

    Raises
    ------
    ValueFaultError
        When the table is too small to turn.
    """
    reach = hypot(frame.depth, frame.beside)
    ahead = degrees(asin(frame.beside / reach))
    far = _spec(frame, reach, _LEVEL + ahead, person, states)
    body = _behind(frame, frame.hinge)
    # Hanging, it turns at its underside; standing, at its top.
    other = _behind(frame, frame.hinge + (-frame.beside if frame.is_up else frame.beside))
    x, z = (frame.face, frame.face + frame.depth), sorted((frame.hinge, other.z0 if frame.is_up else other.z1))
    leaf = ThickLeaf(
        far=Part(name=LEAF, spec=far, body=body), level=box(LEAF, x, frame.y, (z[0], z[1])),
        flat=Part(name=LEAF, spec=_spec(frame, frame.depth, _LEVEL, 0.0, ()), body=other),
    )  # fmt: skip
    opened = replace(far.made(LEAF, body, path), swept=leaf.swept(_LEVEL), opening=leaf)
    return (opened, _legs(frame, path, states)) if frame.has_legs else (opened,)


def _spec(frame: TableFrame, out: float, angle: float, person: float, states: tuple[str, ...]) -> MotionSpec:
    hinge: Face = "bottom" if frame.is_up else "top"
    return MotionSpec(does="flap", hinge=hinge, out=out, angle=angle, person=person, states=states)


def _behind(frame: TableFrame, hinge: float) -> Solid:
    """Return a box whose front is the face of the rail, and whose top, or foot, is at the height of the hinge."""
    z = (hinge, hinge + frame.depth) if frame.is_up else (0.0, hinge)
    return box(RAIL, (0.0, frame.face), frame.y, z)


def _legs(frame: TableFrame, path: Path, states: tuple[str, ...]) -> Motion:
    outer, inner = frame.legs
    x, y = (frame.face + inner[0], frame.face + outer[1]), (frame.leg_y(-1)[0], frame.leg_y(1)[1])
    spec = MotionSpec(does="sweep", x=x, y=y, z=(0.0, frame.underside), states=states)
    return replace(spec.made(f"{LEG}s", frame.outside, path), after=LEAF)
