"""Running dimensions: distances from one end of a piece, as a tape hooked there shows them, never on each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from layout.drawing.lines import line
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Pen, Text
from layout.drawing.text_width import text_width

LAYER = "dimensions"
_PEN = Pen(width=NARROW)
_PITCHES = ((SMALL_TEXT, 3.6), (2.1, 3.1), (SMALLEST_TEXT, 2.7))
# From the figure to where the lines bend toward their texts, and to the texts themselves, mm of paper.
BEND, REACH = 6.5, 10.0
_START = 1.2
#: How far texts may stand past the ends of the figure, mm.
_PAST = 5.0
Way = Literal["bottom", "left"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Running:
    """Distances from the low end along one side of a figure: places on paper with their texts, rising."""

    places: tuple[float, ...]
    texts: tuple[str, ...]
    height: float = SMALL_TEXT
    pitch: float = 3.6
    left_out: int = 0

    @property
    def depth(self) -> float:
        """Return how far they reach from the figure, mm."""
        return REACH + max((text_width(text, self.height) for text in self.texts), default=0.0) if self.texts else 0.0

    def marks(self, side: Way, edge: float, ends: tuple[float, float]) -> tuple[Mark, ...]:
        """Return the marks on a side of the figure whose edge lies at `edge`, from end to end of the figure."""
        spread = _spread(self.places, self.pitch, (ends[0] - _PAST, ends[1] + _PAST))
        made: list[Mark] = []
        for place, put, text in zip(self.places, spread, self.texts, strict=True):
            made += self._one(side, edge, place, put, text)
        return tuple(made)

    def _one(self, side: Way, edge: float, place: float, put: float, text: str) -> list[Mark]:
        def on(along: float, away: float) -> tuple[float, float]:
            return (along, edge - away) if side == "bottom" else (edge - away, along)

        points = (on(place, _START), on(place, BEND), on(put, REACH - 0.6))
        half = self.height / 2
        at = on(put + half, REACH) if side == "bottom" else on(put - half, REACH)
        angle = 90.0 if side == "bottom" else 0.0
        words = Text(layer=LAYER, at=at, text=text, height=self.height, anchor="end", angle=angle)
        return [line(LAYER, *points, pen=_PEN), words]


def running(stations: Sequence[float], on_paper: Callable[[float], float], said: Callable[[float], str],
            ends: tuple[float, float]) -> Running:  # fmt: skip
    """Return the running dimensions of stations (mm of the thing), with letters that let all have room.

    Stations that read the same are told once. Where even the smallest letters do not do, every other one goes, and
    how many are left out is known.
    """
    told: dict[str, float] = {}
    for station in sorted(stations):
        told.setdefault(said(station), station)
    wanted = list(told.items())
    room = ends[1] - ends[0] + 2 * _PAST
    fitting = (sizes for sizes in _PITCHES if (len(wanted) - 1) * sizes[1] <= room)
    height, pitch = next(fitting, _PITCHES[-1])
    kept = wanted
    while (len(kept) - 1) * pitch > room:
        kept = kept[::2]
    return Running(
        places=tuple(on_paper(mm) for _, mm in kept), texts=tuple(text for text, _ in kept), height=height, pitch=pitch,
        left_out=len(wanted) - len(kept),
    )  # fmt: skip


def _spread(places: Sequence[float], pitch: float, bounds: tuple[float, float]) -> list[float]:
    """Return where texts stand so that they are a pitch apart and within bounds, each as near its place as may be.

    Texts that crowd are put side by side about the middle of their places (pooling of neighbours).
    """
    groups: list[tuple[float, int]] = []  # middle of the places less their place in the row, how many
    for i, place in enumerate(places):
        groups.append((place - i * pitch, 1))
        while len(groups) > 1 and groups[-2][0] > groups[-1][0]:
            (a, m), (b, n) = groups[-2:]
            groups[-2:] = [((a * m + b * n) / (m + n), m + n)]
    wanted = [middle for middle, count in groups for _ in range(count)]
    last = (len(places) - 1) * pitch
    return [min(max(at, bounds[0]), bounds[1] - last) + i * pitch for i, at in enumerate(wanted)]
