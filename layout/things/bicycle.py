"""Bicycles: several solids, since the room beside a frame is not the room beside the bars."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import Solid, box
from layout.model.thing import Dirt, Thing
from layout.things.base import Described, Shop, need
from layout.things.wheel import wheel_diameter
from layout.units.fields import Gap, Mass, Size

# Where the parts of an ordinary upright bicycle lie, mm. Common practice, no source: measured on ordinary
# machines, rounded outward. Bars stand behind the front axle, the cranks ahead of the rear one.
# The steerer comes up through the middle of the bars, so that they turn about it in place.
_BARS_BEHIND_FRONT_AXLE = 260.0
_BARS_HALF_DEEP = 100.0  # stem, grips and levers
_CRANKS_AHEAD_OF_REAR_AXLE = 430.0
_SADDLE_AHEAD_OF_REAR_AXLE = 120.0
_CRANKS_HALF_WIDE = 100.0  # from memory: 150 to 180 over both cranks, without pedals
_CRANK = 190.0
_PEDAL_END = 220.0
_LOWEST = 300.0  # bars and saddle are nowhere near the floor, or a figure is wrong
_FORK = "fork"
_REAR_WHEEL = "rear wheel"


@dataclass(frozen=True, kw_only=True, slots=True)
class Bicycle(Described):
    """A bicycle by the sizes that a tape finds.

    `rim` is the bead seat diameter and `tyre` the tyre's width as ISO 5775 marks them (57-622: tyre 57,
    rim 622); the wheel is then rim + 2 x tyre. With `front_wheel: removed` the fork stands on a mount
    `mount_height` above the floor and the bars come down with it. `bars: turned` are turned with their stem so
    that they lie along the frame. `pedals: removed` leaves the cranks; of folding pedals give the width
    over both, folded. `saddle: dropped` brings it down by `saddle_drop`. It brings dirt in unless told otherwise.
    """

    kind: Literal["bicycle"]
    rim: Size
    tyre: Size
    wheelbase: Size
    bar_width: Size
    bar_height: Size
    saddle_height: Size
    pedal_width: Size = 430.0
    front_wheel: Literal["fitted", "removed"] = "fitted"
    mount_height: Size = 110.0
    bars: Literal["straight", "turned"] = "straight"
    pedals: Literal["fitted", "removed"] = "fitted"
    saddle: Literal["up", "dropped"] = "up"
    saddle_drop: Gap = 150.0
    mass: Mass = 15.0
    dirt: Dirt = "dirty"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    @property
    def wheel(self) -> float:
        """Return the outside diameter of a wheel, mm (ISO 5775: bead seat diameter + 2 x tyre section)."""
        return wheel_diameter(self.rim, self.tyre)

    @property
    def drop(self) -> float:
        """Return how far the bars come down when the fork stands on its mount, mm."""
        return self.wheel / 2 - self.mount_height if self.front_wheel == "removed" else 0.0

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bicycle standing upright, its rear tyre at x = 0."""
        need(self.wheelbase > self.wheel / 2, group, "wheelbase", "the wheelbase is shorter than half a wheel")
        low = f"would stand below {_LOWEST:g} mm"
        need(self.bar_height - self.drop > _LOWEST, group, "bar_height", f"the bars {low}")
        need(self._saddle_top > _LOWEST, group, "saddle_height", f"the saddle {low}")
        solids = (*self._wheels(), self._frame(), self._bars(), self._pedals(), self._saddle())
        return Thing(name=name, group=group, kind=self.kind, solids=solids, mass_kg=self.mass)

    def _wheels(self) -> tuple[Solid, ...]:
        half = max(self.tyre / 2, 35.0)
        rear = box(_REAR_WHEEL, (0.0, self.wheel), (-half, half), (0.0, self.wheel))
        if self.front_wheel == "removed":
            axle = self.wheel / 2 + self.wheelbase
            fork = box(_FORK, (axle - 60, axle + 40), (-75.0, 75.0), (0.0, self.bar_height - self.drop - 150))
            return rear, fork
        front = (self.wheelbase, self.wheelbase + self.wheel)
        return rear, box("front wheel", front, (-half, half), (0.0, self.wheel))

    def _frame(self) -> Solid:
        x = (self.wheel / 2, self.wheel / 2 + self.wheelbase - 60)
        return box("frame", x, (-60.0, 60.0), (200.0, self.bar_height - self.drop))

    def _bars(self) -> Solid:
        middle = self.wheel / 2 + self.wheelbase - _BARS_BEHIND_FRONT_AXLE
        top, along, across = self.bar_height - self.drop, _BARS_HALF_DEEP, self.bar_width / 2
        if self.bars == "turned":
            along, across = across, along
        return box("bars", (middle - along, middle + along), (-across, across), (top - 150, top))

    def _pedals(self) -> Solid:
        middle, half, end = self.wheel / 2 + _CRANKS_AHEAD_OF_REAR_AXLE, self.pedal_width / 2, _PEDAL_END
        if self.pedals == "removed":
            half, end = _CRANKS_HALF_WIDE, _CRANK
        return box("pedals", (middle - end, middle + end), (-half, half), (90.0, 470.0))

    @property
    def _saddle_top(self) -> float:
        return self.saddle_height - (self.saddle_drop if self.saddle == "dropped" else 0.0)

    def _saddle(self) -> Solid:
        start, top = self.wheel / 2 + _SADDLE_AHEAD_OF_REAR_AXLE, self._saddle_top
        return box("saddle", (start, start + 290), (-85.0, 85.0), (top - 90, top))


def wheel_off(thing: Thing) -> float | None:
    """Return the outside diameter, mm, of the front wheel that is off a bicycle; None if none is."""
    if thing.kind != "bicycle" or not any(solid.name == _FORK for solid in thing.solids):
        return None
    return next(solid.z1 - solid.z0 for solid in thing.solids if solid.name == _REAR_WHEEL)
