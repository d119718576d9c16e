"""A panel as a piece of wood: what is sawn out of it and into it, and the largest clear rectangle that it yields."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import shapely

from layout.building.clear import largest_rectangle
from layout.building.contacts import CUT_IN
from layout.building.forms import DIGITS, Face, Form, Groove, Turn
from layout.building.pieces import Piece, pieces_of
from layout.building.prism import AXES, Box, shared
from layout.model.panel import Panel
from layout.model.thing import Thing


@dataclass(frozen=True, kw_only=True)
class Wood:
    """A panel of a unit with the grooves in it: where they lie in its plane (mm), in which face, how deep."""

    unit: str
    group: str
    panel: Panel
    grooves: tuple[Groove, ...] = ()

    @property
    def name(self) -> str:
        """Return what it is called in its unit."""
        return self.panel.name

    @property
    def worth(self) -> float:
        """Return the area of the part that is sawn for it, mm²."""
        return self.sawn[0] * self.sawn[1]

    @property
    def room(self) -> float:
        """Return the area of its clear rectangle, mm²."""
        return self.clear[0] * self.clear[1]

    @property
    def material(self) -> tuple[str, float]:
        """Return the sheet that it is of, and how thick that is."""
        return self.panel.sheet.material, round(self.panel.sheet.thickness, DIGITS)

    @property
    def sawn(self) -> tuple[float, float]:
        """Return length and width of the part that is sawn for it, mm."""
        return self.panel.cut_length, self.panel.cut_width

    @cached_property
    def clear(self) -> tuple[float, float]:
        """Return the largest rectangle in it without a hole, a groove, a notch or a band, along and across, mm."""
        u0, v0, u1, v1 = largest_rectangle(self._free())
        return u1 - u0, v1 - v0

    def _free(self) -> shapely.Geometry:
        panel = self.panel
        us, vs = zip(*panel.outline, strict=True)
        bands = {
            side: sum(mm for which, mm in panel.bands if which == side) for side in ("left", "right", "bottom", "top")
        }
        inner = shapely.box(
            min(us) + bands["left"], min(vs) + bands["bottom"], max(us) - bands["right"], max(vs) - bands["top"]
        )
        taken = [*(shapely.box(*shapely.Polygon(hole).bounds) for hole in panel.holes)]
        taken += [shapely.box(*rect) for rect, _, _ in self.grooves]
        return shapely.Polygon(panel.outline).intersection(inner).difference(shapely.union_all(taken))

    @cached_property
    def forms(self) -> tuple[Form, ...]:
        """Return its shape, its grain and its good face in all eight ways that it can be turned and turned over."""
        ways = product((False, True), repeat=3)
        turns = (Turn(panel=self.panel, swap=swap, u=u, v=v) for swap, u, v in ways)
        return tuple(dict.fromkeys(turn.form(self.grooves) for turn in turns))


def woods(thing: Thing) -> tuple[Wood, ...]:
    """Return the panels of a unit with the grooves that its joints cut into them, in their order."""
    pieces = pieces_of(thing)
    panels = ((panel, piece) for piece in pieces if isinstance(panel := piece.made_of, Panel))
    return tuple(
        Wood(
            unit=thing.name, group=thing.group, panel=panel, grooves=tuple(sorted(_grooves(panel, piece, pieces)))
        )
        for panel, piece in panels
    )  # fmt: skip


def _grooves(panel: Panel, piece: Piece, pieces: Sequence[Piece]) -> Iterator[Groove]:
    for other in pieces:
        cut = any(joint.kind in CUT_IN and piece.called(joint.to) for joint in other.joints)
        box = shared(other.prism, piece.prism) if cut and other is not piece else None
        if box is not None:
            yield _groove(panel, piece, box)


def _groove(panel: Panel, piece: Piece, box: Box) -> Groove:
    at = dict(zip(AXES, panel.at, strict=True))
    (u0, u1), (v0, v1) = (
        tuple(round(mm - at[axis], DIGITS) for mm in box[AXES.index(axis)]) for axis in (panel.along, panel.across)
    )
    low, high = box[piece.prism.axis]
    face: Face = "low" if low - piece.prism.low <= piece.prism.high - high else "high"
    return (u0, v0, u1, v1), face, round(high - low, DIGITS)
