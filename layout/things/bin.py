"""Bins: removable, stackable, taken out up or to a side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import box
from layout.model.thing import TakeOut, Thing
from layout.things.base import Described, Shop
from layout.units.fields import Mass, Size


@dataclass(frozen=True, kw_only=True, slots=True)
class Bin(Described):
    """A bin by its real outside sizes, lid, rim and handles included.

    `stack_step` is how much higher the next one stands on it (its height when not given). `mass` is the
    bin as loaded for the road.
    """

    kind: Literal["bin"]
    length: Size
    width: Size
    height: Size
    stack_step: Size | None = None
    mass: Mass = 10.0
    take_out: TakeOut = "any"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bin as one upright box."""
        body = box(name, (0.0, self.length), (-self.width / 2, self.width / 2), (0.0, self.height))
        step = self.stack_step or self.height
        return Thing(
            name=name, group=group, kind=self.kind, solids=(body,), mass_kg=self.mass,
            take_out=self.take_out, stack_step=step,
        )  # fmt: skip
