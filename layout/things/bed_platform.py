"""Bed platform: a deck in panels on two side carcasses and cross rails, with room below."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Literal

from layout.model.panel import Panel, Sheet
from layout.model.thing import Thing
from layout.things.base import Described, Shop, board, need
from layout.units.fields import Gap, Mass, Name, Size

_LONGEST_OVERHANG = 300.0  # common practice, no source: a deck end that carries a person without support
_LARGEST_PANEL = 1200.0  # common practice, no source: what one person turns over inside a van


@dataclass(frozen=True, kw_only=True, slots=True)
class BedPlatform(Described):
    """A deck `length` x `width` whose top is `deck` above the floor.

    Each carcass is `carcass_width` wide, open to the middle, and stops `overhang` short of both ends of the
    deck. Uprights and cross rails stand at most `support` apart; rails are `rail` high. Deck panels weigh
    at most `heaviest_panel` each.
    """

    kind: Literal["bed platform"]
    length: Size
    width: Size
    deck: Size
    sheet: Name
    carcass_width: Size = 300.0
    overhang: Gap = 0.0
    rail: Size = 80.0
    support: Size = 500.0
    heaviest_panel: Mass = 15.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the platform as its panels, each a solid.

        Raises
        ------
        ValueFaultError
            When the sizes leave no opening, or the sheet is not in the workshop.
        """
        sheet = shop.sheet(group, self.sheet)
        self._refuse(group, sheet.thickness)
        deck = self._deck(sheet)
        heaviest = max(panel.mass_kg for panel in deck)
        need(heaviest <= self.heaviest_panel, group, "heaviest_panel",
             f"a deck panel between uprights has {heaviest:.1f} kg; bring support: down, or allow it")  # fmt: skip
        panels = (*self._carcass(sheet, 1, "left"), *self._carcass(sheet, -1, "right"),
                  *self._rails(sheet), *deck)  # fmt: skip
        solids = tuple(panel.solid for panel in panels)
        mass = sum(panel.mass_kg for panel in panels)
        return Thing(name=name, group=group, kind=self.kind, solids=solids, mass_kg=mass, panels=panels)

    def _refuse(self, group: str, t: float) -> None:
        need(
            self.overhang <= _LONGEST_OVERHANG,
            group,
            "overhang",
            "the deck's ends would bend: at most 300 mm",
        )
        need(
            self.length - 2 * self.overhang > 4 * t,
            group,
            "length",
            "leaves no carcass between the overhangs",
        )
        need(self.carcass_width > 3 * t, group, "carcass_width", f"leaves no opening in sheet {t:g} mm thick")
        need(self.width - 2 * self.carcass_width > 2 * t, group, "carcass_width",
             f"two carcasses leave no bay in a width of {self.width:g}")  # fmt: skip
        need(self.deck > self.rail + 3 * t, group, "deck",
             f"too low for rails of {self.rail:g}: at least {self.rail + 3 * t:.0f}")  # fmt: skip

    def _stations(self, t: float) -> list[float]:
        """Return the middles of the uprights along the length, mm."""
        first, last = self.overhang + t / 2, self.length - self.overhang - t / 2
        fields = max(1, ceil((last - first) / self.support))
        return [first + (last - first) * i / fields for i in range(fields + 1)]

    def _carcass(self, sheet: Sheet, side: int, word: str) -> tuple[Panel, ...]:
        t, half = sheet.thickness, self.width / 2
        x = (self.overhang, self.length - self.overhang)
        outer, inner, skin = side * half, side * (half - self.carcass_width), side * (half - t)
        across, back = _ordered(outer, inner), _ordered(outer, skin)
        z = (t, self.deck - t)
        bottom = board(f"{word} bottom", sheet, x, across, (0.0, t))
        uprights = [
            board(f"{word} upright", sheet, (m - t / 2, m + t / 2), _ordered(skin, inner), z) for m in self._stations(t)
        ]
        return bottom, board(f"{word} back", sheet, x, back, z), *uprights

    def _rails(self, sheet: Sheet) -> tuple[Panel, ...]:
        t, half = sheet.thickness, self.width / 2 - self.carcass_width
        z = (self.deck - t - self.rail, self.deck - t)
        return tuple(board("cross rail", sheet, (m - t / 2, m + t / 2), (-half, half), z) for m in self._stations(t))

    def _deck(self, sheet: Sheet) -> tuple[Panel, ...]:
        edges = self._deck_edges(sheet)
        y, z = (-self.width / 2, self.width / 2), (self.deck - sheet.thickness, self.deck)
        return tuple(board("deck panel", sheet, x, y, z, grain="free") for x in pairwise(edges))

    def _deck_edges(self, sheet: Sheet) -> list[float]:
        """Return where the deck's joints lie, both ends included: each on the middle of an upright."""
        middles = self._stations(sheet.thickness)
        edges, last = [0.0], 0.0
        for here, after in zip(middles[1:], [*middles[2:], self.length], strict=True):
            wide = after - last if after < self.length - self.overhang - sheet.thickness else self.length - last
            if wide > _LARGEST_PANEL or sheet.mass_kg(wide, self.width) > self.heaviest_panel:
                edges.append(here)
                last = here
        return [*(edge for edge in edges if edge < middles[-1]), self.length]


def _ordered(a: float, b: float) -> tuple[float, float]:
    return (a, b) if a < b else (b, a)
