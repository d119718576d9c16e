"""All sheets of a comparison, seen from one corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layout.drawing.model import Drawing
from layout.model.layout import Placed
from layout.views.axonometric.picture import best_side
from layout.views.comparison.large import large_sheets
from layout.views.comparison.overview import overview_sheets
from layout.views.comparison.pictures import sights_of
from layout.views.comparison.values import Comparison
from layout.views.options import ViewOptions


def comparison_sheets(comparison: Comparison, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the sheet that shows all at once, then those that show two or three of them large.

    Raises
    ------
    ScaleError
        When the paper is too small.
    """
    scenes = {id(column.scenes[0]): column.scenes[0] for column in comparison.columns}
    camera = best_side(comparison.space, [_boxes(scene.placed) for scene in scenes.values()])
    options, sights = replace(options, scale=None), sights_of(comparison, camera)
    return (*overview_sheets(comparison, sights, options), *large_sheets(comparison, sights, options))


def _boxes(placed: Sequence[Placed]) -> tuple[Placed, ...]:
    """Return the things as boxes: enough to choose the corner from which to look, and far quicker."""
    return tuple(
        Placed(thing=replace(p.thing, solids=(p.box,), panels=(), battens=()), solids=(p.box,), box=p.box)
        for p in placed
    )
