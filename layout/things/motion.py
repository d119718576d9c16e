"""Moving parts, and room kept free, as the project file says them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.errors import ValueFaultError
from layout.model.motion import Clear, Face, Motion, MotionKind
from layout.model.solid import Point, Solid
from layout.things.opening import Part, is_inside, laid
from layout.units.fields import Angle, Coordinate, Gap, Name, Size

Range = tuple[Coordinate, Coordinate]
Side = Literal["front", "rear", "left", "right"]
_MOST = 270.0  # degrees: three quarters of a turn
_HINGES: dict[str, tuple[str, ...]] = {
    "door": ("left", "right", "front", "rear"), "lid": ("front", "rear", "left", "right"), "flap": ("top", "bottom"),
}  # fmt: skip
#: What each key says something about; elsewhere it would do nothing, and be missed.
_TAKEN_BY: dict[str, tuple[str, ...]] = {
    "hinge": ("door", "lid", "flap"), "angle": ("door", "lid", "flap"), "out": ("drawer", "lift off", "flap"),
    "part": ("drawer", "door", "flap"), "x": ("lid", "lift off", "sweep"), "y": ("lid", "lift off", "sweep"),
    "z": ("drawer", "door", "flap", "sweep"), "carries": ("drawer",),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class MotionSpec:
    """A part that moves on the thing's `face`, in the thing's own axes.

    ``drawer``: it comes straight out of its face by `out` (the thing's depth when not given), with what stands on it
    if it `carries`. ``door``: it turns on an upright `hinge` at that end of its face. ``lid``: the top turns up on its
    `hinge` edge. ``lift off``: the top goes straight up by `out`. ``flap``: it turns on the level `hinge` edge of its
    face, up from hanging or down from standing, its leaf `out` long where that is not its height. ``turn``: the whole
    thing turns on the spot. ``sweep``: it passes through the box `x`, `y`, `z` (from the thing's rear middle at its
    foot). `part` and `z` narrow the face that moves, along it and in height; `x` and `y` narrow the top. `angle` is
    how far it opens, degrees. `person` is the depth of the room for whoever uses it, before the face, or beyond a
    drawer or a flap let down. `after` names the drawer of the same thing that must be out first.
    """

    does: MotionKind
    face: Side = "front"
    hinge: Face | None = None
    out: Size | None = None
    angle: Angle | None = None
    part: Range | None = None
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None
    states: tuple[Name, ...] = ()
    person: Gap = 0.0
    alone: Literal["yes", "no"] = "no"
    carries: Literal["yes", "no"] | None = None
    after: Name | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse a part that lacks what its motion needs, or says what has nothing to do with it.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        for key, kinds in _TAKEN_BY.items():
            if getattr(self, key) is not None and self.does not in kinds:
                raise ValueError(f"{key}: says nothing of a {self.does}; it belongs to: {', '.join(kinds)}")
        self._refuse_hinge()
        if self.does == "sweep" and not (self.x and self.y and self.z):
            raise ValueError("a sweep is a box; give x: [rear, front], y: [right, left] and z: [foot, top]")
        if self.angle is not None and not 0 < self.angle <= _MOST:
            raise ValueError("angle: how far it opens, more than 0 and at most 270 degrees")
        for name, span in (("part", self.part), ("x", self.x), ("y", self.y), ("z", self.z)):
            if span is not None and span[0] >= span[1]:
                raise ValueError(f"{name}: [low, high] must rise")

    def _refuse_hinge(self) -> None:
        hinges = _HINGES.get(self.does)
        if hinges and self.hinge not in hinges:
            raise ValueError(f"a {self.does} turns on a hinge; add hinge: one of {', '.join(hinges)}")
        if self.does == "door" and (self.face in ("front", "rear")) != (self.hinge in ("left", "right")):
            raise ValueError(f"a door in the {self.face} face has its hinge at one of that face's upright ends")

    def made(self, name: str, body: Solid, path: tuple[str, ...], shift: Point = (0.0, 0.0)) -> Motion:
        """Return the motion on a thing whose outer box is `body`, out by `shift` mm when the part is used.

        Raises
        ------
        ValueFaultError
            When what moves lies outside the thing's own face.
        """
        if not is_inside(self, body):
            raise ValueFaultError(path, "the part that moves lies outside the thing")
        part = Part(name=name, spec=self, body=body, shift=shift)
        return Motion(
            name=name, kind=self.does, swept=part.swept(part.full), states=self.states, person=part.person(),
            alone=self.alone == "yes", face=self.face, opening=part, carries=self.carries == "yes",
            after=self.after or "",
        )  # fmt: skip

    def shift(self, body: Solid) -> Point:
        """Return how far along x and y the thing is out when this drawer of it is, mm."""
        out = Part(name="", spec=self, body=body).full
        ways = {"front": (out, 0.0), "rear": (-out, 0.0), "left": (0.0, out), "right": (0.0, -out)}
        return ways[self.face]


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
            Clear(face=face, solid=laid(f"{name}, {face}", body, face, (0.0, depth)))
            for face, depth in depths.items()
            if depth
        )
