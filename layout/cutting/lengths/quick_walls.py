"""Points for pieces that need no solver: their lengths, and the known step functions of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from layout.cutting.lengths.fill import best_by_states
from layout.cutting.lengths.proof import Wall
from layout.cutting.lengths.values import Counts, Question

_THRESHOLDS = 40
_STEPS = 8
_STATES = 2_000


def length_wall(asked: Question) -> Wall:
    """Return the points that are the lengths themselves: no bar holds more than its room."""
    rooms = tuple(size.room for size in asked.sizes)
    return Wall(worth=tuple(kind.weight for kind in asked.kinds), most=rooms, reason="lengths")


def quick_walls(asked: Question) -> tuple[Wall, ...]:
    """Return the lengths, the lengths as they really add up, and the two best step functions."""
    lengths = length_wall(asked)
    filled = _wall(asked, lengths.worth, "sums")
    steps = sorted(_steps(asked), key=lambda step: _bars(asked, *step), reverse=True)[:2]
    walls = [_wall(asked, worth, "steps") for worth, _ in steps]
    return (lengths, *_too_long(asked), *(wall for wall in (filled, *walls) if wall is not None))


def _too_long(asked: Question) -> tuple[Wall, ...]:
    """Return a point for each piece that no bar on hand holds, if there is any: all of them are missing."""
    room = max(size.room for size in asked.sizes)
    worth = tuple(int(kind.weight > room) for kind in asked.kinds)
    return (Wall(worth=worth, most=(0,) * len(asked.sizes), reason="too long"),) if any(worth) else ()


def _wall(asked: Question, worth: Counts, reason: str) -> Wall | None:
    found = [best_by_states(asked, worth, size.room, _STATES) for size in asked.sizes]
    most = tuple(filling[0] for filling in found if filling is not None)
    return Wall(worth=worth, most=most, reason=reason) if len(most) == len(found) else None


def _steps(asked: Question) -> Iterator[tuple[Counts, int]]:
    """Yield points by dual feasible functions for the longest bar, and what that bar then holds at most.

    The two classical families (Fekete and Schepers, New classes of fast lower bounds for bin packing problems,
    Mathematical Programming 91, 2001): raise what is longer than the room less a threshold to the whole room and
    drop what is shorter than the threshold; or count in k + 1 equal steps.
    """
    room = max(size.room for size in asked.sizes)
    weights = [kind.weight for kind in asked.kinds]
    halves = [weight for weight in weights if 2 * weight <= room]
    for threshold in (*halves[:_THRESHOLDS], room // 2):
        yield tuple(_raised(weight, threshold, room) for weight in weights), room
    for steps in range(1, _STEPS + 1):
        yield tuple(_stepped(weight, steps, room) for weight in weights), steps * room


def _raised(weight: int, threshold: int, room: int) -> int:
    if weight > room - threshold:
        return room
    return weight if weight >= threshold else 0


def _stepped(weight: int, steps: int, room: int) -> int:
    whole, rest = divmod((steps + 1) * weight, room)
    return weight * steps if rest == 0 else whole * room


def _bars(asked: Question, worth: Iterable[int], most: int) -> float:
    return sum(each * count for each, count in zip(worth, asked.wanted, strict=True)) / most
