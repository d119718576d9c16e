"""Whether the parts for the saw are those that units are made of: each panel once, less its bands, more to fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from layout.building.prism import AXES, of_panel
from layout.model.cutting import Part
from layout.model.panel import Panel
from layout.model.thing import Thing

Size = tuple[str, str, float, float, str]
_DIGITS = 3


def cut_faults(things: Sequence[Thing], parts: Sequence[Part]) -> tuple[str, ...]:
    """Return what does not agree between the units and the parts to saw, in words.

    The sizes are taken from the room that each panel fills, not from what it says of its own size.
    """
    wanted = Counter(_sawn(thing.group, panel) for thing in things for panel in thing.panels)
    sawn: Counter[Size] = Counter()
    for part in parts:
        size = round(part.length, _DIGITS), round(part.width, _DIGITS)
        sawn[part.unit, part.material, *size, part.grain] += part.count
    return tuple(_told(wanted, sawn))


def _sawn(group: str, panel: Panel) -> Size:
    """Return what a panel is sawn to, mm: its finished size, less what bands add, more what is cut to fit."""
    box = of_panel(panel).box
    sizes = []
    for axis, ends in ((panel.along, ("left", "right")), (panel.across, ("bottom", "top"))):
        low, high = box[AXES.index(axis)]
        bands = sum(mm for side, mm in panel.bands if side in ends)
        sizes.append(round(high - low - bands + panel.oversize, _DIGITS))
    return group, panel.sheet.material, sizes[0], sizes[1], panel.grain


def _told(wanted: Counter[Size], sawn: Counter[Size]) -> Iterator[str]:
    for size in sorted(wanted | sawn):
        if wanted[size] != sawn[size]:
            group, material, length, width, grain = size
            yield f"{group}: {sawn[size]} of {wanted[size]} parts {length:g} x {width:g} of {material}, grain {grain}"
