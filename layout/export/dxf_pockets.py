"""What is cut into the faces of panels: grooves, rebates and housings, found where the pieces of a unit overlap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.building.contacts import CUT_IN, contacts
from layout.building.prism import AXES, HAIR, Box, Prism, of_panel, shared
from layout.drawing.text_width import Box as Flat
from layout.model.panel import Panel
from layout.model.thing import Thing

Face = Literal["low", "high", "edge"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Pocket:
    """A rectangle cut into a panel: its box in the panel's own plane and its depth, mm.

    `face` is the face that it is open to, toward the low or the high end of the third axis; ``edge`` where it is open
    to neither, so that it can be cut from an edge only. `kind` is the joint's: ``groove``, ``rebate`` or ``housing``.
    """

    kind: str
    box: Flat
    depth: float
    face: Face


def pockets(thing: Thing) -> dict[int, tuple[Pocket, ...]]:
    """Return what is cut into each panel of a unit, by the panel's place among its panels.

    A joint with a depth lets one piece reach into another: what the two share is what is cut out of the other.
    """
    places = {id(panel): i for i, panel in enumerate(thing.panels)}
    found: dict[int, list[Pocket]] = {}
    for contact in contacts(thing):
        into = contact.to.made_of
        if contact.joint.kind in CUT_IN and contact.joint.depth > 0 and isinstance(into, Panel):
            box = shared(contact.piece.prism, contact.to.prism)
            if box is not None:
                found.setdefault(places[id(into)], []).append(_pocket(contact.joint.kind, into, box))
    return {place: tuple(made) for place, made in found.items()}


def _pocket(kind: str, panel: Panel, box: Box) -> Pocket:
    u, v, w = (AXES.index(axis) for axis in (panel.along, panel.across, panel.through))
    prism = of_panel(panel)
    flat = (box[u][0] - panel.at[u], box[v][0] - panel.at[v], box[u][1] - panel.at[u], box[v][1] - panel.at[v])
    return Pocket(kind=kind, box=flat, depth=box[w][1] - box[w][0], face=_face(prism, box[w]))


def _face(prism: Prism, span: tuple[float, float]) -> Face:
    if abs(span[1] - prism.high) <= HAIR:
        return "high"
    return "low" if abs(span[0] - prism.low) <= HAIR else "edge"


def seen_face(panel: Panel) -> Literal["low", "high"]:
    """Return the face that is toward whoever sees the panel with its length to the right and its width up.

    That is the high one where length, width and the third axis follow each other as x, y and z do.
    """
    turning = AXES.index(panel.across) - AXES.index(panel.along)
    return "high" if turning % 3 == 1 else "low"
