"""Sizes of paper and the room inside the frame, mm.

ISO 216 gives the A sizes, ANSI/ASME Y14.1 the inch sizes A (letter), B (tabloid), C and D, ISO 5457 the frame:
20 mm on the left for filing, 10 mm on the other edges, on sheets in inches too, so that all are filed alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.drawing.model import Point
from layout.drawing.text_width import Box
from layout.errors import ValueFaultError

Orientation = Literal["landscape", "portrait"]

FRAME_LEFT = 20.0
FRAME_OTHER = 10.0
_INCH = 25.4
_CENTRING = 5.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Paper:
    """A sheet of paper as it lies on the table: name, width and height in mm."""

    name: str
    width: float
    height: float

    @property
    def frame(self) -> Box:
        """Return x0, y0, x1, y1 of the frame, mm."""
        return FRAME_LEFT, FRAME_OTHER, self.width - FRAME_OTHER, self.height - FRAME_OTHER


ISO_SIZES = (("A4", 210.0, 297.0), ("A3", 297.0, 420.0), ("A2", 420.0, 594.0), ("A1", 594.0, 841.0))
US_SIZES = (
    ("Letter", 8.5 * _INCH, 11 * _INCH),
    ("Tabloid", 11 * _INCH, 17 * _INCH),
    ("ANSI C", 17 * _INCH, 22 * _INCH),
    ("ANSI D", 22 * _INCH, 34 * _INCH),
)


def centring_marks(sheet: Paper) -> tuple[tuple[Point, Point], ...]:
    """Return the ends of the four centring marks, mm: at the middle of each edge of the paper, as ISO 5457 has them.

    They end at the frame, where the standard lets them run into the drawing, so that they cross nothing drawn.
    """
    x0, y0, x1, y1 = sheet.frame
    across, up = sheet.width / 2, sheet.height / 2
    return (
        ((x0 - _CENTRING, up), (x0, up)),
        ((x1, up), (x1 + _CENTRING, up)),
        ((across, y0 - _CENTRING), (across, y0)),
        ((across, y1), (across, y1 + _CENTRING)),
    )


def paper(name: str, orientation: Orientation = "landscape") -> Paper:
    """Return the paper called `name`, in any case of letters.

    Raises
    ------
    ValueFaultError
        When there is no such paper; the message lists those that there are.
    """
    for known, short, long in ISO_SIZES + US_SIZES:
        if known.lower() == name.lower():
            width, height = (long, short) if orientation == "landscape" else (short, long)
            return Paper(name=known, width=width, height=height)
    names = ", ".join(known for known, _, _ in ISO_SIZES + US_SIZES)
    raise ValueFaultError(("drawing", "paper"), f"there is no paper {name!r}; there are: {names}")


def larger_papers(name: str, orientation: Orientation) -> tuple[Paper, ...]:
    """Return the papers of the same family that are larger than `name`, smallest first."""
    family = ISO_SIZES if any(name == known for known, _, _ in ISO_SIZES) else US_SIZES
    names = [known for known, _, _ in family]
    return tuple(paper(known, orientation) for known in names[names.index(name) + 1 :])
