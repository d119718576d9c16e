"""Fill one sheet with the edge-to-edge packers of rectpack; the kerf is packed along with each piece."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from layout.cutting.values import Blank, Kind, Laid, Opening, Way

_RULES = ("Bssf", "Blsf", "Baf")
_SPLITS = ("Minas", "Slas", "Las", "Maxas", "Llas", "Sas")
_ORDERS: dict[str, Callable[[Way], int]] = {
    "area": lambda way: way.length * way.width,
    "long side": lambda way: max(way.length, way.width),
    "short side": lambda way: min(way.length, way.width),
    "rim": lambda way: way.length + way.width,
    "slim": lambda way: abs(way.length - way.width),
}
# Steps through all combinations so that the first few already differ in everything; prime, so none is missed.
_STRIDE = 97
_SEEDED = 120


@dataclass(frozen=True, kw_only=True, slots=True)
class How:
    """One way to fill: rectpack's class, the order of the pieces, the side laid first, a seed (0: none)."""

    method: str
    order: str
    lay: str
    seed: int = 0


def hows(turnable: bool) -> tuple[How, ...]:
    """Return all ways to fill, the most different first; `turnable` when some piece may be turned."""
    lays = ("best", "along", "across") if turnable else ("best",)
    plain = [
        How(method=rule + split, order=order, lay=lay)
        for split, rule, order, lay in product(_SPLITS, _RULES, _ORDERS, lays)
    ]
    mixed = [plain[i * _STRIDE % len(plain)] for i in range(len(plain))]
    seeded = [
        How(method=how.method, order=how.order, lay="mixed" if turnable else "best", seed=i + 1)
        for i, how in enumerate((mixed * 2)[:_SEEDED])
    ]
    return tuple(mixed + seeded)


def arranged(kinds: Iterable[Kind], how: How) -> tuple[Kind, ...]:
    """Return the kinds in the order of `how`, the ways of each in the order in which they are tried."""
    # The generator is made anew from a fixed seed, so that the same job always gives the same plan.
    chance = random.Random(how.seed)
    key = _ORDERS[how.order]
    shaken = [(kind, chance.uniform(0.7, 1.3) if how.seed else 1.0, chance.random()) for kind in kinds]
    shaken.sort(key=lambda item: -key(item[0].ways[0]) * item[1])
    return tuple(
        Kind(name=kind.name, ways=_ordered(kind.ways, how.lay, flip), count=kind.count) for kind, _, flip in shaken
    )


def _ordered(ways: tuple[Way, ...], lay: str, flip: float) -> tuple[Way, ...]:
    if lay == "best" or len(ways) == 1:
        return ways
    along = lay == "along" or (lay == "mixed" and flip < 0.5)  # noqa: PLR2004 (an even chance)
    return tuple(sorted(ways, key=lambda way: way.length, reverse=along))


def fill(opening: Opening, kerf: int, kinds: tuple[Kind, ...], how: How) -> tuple[Laid, ...]:
    """Return the pieces that one empty sheet takes, going through `kinds` in their order, blank after blank."""
    laid: list[Laid] = []
    left = {kind.name: kind.count for kind in kinds}
    for blank in opening.blanks:
        on_it = _fill_blank(blank, kerf, [_left(kind, left[kind.name]) for kind in kinds], how)
        for piece in on_it:
            left[piece.name] -= 1
        laid += on_it
    return tuple(laid)


def _left(kind: Kind, count: int) -> Kind:
    return kind if kind.count == count else replace(kind, count=count)


def _fill_blank(blank: Blank, kerf: int, kinds: Iterable[Kind], how: How) -> list[Laid]:
    import rectpack.guillotine

    laid: list[Laid] = []
    if blank.length <= 0 or blank.width <= 0:
        return laid
    packer = getattr(rectpack.guillotine, f"Guillotine{how.method}")
    sheet = packer(blank.length + kerf, blank.width + kerf, rot=False)
    for kind in kinds:
        for _ in range(kind.count):
            way = _way(sheet, kind.ways, kerf, how.lay)
            if way is None:
                break
            place = sheet.add_rect(way.length + kerf, way.width + kerf)
            laid.append(Laid(name=kind.name, x=blank.x + place.x, y=blank.y + place.y, way=way))
    return laid


def _way(sheet: Any, ways: tuple[Way, ...], kerf: int, lay: str) -> Way | None:
    """Return the way to lay the next piece: the one that leaves least, or the first that fits."""
    fits = []
    for i, way in enumerate(ways):
        left = sheet.fitness(way.length + kerf, way.width + kerf)
        if left is not None:
            fits.append((left if lay == "best" else 0, i))
    return ways[min(fits)[1]] if fits else None
