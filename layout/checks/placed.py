"""Rule ``placed``: everything has its place."""

from __future__ import annotations

from collections.abc import Iterator

from layout.checks.context import Context
from layout.model.finding import Finding


def check(context: Context) -> Iterator[Finding]:
    """Yield a warning for each thing that stands nowhere in any state."""
    for name in context.layout.unplaced:
        yield Finding(
            rule="placed", severity="warn", things=(name,), states=(),
            text=f"{name} has no place yet; no check and no drawing knows it",
            cure=f"give it a line under arrangement: {name}: {{rear: 0, left: wall}}",
        )  # fmt: skip
