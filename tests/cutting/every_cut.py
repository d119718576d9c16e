"""The oracle of small jobs: try every edge-to-edge cut there is."""

from __future__ import annotations

from functools import cache


@cache
def frees(length: int, width: int, pieces: tuple[tuple[int, int, bool], ...], kerf: int) -> bool:
    """Return whether edge-to-edge cuts free all pieces (length, width, may turn), by trying every cut."""
    if len(pieces) == 1:
        a, b, turns = pieces[0]
        return (a <= length and b <= width) or (turns and b <= length and a <= width)
    for chosen in range(1, 2 ** len(pieces) - 1):
        one = tuple(piece for i, piece in enumerate(pieces) if chosen >> i & 1)
        two = tuple(piece for i, piece in enumerate(pieces) if not chosen >> i & 1)
        for at in range(1, length - kerf):
            if frees(at, width, one, kerf) and frees(length - at - kerf, width, two, kerf):
                return True
        for at in range(1, width - kerf):
            if frees(length, at, one, kerf) and frees(length, width - at - kerf, two, kerf):
                return True
    return False
