"""The scale of a picture that is looked at more than measured: finer steps than those of plans."""

from __future__ import annotations

from dataclasses import replace

from layout.drawing.model import Drawing, Text
from layout.drawing.notes import LAYER as NOTES
from layout.drawing.scales import SCALES, fits
from layout.views.figure import Figure, compose
from layout.views.options import ViewOptions

# ISO 5455 allows steps between its own where they are needed; these are common practice, no source.
_BETWEEN = (8, 15, 25, 30, 40, 75)
_CUT = "more: see the lists"
_TRIES = 3


def composed(figure: Figure, options: ViewOptions) -> Drawing:
    """Return the sheet at the largest scale at which the figure and all its notes fit, unless one is asked for.

    Raises
    ------
    ScaleError
        When the asked scale, or every scale, is too large for the paper.
    """
    room = figure.room(options.page)
    fitting = [scale for scale in sorted({*SCALES, *_BETWEEN}) if fits(figure.size, room, scale)][:_TRIES]
    if options.scale is not None or not fitting:
        return compose(figure, options)
    made = [compose(figure, replace(options, scale=fitting[0]))]
    while _is_cut(made[-1]) and len(made) < len(fitting):
        made.append(compose(figure, replace(options, scale=fitting[len(made)])))
    return made[-1]


def _is_cut(drawing: Drawing) -> bool:
    """Return whether some of the notes had no room."""
    return any(isinstance(mark, Text) and mark.layer == NOTES and _CUT in mark.text for mark in drawing.marks)
