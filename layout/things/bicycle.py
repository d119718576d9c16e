"""Bicycles: several solids, since the room beside a frame is not the room beside the bars."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.units.fields import Mass, Size

# Where the parts of an ordinary upright bicycle lie, mm. Common practice, no source: measured on ordinary
# machines, rounded outward. Bars stand behind the front axle, the cranks ahead of the rear one.
_BARS_BEHIND_FRONT_AXLE = 260.0
_CRANKS_AHEAD_OF_REAR_AXLE = 430.0
_SADDLE_AHEAD_OF_REAR_AXLE = 120.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Bicycle(Described):
    """A bicycle by the sizes that a tape finds.

    `rim` is the bead seat diameter and `tyre` the tyre's width as ISO 5775 marks them (57-622: tyre 57,
    rim 622); the wheel is then rim + 2 x tyre. With `front_wheel: removed` the fork stands on a mount
    `mount_height` above the floor and the bars come down with it.
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
    mass: Mass = 15.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    @property
    def wheel(self) -> float:
        """Return the outside diameter of a wheel, mm (ISO 5775: bead seat diameter + 2 x tyre section)."""
        return self.rim + 2 * self.tyre

    @property
    def drop(self) -> float:
        """Return how far the bars come down when the fork stands on its mount, mm."""
        return self.wheel / 2 - self.mount_height if self.front_wheel == "removed" else 0.0

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bicycle standing upright, its rear tyre at x = 0."""
        need(self.wheelbase > self.wheel / 2, group, "wheelbase", "the wheelbase is shorter than half a wheel")
        need(self.bar_height - self.drop > 300, group, "bar_height", "the bars would stand below 300 mm")  # noqa: PLR2004
        solids = (*self._wheels(), self._frame(), self._bars(), self._pedals(), self._saddle())
        return Thing(name=name, group=group, kind=self.kind, solids=solids, mass_kg=self.mass)

    def _wheels(self) -> tuple[Solid, ...]:
        half = max(self.tyre / 2, 35.0)
        rear = box("rear wheel", (0.0, self.wheel), (-half, half), (0.0, self.wheel))
        if self.front_wheel == "removed":
            axle = self.wheel / 2 + self.wheelbase
            fork = box("fork", (axle - 60, axle + 40), (-75.0, 75.0), (0.0, self.bar_height - self.drop - 150))
            return rear, fork
        front = (self.wheelbase, self.wheelbase + self.wheel)
        return rear, box("front wheel", front, (-half, half), (0.0, self.wheel))

    def _frame(self) -> Solid:
        x = (self.wheel / 2, self.wheel / 2 + self.wheelbase - 60)
        return box("frame", x, (-60.0, 60.0), (200.0, self.bar_height - self.drop))

    def _bars(self) -> Solid:
        middle = self.wheel / 2 + self.wheelbase - _BARS_BEHIND_FRONT_AXLE
        top, half = self.bar_height - self.drop, self.bar_width / 2
        return box("bars", (middle - 100, middle + 100), (-half, half), (top - 150, top))

    def _pedals(self) -> Solid:
        middle, half = self.wheel / 2 + _CRANKS_AHEAD_OF_REAR_AXLE, self.pedal_width / 2
        return box("pedals", (middle - 220, middle + 220), (-half, half), (90.0, 470.0))

    def _saddle(self) -> Solid:
        start = self.wheel / 2 + _SADDLE_AHEAD_OF_REAR_AXLE
        return box("saddle", (start, start + 290), (-85.0, 85.0), (self.saddle_height - 90, self.saddle_height))
