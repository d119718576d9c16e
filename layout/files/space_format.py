"""What the project file says of the space, as measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.files.roof_format import RoofTopFormat
from layout.files.survey_format import SurveyFormat
from layout.space.parts import DoorKind
from layout.units.fields import Coordinate, Force, Gap, Name, Rake, Size, SpaceSize

Range = tuple[Coordinate, Coordinate]
Corner = tuple[Coordinate, Coordinate]
Profile = dict[Gap, Size]
CLOSED = {"extra": "forbid"}


@dataclass(frozen=True, kw_only=True, slots=True)
class FloorFormat:
    """The floor: by corners in order, by length and width with corner radii, or by points of the survey in order.

    `survey` overrules a length, width or corners that come with a catalogue entry.
    """

    corners: tuple[Corner, ...] | None = None
    length: SpaceSize | None = None
    width: SpaceSize | None = None
    front_radius: Gap = 0.0
    rear_radius: Gap = 0.0
    survey: tuple[Name, ...] | None = None

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse a floor that says both or neither.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if self.survey is not None:
            if len(set(self.survey)) < max(3, len(self.survey)):
                raise ValueError("survey: names at least three points of the survey in order, each once")
            return
        box = self.length is not None and self.width is not None
        if (self.corners is None) == (not box) or (self.corners and (self.length or self.width)):
            raise ValueError("give corners: [[x, y], ...], or both length: and width:, or survey: [A, B, C, D]")
        if self.corners is not None and len(self.corners) < 3:  # noqa: PLR2004 (a triangle)
            raise ValueError("a floor has at least three corners")


@dataclass(frozen=True, kw_only=True, slots=True)
class StationFormat:
    """A wall's profile at one place: half-widths by height."""

    x: Coordinate
    profile: Profile

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse an empty profile.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if not self.profile:
            raise ValueError("the profile is empty; write half-widths by height, as in {0: 860, 1200: 840}")


@dataclass(frozen=True, kw_only=True, slots=True)
class WallsFormat:
    """The walls: ``both`` alike, or ``left`` and ``right`` each measured; profiles at stations."""

    both: tuple[StationFormat, ...] = ()
    left: tuple[StationFormat, ...] = ()
    right: tuple[StationFormat, ...] = ()

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse one wall without the other, and two stations at one place.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if not self.both and bool(self.left) != bool(self.right):
            raise ValueError("give both: for two walls alike, or left: and right: for each")
        for stations in (self.both, self.left, self.right):
            xs = [station.x for station in stations]
            if len(set(xs)) < len(xs):
                raise ValueError("two stations of one wall stand at the same x; keep one of them")


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildUpFormat:
    """What floor, wall and ceiling linings take off the bare metal."""

    floor: Gap = 0.0
    walls: Gap = 0.0
    ceiling: Gap = 0.0

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class WheelWellFormat:
    """A wheel well: from rear to front along x, `width` off the wall at the floor or its `inner` face's y."""

    x: Range
    height: Size
    width: Size | None = None
    inner: Size | None = None
    side: Literal["both", "left", "right"] = "both"
    top_radius: Gap = 0.0

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse a well that says its width twice or not at all.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if (self.width is None) == (self.inner is None):
            raise ValueError("give either width: (off the wall) or inner: (from the centreline to its face)")
        if self.x[0] >= self.x[1]:
            raise ValueError("x: [rear, front] must rise")


@dataclass(frozen=True, kw_only=True, slots=True)
class ObstacleFormat:
    """A fixed solid, by a box (`x`, `y`) or `corners`, between the heights `z` above the bare floor."""

    z: Range
    x: Range | None = None
    y: Range | None = None
    corners: tuple[Corner, ...] | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class HoleFormat:
    """A step well: a hole in the floor, `depth` deep."""

    x: Range
    y: Range
    depth: Size

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class ReachInFormat:
    """How far a closed door comes into the room, between heights above the bare floor."""

    depth: Size
    z: Range

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class RearDoorFormat:
    """The rear opening, its middle `centre` off the centreline."""

    width: SpaceSize
    height: SpaceSize
    kind: DoorKind
    sill: Gap = 0.0
    centre: Coordinate = 0.0
    reach_in: ReachInFormat | None = None
    keep_clear: Gap | None = None
    opens_inside: Literal["yes", "no"] = "yes"

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class SideDoorFormat:
    """A side opening whose rear edge is at `start` along x."""

    side: Literal["left", "right"]
    start: Coordinate
    width: SpaceSize
    height: SpaceSize
    kind: DoorKind
    sill: Gap = 0.0
    reach_in: ReachInFormat | None = None
    keep_clear: Gap | None = None
    opens_inside: Literal["yes", "no"] = "yes"

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class WayOutFormat:
    """A window or hatch to leave by: its two sizes lie in a side (x, z), an end (y, z) or the roof (x, y)."""

    side: Literal["left", "right", "front", "rear", "roof"]
    x: Range | None = None
    y: Range | None = None
    z: Range | None = None

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse an opening without its two sizes.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        wanted = {"left": "xz", "right": "xz", "front": "yz", "rear": "yz", "roof": "xy"}[self.side]
        spans = {"x": self.x, "y": self.y, "z": self.z}
        for key in wanted:
            span = spans[key]
            if span is None or span[0] >= span[1]:
                raise ValueError(f"an opening in the {self.side} is given by {wanted[0]}: and {wanted[1]}: [low, high]")


@dataclass(frozen=True, kw_only=True, slots=True)
class RibsFormat:
    """Ribs: the middle of each along x, how wide they are, how far they stand in from the walls as measured."""

    at: tuple[Coordinate, ...]
    width: Size
    depth: Size

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class ComesInFormat:
    """Room that a part of the vehicle takes when used, such as a seat that leans back; heights from the bare floor."""

    x: Range
    y: Range
    z: Range
    states: tuple[Name, ...] = ()

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class TieDownFormat:
    """A lashing point and the force that its maker states."""

    at: tuple[Coordinate, Coordinate, Coordinate]
    rated: Force | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class SpaceFormat:
    """The cargo space as measured on bare metal; heights from the bare floor."""

    floor: FloorFormat
    roof: dict[Coordinate, Size]
    walls: WallsFormat = WallsFormat()
    front: dict[Gap, Coordinate] | None = None
    rear: dict[Gap, Coordinate] | None = None
    build_up: BuildUpFormat = BuildUpFormat()
    wheel_wells: tuple[WheelWellFormat, ...] = ()
    obstacles: dict[Name, ObstacleFormat] | None = None
    holes: dict[Name, HoleFormat] | None = None
    rear_door: RearDoorFormat | None = None
    side_doors: dict[Name, SideDoorFormat] | None = None
    tie_downs: tuple[TieDownFormat, ...] = ()
    ways_out: dict[Name, WayOutFormat] | None = None
    ribs: RibsFormat | None = None
    comes_in: dict[Name, ComesInFormat] | None = None
    rake: Rake = 0.0
    roof_top: RoofTopFormat | None = None
    survey: SurveyFormat | None = None
    source: str | None = None

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse a roof or an end without a measurement.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if not self.roof:
            raise ValueError("the roof is empty; write heights by x, as in {0: 1820, 3150: 1840}")
        if self.floor.survey is not None and self.survey is None:
            raise ValueError("floor: survey: wants the measurements; write survey: {distances: {A-B: 1740, ...}}")
        if self.front == {} or self.rear == {}:
            raise ValueError("front: and rear: give x by height, as in {0: 3150, 1000: 2950}; leave an upright end out")
