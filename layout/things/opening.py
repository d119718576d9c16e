"""How far a part opens, and what it sweeps on the way: one function a kind of motion."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import cos, hypot, pi, radians, sin
from typing import TYPE_CHECKING

from layout.model.motion import Face
from layout.model.solid import Point, Solid, box
from layout.things.sector import fan, slabs

if TYPE_CHECKING:
    from layout.things.motion import MotionSpec

Span = tuple[float, float]
Swept = Iterator[Solid]
_LEAF = 2.0  # degrees: how far from its end an open leaf is taken to reach back, for its thickness
_LEAST = 1.0  # mm that a top rises where the file does not say how far, so that there is something to draw
_RING = 48  # flats round a thing that turns on the spot: they stand 0.22 % of the radius outside the circle
_ACROSS: dict[str, Face] = {"front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom",
                            "bottom": "top"}  # fmt: skip
_TURNED = frozenset({"door", "lid", "flap"})


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A part of a thing whose outer box is `body`, all in the thing's own axes; `shift` is how far the thing is out."""

    name: str
    spec: MotionSpec
    body: Solid
    shift: Point = (0.0, 0.0)

    @property
    def degrees(self) -> bool:
        """Return whether the part turns on a hinge; others go straight."""
        return self.spec.does in _TURNED

    @property
    def full(self) -> float:
        """Return how far it opens, degrees or mm; 0 where it is all or nothing, or the file does not say."""
        if self.degrees:
            return self.spec.angle or 90.0
        if self.spec.does == "drawer":
            return self.spec.out or _depth(self.body, self.spec.face)
        return self.spec.out or 0.0 if self.spec.does == "lift off" else 0.0

    @property
    def hinge(self) -> str:
        """Return the edge that it turns on, nothing if it has none."""
        return self.spec.hinge or ""

    def swept(self, opening: float) -> tuple[Solid, ...]:
        """Return what it passes through outside the thing when it opens so far, degrees or mm."""
        return self._out(_SWEEPS[self.spec.does](self, (0.0, opening))) if opening > 0 or not self.full else ()

    def left_open(self) -> tuple[Solid, ...]:
        """Return what it fills while it stays open; a top that is lifted off and a thing turned round fill nothing."""
        if self.spec.does in ("lift off", "turn"):
            return ()
        end = max(self.full - _LEAF, 0.0) if self.degrees else 0.0
        return self._out(_SWEEPS[self.spec.does](self, (end, self.full)))

    def rehung(self) -> Part | None:
        """Return the part with its hinge at the opposite edge, where it has one."""
        if self.spec.hinge is None or self.spec.does not in _TURNED:
            return None
        return replace(self, spec=replace(self.spec, hinge=_ACROSS[self.spec.hinge]))

    def person(self) -> Solid | None:
        """Return the room of whoever uses it, as wide as the part: beyond what comes out, else before the face."""
        if not self.spec.person:
            return None
        spec, out = self.spec, self._reach()
        part = moving_face(spec, self.body)[0]
        place = laid(f"{self.name}, person", self.body, spec.face, (out, out + spec.person), along=part)
        return place.moved(*self.shift, 0.0)

    def _reach(self) -> float:
        """Return how far the open part stands out of the face where a person would be, mm."""
        if self.spec.does == "drawer":
            return self.full
        if self.spec.does == "flap" and self.spec.hinge == "bottom":
            return _leaf(self) * sin(radians(min(self.full, 90.0)))
        return 0.0

    def _out(self, solids: Swept) -> tuple[Solid, ...]:
        return tuple(solid.moved(*self.shift, 0.0) for solid in solids)


def laid(
    name: str,
    body: Solid,
    face: Face,
    out: Span,
    *,
    along: Span | None = None,
    z: Span | None = None,
    start: float = 0.0,
) -> Solid:
    """Return the box from `out[0]` to `out[1]` mm outside a face of the body; upright faces may be narrowed.

    `start` is how far inward of the face the measure begins, mm.
    """
    x0, y0, x1, y1 = body.bounds
    if face in ("top", "bottom"):
        high = (body.z1 + out[0], body.z1 + out[1]) if face == "top" else (body.z0 - out[1], body.z0 - out[0])
        return box(name, (x0, x1), (y0, y1), high)
    edge = {"front": x1, "rear": -x0, "left": y1, "right": -y0}[face] - start
    span = (edge + out[0], edge + out[1]) if face in ("front", "left") else (-edge - out[1], -edge - out[0])
    high = z or (body.z0, body.z1)
    if face in ("front", "rear"):
        return box(name, span, along or (y0, y1), high)
    return box(name, along or (x0, x1), span, high)


def moving_face(spec: MotionSpec, body: Solid) -> tuple[Span, Span]:
    """Return which part of the face moves: along it, and in height (mm above the thing's foot)."""
    x0, y0, x1, y1 = body.bounds
    whole = (y0, y1) if spec.face in ("front", "rear") else (x0, x1)
    return _common(spec.part, whole), _common(spec.z, (body.z0, body.z1))


def _common(part: Span | None, whole: Span) -> Span:
    return (max(part[0], whole[0]), min(part[1], whole[1])) if part else whole


def is_inside(spec: MotionSpec, body: Solid) -> bool:
    """Return whether something is left of what moves when it is narrowed to the body."""
    spans = moving_face(spec, body) if spec.does in ("drawer", "door", "flap") else _top(spec, body)
    return spec.does in ("turn", "sweep") or all(low < high for low, high in spans)


def _top(spec: MotionSpec, body: Solid) -> tuple[Span, Span]:
    x0, y0, x1, y1 = body.bounds
    return _common(spec.x, (x0, x1)), _common(spec.y, (y0, y1))


def _depth(body: Solid, face: str) -> float:
    x0, y0, x1, y1 = body.bounds
    return x1 - x0 if face in ("front", "rear") else y1 - y0


def _drawer(part: Part, opening: Span) -> Swept:
    along, high = moving_face(part.spec, part.body)
    yield laid(part.name, part.body, part.spec.face, (0.0, opening[1] or part.full), along=along, z=high)


def _door(part: Part, opening: Span) -> Swept:
    """Yield the sector of the leaf, its hinge upright at one end of the face; an open leaf is its last degrees."""
    (low, high), z = moving_face(part.spec, part.body)
    at_high = part.spec.hinge in ("left", "front")
    ends = [p for p in fan(high - low, opening[1]) if not opening[0]] or _leaf_in_plan(high - low, opening)
    outline = [_on_face(part, high - along if at_high else low + along, out) for along, out in [(0.0, 0.0), *ends]]
    yield Solid(name=part.name, outline=tuple(outline), z0=z[0], z1=z[1])


def _leaf_in_plan(radius: float, opening: Span) -> list[Point]:
    return [(radius * cos(radians(at)), radius * sin(radians(at))) for at in opening]


def _on_face(part: Part, along: float, out: float) -> Point:
    x0, y0, x1, y1 = part.body.bounds
    places = {
        "front": (x1 + out, along),
        "rear": (x0 - out, along),
        "left": (along, y1 + out),
        "right": (along, y0 - out),
    }
    return places[part.spec.face]


def _lid(part: Part, opening: Span) -> Swept:
    spec, (x, y) = part.spec, _top(part.spec, part.body)
    top = box("", x, y, (part.body.z0, part.body.z1))
    way = _ACROSS[str(spec.hinge)]
    size = _depth(top, way)
    for near, far, low, high in slabs(size, *opening):
        yield laid(part.name, top, way, (near, far), z=(top.z1 + low, top.z1 + high), start=size)


def _lift_off(part: Part, opening: Span) -> Swept:
    x, y = _top(part.spec, part.body)
    top = box("", x, y, (part.body.z0, part.body.z1))
    yield laid(part.name, top, "top", (0.0, opening[1] or _LEAST))


def _leaf(part: Part) -> float:
    """Return how long the leaf of a flap is, mm."""
    low, high = moving_face(part.spec, part.body)[1]
    return part.spec.out or high - low


def _flap(part: Part, opening: Span) -> Swept:
    """Yield what the leaf sweeps from hanging below its hinge, or standing above it, outward."""
    along, (low, high) = moving_face(part.spec, part.body)
    from_top = part.spec.hinge == "top"
    hinge = high if from_top else low
    turn = (opening[0] - 90, opening[1] - 90) if from_top else (90 - opening[1], 90 - opening[0])
    for near, far, z0, z1 in slabs(_leaf(part), *turn):
        yield laid(part.name, part.body, part.spec.face, (near, far), along=along, z=(hinge + z0, hinge + z1))


def _turn(part: Part, opening: Span) -> Swept:
    x0, y0, x1, y1 = part.body.bounds
    middle, radius = ((x0 + x1) / 2, (y0 + y1) / 2), hypot(x1 - x0, y1 - y0) / 2 / cos(pi / _RING)
    angles = [2 * pi * i / _RING for i in range(_RING)]
    ring = tuple((middle[0] + radius * cos(a), middle[1] + radius * sin(a)) for a in angles)
    yield Solid(name=part.name, outline=ring, z0=part.body.z0, z1=part.body.z1)


def _sweep(part: Part, opening: Span) -> Swept:
    yield box(part.name, part.spec.x or (0.0, 0.0), part.spec.y or (0.0, 0.0), part.spec.z or (0.0, 0.0))


_SWEEPS = {
    "drawer": _drawer, "door": _door, "lid": _lid, "lift off": _lift_off, "flap": _flap, "turn": _turn, "sweep": _sweep,
}  # fmt: skip
