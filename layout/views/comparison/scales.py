"""The scale of pictures that stand side by side: finer steps than those of plans."""

from __future__ import annotations

from collections.abc import Callable

from layout.errors import ScaleError

# Those of ISO 5455 with steps between, which are common practice, no source.
STEPS = (10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 75, 80, 90, 100, 125, 150, 200, 250, 300, 400, 500)


def largest(fits: Callable[[int], bool]) -> int:
    """Return the n of the largest scale 1:n at which all fits.

    Raises
    ------
    ScaleError
        When nothing does.
    """
    for scale in STEPS:
        if fits(scale):
            return scale
    raise ScaleError("the comparison does not fit on this paper; take a larger one")
