"""How hard the search for a plan of cuts tries."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """How hard to search: the same `seed` and `level` give the same plan, unless `seconds` ends the search.

    `tell` is called now and then with what is being done, for a line of progress.
    """

    seed: int = 1
    level: Literal["quick", "normal", "long"] = "normal"
    seconds: float | None = None
    tell: Callable[[str], None] | None = None
