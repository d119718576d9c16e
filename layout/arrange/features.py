"""What tells arrangements apart: which way the big things lie, on which side, at which end, in or out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from layout.arrange.grid import TENTHS, Grid, Rows, Spot
from layout.arrange.problem import Form, Place, Stand

#: A thing counts as big from this share of the floor on; smaller ones are where there was room.
_BIG = 0.06
#: A middle within this share of the breadth, or length, from the room's is in the middle.
_MIDDLE = 0.12
Words = tuple[str, ...]
OUT = "outside at times"


class Features:
    """For each big stand a literal of the model for each word that may be said of it."""

    def __init__(self, grid: Grid, room: tuple[float, float, float, float]) -> None:
        self.grid, self.room = grid, room
        self.lits: dict[str, dict[str, list[tuple[str, Any]]]] = {
            spot.stand.name: self._of(spot) for spot in grid.spots.values() if _is_big(spot.stand, room)
        }

    def _of(self, spot: Spot) -> dict[str, list[tuple[str, Any]]]:
        found: dict[str, list[tuple[str, Any]]] = {}
        directions: dict[str, list[Any]] = {}
        for key, form in spot.by_key.items():
            directions.setdefault(direction(form), []).append(spot.forms[key])
        if len(directions) > 1:
            found["lies"] = [(word, sum(lits)) for word, lits in sorted(directions.items())]
        x0, y0, x1, y1 = self.room
        found["side"] = self._thirds(spot, 1, (y0, y1), ("right", "middle", "left"))
        found["end"] = self._thirds(spot, 0, (x0, x1), ("rear", "amidships", "front"))
        if spot.out:
            any_out = self.grid.model.new_bool_var(f"{spot.stand.name} out")
            self.grid.model.add_max_equality(any_out, list(spot.out.values()))
            found["out"] = [(OUT, any_out)]
        return found

    def _thirds(self, spot: Spot, axis: int, span: tuple[float, float], words: Sequence[str]) -> list[tuple[str, Any]]:
        """Return literals for below, about and above the middle of the room, of the stand's own middle."""
        model = self.grid.model
        lits = [model.new_bool_var(f"{spot.stand.name} {word}") for word in words]
        model.add_exactly_one(lits)
        rows = Rows(by_form={key: _outer(form, spot.stand.states[0]) for key, form in spot.by_key.items()})
        twice = self.grid.start(spot, rows, axis) + self.grid.end(spot, rows, axis)
        low, high = (round(v * 2 * TENTHS) for v in middle_of(span))
        model.add(twice < low).only_enforce_if(lits[0])
        model.add(twice >= low).only_enforce_if(lits[1])
        model.add(twice <= high).only_enforce_if(lits[1])
        model.add(twice > high).only_enforce_if(lits[2])
        return list(zip(words, lits, strict=True))

    def said(self, places: Sequence[Place]) -> Mapping[str, Words]:
        """Return the words that places say of each big stand."""
        return {p.stand: words_of(p, self.lits[p.stand], self.room) for p in places if p.stand in self.lits}

    def forbid(self, said: Mapping[str, Words]) -> None:
        """Rule out every arrangement in which the big things lie the same way, on the same side and at the same end.

        That one is put out at times is told, but is no other place: else the same arrangement would come again.
        """
        model, lits = self.grid.model, []
        for stand, words in said.items():
            for kind, options in self.lits[stand].items():
                for word, expression in options if kind != "out" else ():
                    if word in words:
                        lit = model.new_bool_var("")
                        model.add(expression == 0).only_enforce_if(lit)
                        lits.append(lit)
        model.add_bool_or(lits)


def words_of(place: Place, kinds: Mapping[str, object], room: tuple[float, float, float, float]) -> Words:
    """Return what is said of one place: which way it lies, side, end, and where it is out."""
    if place.form is None:
        return ("not used",)
    x0, y0, _, x1, y1, _ = place.form.outer(next(iter(place.form.solids)))
    x, y = place.at[0] + (x0 + x1) / 2, place.at[1] + (y0 + y1) / 2
    words = [direction(place.form)] if "lies" in kinds else []
    words += [_third(y, (room[1], room[3]), ("right", "middle", "left"))]
    words += [_third(x, (room[0], room[2]), ("rear", "amidships", "front"))]
    return (*words, OUT) if place.left_in else tuple(words)


def middle_of(span: tuple[float, float]) -> tuple[float, float]:
    """Return from where to where counts as the middle of a stretch."""
    half, centre = (span[1] - span[0]) * _MIDDLE, (span[0] + span[1]) / 2
    return centre - half, centre + half


def _third(value: float, span: tuple[float, float], words: Sequence[str]) -> str:
    low, high = middle_of(span)
    # As in the model: twice the middle in whole tenths.
    twice, low2, high2 = round(value * 2 * TENTHS), round(low * 2 * TENTHS), round(high * 2 * TENTHS)
    return words[0] if twice < low2 else words[2] if twice > high2 else words[1]


def direction(form: Form) -> str:
    """Return whether a form lies along or across the room, or neither."""
    x0, y0, _, x1, y1, _ = form.outer(next(iter(form.solids)))
    long, wide = x1 - x0, y1 - y0
    return "along" if long > wide + 1 else "across" if wide > long + 1 else "square"


def _is_big(stand: Stand, room: tuple[float, float, float, float]) -> bool:
    if stand.fixed is not None or stand.absent or not stand.forms or not any(stand.forms[0].solids.values()):
        return False
    x0, y0, _, x1, y1, _ = stand.forms[0].outer(stand.states[0])
    return (x1 - x0) * (y1 - y0) >= _BIG * (room[2] - room[0]) * (room[3] - room[1])


def _outer(form: Form, state: str) -> tuple[int, int, int, int, int, int]:
    a, b, c, d, e, f = (round(v * TENTHS) for v in form.outer(state))
    return (a, b, c, d, e, f)
