"""The referee of one sheet: judges an answer by its own reckoning; shares no code with what finds answers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from layout.cutting.one_sheet.values import SheetAnswer, ValuedPiece
from layout.cutting.values import Laid
from layout.errors import RefereeError

_Box = tuple[int, int, int, int]


def require_answer(pieces: Sequence[ValuedPiece], length: int, width: int, answer: SheetAnswer, kerf: int = 0) -> None:
    """Do nothing when the answer keeps every rule.

    Raises
    ------
    RefereeError
        Otherwise, with every broken rule.
    """
    broken = answer_faults(pieces, length, width, answer, kerf)
    if broken:
        raise RefereeError("the sheet breaks its own rules:\n" + "\n".join(broken))


def answer_faults(
    pieces: Sequence[ValuedPiece], length: int, width: int, answer: SheetAnswer, kerf: int = 0
) -> tuple[str, ...]:
    """Return a sentence for every rule that an answer breaks; `kerf` ticks must be free for the blade at each cut.

    The rules: every piece is known, lies in one of its ways, is inside the sheet and no more often there than it
    may be; edge-to-edge cuts free all pieces, a kerf apart; the value is their sum, at most the bound, and equal
    to it when proven.
    """
    return tuple(_faults(pieces, (length, width), answer, kerf))


def _faults(pieces: Sequence[ValuedPiece], sheet: tuple[int, int], answer: SheetAnswer, kerf: int) -> Iterator[str]:
    known = {piece.name: piece for piece in pieces}
    for laid in answer.laid:
        yield from _place(known.get(laid.name), laid, sheet)
    for name, times in Counter(laid.name for laid in answer.laid).items():
        most = known[name].count if name in known else None
        if most is not None and times > most:
            yield f"piece {name!r} is cut {times} times, but at most {most} may be"
    yield from _cuts([_box(laid) for laid in answer.laid], kerf)
    yield from _worth(known, answer)


def _place(piece: ValuedPiece | None, laid: Laid, sheet: tuple[int, int]) -> Iterator[str]:
    """Check one piece by itself: that it is asked for, lies in an allowed way, and is on the sheet."""
    x, y, right, top = _box(laid)
    where = f"piece {laid.name!r} at {laid.x}, {laid.y}"
    if piece is None:
        yield f"{where} was not asked for"
    elif laid.way not in piece.ways:
        yield f"{where} lies {laid.way.length} × {laid.way.width}, which it may not"
    if x < 0 or y < 0 or right > sheet[0] or top > sheet[1]:
        yield f"{where} is not on the sheet"


def _worth(known: dict[str, ValuedPiece], answer: SheetAnswer) -> Iterator[str]:
    total = sum(known[laid.name].value for laid in answer.laid if laid.name in known)
    if total != answer.value:
        yield f"the pieces are worth {total}, the answer says {answer.value}"
    if answer.bound < answer.value:
        yield f"the bound is {answer.bound}, but {answer.value} was reached"
    if answer.proven and answer.bound != answer.value:
        yield f"called proven, but the value is {answer.value} and the bound {answer.bound}"


def _cuts(boxes: list[_Box], kerf: int) -> Iterator[str]:
    """Check overlaps pair by pair, and then whether straight cuts free every piece."""
    for i, one in enumerate(boxes):
        for other in boxes[:i]:
            if _overlap(one, other, kerf):
                yield f"the pieces at {one[:2]} and {other[:2]} are less than the kerf apart"
    waiting = [boxes]
    while waiting:
        group = waiting.pop()
        if len(group) < 2:  # noqa: PLR2004 - one piece alone needs no cut
            continue
        halves = _halves(group, 0, kerf) or _halves(group, 1, kerf)
        if halves is None:
            yield f"no cut from edge to edge frees the {len(group)} pieces around {min(group)[:2]}"
            return
        waiting += halves


def _overlap(one: _Box, other: _Box, kerf: int) -> bool:
    beside = one[2] + kerf <= other[0] or other[2] + kerf <= one[0]
    above = one[3] + kerf <= other[1] or other[3] + kerf <= one[1]
    return not beside and not above


def _halves(group: list[_Box], axis: int, kerf: int) -> tuple[list[_Box], list[_Box]] | None:
    """Return the pieces on both sides of a straight line that crosses none of them; None without such a line.

    Any such line will do: pieces that some cuts free can still be freed after another cut that crosses none.
    """
    for line in sorted({box[axis + 2] for box in group}):
        low = [box for box in group if box[axis + 2] <= line]
        high = [box for box in group if box[axis] >= line + kerf]
        if high and len(low) + len(high) == len(group):
            return low, high
    return None


def _box(laid: Laid) -> _Box:
    return laid.x, laid.y, laid.x + laid.way.length, laid.y + laid.way.width
