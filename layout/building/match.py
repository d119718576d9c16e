"""Who gets what: a matching that serves as many as can be, the most worthy first."""

from __future__ import annotations

from collections.abc import Sequence


def matched(wishes: Sequence[Sequence[int]]) -> tuple[int | None, ...]:
    """Return, for each wisher in turn, which of the things that it could use it gets; None for nothing.

    `wishes` names for each wisher, the most worthy first, the things that would do, the best first. A wisher is served
    if those before it can all be served too, some by another thing (augmenting paths); so no set of wishers is worth
    more, in whatever way worth falls along their order, and as many are served as can be. The same wishes give the
    same matching.
    """
    owner: dict[int, int] = {}
    for wisher in range(len(wishes)):
        _serve(wisher, wishes, owner)
    gets = {wisher: thing for thing, wisher in owner.items()}
    return tuple(gets.get(wisher) for wisher in range(len(wishes)))


def _serve(wisher: int, wishes: Sequence[Sequence[int]], owner: dict[int, int]) -> None:
    """Give a wisher a thing if one is free at the end of a chain of changes, without recursion: chains may be long."""
    came: dict[int, int] = {}
    open_ = [wisher]
    for here in open_:
        for thing in wishes[here]:
            if thing not in came:
                came[thing] = here
                if thing not in owner:
                    _change(thing, came, wishes, owner)
                    return
                open_.append(owner[thing])


def _change(free: int, came: dict[int, int], wishes: Sequence[Sequence[int]], owner: dict[int, int]) -> None:
    """Hand things on along the chain that ends in a free one."""
    had = {wisher: thing for thing, wisher in owner.items()}
    thing: int | None = free
    while thing is not None:
        wisher = came[thing]
        before = had.get(wisher)
        owner[thing] = wisher
        thing = before
