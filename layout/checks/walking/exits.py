"""Windows and hatches as ways out: how they compare with published figures, and what things leave of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from shapely.geometry import Polygon

from layout.checks.walking.doorways import Span, widest_stretch
from layout.checks.walking.site import Site, fixed_within
from layout.model.rule import Rule
from layout.model.solid import Solid, box
from layout.space.parts import WayOut
from layout.space.space import TOUCH, Space

_CM2 = 100.0  # mm²
_ROOF = "roof"
Sizes = tuple[float, float]


def published(sizes: Sizes, rule: Rule) -> tuple[str, ...]:
    """Return the published figures that an opening of two `sizes` (mm) comes up to, the least asking first.

    49 CFR 393.62: a rectangle, and an area. FMVSS 217: an ellipse turned about its minor axis must pass, which it does
    if the opening is as large as its two axes. NFPA 1192: a rectangle.
    """
    figures = (
        ("49 CFR 393.62", rule["pushed_long"], rule["pushed_short"], rule["pushed_area"] * _CM2),
        ("FMVSS 217", rule["ellipsoid_long"], rule["ellipsoid_short"], 0.0),
        ("NFPA 1192", rule["hatch_long"], rule["hatch_short"], 0.0),
    )
    short, long = sorted(sizes)
    return tuple(
        name
        for name, least_long, least_short, area in figures
        if long >= least_long - TOUCH and short >= least_short - TOUCH and long * short >= area - TOUCH
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Window:
    """A window or hatch in a state: the room before it, the best opening that is left of it, and what narrows that."""

    out: WayOut
    zone: Solid
    left: Sizes
    stops: tuple[str, ...]

    @property
    def plan(self) -> Polygon:
        """Return the room before it, seen from above."""
        return Polygon(self.zone.outline)


def window(site: Site, out: WayOut, rule: Rule) -> Window:
    """Return what things leave of a window: of free rectangles the one that most figures let pass, or the largest."""
    volume = _before(site.space, out, rule["depth"])
    stops = [*site.within(volume), *fixed_within(site.space, volume)]
    taken = [_on_plane(solid, out) for _, solid in stops]
    rooms = _rectangles(*_plane(out), taken)
    best = max(rooms, key=lambda sizes: (len(published(sizes, rule)), sizes[0] * sizes[1]), default=(0.0, 0.0))
    return Window(out=out, zone=volume, left=best, stops=tuple(dict.fromkeys(name for name, _ in stops)))


def _before(space: Space, out: WayOut, depth: float) -> Solid:
    """Return the room before a window, as deep as somebody takes who climbs out."""
    if out.side == _ROOF:
        top = min(space.roof_at(x) for x in out.x)
        return box(out.name, out.x, out.y, (top - depth, top))
    if out.side in ("left", "right"):
        wall = out.y[0]
        return box(out.name, out.x, (wall - depth, wall) if out.side == "left" else (wall, wall + depth), out.z)
    low, high = _ends(space, out)
    return box(out.name, (low, low + depth) if out.side == "rear" else (high - depth, high), out.y, out.z)


def _ends(space: Space, out: WayOut) -> Span:
    """Return where the room ends at the rear and in front at the heights of a window."""
    room = space.common_room(min(out.z[0], space.height), min(out.z[1], space.height))
    x0, _, x1, _ = space.bounds if room.is_empty else room.bounds
    return float(x0), float(x1)


def _plane(out: WayOut) -> tuple[Span, Span]:
    """Return the two spans of an opening: along its wall, and up (or, in the roof, across)."""
    return out.y if out.side in ("front", "rear") else out.x, out.y if out.side == _ROOF else out.z


def _on_plane(solid: Solid, out: WayOut) -> tuple[Span, Span]:
    x0, y0, x1, y1 = solid.bounds
    wide = (y0, y1) if out.side in ("front", "rear") else (x0, x1)
    return wide, (y0, y1) if out.side == _ROOF else (solid.z0, solid.z1)


def _rectangles(wide: Span, up: Span, taken: Sequence[tuple[Span, Span]]) -> list[Sizes]:
    """Return the widest free rectangle between each two heights at which something ends."""
    feet = sorted({up[0], *(high for _, (_, high) in taken if up[0] < high < up[1])})
    tops = sorted({up[1], *(low for _, (low, _) in taken if up[0] < low < up[1])})
    found = []
    for low, high in product(feet, tops):
        if high - low > TOUCH:
            spans = [span for span, heights in taken if min(heights[1], high) - max(heights[0], low) > TOUCH]
            first, last = widest_stretch(wide, spans)
            found.append((last - first, high - low))
    return found
