"""Words that several rules use."""

from __future__ import annotations

from collections.abc import Iterable

from layout.checks.context import Context
from layout.model.cure import Shift3


def listed(names: Iterable[str]) -> str:
    """Return names in words."""
    *most, last = list(names) or [""]
    return f"{', '.join(most)} and {last}" if most else last


def move_in_words(context: Context, name: str, shift: Shift3) -> str:
    """Return a level move along one axis as it is told."""
    dx, dy, _ = shift
    word = ("forward" if dx > 0 else "back") if dx else ("left" if dy > 0 else "right")
    return f"move {name} {context.say(abs(dx or dy))} {word}"
