"""What is said of hardware on a panel's face: which hole it takes, and how many of them there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from layout.model.solid import Point
from layout.model.worked import Fitting, Work
from layout.views.panel_sheets.words import Words, unbroken

Symbol = Literal["through", "blind", "on"]
_FEW = 4
_NO_BOTTOM = 2.0  # mm: what is left under a hole so thin is drilled through
_FACES = {"near": "this face", "far": "the other face"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Fitted:
    """Places on a panel that carry the same hardware: what is said of them, how they are drawn, where they are."""

    said: str
    symbol: Symbol
    points: tuple[Point, ...]


def fitted_groups(work: Work, words: Words) -> tuple[Fitted, ...]:
    """Return the hardware on a panel by place: a bolt and its nut together, alike places once."""
    at: dict[Point, list[Fitting]] = {}
    for fitting in work.fittings:
        at.setdefault(fitting.at, []).append(fitting)
    alike: dict[tuple[tuple[str, str, str], ...], list[Point]] = {}
    for point, fittings in at.items():
        alike.setdefault(tuple((f.item, f.face, f.why) for f in fittings), []).append(point)
    return tuple(
        Fitted(said=_said(at[points[0]], points, work, words), symbol=_symbol(at[points[0]], work, words),
               points=tuple(points))
        for points in alike.values()
    )  # fmt: skip


def _symbol(fittings: Sequence[Fitting], work: Work, words: Words) -> Symbol:
    if not any(f.item in words.lets for f in fittings):
        return "on"
    return "blind" if _deep(fittings, work, words) is not None else "through"


def _deep(fittings: Sequence[Fitting], work: Work, words: Words) -> float | None:
    """Return how deep the hole is drilled, None for one that goes right through."""
    depths = [deep for f in fittings if f.item in words.lets and (deep := words.lets[f.item][1])]
    return depths[0] if depths and depths[0] + _NO_BOTTOM <= work.thickness else None


def _said(fittings: Sequence[Fitting], points: Sequence[Point], work: Work, words: Words) -> str:
    items = " and ".join(f"{words.item(f.item)} on {_FACES[f.face]}" for f in _once(fittings))
    whys = "; ".join(dict.fromkeys(f.why for f in fittings))
    where = _where(points, words)
    if not any(f.item in words.lets for f in fittings):
        many = f"{len(points)} × " if len(points) > 1 else ""
        return f"{many}{items}, {whys}{where}; hold it there, mark its holes"
    deep = _deep(fittings, work, words)
    # The insert or the nut is what the hole is drilled for; a bolt without either has its own.
    wide = max(words.lets[f.item][0] for f in fittings if f.item in words.lets)
    hole = f"{len(points)} holes" if len(points) > 1 else "hole"
    hole = f"{hole} {unbroken(words.drill(wide))}"
    how = f", {unbroken(words.fine(deep) + ' deep')} from {_FACES[fittings[0].face]}" if deep else " right through"
    return f"{hole}{how}{where}, for {items}: {whys}"


def _once(fittings: Sequence[Fitting]) -> list[Fitting]:
    return list({f.item: f for f in fittings}.values())


def _where(points: Sequence[Point], words: Words) -> str:
    if len(points) > _FEW:
        return ""
    told = ", ".join(unbroken(f"{words.said(u)} | {words.said(v)}") for u, v in sorted(points))
    return f" at {told}"
