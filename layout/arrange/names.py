"""Arrangements named by what they are: where the big things stand that stand elsewhere in another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layout.arrange.features import Words
from layout.arrange.several import Several
from layout.model.layout import Layout, Placed


def names_of(found: Several) -> tuple[str, ...]:
    """Return a name for each arrangement, no two alike: 'bed across, bike 1 left, bike 2 under bed'."""
    said = [_with_under(a.layout, words) for a, words in zip(found.arrangements, found.said, strict=True)]
    names = [_name(one, said) for one in said]
    return tuple(name if names.count(name) == 1 else f"{name} ({i + 1})" for i, name in enumerate(names))


def _name(one: Mapping[str, Words], all_said: Sequence[Mapping[str, Words]]) -> str:
    parts: dict[str, list[str]] = {}
    for stand, words in one.items():
        others = [set(said.get(stand, ())) for said in all_said]
        differ = [word for word in words if not all(word in other for other in others)]
        told = differ or (list(words[:1]) if len(all_said) == 1 else [])
        if told:
            parts.setdefault(" ".join(told), []).append(stand)
    if not parts:
        parts = {" ".join(words): [stand] for stand, words in list(one.items())[:1]}
    return ", ".join(f"{' and '.join(stands)} {words}" for words, stands in parts.items()) or "as it stands"


def _with_under(layout: Layout, said: Mapping[str, Words]) -> dict[str, Words]:
    """Return the words with, for what is under a bed or another big thing, that instead of its side and end."""
    found: dict[str, Words] = {}
    things = next(iter(layout.placed.values()))
    for stand, words in said.items():
        under = [other for other in said if other != stand and _is_under(things, stand, other)]
        lies = words[:1] if words[0] in ("along", "across", "square") else ()
        found[stand] = (*lies, f"under {under[0]}") if under else words
    return found


def _is_under(things: Sequence[Placed], name: str, other: str) -> bool:
    mine = [p for p in things if p.name == name]
    theirs = [p for p in things if p.name == other]
    return any(_covers(q, p) for p in mine for q in theirs)


def _covers(upper: Placed, lower: Placed) -> bool:
    """Return whether most of the lower thing is below the upper one's top, within its outline."""
    ax0, ay0, ax1, ay1 = upper.box.bounds
    bx0, by0, bx1, by1 = lower.box.bounds
    dx, dy = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
    most = dx > 0 and dy > 0 and dx * dy > (bx1 - bx0) * (by1 - by0) / 2
    return most and lower.box.z1 <= upper.box.z1 and lower.box.z0 < upper.box.z1
