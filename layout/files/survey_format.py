"""What the project file says of a tape survey: what was measured between named points of the floor."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from layout.files.survey_fields import Measured, Signed
from layout.model.survey import Reading
from layout.units.fields import Coordinate, Name, NameField, Size

_CLOSED = {"extra": "forbid"}
#: A point's own name, a distance as in A-B, or a length by its name.
PointName = Annotated[str, NameField(longest=30)]


@dataclass(frozen=True, kw_only=True, slots=True)
class AxesFormat:
    """How the axes lie in the points.

    Either `rear` gives the left and the right end of the cross line, with the centreline square to its middle; or the
    centreline runs from the point `origin`, on the cross line, toward `forward`, and the point `left` lies left of it.
    """

    rear: tuple[PointName, PointName] | None = None
    origin: PointName | None = None
    forward: PointName | None = None
    left: PointName | None = None

    __pydantic_config__ = _CLOSED

    def __post_init__(self) -> None:
        """Refuse axes that say both or neither.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        line = self.origin is not None and self.forward is not None
        if (self.rear is None) == (not line) or (self.rear and (self.origin or self.forward or self.left)):
            raise ValueError("give either rear: [left, right], or origin: and forward: with left:, each a point's name")
        if len(set(self.rear or (self.origin, self.forward))) < 2:  # noqa: PLR2004 (two points)
            raise ValueError("the axes want two different points")


@dataclass(frozen=True, kw_only=True, slots=True)
class OffsetFormat:
    """A point off a line: how far `along` it from its first point, how far `out` to its left (negative: right)."""

    along: Signed | None = None
    out: Signed | None = None

    __pydantic_config__ = _CLOSED

    def __post_init__(self) -> None:
        """Refuse an offset that says nothing.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if self.along is None and self.out is None:
            raise ValueError("give along: and out:, or one of them, as in {along: 640, out: -690}")


@dataclass(frozen=True, kw_only=True, slots=True)
class SurveyFormat:
    """Measurements with a tape, on bare metal.

    `points` tells what each name means; `known` gives places already known. `distances` and `diagonals` are between
    two points, as in A-B; measured again from the other end it is B-A. `offsets` are points off a line between two
    points, or off the `centreline` (along is then x, out is y). `lengths` tie no points. In `sums` the parts of each
    measurement should add up to it; `left_right` maps a measurement to the one that should be equal. `tape` is how
    exact one reading is.
    """

    points: dict[PointName, Annotated[str, NameField(longest=120)]] | None = None
    known: dict[PointName, tuple[Coordinate, Coordinate]] = field(default_factory=dict)
    axes: AxesFormat | None = None
    distances: dict[Name, Measured] = field(default_factory=dict)
    diagonals: dict[Name, Measured] = field(default_factory=dict)
    offsets: dict[Name, dict[PointName, OffsetFormat]] = field(default_factory=dict)
    lengths: dict[Name, Measured] = field(default_factory=dict)
    sums: dict[Name, tuple[Name, ...]] = field(default_factory=dict)
    left_right: dict[Name, Name] = field(default_factory=dict)
    tape: Size | None = None

    __pydantic_config__ = _CLOSED

    @property
    def between(self) -> dict[str, Reading]:
        """Return all distances, diagonals too."""
        return {**self.distances, **self.diagonals}
