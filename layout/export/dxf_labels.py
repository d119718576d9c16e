"""Names on outlines: as large as they fit, clear of each other as far as there is room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.drawing.text_width import Box, overlap, text_width
from layout.export.dxf_model import Words

# Heights on paper in mm that are tried: letters can be enlarged on a screen, so they may be small.
_HEIGHTS = (2.5, 1.8, 1.2, 0.8)
_SHARES = (0.5, 0.25, 0.75, 0.1, 0.9)
_ROOM = 0.95


class Names:
    """The names of one view, sized for 1:`scale`."""

    def __init__(self, scale: int) -> None:
        self.scale = scale
        self.taken: list[Box] = []

    def put(self, layer: str, text: str, area: Box) -> Words:
        """Return a name in an area, mm; where all is taken, small in its middle."""
        tries = list(_tries(text, area, [height * self.scale for height in _HEIGHTS]))
        free = (one for one in tries if not any(overlap(one[2], other) for other in self.taken))
        height, angle, box = next(free, tries[-1])
        self.taken.append(box)
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        at = (x + height / 2, y) if angle else (x, y - height / 2)
        return Words(layer=layer, at=at, text=text, height=height, anchor="middle", angle=angle)


def _tries(text: str, area: Box, heights: Sequence[float]) -> Iterator[tuple[float, float, Box]]:
    """Yield heights, angles and the boxes that the text would take; the last is the smallest, in the middle."""
    wide, tall = area[2] - area[0], area[3] - area[1]
    for height in heights:
        run, deep = text_width(text, height), height * 1.5
        for angle, room in ((0.0, (run, deep)), (90.0, (deep, run))):
            if room[0] <= wide * _ROOM and room[1] <= tall * _ROOM:
                yield from ((height, angle, _at(area, room, share)) for share in _shares(angle))
    yield heights[-1], 0.0, _at(area, (text_width(text, heights[-1]), heights[-1] * 1.5), (0.5, 0.5))


def _shares(angle: float) -> tuple[tuple[float, float], ...]:
    firsts = tuple((0.5, share) for share in _SHARES)
    return tuple((b, a) for a, b in firsts) if angle else firsts


def _at(area: Box, room: tuple[float, float], share: tuple[float, float]) -> Box:
    x = area[0] + share[0] * (area[2] - area[0] - room[0])
    y = area[1] + share[1] * (area[3] - area[1] - room[1])
    return x, y, x + room[0], y + room[1]
