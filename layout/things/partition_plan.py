"""How a partition follows the room, and how it is divided into pieces that a person lifts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.errors import ValueFaultError
from layout.model.building import Bar, Batten
from layout.model.panel import Sheet
from layout.things.backing import JOINT, Backing
from layout.things.base import Shop, Span, need
from layout.things.follow import FAR, Room, gap_to_wall, section
from layout.things.tiling import largest_piece

if TYPE_CHECKING:
    from layout.things.partition import Partition

MOST_PIECES = 12
_SPECK = 1.0  # mm² that is no piece
_HAIR = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """What a partition is made from, and how closely it follows the room."""

    spec: Partition
    group: str
    shop: Shop
    sheet: Sheet

    @property
    def x(self) -> Span:
        """Return from where to where the board reaches along the room."""
        return self.spec.x, self.spec.x + self.sheet.thickness

    @property
    def bar(self) -> Bar | None:
        """Return the bar of its battens, if it has any."""
        return self.shop.bar(self.group, self.spec.bar) if self.spec.bar else None

    @property
    def room(self) -> Room:
        """Return the room as closely as it is followed."""
        space = self.shop.room(self.group)
        gap = gap_to_wall(self.shop, self.group, self.spec.gap, self.x, (self.z[0], min(self.z[1], space.height)))
        return Room(space=space, gap=gap, clear=gap, tongue=self.shop.number("following", "tongue"))

    @property
    def oversize(self) -> float:
        """Return what is left on to be scribed, mm."""
        asked = self.spec.oversize
        return self.shop.number("following", "oversize") if asked is None else asked

    @property
    def z(self) -> Span:
        """Return its limits in height."""
        return self.spec.z or (0.0, FAR)

    def across(self, x: Span) -> BaseGeometry:
        """Return what the room leaves across a stretch along, within the partition's own limits."""
        low, high = self.spec.y or (-FAR, FAR)
        rising = low < high and 0 <= self.z[0] < self.z[1]
        need(rising, self.group, "z", "y: [right, left] and z: [foot, top] must rise, the foot not below the floor")
        return section(self.room, x, self.z).intersection(shapely.box(low, self.z[0], high, self.z[1]))

    def battens(self, shape: Polygon, edges: tuple[float, ...]) -> tuple[Batten, ...]:
        """Return the battens on one face of the board, over joints at `edges`."""
        if self.bar is None:
            return ()
        deep, (rear, front) = self.bar.section[0], self.x
        x = (rear - deep, rear) if self.spec.battens == "rear" else (front, front + deep)
        backing = Backing(
            region=self.across(x).intersection(shape), x=x, bar=self.bar, cleat=self.shop.number("following", "cleat")
        )
        ends = (self.z[0] == 0.0, shape.bounds[3] < self.z[1])
        found = backing.battens(self.room, edges, ends)
        for edge in edges:
            over = any(b.name == JOINT and b.solid.bounds[1] < edge < b.solid.bounds[3] for b in found)
            text = f"leaves no {backing.cleat:g} of board for a batten over the joint at y {edge:.0f}"
            need(over, self.group, "hatch" if self.spec.hatch else "z", text)
        return found


def divided(plan: Plan) -> tuple[Polygon, tuple[float, ...]]:
    """Return the whole board less its hatch, and the edges of its pieces across, both ends included.

    Raises
    ------
    ValueFaultError
        When there is no such board, or it cannot be divided.
    """
    spec, board = plan.spec, _board(plan)
    around = board.bounds
    if spec.hatch:
        need(board.buffer(_HAIR).covers(spec.hatch.shape), plan.group, "hatch", "reaches beyond the board")
        board = board.difference(spec.hatch.shape)
    fewest = 2 if spec.hatch and spec.hatch.lid == "no" and spec.bar else 1
    faults: dict[str, str] = {}
    for count in (spec.pieces,) if spec.pieces else range(fewest, MOST_PIECES + 1):
        edges = _edges(plan, around, count)
        faults = dict(_too_much(plan, cut(board, edges)))
        if not faults:
            text = f"{count} pieces side by side need battens over their joints; name a bar of the workshop"
            need(count == 1 or plan.bar is not None, plan.group, "bar", text)
            return board, edges
    key, text = next(iter(faults.items()))
    raise ValueFaultError(("things", plan.group, "pieces" if spec.pieces else key), text)


def _board(plan: Plan) -> Polygon:
    """Return the board that the room leaves, hatch and all."""
    parts = [part for part in shapely.get_parts(plan.across(plan.x)) if part.area > _SPECK]
    there = len(parts) or "no"
    text = f"the room leaves {there} places for a board there; one is wanted: move it, or narrow it by y: or z:"
    need(len(parts) == 1, plan.group, "x", text)
    return parts[0]


def _edges(plan: Plan, bounds: tuple[float, float, float, float], count: int) -> tuple[float, ...]:
    """Return where pieces of equal width meet.

    A joint is moved off a hatch with a lid and what lies behind its edges. An open hatch has one through its middle
    instead, so that it is sawn out of two pieces as notches, and what reaches through it is seen to be free.
    """
    low, _, high, _ = bounds
    edges = [low + (high - low) * i / count for i in range(1, count)]
    hatch, beside = plan.spec.hatch, (plan.bar.section[1] / 2 if plan.bar else 0.0)
    if hatch and hatch.lid == "yes":
        start, end = hatch.y[0] - beside, hatch.y[1] + beside
        edges = [(start if e - start < end - e else end) if start < e < end else e for e in edges]
    elif hatch and edges:
        middle = sum(hatch.y) / 2
        nearest = min(edges, key=lambda e: abs(e - middle))
        edges = [middle if e == nearest else e for e in edges]
    return (low, *sorted({round(edge, 6) for edge in edges if low < edge < high}), high)


def cut(board: Polygon, edges: tuple[float, ...]) -> tuple[Polygon, ...]:
    """Return the board in the pieces between those edges."""
    strips = (shapely.box(a, -FAR, b, FAR) for a, b in pairwise(edges))
    parts = (part for strip in strips for part in shapely.get_parts(board.intersection(strip)))
    return tuple(part for part in parts if part.geom_type == "Polygon" and part.area > _SPECK)


def _too_much(plan: Plan, shapes: tuple[Polygon, ...]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with pieces of these shapes: the key that helps, and a text."""
    number, over = plan.shop.number, plan.oversize
    heaviest = number("lift", "mass") if plan.spec.heaviest is None else plan.spec.heaviest
    long, wide = largest_piece(plan.shop, plan.spec.piece)
    for shape in shapes:
        y0, z0, y1, z1 = shape.bounds
        small, large = sorted((y1 - y0 + over, z1 - z0 + over))
        if large > long or small > wide:
            yield "piece", f"a piece {large:.0f} x {small:.0f} to saw is larger than {long:g} x {wide:g}"
        mass = plan.sheet.mass_kg(shape.area, 1.0)
        if mass > heaviest:
            yield "heaviest", f"a piece has {mass:.1f} kg, more than {heaviest:g}; more pieces, or allow it"
