"""What a project may say of its roof from above, and what is made of that."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from shapely.geometry import Polygon

from layout.errors import ValueFaultError
from layout.model.roof_top import RoofThing, RoofTop
from layout.units.fields import Coordinate, Name, Size, SpaceSize

CLOSED = {"extra": "forbid"}
_CUT_THROUGH = ("fan", "hatch", "gland")


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofThingFormat:
    """A thing on the roof, its middle `at` [x, y]; `hole` where the roof is cut through (fans, hatches, glands are)."""

    kind: Literal["panel", "fan", "hatch", "rack foot", "gland", "other"]
    at: tuple[Coordinate, Coordinate]
    length: Size
    width: Size
    hole: Literal["yes", "no"] | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofRibsFormat:
    """Ribs across under the roof: the middle of each along x, and how wide they are."""

    at: tuple[Coordinate, ...]
    width: Size

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofTopFormat:
    """The outside of the roof: `length` forward from `rear`, `width` over the centreline, or its `corners`.

    Without `ribs` those of the space are taken.
    """

    length: SpaceSize | None = None
    width: SpaceSize | None = None
    rear: Coordinate = 0.0
    corners: tuple[tuple[Coordinate, Coordinate], ...] | None = None
    ribs: RoofRibsFormat | None = None
    things: dict[Name, RoofThingFormat] = field(default_factory=dict)

    __pydantic_config__ = CLOSED

    def __post_init__(self) -> None:
        """Refuse a roof without its size, or with two.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        by_size = self.length is not None and self.width is not None
        if by_size == (self.corners is not None):
            raise ValueError("give either length: and width: of the roof, or its corners: [[x, y], ...]")


def roof_top(said: RoofTopFormat, space_ribs: tuple[tuple[float, float], ...]) -> RoofTop:
    """Return the roof as a project says it; `space_ribs` are those of the space, from where to where along x, mm.

    Raises
    ------
    ValueFaultError
        When its corners enclose nothing.
    """
    half, end = (said.width or 0.0) / 2, said.rear + (said.length or 0.0)
    corners = said.corners or ((said.rear, -half), (end, -half), (end, half), (said.rear, half))
    if len(corners) < 3 or not Polygon(corners).is_valid or Polygon(corners).area <= 0:  # noqa: PLR2004 (a triangle)
        raise ValueFaultError(("space", "roof_top", "corners"), "the outline crosses itself or encloses nothing")
    ribs = space_ribs
    if said.ribs is not None:
        ribs = tuple((x - said.ribs.width / 2, x + said.ribs.width / 2) for x in sorted(said.ribs.at))
    things = tuple(
        RoofThing(
            name=name, kind=t.kind, at=t.at, length=t.length, width=t.width,
            hole=t.kind in _CUT_THROUGH if t.hole is None else t.hole == "yes",
        )
        for name, t in said.things.items()
    )  # fmt: skip
    return RoofTop(outline=tuple(corners), ribs=ribs, things=things)
