"""Findings that the owner lives with."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Accept:
    """A rule's finding about `things` (none: about any) in `states` (none: any), and the owner's reason."""

    rule: str
    reason: str
    things: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
