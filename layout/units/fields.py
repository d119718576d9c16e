"""Marks for the fields of the project file: what text each takes, and within which limits.

A dataclass whose fields carry these marks is at once the value that the program uses (mm, kg, degrees) and
the description of what a person may write. The two hooks below are called by the validator of the file
only; nothing here imports it before that.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite
from typing import Annotated, Any

from layout.units.length import HOW, parse_length
from layout.units.mass import parse_mass

LONGEST_SPACE = 20_000.0
LONGEST_THING = 10_000.0
_LONGEST_NAME = 60
_LENGTH_PATTERN = r"^\s*-?[0-9.½¼¾⅛⅜⅝⅞][0-9 .\-/½¼¾⅛⅜⅝⅞]*\s*([a-zA-Z]+|[\"'″′”’]+)?.*$"


@dataclass(frozen=True, kw_only=True)
class Field:
    """A number read from text: how, between which limits (`low` itself excluded if `above`), in which words."""

    read_text: Callable[[str, str | None], float]
    what: str
    unit: str
    low: float | None = None
    high: float | None = None
    above: bool = False
    pattern: str = r"^\s*-?[0-9.]+\s*[a-zA-Z]*\s*$"

    def read(self, value: object) -> float:
        """Return the number that `value` says; text carries the units of its file as an attribute."""
        if isinstance(value, (list, dict)) or value is None:
            raise ValueError(f"a {self.what} is one value, not a list or a group")
        number = self.read_text(value, getattr(value, "units", None)) if isinstance(value, str) else value
        return self._limited(float(number), value)  # type: ignore[arg-type]  # bool and float alike

    def _limited(self, number: float, value: object) -> float:
        if not isfinite(number):
            raise ValueError(f"{value} is not a {self.what}")
        if self.low is not None and (number < self.low or (self.above and number == self.low)):
            least = f"more than {self.low:g}" if self.above else f"{self.low:g} or more"
            raise ValueError(f"{str(value)!r} is too small for a {self.what}; it must be {least} {self.unit}".strip())
        if self.high is not None and number > self.high:
            raise ValueError(
                f"{str(value)!r} is too large for a {self.what}; at most {self.high:g} {self.unit}".strip()
            )
        return number

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> Any:
        """Tell the validator of the file how to read the value."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core_schema: object, handler: object) -> dict[str, Any]:
        """Tell editors what may be written: a number, or a text with a unit."""
        number: dict[str, Any] = {"type": "number"}
        if self.low is not None and self.unit != "mm":
            number["exclusiveMinimum" if self.above else "minimum"] = self.low
        elif self.low == 0:
            number["exclusiveMinimum" if self.above else "minimum"] = 0
        return {
            "anyOf": [number, {"type": "string", "pattern": self.pattern}],
            "description": f"a {self.what}",
        }


def _length(text: str, units: str | None) -> float:
    return float(parse_length(text, units))  # type: ignore[arg-type]  # the file's own units, checked when read


def _mass(text: str, units: str | None) -> float:
    return float(parse_mass(text, "lb" if units in ("in", "ft") else "kg"))


def _number(text: str, units: str | None) -> float:
    if not re.fullmatch(r"\s*-?\d{1,12}(\.\d{1,9})?\s*", text, re.ASCII):
        raise ValueError(f"cannot read {text[:60]!r} as a number; write for instance 90 or 52.50")
    return float(text)


def _force(text: str, units: str | None) -> float:
    return _number(text.strip().removesuffix("N"), units)


def _whole(text: str, units: str | None) -> float:
    if not re.fullmatch(r"\s*-?\d{1,9}\s*", text, re.ASCII):
        raise ValueError(f"cannot read {text[:60]!r} as a whole number; write for instance 4")
    return int(text)


def _length_field(what: str, low: float, high: float, *, above: bool = False) -> Field:
    return Field(read_text=_length, what=what, unit="mm", low=low, high=high, above=above, pattern=_LENGTH_PATTERN)


class Whole(Field):
    """A whole number."""

    def read(self, value: object) -> int:
        """Return the whole number that `value` says."""
        return int(Field.read(self, value))

    def __get_pydantic_json_schema__(self, core_schema: object, handler: object) -> dict[str, Any]:
        """Tell editors that a whole number may be written."""
        return {
            "anyOf": [
                {"type": "integer", "minimum": self.low, "maximum": self.high},
                {"type": "string", "pattern": r"^\s*\d+\s*$"},
            ]
        }


def whole(what: str, low: int, high: int) -> Whole:
    """Return the mark of a whole number from `low` to `high`."""
    return Whole(read_text=_whole, what=what, unit="", low=low, high=high)


class EdgeField(Field):
    """A distance from a wall; ``wall`` says that the thing stands against it."""

    def read(self, value: object) -> float:
        """Return the distance in mm, 0 for ``wall``."""
        return 0.0 if isinstance(value, str) and value.strip() == "wall" else Field.read(self, value)


@dataclass(frozen=True)
class NameField:
    """The mark of a name, or of a line of text: printable characters, `longest` at most."""

    longest: int = _LONGEST_NAME

    def read(self, value: object) -> str:
        """Return the name as plain text."""
        if not isinstance(value, str):
            raise ValueError("a name is one value, not a list or a group")  # noqa: TRY004 (the validator collects these)
        name = str(value).strip()
        if not name or len(name) > self.longest or not name.isprintable():
            raise ValueError(f"a name is 1 to {self.longest} printable characters on one line")
        return name

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> Any:
        """Tell the validator of the file how to read the value."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core_schema: object, handler: object) -> dict[str, Any]:
        """Tell editors that a short text may be written."""
        return {"anyOf": [{"type": "string", "minLength": 1, "maxLength": self.longest}, {"type": "number"}]}


Size = Annotated[float, _length_field("size", 0, LONGEST_THING, above=True)]
SpaceSize = Annotated[float, _length_field("size of the space", 0, LONGEST_SPACE, above=True)]
Gap = Annotated[float, _length_field("distance", 0, LONGEST_SPACE)]
Coordinate = Annotated[float, _length_field("coordinate", -LONGEST_SPACE, LONGEST_SPACE)]
Kerf = Annotated[float, _length_field("kerf", 0, 20)]
Trim = Annotated[float, _length_field("trim", 0, 200)]
Stature = Annotated[float, _length_field("body height", 400, 2700)]
Edge = Annotated[float, EdgeField(
    read_text=_length, what="distance from the wall (or the word wall)", unit="mm",
    low=0, high=LONGEST_SPACE, pattern=f"^wall$|{_LENGTH_PATTERN}",
)]  # fmt: skip
Mass = Annotated[float, Field(read_text=_mass, what="mass", unit="kg", low=0, high=20_000)]
Angle = Annotated[float, Field(read_text=_number, what="angle in degrees", unit="degrees", low=-360, high=360)]
Rake = Annotated[float, Field(read_text=_number, what="rake in degrees", unit="degrees", low=-20, high=20)]
Price = Annotated[float, Field(read_text=_number, what="price", unit="", low=0, high=1_000_000)]
Density = Annotated[float, Field(read_text=_number, what="density", unit="kg/m³", low=50, high=20_000)]
Force = Annotated[float, Field(read_text=_force, what="force in newtons", unit="N", low=0, high=1_000_000)]
Count = Annotated[int, whole("count", 1, 500)]
Name = Annotated[str, NameField()]

__all__ = [
    "HOW",
    "Angle",
    "Coordinate",
    "Count",
    "Density",
    "Field",
    "Force",
    "Gap",
    "Kerf",
    "Mass",
    "Name",
    "Price",
    "Size",
    "SpaceSize",
    "Whole",
    "whole",
]
