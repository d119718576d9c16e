"""Pieces of beds: panels told how they meet their neighbours, and what fastens them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from layout.model.building import Bar, Batten, Hardware, Promise
from layout.model.motion import Face, Motion
from layout.model.panel import Joint, JointKind, Panel
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Span
from layout.things.piece import edge


@dataclass(frozen=True, kw_only=True, slots=True)
class Parts:
    """What a part of a bed consists of; parts are added up."""

    panels: tuple[Panel, ...] = ()
    battens: tuple[Batten, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    motions: tuple[Motion, ...] = ()

    def __add__(self, other: Parts) -> Parts:
        """Return both together."""
        return Parts(
            panels=(*self.panels, *other.panels), battens=(*self.battens, *other.battens),
            hardware=(*self.hardware, *other.hardware), motions=(*self.motions, *other.motions),
        )  # fmt: skip

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Return the solids of all panels and battens."""
        return (*(s for panel in self.panels for s in panel.solids), *(batten.solid for batten in self.battens))

    def built(self, name: str, group: str, kind: str, promise: Promise) -> Thing:
        """Return the thing that is built of them, and that promises so."""
        mass = sum(panel.mass_kg for panel in self.panels) + sum(batten.mass_kg for batten in self.battens)
        return Thing(
            name=name, group=group, kind=kind, solids=self.solids, mass_kg=mass, panels=self.panels,
            battens=self.battens, hardware=self.hardware, motions=self.motions, promise=promise,
        )  # fmt: skip


def joined(panel: Panel, kind: JointKind, face: Face, *to: str) -> Panel:
    """Return the panel with a joint to each of the pieces `to`, by its edge or large side that looks toward `face`."""
    side = edge(panel, face)
    return replace(panel, joints=(*panel.joints, *(Joint(kind=kind, to=name, side=side) for name in to)))


def points(length: float, spacing: float, end: float) -> int:
    """Return how many fastenings hold `length` mm: one `end` from both ends, no two further apart than `spacing`."""
    if length < 2 * end:
        return 1
    return max(2, ceil(round((length - 2 * end) / spacing, 6)) + 1)


def to_body(count: int, why: str) -> tuple[Hardware, ...]:
    """Return `count` threaded inserts in the body with their screws."""
    return Hardware(item="insert-m8-body", count=count, why=why), Hardware(item="bolt-m8x40", count=count, why=why)


def batten(name: str, bar: Bar, x: Span, y: Span, z: Span, *, role: str = "") -> Batten:
    """Return the batten that fills the box; it is sawn as long as the box's longest side."""
    length = max(x[1] - x[0], y[1] - y[0], z[1] - z[0])
    return Batten(name=name, bar=bar, solid=box(name, x, y, z), length=length, role=role)
