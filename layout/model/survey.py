"""A tape survey: what was measured between named points of the floor, and what all measurements together say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Place = tuple[float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """A length that was read: in mm, as it was written, and the unit of the file for what carries none."""

    mm: float
    text: str = ""
    units: str = "mm"


@dataclass(frozen=True, kw_only=True, slots=True)
class Between:
    """The distance between two points."""

    a: str
    b: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """One offset of a point from the line through two others: along it from the first, or out to its left.

    Without a `line` it is the centreline of the space: along is x, out is y.
    """

    point: str
    axis: Literal["along", "out"]
    line: tuple[str, str] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Alone:
    """A length that ties no points, such as a height."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Measure:
    """One measurement by its name in the file: what was measured, what was read.

    `weight` counts it as so many equal readings (1: one reading of the tape).
    """

    name: str
    what: Between | Beside | Alone
    reading: Reading
    weight: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Axes:
    """How the axes of the space lie in the points.

    `rear` are the left and the right end of the cross line, where x is 0; the centreline starts half-way between them
    and runs forward square to it. Otherwise x runs from `origin` toward `forward`, with the point `left` to its left.
    """

    rear: tuple[str, str] | None = None
    origin: str = ""
    forward: str = ""
    left: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Survey:
    """All measurements; `known` points have places (mm, in the axes of the space); `order` are corners of the floor.

    `sums` map a measurement to those that should add up to it; `alike` are pairs that should be equal.
    """

    measures: tuple[Measure, ...]
    known: Mapping[str, Place] = field(default_factory=dict)
    axes: Axes | None = None
    sums: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    alike: tuple[tuple[str, str], ...] = ()
    order: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Tape:
    """How exact a tape is in these hands, mm, and when a measurement is suspected.

    `reading` is the standard deviation of one reading, `straight` how far points of one line may lie off it; both in
    mm. A measurement is suspected when its test value is more than `critical`, or more than `swap` and two digits
    changed about would set it right.
    """

    reading: float = 2.0
    straight: float = 2.0
    critical: float = 3.29
    swap: float = 2.58


@dataclass(frozen=True, kw_only=True, slots=True)
class Checked:
    """A measurement after the adjustment.

    `residual` is adjusted less read, mm; `redundancy` the share of an error in it that shows there (0: nothing checks
    it, 1: all does); `test` the residual over its own standard deviation; `expected` what all others say it should
    be, mm, give or take `spread` (one standard deviation). Where nothing checks it, `expected` is the reading.
    """

    measure: Measure
    residual: float
    redundancy: float
    test: float
    expected: float
    spread: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Suspect:
    """A measurement that all others speak against; `others` are as likely to be the wrong one.

    `swapped` is the reading with two digits changed about (or its point moved) that would agree, if there is one.
    `aside` tells that the places were worked out without it.
    """

    checked: Checked
    others: tuple[str, ...] = ()
    swapped: Reading | None = None
    aside: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Surveyed:
    """What a survey says: where the points are (mm, in the axes of the space), how well the measurements agree."""

    survey: Survey
    points: Mapping[str, Place]
    checked: tuple[Checked, ...]
    suspects: tuple[Suspect, ...] = ()
    lengths: Mapping[str, float] = field(default_factory=dict)
