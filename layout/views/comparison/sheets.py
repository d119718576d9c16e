"""All sheets of a comparison, seen from one corner."""

from __future__ import annotations

from dataclasses import replace

from layout.drawing.model import Drawing
from layout.views.axonometric.picture import best_side
from layout.views.comparison.large import large_sheets
from layout.views.comparison.overview import overview_sheets
from layout.views.comparison.values import Comparison
from layout.views.options import ViewOptions


def comparison_sheets(comparison: Comparison, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the sheet that shows all at once, then those that show two or three of them large.

    Raises
    ------
    ScaleError
        When the paper is too small.
    """
    camera = best_side(comparison.space, [column.scenes[0].placed for column in comparison.columns])
    options = replace(options, scale=None)
    return (*overview_sheets(comparison, camera, options), *large_sheets(comparison, camera, options))
