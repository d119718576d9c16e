"""A figure to scale on a sheet: the scale found, the figure placed, its numbered notes below it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from layout.drawing.labels import Labels
from layout.drawing.model import SMALLEST_TEXT, Drawing, Mark, Point
from layout.drawing.notes import note_marks, notes_height
from layout.drawing.paper import Paper
from layout.drawing.scales import SCALES, Size, check_scale, choose_scale, fits
from layout.drawing.text_width import Box
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.views.options import ViewOptions

Axes = tuple[Point, Point]

PLAIN: Axes = ((1.0, 0.0), (0.0, 1.0))
MIRRORED: Axes = ((-1.0, 0.0), (0.0, 1.0))
# Turned a quarter to the left: what points along the first axis points up the paper.
UPRIGHT: Axes = ((0.0, -1.0), (1.0, 0.0))


@dataclass(frozen=True, kw_only=True, slots=True)
class Window:
    """How the figure lies on the paper: 1:`scale`, turned by `axes`, shifted by `shift` mm of paper."""

    scale: int
    axes: Axes
    shift: Point

    def at(self, point: Point) -> Point:
        """Return the place on the paper (mm) of a point of the figure (mm)."""
        (a, b), (c, d) = self.axes
        u, v = point
        return (a * u + b * v) / self.scale + self.shift[0], (c * u + d * v) / self.scale + self.shift[1]

    def ring(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Return the places on the paper of several points."""
        return tuple(self.at(point) for point in points)

    def box(self, bounds: Box) -> Box:
        """Return the upright box on the paper of an upright box of the figure."""
        (ax, ay), (bx, by) = self.at(bounds[:2]), self.at(bounds[2:])
        return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


@dataclass(frozen=True, kw_only=True, slots=True)
class Margins:
    """Room on the paper for what stands beside the figure, mm."""

    left: float = 4.0
    bottom: float = 4.0
    right: float = 4.0
    top: float = 4.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """A figure to be drawn: its extent (x0, y0, x1, y1 in mm of the thing), its margins, how it draws itself.

    Labels may leave the figure by `outside` mm of paper, short of the first row of dimensions.
    The notes leave `beside` mm free at the right, for what stands there from top to bottom.
    `letters` keys the notes by letters, where numbers already mean something else.
    """

    name: str
    title: str
    extent: Box
    margins: Margins
    axes: Axes
    draw: Callable[[Window, Labels], tuple[Mark, ...]]
    outside: float = 3.0
    beside: float = 0.0
    letters: bool = False

    @property
    def size(self) -> Size:
        """Return width and height as it lies on the paper, in mm of the thing."""
        flat = Window(scale=1, axes=self.axes, shift=(0.0, 0.0)).box(self.extent)
        return flat[2] - flat[0], flat[3] - flat[1]

    def room(self, paper: Paper) -> Size:
        """Return the width and height in mm that the paper leaves for the figure itself."""
        x0, y0, x1, y1 = sheet_room(paper)
        m = self.margins
        return x1 - x0 - m.left - m.right, y1 - y0 - m.bottom - m.top


def larger(first: Figure, second: Figure, options: ViewOptions) -> Figure:
    """Return whichever of two figures of the same thing can be drawn larger; the first if they are equal.

    With an asked scale it is the one that fits at it.
    """
    wanted = (options.scale,) if options.scale else SCALES
    one, other = ([fits(f.size, f.room(options.page), s) for s in wanted] for f in (first, second))
    return second if other.count(True) > one.count(True) else first


def compose(figure: Figure, options: ViewOptions) -> Drawing:
    """Return the sheet with the figure at the asked scale, or at the largest at which it and its notes fit.

    Raises
    ------
    ScaleError
        When the asked scale, or every scale, is too large for the paper.
    """
    page = options.page
    if options.scale is not None:
        check_scale(options.scale, figure.size, page, options.orientation, figure.room)
        return _drawn(figure, options, options.scale)[0]
    largest = choose_scale(figure.size, figure.room(page))
    # Not more than one step down for the sake of notes: the figure must stay readable.
    for scale in [s for s in SCALES if s >= largest][:2]:
        drawing, whole = _drawn(figure, options, scale)
        if whole:
            return drawing
    return _drawn(figure, options, largest)[0]


def _drawn(figure: Figure, options: ViewOptions, scale: int) -> tuple[Drawing, bool]:
    """Return the sheet, and whether all notes have room."""
    page = options.page
    window, room = _placed(figure, page, scale, 0.0)
    labels = Labels(bounds=_label_bounds(figure, window), letters=figure.letters)
    figure.draw(window, labels)
    wanted = notes_height(labels.notes, room[2] - room[0])
    window, room = _placed(figure, page, scale, wanted)
    labels = Labels(bounds=_label_bounds(figure, window), letters=figure.letters)
    marks = figure.draw(window, labels)
    notes = note_marks(labels.notes, room) if labels.notes else ()
    block = sheet_marks(page, options.block(figure.title, scale))
    drawing = Drawing(
        name=figure.name,
        title=figure.title,
        width=page.width,
        height=page.height,
        scale=scale,
        marks=(*block, *marks, *labels.marks, *notes),
    )
    smallest = notes_height(labels.notes, room[2] - room[0], SMALLEST_TEXT)
    return drawing, smallest <= room[3] - room[1]


def _placed(figure: Figure, page: Paper, scale: int, notes: float) -> tuple[Window, Box]:
    """Return the window and the room for notes (all that is left below the figure), mm of paper."""
    x0, y0, x1, y1 = sheet_room(page)
    m, (width, height) = figure.margins, figure.size
    flat = Window(scale=scale, axes=figure.axes, shift=(0.0, 0.0)).box(figure.extent)
    free_x = x1 - x0 - m.left - m.right - width / scale
    free_y = y1 - y0 - m.bottom - m.top - height / scale
    lift = notes + max(0.0, free_y - notes) / 2 if notes <= free_y else free_y
    corner = (x0 + m.left + free_x / 2, y0 + m.bottom + lift)
    window = Window(scale=scale, axes=figure.axes, shift=(corner[0] - flat[0], corner[1] - flat[1]))
    return window, (x0 + 1, y0, x1 - 1 - figure.beside, y0 + lift)


def _label_bounds(figure: Figure, window: Window) -> Box:
    x0, y0, x1, y1 = window.box(figure.extent)
    out = figure.outside
    return x0 - out, y0 - out, x1 + out, y1 + out


def span_on(paper: Paper, axis: int) -> tuple[float, float]:
    """Return from where to where (mm) dimensions may reach on the paper, across (0) or upward (1)."""
    room = sheet_room(paper)
    return room[axis], room[axis + 2]
