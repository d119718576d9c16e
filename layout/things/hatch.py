"""Hatch: an opening sawn into a board across the room, open or with a lid that laps over it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.building import Hardware
from layout.model.motion import Motion
from layout.model.panel import Joint, Panel, Sheet
from layout.model.solid import Solid
from layout.things.base import Shop, Span, board, need
from layout.things.motion import MotionSpec
from layout.units.fields import Coordinate

Range = tuple[Coordinate, Coordinate]
LID = "hatch lid"


@dataclass(frozen=True, kw_only=True, slots=True)
class Hatch:
    """An opening from `y` to `y` and `z` to `z`, mm in the room; with a `lid` that turns on its `hinge` side."""

    y: Range
    z: Range
    lid: Literal["yes", "no"] = "no"
    hinge: Literal["left", "right"] = "left"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse an opening of no size.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if self.y[0] >= self.y[1] or self.z[0] >= self.z[1]:
            raise ValueError("a hatch is an opening; y: [right, left] and z: [foot, top] must rise")

    @property
    def shape(self) -> Polygon:
        """Return the opening across the room (y, z), mm."""
        return shapely.box(self.y[0], self.z[0], self.y[1], self.z[1])

    def lid_spans(self, board_shape: BaseGeometry, group: str, shop: Shop) -> tuple[Span, Span]:
        """Return from where to where a lid reaches across and up: over the opening by the lap, but free of the floor.

        Raises
        ------
        ValueFaultError
            When there is no board for it to lie on.
        """
        lap, low = shop.number("following", "lap"), board_shape.bounds[1] + shop.number("fronts", "gap")
        y, z = (self.y[0] - lap, self.y[1] + lap), (max(self.z[0] - lap, low), self.z[1] + lap)
        covered = board_shape.buffer(1e-6).covers(shapely.box(y[0], z[0], y[1], z[1]))
        need(covered, group, "hatch", f"its lid laps over it by {lap:g} all round, and there is no board for that")
        return y, z

    def lid_panel(self, sheet: Sheet, x: Span, spans: tuple[Span, Span], held: str) -> Panel:
        """Return the lid, between two places along the room, hinged to the piece called `held`."""
        lid = board(LID, sheet, x, *spans, grain="free")
        return replace(lid, joints=(Joint(kind="hinge", to=held),))

    def motion(self, lid: Panel, body: Solid, face: Literal["front", "rear"], path: tuple[str, ...]) -> Motion:
        """Return how the lid turns, on a thing whose outer box is `body`; both in the same axes."""
        _, y0, _, y1 = lid.solid.bounds
        spec = MotionSpec(does="door", face=face, hinge=self.hinge, part=(y0, y1), z=(lid.solid.z0, lid.solid.z1))
        return spec.made(LID, body, path)


def lid_hardware(lid: Panel, shop: Shop) -> Iterator[Hardware]:
    """Yield what a lid turns on, and what keeps it shut."""
    tall = lid.span[2] > shop.number("fronts", "tall")
    yield Hardware(item="hinge-butt-60", count=3 if tall else 2, why="lid of the hatch")
    yield Hardware(item="latch-push", count=1, why="lid of the hatch, shut on the road")
