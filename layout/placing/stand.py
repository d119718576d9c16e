"""One thing, or a grid of equal ones, to coordinates."""

from __future__ import annotations

from collections.abc import Callable

from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box
from layout.model.thing import Thing
from layout.placing.position import Position
from layout.space.slide import against_wall
from layout.space.space import Space
from layout.space.walls import interpolate

Find = Callable[[str], Solid]


def stand(space: Space, things: tuple[Thing, ...], position: Position, find: Find) -> tuple[Placed, ...]:
    """Return `things`, equal ones, where `position` puts them; `find` gives the outer box of a neighbour."""
    offsets = _offsets(things, position)
    turned = [tuple(solid.turned(position.turn) for solid in thing.solids) for thing in things]
    spread = [tuple(solid.moved(*offset) for solid in solids) for solids, offset in zip(turned, offsets, strict=True)]
    shift = _shift(space, tuple(solid for solids in spread for solid in solids), position, find)
    return tuple(
        placed(thing, tuple(solid.moved(*shift) for solid in solids), position.turn)
        for thing, solids in zip(things, spread, strict=True)
    )


def placed(thing: Thing, solids: tuple[Solid, ...], turn_deg: float) -> Placed:
    """Return the thing with its solids in the axes of the space."""
    return Placed(thing=thing, solids=solids, box=outer_box(solids, thing.name), turn_deg=turn_deg)


def _offsets(things: tuple[Thing, ...], position: Position) -> list[tuple[float, float, float]]:
    along, across, up = position.grid or (1, 1, 1)
    x0, y0, x1, y1 = outer_box(tuple(s.turned(position.turn) for s in things[0].solids)).bounds
    dx, dy = x1 - x0 + position.gap, y1 - y0 + position.gap
    dz = things[0].stack_step or things[0].box.z1
    cells = [(i * dx, j * dy, k * dz) for k in range(up) for i in range(along) for j in range(across)]
    return cells[: len(things)]


def _shift(space: Space, solids: tuple[Solid, ...], position: Position, find: Find) -> tuple[float, float, float]:
    box = outer_box(solids)
    if position.at is not None:
        x, y, z = position.at
        return x - box.bounds[0], y - _middle(box), z - box.z0
    # What hangs by its own description, as a bed on wall rails, keeps its height; all else begins at 0.
    dz = find(position.carrier).z1 - box.z0 if position.carrier else 0.0
    dx = _along(space, box.moved(0.0, 0.0, dz), position, find)
    lifted = tuple(solid.moved(dx, 0.0, dz) for solid in solids)
    return dx, _across(space, lifted, position, find), dz


def _along(space: Space, box: Solid, position: Position, find: Find) -> float:
    x0, _, x1, _ = box.bounds
    heights = space.bends(box.z0, box.z1)
    floor_xs = [x for x, _ in space.outline]
    if position.rear is not None:
        start = max((interpolate(space.rear, z) for z in heights), default=0.0) if space.rear else min(floor_xs)
        return start + position.rear - x0
    if position.front is not None:
        end = min((interpolate(space.front, z) for z in heights), default=0.0) if space.front else max(floor_xs)
        return end - position.front - x1
    if position.in_front_of:
        return find(position.in_front_of).bounds[2] + position.gap - x0
    if position.behind:
        return find(position.behind).bounds[0] - position.gap - x1
    return find(position.beside or position.carrier or "").bounds[0] - x0


def _across(space: Space, solids: tuple[Solid, ...], position: Position, find: Find) -> float:
    box = outer_box(solids)
    _, y0, _, y1 = box.bounds
    if position.left is not None:
        return against_wall(space, solids, left=True) - position.left
    if position.right is not None:
        return against_wall(space, solids, left=False) + position.right
    if position.centre is not None:
        return position.centre - _middle(box)
    if position.beside:
        _, n0, _, n1 = find(position.beside).bounds
        return n1 + position.gap - y0 if position.side == "left" else n0 - position.gap - y1
    return _middle(find(position.in_front_of or position.behind or position.carrier or "")) - _middle(box)


def _middle(box: Solid) -> float:
    return (box.bounds[1] + box.bounds[3]) / 2
