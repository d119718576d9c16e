"""The people who use the space."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Person:
    """A person by name; `stature` is the body height without shoes, mm."""

    name: str
    stature: float
