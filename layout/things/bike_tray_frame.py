"""The measures of a tray for bicycles: its board, its lips, what it slides on, and where each bicycle stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import ceil, inf

from layout.model.building import Bar
from layout.model.panel import Sheet
from layout.model.solid import Solid, box
from layout.things.base import Span
from layout.things.bike_berths import Berth, Bike, Holder
from layout.things.bike_row import Body, as_solid, beside, moved

BOARD, STRIP, SIDE_LIP, END_LIP = "tray board", "joint strip", "side lip", "end lip"
BLOCK, CHEEK, TROUGH, FLOOR = "mount block", "block cheek", "trough side", "trough floor"
BEARER, RAIL, STOP = "bearer", "rail", "stop"
Counts = tuple[tuple[str, int], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Slides:
    """What a tray slides on: a pair `length` long, `thickness` with its play, `height`; `run` above floor and rails.

    `front` tells that the tray comes out at its front, else at its rear. Bearers stand at most `span` apart.
    """

    length: float
    thickness: float
    height: float
    run: float
    span: float
    front: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class TrayFrame:
    """A tray `length` x `width`, x from its rear, y about its middle; all mm.

    `berths` are the places of bicycles, `wheels` those of loose wheels. Lips stand `lip` above the board, of `bar`
    without which they are strips of the sheet; troughs have sides `side` high. `seams` are the joints of its boards
    across (y), each below a strip `strip` wide.
    """

    length: float
    width: float
    sheet: Sheet
    berths: tuple[Berth, ...]
    wheels: tuple[Berth, ...]
    lip: float
    side: float
    strip: float
    seams: tuple[float, ...] = ()
    bar: Bar | None = None
    slides: Slides | None = None

    @property
    def t(self) -> float:
        """Return the thickness of the sheet."""
        return self.sheet.thickness

    @property
    def half(self) -> float:
        """Return half the width."""
        return self.width / 2

    @property
    def foot(self) -> float:
        """Return how high the underside of the board is."""
        return self.slides.height + 2 * self.slides.run if self.slides else 0.0

    @property
    def level(self) -> float:
        """Return how high the top of the board is."""
        return self.foot + self.t

    @property
    def lip_t(self) -> float:
        """Return how thick the lips are."""
        return min(self.bar.section) if self.bar else self.t

    @property
    def all_berths(self) -> tuple[Berth, ...]:
        """Return the places of bicycles, then those of loose wheels."""
        return (*self.berths, *self.wheels)

    @property
    def boards(self) -> tuple[Span, ...]:
        """Return from where to where each board reaches across."""
        return tuple(pairwise((-self.half, *self.seams, self.half)))

    @property
    def top(self) -> float:
        """Return how high the highest piece reaches."""
        held = [berth.rise + h.stands(self.side) for berth, h in self.holders]
        return self.level + max(self.lip, self.t if self.seams else 0.0, *held)

    @property
    def holders(self) -> tuple[tuple[Berth, Holder], ...]:
        """Return what holds wheels and forks, with the place that each belongs to."""
        return tuple((berth, holder) for berth in self.all_berths for holder in berth.bike.holders)

    @property
    def rail(self) -> Span:
        """Return from where to where the left rail reaches across: level with the tray's side."""
        return self.half - self.t, self.half

    @property
    def bearer(self) -> Span:
        """Return from where to where the outermost bearer on the left reaches across, a slide away from the rail."""
        outer = self.half - self.t - (self.slides.thickness if self.slides else 0.0)
        return outer - self.t, outer

    @property
    def bearers(self) -> tuple[Span, ...]:
        """Return from where to where each bearer reaches across: one a slide, and more between them."""
        if self.slides is None:
            return ()
        low, high = -self.bearer[1], self.bearer[0]
        fields = max(1, ceil(round((high - low) / self.slides.span, 6)))
        starts = [low + (high - low) * i / fields for i in range(fields + 1)]
        return tuple((start, start + self.t) for start in starts)

    @property
    def outside(self) -> Solid:
        """Return the box that it fills."""
        return box("outside", (0.0, self.length), (-self.half, self.half), (0.0, self.top))

    def openings(self) -> tuple[Solid, ...]:
        """Return what stays free: the room of every bicycle and loose wheel, and of the slides."""
        rooms = [
            as_solid(f"{berth.bike.name} {i}", body)
            for i, berth in enumerate(self.all_berths, start=1)
            for body in berth.bodies(self.level)
        ]
        return (*rooms, *self._slide_rooms())

    def _slide_rooms(self) -> Iterator[Solid]:
        slides = self.slides
        if slides is not None:
            x = (self.length - slides.length, self.length) if slides.front else (0.0, slides.length)
            low, high = self.bearer[1], self.rail[0]
            for y in ((low, high), (-high, -low)):
                yield box("slide", x, y, (slides.run, slides.run + slides.height))

    def roles(self) -> Counts:
        """Return how many pieces of each role there are."""
        held = [(holder.does, berth.rise) for berth, holder in self.holders]
        blocks = [rise for does, rise in held if does == "mount"]
        troughs = [rise for does, rise in held if does == "trough"]
        high, floors = sum(rise > self.t for rise in blocks), sum(rise > 0 for rise in troughs)
        slid = ((BEARER, len(self.bearers)), (RAIL, 2 if self.slides else 0), (STOP, 1 if self.slides else 0))
        return (
            (BOARD, len(self.boards)), (STRIP, len(self.seams)), (SIDE_LIP, 2), (END_LIP, 2), (BLOCK, len(blocks)),
            (CHEEK, 2 * high), (TROUGH, 2 * len(troughs)), (FLOOR, floors), *slid,
        )  # fmt: skip


def with_wheels(
    berths: tuple[Berth, ...], wheels: Sequence[Bike], x: Span, gap: float, made: tuple[float, float]
) -> tuple[Berth, ...]:
    """Return the places of loose wheels, by turns to the left and to the right of all bicycles, within `x` along.

    All keep `gap` from each other, and from what holds them, whose sides are `made` (thickness, height) mm.
    """
    stood: list[Berth] = []
    for i, wheel in enumerate(wheels):
        hand = 1.0 if i % 2 == 0 else -1.0
        others = [_mirrored(body, hand) for berth in (*berths, *stood) for body in _bodies(berth, made)]
        alone = Berth(bike=wheel, back=False, x=0.0, y=0.0, rise=0.0)
        at, y = beside(others, _bodies(alone, made), x, gap)
        stood.append(replace(alone, x=at, y=hand * y))
    return tuple(stood)


def _bodies(berth: Berth, made: tuple[float, float]) -> list[Body]:
    """Return the boxes of a bicycle or a wheel and of what holds it, from the top of the board up."""
    t, side = made
    held = [
        moved((h.x, (-h.outer(t), h.outer(t)), (0.0, berth.rise + h.stands(side))), berth.x, berth.y, 0.0)
        for h in berth.bike.holders
    ]
    return [*berth.bodies(0.0), *held]


def _mirrored(body: Body, hand: float) -> Body:
    x, (right, left), z = body
    return x, (right, left) if hand > 0 else (-left, -right), z


def seams(berths: tuple[Berth, ...], size: tuple[float, float], most: tuple[float, float]) -> tuple[float, ...] | None:
    """Return where boards `most` (length, width; mm) at most meet across a tray of `size`, midway between bicycles.

    As few as do, the widest board as narrow as it goes; None where none do.
    """
    length, width = size
    ys = sorted(berth.y for berth in berths)
    midways = [(a + b) / 2 for a, b in pairwise(ys)]
    for count in range(len(midways) + 1):
        ways = [chosen for chosen in combinations(midways, count) if _widest(chosen, width) <= _room(length, most)]
        if ways:
            return min(ways, key=lambda chosen: (_widest(chosen, width), chosen))
    return None


def _widest(chosen: tuple[float, ...], width: float) -> float:
    return max(b - a for a, b in pairwise((-width / 2, *chosen, width / 2)))


def _room(length: float, most: tuple[float, float]) -> float:
    """Return how wide a board may be that is as long as the tray."""
    return max((other for one, other in (most, most[::-1]) if length <= one), default=-inf)


def gathered(berths: Sequence[Berth], end: float) -> Span:
    """Return from where to where along the tray its lips leave free: bicycles with a gap at the end, and holders."""
    bodies = [body[0] for berth in berths for body in berth.bodies(0.0)]
    held = [berth.along(holder) for berth in berths for holder in berth.bike.holders]
    low = min([span[0] - end for span in bodies] + [span[0] for span in held])
    return low, max([span[1] + end for span in bodies] + [span[1] for span in held])
