"""Where two pieces of a unit meet: how long the line is along which they are joined."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from layout.model.building import Batten
from layout.model.panel import Joint, Panel
from layout.model.solid import Solid
from layout.model.thing import Thing

_HAIR = 0.05


@dataclass(frozen=True, kw_only=True, slots=True)
class Contact:
    """A joint as it is made: `panel` against `to`, over a stretch `length` mm long and `width` mm wide."""

    panel: Panel
    joint: Joint
    to: Panel | Batten
    length: float
    width: float

    @property
    def to_thickness(self) -> float:
        """Return how thick the other piece is, mm."""
        return self.to.sheet.thickness if isinstance(self.to, Panel) else min(self.to.bar.section)


def contacts(thing: Thing) -> Iterator[Contact]:
    """Yield every joint of a unit where its pieces really meet, in the order of its panels."""
    others: tuple[Panel | Batten, ...] = (*thing.panels, *thing.battens)
    for panel in thing.panels:
        for joint in panel.joints:
            for other in others:
                if other is not panel and joint.to in (other.name, other.role):
                    stretch = _stretch(panel.solid, other.solid)
                    if stretch is not None:
                        yield Contact(panel=panel, joint=joint, to=other, length=stretch[0], width=stretch[1])


def _stretch(a: Solid, b: Solid) -> tuple[float, float] | None:
    """Return length and width of the face that two boxes share, None where they do not touch."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    shared = sorted((min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0), min(a.z1, b.z1) - max(a.z0, b.z0)))
    if shared[0] < -_HAIR or shared[1] <= _HAIR:
        return None
    return shared[2], shared[1]
