"""Refusals collected one after another, so that a person hears of all of them at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from layout.errors import ValueFaultError

Refused = list[ValueFaultError]


@contextmanager
def collecting(refused: Refused) -> Iterator[None]:
    """Add a `ValueFaultError` raised inside to `refused`, and go on after it."""
    try:
        yield
    except ValueFaultError as error:
        refused.append(error)
