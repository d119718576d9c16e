"""People where they stand, sit and lie, as outlines to scale in plan, elevation and section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin
from typing import Literal

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from layout.drawing.labels import Labels
from layout.drawing.lines import line
from layout.drawing.model import NARROW, Mark, Pen
from layout.model.layout import Placed
from layout.model.person import Person
from layout.model.solid import Point, outer_box
from layout.model.spot import Posture, Spot
from layout.views import people_figure as figures
from layout.views.figure import Window
from layout.views.people_figure import Body, Outline, moved

LAYER = "people"
Axis = Literal["x", "y", "z"]
# Wider than the narrow lines of what stands there, so that a body is told from boxes at arm's length.
PEN = Pen(width=0.25)
_LIMB = 65.0  # mm: limbs are thinner than twice this


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """A person in a place: the soles, the seat or the heels are at `at` (x, y, z; mm).

    `toward` is where somebody looks who stands or sits, and where the crown lies of somebody who lies, as a vector
    in plan of length 1. `drop` is how far the floor is below the seat, mm.
    """

    name: str
    does: Posture
    at: tuple[float, float, float]
    toward: Point
    body: Body
    drop: float = 0.0

    def seen(self, axis: Axis, look: int = 1) -> Outline:
        """Return the outline seen along an axis: in (x, y) along z, in (x, z) along y, in (y, z) along x; mm.

        `look` tells whether one looks toward the higher (1) or the lower values (-1) of the axis. Who is turned by
        other than quarters is drawn as from the nearest of side and front, but in plan as turned.
        """
        x, y, z = self.at
        if axis == "z":
            angle = degrees(atan2(self.toward[1], self.toward[0]))
            return tuple(translate(rotate(part, angle, origin=(0, 0)), x, y) for part in self._above())
        along = self.toward[0] if axis == "y" else self.toward[1]
        at = x if axis == "y" else y
        from_side = abs(along) >= _HALF
        away = (self.toward[0] if axis == "x" else self.toward[1]) * look > 0
        return moved(self._side() if from_side else self._front(away), at, z, mirrored=from_side and along < 0)

    def span(self, axis: Axis) -> tuple[float, float]:
        """Return from where to where the body reaches along an axis, mm."""
        across: Axis = "z" if axis != "z" else "x"
        x0, y0, x1, y1 = self.seen(across)[0].bounds
        return {"x": (x0, x1), "y": (y0, y1), "z": (y0, y1)}[axis]

    def _above(self) -> Outline:
        if self.does == "lie":
            return figures.lying_above(self.body)
        if self.does == "sit":
            return figures.sitting_above(self.body, self.drop)
        return figures.standing_above(self.body)

    def _side(self) -> Outline:
        if self.does == "lie":
            return figures.lying_side(self.body)
        return figures.sitting_side(self.body, self.drop) if self.does == "sit" else figures.standing_side(self.body)

    def _front(self, away: bool) -> Outline:
        if self.does == "lie":
            return figures.lying_end(self.body, feet_first=away)
        return figures.sitting_front(self.body, self.drop) if self.does == "sit" else figures.standing_front(self.body)


_HALF = 0.5**0.5 - 1e-9


def body_of(person: Person, shares: Mapping[str, float]) -> Body:
    """Return the body of a person; a sitting height that was not measured is the table's share of the stature."""
    sitting = person.sitting if person.sitting is not None else person.stature * shares["sitting"]
    return Body(stature=person.stature, sitting=sitting, shares=shares)


def in_spot(
    spot: Spot, person: Person, shares: Mapping[str, float], *, foot: float, ground: float, toward: Point
) -> Figure:
    """Return a person in a spot; `foot` is the height stood, sat or lain on, `ground` that of the floor, mm."""
    body = body_of(person, shares)
    x, y = spot.at
    if spot.does == "lie":
        x, y = x - toward[0] * body.stature / 2, y - toward[1] * body.stature / 2
    return Figure(name=person.name, does=spot.does, at=(x, y, foot), toward=toward, body=body, drop=foot - ground)


def on_mattress(
    placed: Placed, people: Sequence[Person], shares: Mapping[str, float], *, reverse: bool = False
) -> tuple[Figure, ...]:
    """Return the people who lie on a mattress, side by side in equal shares of its width, midway along it.

    Their crowns are toward the end that the mattress calls front, or with `reverse` the other.
    """
    x0, y0, x1, y1 = outer_box(tuple(solid.turned(-placed.turn_deg) for solid in placed.solids)).bounds
    turn = radians(placed.turn_deg)
    c, s = cos(turn), sin(turn)
    way = -1.0 if reverse else 1.0
    share = (y1 - y0) / len(people) if people else 0.0
    found = []
    for i, person in enumerate(people):
        heels = (x0 + x1) / 2 - way * person.stature / 2
        across = y0 + (i + 0.5) * share
        at = (heels * c - across * s, heels * s + across * c, placed.box.z1)
        found.append(
            Figure(name=person.name, does="lie", at=at, toward=(way * c, way * s), body=body_of(person, shares))
        )
    return tuple(found)


def people_marks(
    people: Sequence[Figure], axis: Axis, window: Window, labels: Labels | None = None, look: int = 1
) -> tuple[Mark, ...]:
    """Return the outlines of people over what is drawn there, not filled; `labels` are given their names.

    `look` tells which way along the axis one looks, as in `Figure.seen`.
    """
    marks: list[Mark] = []
    for person in people:
        outline = person.seen(axis, look)
        marks += body_marks(outline, outline[0], window, person.name)
        if labels is not None:
            labels.name(person.name, window.box(trunk(outline[0]).bounds), id=person.name)
    return tuple(marks)


def trunk(body: BaseGeometry) -> BaseGeometry:
    """Return where on the outline of a person there is room for a name: what remains without limbs and head."""
    parts = [part for part in shapely.get_parts(body.buffer(-_LIMB)) if not part.is_empty]
    return max(parts, key=lambda part: (part.area, part.bounds)).envelope.buffer(_LIMB / 2) if parts else body


def body_marks(outline: Outline, visible: BaseGeometry, window: Window, name: str) -> tuple[Mark, ...]:
    """Return what is visible of a body: its border, and the lines within it."""
    rings = [visible.boundary, *(part.boundary.intersection(visible) for part in outline[1:])]
    return tuple(
        line(LAYER, *window.ring(piece.coords), pen=PEN if i == 0 else Pen(width=NARROW), id=name)
        for i, ring in enumerate(rings)
        for piece in lines_of(ring)
    )


def lines_of(shape: BaseGeometry) -> list[LineString]:
    """Return the lines of a shape, those that follow each other as one."""
    parts = [p for p in shapely.get_parts(shape) if p.geom_type in ("LineString", "LinearRing") and not p.is_empty]
    merged = shapely.line_merge(shapely.MultiLineString([LineString(part) for part in parts])) if parts else shape
    return [part for part in shapely.get_parts(merged) if part.geom_type == "LineString" and part.length > 0]
