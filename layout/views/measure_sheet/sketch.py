"""A cargo space as it is sketched on the measure sheet, and what is known of it already."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from layout.drawing.model import Point

_FEW, _MOST = 3, 9  # heights


@dataclass(frozen=True, kw_only=True, slots=True)
class Well:
    """A wheel well: `side` left or right, from `x0` to `x1`, `width` off the wall, `height` high; mm."""

    side: str
    x0: float
    x1: float
    width: float
    height: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """A door opening by its name: from `start` along its wall, `width` by `height` over the sill; mm."""

    name: str
    side: str
    start: float
    width: float
    height: float
    sill: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Sketch:
    """The sketch of a space: shapes in mm, as they are drawn, whether or not they are known.

    `corners` are those of the floor by their names, in order; `profile` the wall as pairs of height and half-width;
    `stations` how many places along the walls are measured, and `heights` at which heights each, mm. `roof` and
    `front` are pairs of x and height and of height and x. `known` holds what is known, mm, by the name of its box.
    """

    kind: str
    corners: tuple[tuple[str, Point], ...]
    profile: tuple[Point, ...]
    roof: tuple[Point, ...]
    heights: tuple[tuple[float, ...], ...]
    front: tuple[Point, ...] = ()
    wells: tuple[Well, ...] = ()
    doors: tuple[Opening, ...] = ()
    known: Mapping[str, float] = field(default_factory=dict)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return x0, y0, x1, y1 of the floor, mm."""
        xs, ys = zip(*(place for _, place in self.corners), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def top(self) -> float:
        """Return the height of the highest place, mm."""
        return max(z for _, z in self.roof)

    def corner(self, name: str) -> Point:
        """Return where a corner is, mm."""
        return dict(self.corners)[name]


def generic(kind: str, step: float) -> Sketch:
    """Return the sketch of one of `KINDS` that is like all and none of them.

    `step` is how far apart in height widths are to be taken, mm; half of that where the walls are low.
    """
    made = KINDS[kind]()
    kept = heights_of(made.top, step)
    return Sketch(
        kind=kind, corners=made.corners, profile=made.profile, roof=made.roof, heights=(kept, kept, kept),
        front=made.front, wells=made.wells, doors=made.doors,
    )  # fmt: skip


def heights_of(top: float, step: float) -> tuple[float, ...]:
    """Return the heights below `top` at which widths are to be taken, mm, `step` apart; half of that in low spaces."""
    apart = step if top > _FEW * step else step / 2
    return tuple(apart * i for i in range(_MOST) if apart * i < top)


def _box(length: float, half: float) -> tuple[tuple[str, Point], ...]:
    return ("A", (0.0, -half)), ("B", (length, -half)), ("C", (length, half)), ("D", (0.0, half))


def _pair(x0: float, x1: float, width: float, height: float) -> tuple[Well, ...]:
    return tuple(Well(side=side, x0=x0, x1=x1, width=width, height=height) for side in ("left", "right"))


def _van() -> Sketch:
    return Sketch(
        kind="van", corners=_box(3200, 870), profile=((0, 870), (600, 890), (1300, 830), (1800, 640)),
        roof=((0, 1850), (1600, 1880), (3200, 1850)), heights=(), front=((0, 3200), (900, 3000), (1700, 2850)),
        wells=_pair(750, 1550, 210, 300),
        doors=(Opening(name="rear door", side="rear", start=-760, width=1520, height=1730),
               Opening(name="side door", side="right", start=1950, width=1050, height=1680)),
    )  # fmt: skip


def _trailer() -> Sketch:
    return Sketch(
        kind="trailer", corners=_box(3600, 900), profile=((0, 900), (1900, 900)),
        roof=((0, 1900), (1800, 1930), (3600, 1900)), heights=(),
        doors=(Opening(name="rear door", side="rear", start=-850, width=1700, height=1800),
               Opening(name="side door", side="right", start=2700, width=650, height=1700, sill=40)),
    )  # fmt: skip


def _truck_bed() -> Sketch:
    return Sketch(
        kind="truck bed", corners=_box(1900, 760), profile=((0, 760), (540, 740)),
        roof=((0, 540), (1900, 540)), heights=(), wells=_pair(600, 1350, 200, 230),
        doors=(Opening(name="rear door", side="rear", start=-640, width=1280, height=540),),
    )  # fmt: skip


KINDS: Mapping[str, Callable[[], Sketch]] = MappingProxyType(
    {"van": _van, "trailer": _trailer, "truck bed": _truck_bed}
)
