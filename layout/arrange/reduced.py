"""A question without some of its things, and without what is said of them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from layout.arrange.ask import Ask, Sizes
from layout.model.thing import Thing


def left_without(ask: Ask, gone: Collection[str]) -> Ask:
    """Return the question without the things of those names, and without what stands by way of them."""
    out = {t.name for t in ask.things if t.name in gone or t.group in gone}
    while True:
        rest = tuple(t for t in ask.things if t.name not in out)
        kept = {name for t in rest for name in (t.name, t.group)}
        lost = {k for k, p in ask.arrangement.items() if any(name not in kept for _, name in p.neighbours)}
        more = {t.name for t in rest if t.name in lost or t.group in lost}
        if not more:
            break
        out |= more
    doors = {d.name for d in ask.space.doors}
    return replace(
        ask, things=rest, remake=_remade(ask, out),
        arrangement={k: p for k, p in ask.arrangement.items() if k in kept},
        free={k: f for k, f in ask.free.items() if k in kept},
        wishes=replace(
            ask.wishes, near=_among(ask.wishes.near, kept, doors), apart=_among(ask.wishes.apart, kept, doors)
        ),
    )  # fmt: skip


def _remade(ask: Ask, gone: Collection[str]) -> Callable[[Sizes], tuple[Thing, ...]] | None:
    remake = ask.remake
    if remake is None:
        return None
    return lambda sizes: tuple(t for t in remake(sizes) if t.name not in gone)


def _among(
    pairs: Sequence[tuple[str, str]], kept: Collection[str], doors: Collection[str]
) -> tuple[tuple[str, str], ...]:
    return tuple((a, b) for a, b in pairs if a in kept and (b in kept or b in doors))
