"""Open box: walls round a base, as drawers, benches and bins have, and the cleats of a lid that lifts off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from layout.model.building import Bar, Batten
from layout.model.cutting import Grain
from layout.model.motion import Face
from layout.model.panel import JointKind, Panel, Sheet
from layout.model.solid import Solid, box
from layout.things.base import Shop, Span, need
from layout.things.piece import Meet, piece

Base = Literal["inset", "groove", "planted"]
Corner = Literal["butt", "rebate"]


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenBox:
    """Two walls over the whole length along `run`, two ends between them, and a base.

    `x`, `y`, `z` are its outside, mm. `walls` and `ends` are the names of those at the low and at the high coordinate,
    `base_name` that of the base, which lies between the walls, flush with their lower edges (inset), in a groove
    `inset` above them, or under them (planted). Ends meet the walls by `corner`, `depth` mm deep; the base by
    `base_depth`. `grains` are those of the low wall, the high wall, the ends and the base.
    """

    x: Span
    y: Span
    z: Span
    run: Literal["x", "y"]
    sheet: Sheet
    base_sheet: Sheet
    walls: tuple[str, str]
    ends: tuple[str, str]
    base_name: str
    base: Base = "inset"
    corner: Corner = "butt"
    depth: float = 0.0
    base_depth: float = 0.0
    inset: float = 0.0
    grains: tuple[Grain, Grain, Grain, Grain] = ("free", "free", "free", "free")

    @property
    def inside_x(self) -> Span:
        """Return from wall to wall along x."""
        return self.x[0] + self.sheet.thickness, self.x[1] - self.sheet.thickness

    @property
    def inside_y(self) -> Span:
        """Return from wall to wall along y."""
        return self.y[0] + self.sheet.thickness, self.y[1] - self.sheet.thickness

    @property
    def floor(self) -> Span:
        """Return from where to where the base reaches in height."""
        low = self.z[0] + (self.inset if self.base == "groove" else 0.0)
        return low, low + self.base_sheet.thickness

    @property
    def outside(self) -> Solid:
        """Return the box that it fills."""
        return box("outside", self.x, self.y, self.z)

    @property
    def closed(self) -> tuple[Face, ...]:
        """Return the faces that its panels cover wholly."""
        around: tuple[Face, ...] = ("rear", "front", "left", "right")
        return around if self.base == "groove" else (*around, "bottom")

    @property
    def inside(self) -> Solid:
        """Return the room in it, from its base to the upper edge of its walls."""
        return box("inside", self.inside_x, self.inside_y, (self.floor[1], self.z[1]))

    @property
    def _wall_z(self) -> Span:
        return (self.floor[1] if self.base == "planted" else self.z[0]), self.z[1]

    def refuse(self, group: str, least: float, keys: tuple[str, str, str]) -> None:
        """Refuse sizes that leave less than `least` mm inside; `keys` are those of its size along x, y and z.

        Raises
        ------
        ValueFaultError
            Naming the key, and what is left.
        """
        spans = (self.inside_x, self.inside_y, (self.floor[1], self.z[1]))
        for key, (low, high) in zip(keys, spans, strict=True):
            text = f"leaves {max(high - low, 0):.4g} inside in sheet {self.sheet.thickness:g} thick; at least {least:g}"
            need(high - low >= least, group, key, text)

    def panels(self) -> tuple[Panel, ...]:
        """Return its two walls, its two ends and its base."""
        return *self._walls(), *self._ends(), self._base()

    def _walls(self) -> Iterator[Panel]:
        t, over = self.sheet.thickness, self.y if self.run == "x" else self.x
        for low, name, grain in zip((over[0], over[1] - t), self.walls, self.grains, strict=False):
            spans = (self.x, (low, low + t)) if self.run == "x" else ((low, low + t), self.y)
            yield piece(name, self.sheet, *spans, self._wall_z, grain=grain, good="low" if low == over[0] else "high")

    def _ends(self) -> Iterator[Panel]:
        t, (low, high) = self.sheet.thickness, self.inside_y if self.run == "x" else self.inside_x
        between, along = (low - self.depth, high + self.depth), self.x if self.run == "x" else self.y
        ways: tuple[Face, Face] = ("right", "left") if self.run == "x" else ("rear", "front")
        meets = _each(self.walls, ways, self.corner, self.depth)
        for at, name in zip((along[0], along[1] - t), self.ends, strict=True):
            spans = ((at, at + t), between) if self.run == "x" else (between, (at, at + t))
            good: Literal["low", "high"] = "low" if at == along[0] else "high"
            yield piece(name, self.sheet, *spans, self._wall_z, meets=meets, grain=self.grains[2], good=good)

    def _base(self) -> Panel:
        names, deep = (*self.walls, *self.ends), self.base_depth if self.base == "groove" else 0.0
        if self.base == "planted":
            meets = _each(names, ("top",) * 4, "butt", 0.0)
            return piece(self.base_name, self.base_sheet, self.x, self.y, self.floor, meets=meets, grain=self.grains[3])
        ways: tuple[Face, ...] = ("right", "left", "rear", "front")
        ways = ways if self.run == "x" else (*ways[2:], *ways[:2])
        meets = _each(names, ways, "groove" if deep else "butt", deep)
        x, y = ((low - deep, high + deep) for low, high in (self.inside_x, self.inside_y))
        return piece(self.base_name, self.base_sheet, x, y, self.floor, meets=meets, grain=self.grains[3])


def _each(names: tuple[str, ...], ways: tuple[Face, ...], kind: JointKind, depth: float) -> tuple[Meet, ...]:
    """Return a meeting with each piece, one only for pieces of one name."""
    found = dict(zip(reversed(names), reversed(ways), strict=True))
    return tuple(Meet(to=name, face=found[name], kind=kind, depth=depth) for name in dict.fromkeys(names))


@dataclass(frozen=True, kw_only=True, slots=True)
class Cleats:
    """Four cleats flat below a lid, one along each wall, which keep it from sliding off: of a sheet, or of a bar.

    `x` and `y` are the room between the walls, `top` the underside of the lid, `play` the gap to the walls, mm.
    """

    x: Span
    y: Span
    top: float
    made_of: Sheet | Bar
    length: float
    width: float
    play: float

    @property
    def thickness(self) -> float:
        """Return how far they reach down, mm."""
        return self.made_of.thickness if isinstance(self.made_of, Sheet) else min(self.made_of.section)

    def panels(self) -> tuple[Panel, ...]:
        """Return those that are strips of a sheet."""
        if not isinstance(self.made_of, Sheet):
            return ()
        meets = (Meet(to="lid", face="top"),)
        return tuple(piece("cleat", self.made_of, *spans, self._z, meets=meets) for spans in self._plans())

    def battens(self) -> tuple[Batten, ...]:
        """Return those that are sawn off a bar."""
        bar = self.made_of
        if isinstance(bar, Sheet):
            return ()
        return tuple(
            Batten(name="cleat", bar=bar, solid=box("cleat", *spans, self._z), length=self.length)
            for spans in self._plans()
        )

    def refuse(self, group: str, key: str) -> None:
        """Refuse cleats that do not go between the walls, or not beside each other.

        Raises
        ------
        ValueFaultError
            With the longest that go in.
        """
        short, long = sorted(span[1] - span[0] for span in (self.x, self.y))
        most = min(short - 2 * self.play, long - 2 * (self.play + self.width))
        size = f"{self.length:.4g} long and {self.width:.4g} wide"
        text = f"cleats {size} do not go under the lid; at most {max(most, 0):.4g} long"
        need(0 < self.length <= most and short >= 2 * (self.play + self.width), group, key, text)

    @property
    def _z(self) -> Span:
        return self.top - self.thickness, self.top

    def _plans(self) -> Iterator[tuple[Span, Span]]:
        """Yield where they lie seen from above: two along the walls that run along x, two along the others."""
        across, along = _centred(self.x, self.length), _centred(self.y, self.length)
        yield from ((across, y) for y in self._beside(self.y))
        yield from ((x, along) for x in self._beside(self.x))

    def _beside(self, span: Span) -> tuple[Span, Span]:
        low, high = span[0] + self.play, span[1] - self.play
        return (low, low + self.width), (high - self.width, high)


def _centred(span: Span, length: float) -> Span:
    middle = (span[0] + span[1]) / 2
    return middle - length / 2, middle + length / 2


def cleats_of(
    shop: Shop, group: str, made_of: Sheet | Bar, *, inside: Solid, top: float, size: tuple[float, float] | None
) -> Cleats:
    """Return the cleats below a lid, as long and wide as told, or as go in; those of a bar are as wide as it.

    Raises
    ------
    ValueFaultError
        When they do not go in.
    """
    x0, y0, x1, y1 = inside.bounds
    play = shop.number("fronts", "cleat_play")
    width = size[1] if size else shop.number("fronts", "cleat_width")
    width = width if isinstance(made_of, Sheet) else max(made_of.section)
    length = size[0] if size else min(x1 - x0, y1 - y0) - 2 * (play + width)
    cleats = Cleats(x=(x0, x1), y=(y0, y1), top=top, made_of=made_of, length=length, width=width, play=play)
    cleats.refuse(group, "cleat")
    return cleats
