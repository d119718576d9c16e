"""The pieces of a unit as the referee and the counting of fixings see them: panels and battens as prisms."""

from __future__ import annotations

from dataclasses import dataclass

from layout.building.prism import AXES, Prism, of_panel, of_solid
from layout.model.building import Batten
from layout.model.panel import Joint, Panel
from layout.model.thing import Thing


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """One panel or batten as it stands: its name, the role under which it was promised, its shape, its joints."""

    name: str
    role: str
    prism: Prism
    made_of: Panel | Batten
    joints: tuple[Joint, ...] = ()

    def called(self, word: str) -> bool:
        """Return whether a joint to `word` means this piece."""
        return word in (self.name, self.role)

    def across(self, joint: Joint) -> int:
        """Return the axis along which one of its joints brings it to the other: to that its edge or its face looks."""
        panel = self.made_of
        if not isinstance(panel, Panel) or joint.side is None:
            return self.prism.axis
        return AXES.index(panel.along if joint.side in ("left", "right") else panel.across)

    def size(self, axis: int) -> float:
        """Return how far it reaches along an axis, mm."""
        low, high = self.prism.box[axis]
        return high - low

    @property
    def mass_kg(self) -> float:
        """Return its mass by its shape: volume x density, kg."""
        panel = self.made_of
        density = panel.sheet.density_kg_m3 if isinstance(panel, Panel) else panel.bar.density_kg_m3
        return self.prism.volume * density * 1e-9


def pieces_of(thing: Thing) -> tuple[Piece, ...]:
    """Return the panels and battens of a thing as pieces, in its own axes."""
    return (*(_of_panel(panel) for panel in thing.panels), *(_of_batten(batten) for batten in thing.battens))


def _of_panel(panel: Panel) -> Piece:
    return Piece(
        name=panel.name, role=panel.role or panel.name, prism=of_panel(panel), made_of=panel, joints=panel.joints
    )


def _of_batten(batten: Batten) -> Piece:
    return Piece(name=batten.name, role=batten.role or batten.name, prism=of_solid(batten.solid), made_of=batten)
