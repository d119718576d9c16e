"""Loose wheels: what comes off a bicycle must ride somewhere too."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from typing import Literal

from layout.model.solid import Point, Solid, box
from layout.model.thing import Dirt, TakeOut, Thing
from layout.things.base import Described, Shop
from layout.units.fields import Mass, Size

_HUB = 105.0  # from memory: half a brake disc of 203 across, the largest usual one, and a little
_CORNERS = 16  # the flats of a lying wheel's outline lie outside the circle, by 2 % at its corners


def wheel_diameter(rim: float, tyre: float) -> float:
    """Return the outside diameter of a wheel, mm (ISO 5775: bead seat diameter + 2 x tyre section)."""
    return rim + 2 * tyre


@dataclass(frozen=True, kw_only=True, slots=True)
class Wheel(Described):
    """A loose front wheel: `rim` the bead seat diameter and `tyre` the tyre's width, as for a bicycle.

    `axle` is its width over the hub's ends, quick release or axle taken out. It stands upright along its length, or
    lies flat on one end of its hub and its rim. Without `take_out` it stays while bins come out, as a bicycle does;
    with it, it comes out as a bin does. It brings dirt in unless told otherwise.
    """

    kind: Literal["wheel"]
    rim: Size
    tyre: Size
    axle: Size = 100.0
    pose: Literal["standing", "lying"] = "standing"
    mass: Mass = 2.0
    take_out: TakeOut | None = None
    dirt: Dirt = "dirty"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the wheel: standing a tyre and a hub, lying one round slab as high as its hub is wide."""
        size = wheel_diameter(self.rim, self.tyre)
        solids = (self._lying(name, size),) if self.pose == "lying" else self._standing(size)
        return Thing(
            name=name, group=group, kind=self.kind, solids=solids, mass_kg=self.mass, take_out=self.take_out,
        )  # fmt: skip

    def _standing(self, size: float) -> tuple[Solid, ...]:
        middle, hub = size / 2, min(_HUB, size / 2)
        around = (middle - hub, middle + hub)
        return (
            box("tyre", (0.0, size), (-self.tyre / 2, self.tyre / 2), (0.0, size)),
            box("hub", around, (-self.axle / 2, self.axle / 2), around),
        )

    def _lying(self, name: str, size: float) -> Solid:
        # The hub's end on the floor and the rim's low side too: the far side of the rim is then as high as the hub.
        return Solid(name=name, outline=_circle(size / 2), z0=0.0, z1=max(self.axle, self.tyre))


def _circle(radius: float) -> tuple[Point, ...]:
    """Return the corners of a polygon round a circle that touches x = 0."""
    corner = radius / cos(pi / _CORNERS)
    turns = [(2 * i + 1) * pi / _CORNERS for i in range(_CORNERS)]
    return tuple((radius + corner * cos(turn), corner * sin(turn)) for turn in turns)
