"""Version 1 of the project file, whole."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from layout.arrange.wish import Free, Wishes
from layout.files.space_format import CLOSED, SpaceFormat
from layout.model.cutting import Preference
from layout.placing.position import Position
from layout.things.kinds import AnySpec
from layout.units.fields import (
    Coordinate,
    Count,
    Density,
    Gap,
    Kerf,
    Name,
    NameField,
    Price,
    Size,
    SpaceSize,
    Stature,
    Trim,
    whole,
)

MOST_THINGS = 500


class _ByKind:
    """The mark of a choice by the key ``kind``."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        """Let the word under ``kind`` choose which fields are read."""
        from pydantic import Field as Choice

        return handler.generate_schema(Annotated[source, Choice(discriminator="kind")])


@dataclass(frozen=True, kw_only=True, slots=True)
class PersonFormat:
    """A person: body height without shoes, and `sitting` that above the seat, where it was measured."""

    stature: Stature
    sitting: Stature | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class EdgeTrimFormat:
    """What is taken off single edges of a sheet, where it is not the saw's trim; left is where its length begins."""

    left: Trim | None = None
    right: Trim | None = None
    bottom: Trim | None = None
    top: Trim | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class DamageFormat:
    """A rectangle of a sheet that no part may touch: its low corner from the sheet's, and its size."""

    x: Gap
    y: Gap
    length: SpaceSize
    width: SpaceSize

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetFormat:
    """A sheet on sale or on hand; `thickness` as a caliper measures it; no `count`: as many as needed.

    Sheets of one `material` are cut for the same parts; without it the sheet's own name is the material.
    An `offcut` is on hand and costs nothing; without a `count` there is one.
    """

    length: SpaceSize
    width: SpaceSize
    thickness: Size
    density: Density
    price: Price = 0.0
    count: Count | None = None
    material: Name | None = None
    source: str | None = None
    trim: EdgeTrimFormat | None = None
    damage: tuple[DamageFormat, ...] = ()
    offcut: Literal["yes", "no"] = "no"

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class ShopFormat:
    """What the shop saws before the sheets go home: its cuts a sheet, its saw, and what the car carries."""

    cuts: Annotated[int, whole("number of cuts", 0, 100)]
    kerf: Kerf = 3.2
    narrowest: Gap = 0.0
    trim: Trim = 5.0
    tolerance: Kerf = 2.0
    car: tuple[Size, Size] | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class BarFormat:
    """Timber or a profile by the length: its section, as a caliper finds it, and what is on sale."""

    section: tuple[Size, Size]
    length: SpaceSize
    density: Density
    price: Price = 0.0
    count: Count | None = None
    source: str | None = None

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class WorkshopFormat:
    """The sheets, and the saw: its kerf, the trim off each sheet edge, the smallest offcut worth keeping.

    `longest_cut` is what the guide takes, `smallest_hold` the least side of a piece held while it is sawn;
    `prefer` orders what counts after cost and sheets. `bars` are timber and profiles by the length, `prices` those of
    items of the hardware catalogue.
    """

    sheets: dict[Name, SheetFormat]
    kerf: Kerf = 3.0
    trim: Trim = 0.0
    smallest_offcut: Gap = 100.0
    currency: Name = "EUR"
    shop: ShopFormat | None = None
    longest_cut: Size | None = None
    smallest_hold: Size | None = None
    prefer: tuple[Preference, ...] = ("offcut", "settings", "breakdown")
    bars: dict[Name, BarFormat] = field(default_factory=dict)
    prices: dict[Name, Price] = field(default_factory=dict)

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class SpotFormat:
    """A place where people stand, sit or lie: its middle, on a seat so high, in which states."""

    x: Coordinate
    y: Coordinate
    does: Literal["stand", "sit", "lie"]
    seat: Gap = 0.0
    people: tuple[Name, ...] = ()
    states: tuple[Name, ...] = ()

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class AcceptFormat:
    """A finding that the owner lives with, by rule and things, and why."""

    rule: Name
    reason: Annotated[str, NameField(longest=300)]
    things: tuple[Name, ...] = ()
    states: tuple[Name, ...] = ()

    __pydantic_config__ = CLOSED


@dataclass(frozen=True, kw_only=True, slots=True)
class ProjectFormat:
    """A project: the space, the people, the things, where they stand, and what is cut from which sheets.

    `forms` are other shapes of things, by their names, such as a table folded; each overrules the thing's own fields.
    `free` says how far a thing without a place is free in the search for arrangements, `wishes` what counts there.
    """

    layout: Annotated[int, whole("version of the file", 1, 1)]
    title: Name
    units: Literal["mm", "cm", "m", "in", "ft"]
    space: SpaceFormat
    people: dict[Name, PersonFormat] = field(default_factory=dict)
    states: tuple[Name, ...] = ("drive", "camp", "sleep")
    things: dict[Name, Annotated[AnySpec, _ByKind()]] = field(default_factory=dict)
    forms: dict[Name, dict[Name, Annotated[AnySpec, _ByKind()]]] = field(default_factory=dict)
    arrangement: dict[Name, Position] = field(default_factory=dict)
    spots: dict[Name, SpotFormat] = field(default_factory=dict)
    free: dict[Name, Free] = field(default_factory=dict)
    wishes: Wishes = Wishes()  # noqa: RUF009 (frozen)
    accept: tuple[AcceptFormat, ...] = ()
    workshop: WorkshopFormat | None = None
    rules: dict[Name, dict[Name, Name]] = field(default_factory=dict)

    __pydantic_config__ = CLOSED
