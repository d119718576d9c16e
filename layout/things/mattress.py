"""Mattresses: where people lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import box
from layout.model.thing import Thing
from layout.things.base import Described, Shop
from layout.units.fields import Mass, Name, Size


@dataclass(frozen=True, kw_only=True, slots=True)
class Mattress(Described):
    """A mattress; the sleepers' bodies lie along its length. `sleeps` names them. It is folded up by hand."""

    kind: Literal["mattress"]
    length: Size
    width: Size
    thickness: Size
    sleeps: tuple[Name, ...] = ()
    mass: Mass = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the mattress as one flat box."""
        body = box(name, (0.0, self.length), (-self.width / 2, self.width / 2), (0.0, self.thickness))
        return Thing(
            name=name, group=group, kind=self.kind, solids=(body,), mass_kg=self.mass, sleeps=self.sleeps, take_out="up"
        )
