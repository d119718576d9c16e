"""The people who use the space."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Person:
    """A person: `stature` is the body height without shoes, `sitting` that above the seat (None: unknown), mm."""

    name: str
    stature: float
    sitting: float | None = None
