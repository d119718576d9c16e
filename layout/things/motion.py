"""Moving parts as the project file says them, and the room that they sweep.

Rounded volumes are drawn round by flats that lie outside them, so that no part is told to pass where it
touches; by how much is in `_ARC` and `_SLABS`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin, sqrt
from typing import Annotated, Literal

from layout.errors import ValueFaultError
from layout.model.motion import Clear, Face, Motion, MotionKind
from layout.model.solid import Point, Solid, box
from layout.units.fields import Angle, Coordinate, Gap, Name, Size

Range = tuple[Coordinate, Coordinate]
Span = tuple[float, float]
Side = Literal["front", "rear", "left", "right"]
_ARC = 7.5  # degrees a chord: the flats stand 0.2 % of the radius outside the arc
_SLABS = 12  # flats that a swept quarter cylinder is laid in
_HINGES: dict[str, tuple[str, ...]] = {
    "door": ("left", "right", "front", "rear"), "lid": ("front", "rear", "left", "right"), "flap": ("top", "bottom"),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class MotionSpec:
    """A part that moves on the thing's `face`, in the thing's own axes.

    ``drawer``: it comes straight out of its face by `out`. ``door``: it turns on an upright `hinge` at that end of
    its face. ``lid``: the top turns up on its `hinge` edge. ``lift off``: the top goes straight up by `out`. ``flap``:
    it turns on the level `hinge` edge of its face and reaches out. ``turn``: the whole thing turns on the spot.
    ``sweep``: it passes through the box `x`, `y`, `z` (from the thing's rear middle at its foot). `part` and `z` narrow
    the face that moves, along it and in height. `angle` is how far it opens, degrees. `person` is the depth of
    the room for whoever uses it.
    """

    does: MotionKind
    face: Side = "front"
    hinge: Face | None = None
    out: Size | None = None
    angle: Annotated[float, Angle.__metadata__[0]] = 90.0
    part: Range | None = None
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None
    states: tuple[Name, ...] = ()
    person: Gap = 0.0
    alone: Literal["yes", "no"] = "no"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse a part that lacks what its motion needs.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        hinges = _HINGES.get(self.does)
        if hinges and self.hinge not in hinges:
            raise ValueError(f"a {self.does} turns on a hinge; add hinge: one of {', '.join(hinges)}")
        if self.does == "door" and (self.face in ("front", "rear")) != (self.hinge in ("left", "right")):
            raise ValueError(f"a door in the {self.face} face has its hinge at one of that face's upright ends")
        if self.does == "sweep" and not (self.x and self.y and self.z):
            raise ValueError("a sweep is a box; give x: [rear, front], y: [right, left] and z: [foot, top]")
        if not 0 < self.angle <= 270:  # noqa: PLR2004 (three quarters of a turn)
            raise ValueError("angle: how far it opens, more than 0 and at most 270 degrees")
        for name, span in (("part", self.part), ("x", self.x), ("y", self.y), ("z", self.z)):
            if span is not None and span[0] >= span[1]:
                raise ValueError(f"{name}: [low, high] must rise")

    def made(self, name: str, body: Solid, path: tuple[str, ...]) -> Motion:
        """Return the motion on a thing whose outer box is `body`.

        Raises
        ------
        ValueFaultError
            When what moves lies outside the thing's own face.
        """
        swept = tuple(_SWEEPS[self.does](self, name, body))
        if not swept:
            raise ValueFaultError(path, "the part that moves lies outside the thing")
        person = _person(self, name, body, swept) if self.person else None
        return Motion(
            name=name, kind=self.does, swept=swept, states=self.states, person=person, alone=self.alone == "yes"
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class ClearSpec:
    """How much stays free on each side of a thing, for its air and for hands."""

    front: Gap = 0.0
    rear: Gap = 0.0
    left: Gap = 0.0
    right: Gap = 0.0
    top: Gap = 0.0
    bottom: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def made(self, name: str, body: Solid) -> tuple[Clear, ...]:
        """Return the room to keep free round a thing whose outer box is `body`."""
        faces: tuple[Face, ...] = ("front", "rear", "left", "right", "top", "bottom")
        depths = {face: float(getattr(self, face)) for face in faces}
        return tuple(
            Clear(face=face, solid=_beyond(f"{name}, {face}", body, face, depth))
            for face, depth in depths.items()
            if depth
        )


def _beyond(
    name: str, body: Solid, face: Face, depth: float, *, part: Span | None = None, z: Span | None = None
) -> Solid:
    """Return the box of that depth outside a face of the body."""
    x0, y0, x1, y1 = body.bounds
    along = part or ((y0, y1) if face in ("front", "rear") else (x0, x1))
    high = z or (body.z0, body.z1)
    spans = {
        "front": ((x1, x1 + depth), along, high),
        "rear": ((x0 - depth, x0), along, high),
        "left": (along, (y1, y1 + depth), high),
        "right": (along, (y0 - depth, y0), high),
        "top": ((x0, x1), (y0, y1), (body.z1, body.z1 + depth)),
        "bottom": ((x0, x1), (y0, y1), (body.z0 - depth, body.z0)),
    }
    return box(name, *spans[face])


def _drawer(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    x0, y0, x1, y1 = body.bounds
    deep = x1 - x0 if spec.face in ("front", "rear") else y1 - y0
    part, high = _moving_face(spec, body)
    if part[0] < part[1] and high[0] < high[1]:
        yield _beyond(name, body, spec.face, spec.out or deep, part=part, z=high)


def _moving_face(spec: MotionSpec, body: Solid) -> tuple[Span, Span]:
    """Return which part of the face moves: along it, and in height (mm above the thing's foot)."""
    x0, y0, x1, y1 = body.bounds
    whole = (y0, y1) if spec.face in ("front", "rear") else (x0, x1)
    part, high = spec.part or whole, spec.z or (body.z0, body.z1)
    return (max(part[0], whole[0]), min(part[1], whole[1])), (max(high[0], body.z0), min(high[1], body.z1))


def _door(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    (low, high), z = _moving_face(spec, body)
    if low >= high or z[0] >= z[1]:
        return
    at_high = spec.hinge in ("left", "front")
    outline = [_on_face(spec.face, body, high if at_high else low, 0.0)]
    for along, out in _arc(high - low, spec.angle):
        outline.append(_on_face(spec.face, body, high - along if at_high else low + along, out))
    yield Solid(name=name, outline=tuple(outline), z0=z[0], z1=z[1])


def _arc(radius: float, angle_deg: float) -> list[Point]:
    """Return corners (along the closed leaf, out of the face) of a broken line outside the arc of that radius."""
    steps = max(1, round(angle_deg / _ARC))
    half = radians(angle_deg / steps / 2)
    middles = [half * (2 * i + 1) for i in range(steps)]
    outer = radius / cos(half)
    points = [(radius, 0.0), *((outer * cos(a), outer * sin(a)) for a in middles)]
    end = radians(angle_deg)
    return [*points, (radius * cos(end), radius * sin(end))]


def _on_face(face: Side, body: Solid, along: float, out: float) -> Point:
    x0, y0, x1, y1 = body.bounds
    places = {
        "front": (x1 + out, along),
        "rear": (x0 - out, along),
        "left": (along, y1 + out),
        "right": (along, y0 - out),
    }
    return places[face]


def _lid(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    x0, y0, x1, y1 = body.bounds
    flat = spec.hinge in ("front", "rear")
    size = x1 - x0 if flat else y1 - y0
    for near, far, low, high in _slabs(size, spec.angle):
        # Measured from the hinge's edge inward over the top; what leans back beyond it counts below nought.
        inward = spec.hinge in ("rear", "right")
        start = {"rear": x0, "front": x1, "right": y0, "left": y1}[str(spec.hinge)]
        span = (start + near, start + far) if inward else (start - far, start - near)
        z = (body.z1 + low, body.z1 + high)
        yield box(name, span, (y0, y1), z) if flat else box(name, (x0, x1), span, z)


def _slabs(radius: float, angle_deg: float) -> Iterator[tuple[float, float, float, float]]:
    """Yield near, far, low, high of flat slabs that hold what a level leaf of that length sweeps as it turns up."""
    end = radians(min(angle_deg, 180.0))
    top = radius if end >= pi / 2 else radius * sin(end)
    for i in range(_SLABS):
        low, high = top * i / _SLABS, top * (i + 1) / _SLABS
        yield _near(radius, end, low, high), sqrt(max(radius**2 - low**2, 0.0)), low, high


def _near(radius: float, end: float, low: float, high: float) -> float:
    """Return where between two heights the swept room begins: at the open leaf, or behind the hinge (negative)."""
    tip = radius * sin(end)
    if end <= pi / 2:
        return low * cos(end) / sin(end)
    if low >= tip:
        return -sqrt(max(radius**2 - low**2, 0.0))
    return radius * cos(end) if high >= tip else high * cos(end) / sin(end)


def _lift_off(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    yield _beyond(name, body, "top", spec.out or 1.0)


def _flap(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    part, (low, high) = _moving_face(spec, body)
    if part[0] >= part[1] or low >= high:
        return
    for _, far, deep, deeper in _slabs(spec.out or high - low, 90.0):
        z = (high - deeper, high - deep) if spec.hinge == "top" else (low + deep, low + deeper)
        yield _beyond(name, body, spec.face, far, part=part, z=z)


def _turn(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    x0, y0, x1, y1 = body.bounds
    middle, radius = ((x0 + x1) / 2, (y0 + y1) / 2), hypot(x1 - x0, y1 - y0) / 2
    steps = round(360 / _ARC)
    outer = radius / cos(pi / steps)
    ring = tuple(
        (middle[0] + outer * cos(2 * pi * i / steps), middle[1] + outer * sin(2 * pi * i / steps)) for i in range(steps)
    )
    yield Solid(name=name, outline=ring, z0=body.z0, z1=body.z1)


def _sweep(spec: MotionSpec, name: str, body: Solid) -> Iterator[Solid]:
    yield box(name, spec.x or (0.0, 0.0), spec.y or (0.0, 0.0), spec.z or (0.0, 0.0))


_SWEEPS = {
    "drawer": _drawer, "door": _door, "lid": _lid, "lift off": _lift_off, "flap": _flap, "turn": _turn, "sweep": _sweep,
}  # fmt: skip


def _person(spec: MotionSpec, name: str, body: Solid, swept: tuple[Solid, ...]) -> Solid:
    """Return the room of a person before the part: beyond a drawer that is out, else before the face."""
    x0, y0, x1, y1 = body.bounds
    if spec.does == "drawer":
        bounds = swept[0].bounds
        body = box("", (min(x0, bounds[0]), max(x1, bounds[2])), (min(y0, bounds[1]), max(y1, bounds[3])), (0.0, 1.0))
    part, _ = _moving_face(spec, body)
    return _beyond(f"{name}, person", body, spec.face, spec.person, part=part)
