"""Whether a built unit can be carried into the empty room in one piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Literal

from layout.space.carry_body import Unit
from layout.space.carry_pose import POSES, TIPS, Pose, Sizes, posed, tip_height
from layout.space.carry_room import OpenRoom
from layout.space.carry_search import Search
from layout.space.parts import Door
from layout.space.space import TOUCH

#: Degrees: most units come in without any turn, which the first search tells; the second tells what is tight.
STEPS = (3.0, 1.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Squeeze:
    """An opening as it meets a box: the tighter of its width and height, and what the box wants of it, mm."""

    door: Door
    word: Literal["wide", "high"]
    measured: float
    wanted: float


def stands(room: OpenRoom, unit: Unit) -> bool:
    """Return whether the unit is free at its place: exact."""
    return Search(room=room, unit=unit, step=STEPS[0]).start() is not None


def goes_in(room: OpenRoom, unit: Unit, steps: Sequence[float] = STEPS) -> bool:
    """Return whether a way is found by which the whole unit comes from the yard to its place.

    Parameters
    ----------
    room
        The empty room with its doors open.
    unit
        The unit at its place.
    steps
        How far it is turned at once in a search, degrees: smaller finds tighter turns, and takes longer. One search
        after the other, until one finds a way.

    Returns
    -------
    bool
        True only when a way was found. A wider or higher opening, and a smaller unit about the same middle, never
        make a way disappear.
    """
    if not may_stand_up(room, unit.sizes):
        return False
    return any(Search(room=room, unit=unit, step=step).found() for step in steps)


def fitting_poses(room: OpenRoom, sizes: Sizes) -> dict[Pose, tuple[Door, ...]]:
    """Return, by pose, the doors whose opening takes a box of `sizes` carried level: exact."""
    return {pose: tuple(door for door in room.doors if _fits(room, door, posed(sizes, pose))) for pose in POSES}


def tightest(room: OpenRoom, sizes: Sizes) -> Squeeze:
    """Return the opening, pose and measure by which a box of `sizes` comes nearest to passing, or passes best: exact.

    Raises
    ------
    ValueError
        When the room has no door.
    """
    squeezes = [_squeeze(room, door, posed(sizes, pose)) for pose in POSES for door in room.doors]
    return min(squeezes, key=lambda squeeze: squeeze.wanted - squeeze.measured)


def may_stand_up(room: OpenRoom, sizes: Sizes) -> bool:
    """Return whether a box of `sizes` passes an opening in a pose from which the highest roof lets it be stood up.

    False is exact for what is carried level: there is no way then.
    """
    return height_to_stand_up(room, sizes) <= room.space.height + 2 * TOUCH


def height_to_stand_up(room: OpenRoom, sizes: Sizes) -> float:
    """Return the least height, mm, in which a box is stood up from a pose that passes an opening: exact.

    In the course of a tip it is as high as the diagonal of the side that turns; by way of the third pose there are
    two tips, of which the higher counts. Infinite where no pose passes.
    """
    known = {pose for pose, doors in fitting_poses(room, sizes).items() if doors}
    if "upright" in known:
        return sizes[2]
    end, side, between = (tip_height(sizes, tip) for tip in TIPS)
    least = {"on end": min(end, max(between, side)), "on its side": min(side, max(between, end))}
    return min((least[pose] for pose in known), default=inf)


def _fits(room: OpenRoom, door: Door, sizes: Sizes) -> bool:
    squeeze = _squeeze(room, door, sizes)
    return squeeze.wanted <= squeeze.measured + 2 * TOUCH


def _squeeze(room: OpenRoom, door: Door, sizes: Sizes) -> Squeeze:
    across, up, high = min(sizes[:2]), sizes[2], room.top(door) - door.sill
    if across - door.width >= up - high:
        return Squeeze(door=door, word="wide", measured=door.width, wanted=across)
    return Squeeze(door=door, word="high", measured=high, wanted=up)
