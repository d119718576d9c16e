"""What a plan says of plans that cost less: the points that rule them out, and the same in plain words."""

from __future__ import annotations

from layout.cutting.grid import TICKS_PER_MM
from layout.cutting.quick import Question
from layout.cutting.solve import Solution
from layout.model.cutting import Proof

_SQUARE_METRE = (1000 * TICKS_PER_MM) ** 2


def proofs_of(question: Question, solution: Solution) -> tuple[Proof, ...]:
    """Return the points behind the bound, by the names of parts and stocks."""
    return tuple(
        Proof(
            points=tuple((kind.name, n) for kind, n in zip(question.kinds, points.by_kind, strict=True) if n),
            room=tuple((stock.name, n) for stock, n in zip(solution.prices.stocks, points.room, strict=True)),
            counted=tuple(question.kinds[k].name for k in points.limited),
        )
        for points in solution.points
    )


def why(question: Question, solution: Solution) -> str:
    """Return why no plan goes below the bound, as a clause that can follow 'because'."""
    if solution.rests_on == "sets":
        return "every set of parts that a sheet can yield was tried, and no choice of them is cheaper"
    if not solution.points:
        return "something has to be cut"
    kerf = question.room_kerf
    pieces = sum((k.ways[0].length + kerf) * (k.ways[0].width + kerf) * k.count for k in question.kinds)
    by_area = _is_area(question, solution)
    if by_area:
        return f"the pieces with their kerfs take {pieces / _SQUARE_METRE:.2f} m² of sheet"
    room = "counting for every part also the room that it makes useless to all others"
    if len(solution.prices.stocks) > 1 or len(solution.points) > 1:
        return f"{room}, no cheaper choice of sheets has enough"
    points = solution.points[0]
    full = (points.wanted - 1) // max(1, points.room[0])
    return f"{room}, the parts take more than {full} {'sheet' if full == 1 else 'sheets'}"


def _is_area(question: Question, solution: Solution) -> bool:
    """Return whether the points are in proportion to the areas."""
    kerf, points = question.room_kerf, solution.points[0]
    areas = [(k.ways[0].length + kerf) * (k.ways[0].width + kerf) for k in question.kinds]
    return len(solution.points) == 1 and all(
        n * areas[0] == points.by_kind[0] * area for n, area in zip(points.by_kind, areas, strict=True)
    )
