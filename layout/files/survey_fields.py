"""A measured length in the project file: kept with the text that was written, so that slips of the pen can be found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from layout.model.survey import Reading
from layout.units.fields import Coordinate, Field, SpaceSize

_LONGEST_TEXT = 60


@dataclass(frozen=True, kw_only=True)
class ReadingField:
    """The mark of a measured length; `limits` is the mark of a plain length with the same limits."""

    limits: Field

    def read(self, value: object) -> Reading:
        """Return the length in mm together with its text and its unit."""
        mm = self.limits.read(value)
        return Reading(mm=mm, text=str(value).strip()[:_LONGEST_TEXT], units=getattr(value, "units", None) or "mm")

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> Any:
        """Tell the validator of the file how to read the value."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core_schema: object, handler: object) -> dict[str, Any]:
        """Tell editors what may be written: a number, or a text with a unit."""
        return self.limits.__get_pydantic_json_schema__(core_schema, handler)


def _mark_of(alias: Any) -> Field:
    """Return the mark of an annotated number."""
    mark: Field = alias.__metadata__[0]
    return mark


#: A length that was measured, and one that may lie to either side; with their limits of a space, 20 m.
Measured = Annotated[Reading, ReadingField(limits=_mark_of(SpaceSize))]
Signed = Annotated[Reading, ReadingField(limits=_mark_of(Coordinate))]
