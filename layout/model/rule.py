"""Rules: the numbers that checks hold, each with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleNumber:
    """A number of a rule: a length in mm (`is_length`) or a plain number; what it means; where it is from."""

    value: float
    is_length: bool
    meaning: str
    source: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Rule:
    """A rule: what it checks, why, its numbers, an example that fails and one that passes."""

    name: str
    title: str
    why: str
    fails: str
    passes: str
    numbers: Mapping[str, RuleNumber]

    def __getitem__(self, number: str) -> float:
        """Return the value of the number called `number`."""
        return self.numbers[number].value
