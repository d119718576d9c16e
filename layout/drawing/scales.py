"""Standard scales (ISO 5455), and which of them fits."""

from __future__ import annotations

from collections.abc import Callable

from layout.drawing.paper import Orientation, Paper, larger_papers
from layout.errors import ScaleError

Size = tuple[float, float]

# The n of 1:n, largest drawing first.
SCALES = (1, 2, 5, 10, 20, 50, 100)


def fits(size_mm: Size, room_mm: Size, scale: int) -> bool:
    """Return whether something of `size_mm` drawn at 1:`scale` goes into `room_mm`."""
    return size_mm[0] / scale <= room_mm[0] + 1e-6 and size_mm[1] / scale <= room_mm[1] + 1e-6


def choose_scale(size_mm: Size, room_mm: Size) -> int:
    """Return the n of the largest standard scale 1:n at which `size_mm` fits into `room_mm`.

    Raises
    ------
    ScaleError
        When not even the smallest scale fits.
    """
    for scale in SCALES:
        if fits(size_mm, room_mm, scale):
            return scale
    raise ScaleError(f"{_said(size_mm)} does not fit into {_said(room_mm)} even at 1:{SCALES[-1]}")


def check_scale(
    asked: int,
    size_mm: Size,
    sheet: Paper,
    orientation: Orientation,
    room_of: Callable[[Paper], Size],
) -> None:
    """Refuse the scale 1:`asked` if it does not fit; it is never made smaller silently.

    `room_of` tells the room in mm that a paper leaves for the drawing itself.

    Raises
    ------
    ScaleError
        Naming the scale that fits on this paper, and the smallest larger paper for the asked one.
    """
    if asked < 1:
        raise ScaleError(f"a scale of 1:{asked} cannot be drawn; write for instance 20 for 1:20")
    if fits(size_mm, room_of(sheet), asked):
        return
    cures = [f"1:{scale} fits" for scale in SCALES if fits(size_mm, room_of(sheet), scale)][:1]
    papers = [p for p in larger_papers(sheet.name, orientation) if fits(size_mm, room_of(p), asked)]
    cures += [f"1:{asked} fits on {p.name}" for p in papers[:1]]
    needed = (size_mm[0] / asked, size_mm[1] / asked)
    raise ScaleError(
        f"1:{asked} does not fit on {sheet.name}: it needs {_said(needed)}, "
        f"there is room for {_said(room_of(sheet))}; {'; '.join(cures) or 'no scale and no paper fits'}"
    )


def _said(size: Size) -> str:
    return f"{size[0]:.0f} × {size[1]:.0f} mm"
