"""Boxes: anything that fills an upright box."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import box
from layout.model.thing import TakeOut, Thing
from layout.things.base import Described, Shop
from layout.units.fields import Mass, Size


@dataclass(frozen=True, kw_only=True, slots=True)
class Box(Described):
    """A fridge, a battery, a water can, a stove: outside sizes and the mass as used.

    Without `take_out` it stays where it stands; with it, it comes out as a bin does.
    """

    kind: Literal["box"]
    length: Size
    width: Size
    height: Size
    mass: Mass = 0.0
    take_out: TakeOut | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the thing as one upright box."""
        body = box(name, (0.0, self.length), (-self.width / 2, self.width / 2), (0.0, self.height))
        return Thing(name=name, group=group, kind=self.kind, solids=(body,), mass_kg=self.mass, take_out=self.take_out)
