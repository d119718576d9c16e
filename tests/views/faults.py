"""What keeps a sheet from being read, for the tests of all sheets."""

from __future__ import annotations

from itertools import combinations

from shapely.geometry import Polygon

from layout.drawing.model import LINE_WIDTHS, SMALLEST_TEXT, Drawing, Mark, Text
from layout.drawing.text_width import inside, overlap, text_box, text_corners


def is_line(mark: Mark) -> bool:
    """Return whether a mark is drawn with a line: neither a white gap for others, nor an edge of its filling's grey."""
    return not isinstance(mark, Text) and mark.pen.width > 0 and mark.pen.grey < 1 and mark.pen.grey != mark.fill


def _covers(one: Text, other: Text) -> bool:
    first, second = (Polygon(text_corners(mark)) for mark in (one, other))
    return bool(first.intersection(second).area > 1e-6)


def faults_of(drawing: Drawing, *, bound: bool) -> list[str]:
    """Return what is wrong with a sheet, in words: nothing if it can be read; what is bound has a frame."""
    texts = [mark for mark in drawing.marks if isinstance(mark, Text)]
    boxed = [(mark, text_box(mark)) for mark in texts]
    edge = (20.0, 10.0, 10.0, 10.0) if bound else (0.0, 0.0, 0.0, 0.0)
    frame = (edge[0], edge[1], drawing.width - edge[2], drawing.height - edge[3])
    page = (-0.01, -0.01, drawing.width + 0.01, drawing.height + 0.01)
    points = [at for mark in drawing.marks if not isinstance(mark, Text) for at in mark.points]
    return [
        *(f"{mark.text!r} leaves the frame" for mark, box in boxed if not inside(box, frame)),
        *(f"{mark.text!r} is {mark.height} mm high" for mark in texts if mark.height < SMALLEST_TEXT),
        *(
            f"{one.text!r} overlaps {other.text!r}"
            for (one, a), (other, b) in combinations(boxed, 2)
            if overlap(a, b) and _covers(one, other)
        ),
        *(
            f"a line of {mark.pen.width} mm on {mark.layer!r}"
            for mark in drawing.marks
            if is_line(mark) and not isinstance(mark, Text) and mark.pen.width not in LINE_WIDTHS
        ),
        *(f"a line reaches {at}" for at in points if not inside((*at, *at), page)),
    ]
