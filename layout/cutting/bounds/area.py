"""Points by area: a piece is worth the area that it takes with its kerf."""

from __future__ import annotations

import math
from collections.abc import Sequence

from layout.cutting.bounds.points import Points
from layout.cutting.values import Kind, Opening


def area_points(kinds: Sequence[Kind], openings: Sequence[Opening], kerf: int) -> Points:
    """Return the areas as points.

    Two pieces of a blank lie on the two sides of some cut, a full kerf apart. So with the kerf added to the
    high edges of every piece and of the blank the pieces still do not overlap, and areas can be summed.
    """
    pieces = [(kind.ways[0].length + kerf) * (kind.ways[0].width + kerf) for kind in kinds]
    rooms: dict[int, int] = {}
    for opening in openings:
        blanks = [(max(0, b.length + kerf), max(0, b.width + kerf)) for b in opening.blanks]
        room = sum(length * width for length, width in blanks)
        rooms[id(opening.stock)] = max(rooms.get(id(opening.stock), 0), room)
    # A common divisor of the pieces divides what they take of a sheet, so a room may be rounded down to it.
    unit = math.gcd(*pieces)
    return Points(
        by_kind=tuple(area // unit for area in pieces),
        room=tuple(room // unit for room in rooms.values()),
        wanted=sum(area // unit * kind.count for area, kind in zip(pieces, kinds, strict=True)),
    )
