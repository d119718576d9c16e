"""What a check says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.cure import Cure
from layout.model.solid import Solid

Severity = Literal["fail", "warn", "note"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """One thing that a rule has to say about a layout.

    `rule` is the rule's name; `things` and `states` those concerned; `measured` and `wanted` in mm (None
    where the rule measures nothing) and `short_by` how much is missing, never negative; `where` is the
    volume concerned, so that it can be drawn; `line` is a way or a narrow place to draw (x, y, z; mm). `text`
    says what is so, `cure` the smallest change that helps, `does` the same as numbers, where it is one that can be
    carried out. `accepted` is the owner's reason to live with it.
    """

    rule: str
    severity: Severity
    things: tuple[str, ...]
    states: tuple[str, ...]
    text: str
    cure: str = ""
    measured: float | None = None
    wanted: float | None = None
    short_by: float | None = None
    where: Solid | None = None
    line: tuple[tuple[float, float, float], ...] = ()
    does: Cure | None = None
    accepted: str = ""
