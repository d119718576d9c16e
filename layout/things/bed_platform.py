"""Bed platform: a deck or slats on carcasses, on rails along the walls or on legs, with room below."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.building import Promise
from layout.model.motion import Face
from layout.model.panel import Sheet
from layout.model.solid import box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.bed_carcass import BEARERS, Carcasses
from layout.things.bed_deck import Deck, Hatch
from layout.things.bed_frame import MEMBER, BedFrame
from layout.things.bed_holes import HandSlots, Vents
from layout.things.bed_pieces import Parts
from layout.things.bed_places import Under
from layout.things.bed_rails import Rails
from layout.things.bed_refusals import refuse_base, refuse_frame, refuse_top
from layout.things.bed_slats import Slats
from layout.units.fields import Gap, Mass, Name, Size

Answer = Literal["yes", "no"]
#: Keys that say something only where another key has one of these words; elsewhere they would do nothing.
_BELONG = (
    ("on", ("wall rails", "legs"), ("bar", "ledger")),
    ("on", ("legs",), ("leg",)),
    ("top", ("slats",), ("slat", "slat_width", "slat_gap")),
    ("top", ("solid",), ("flare_rear", "flare_front")),
    ("hatch", ("hinged",), ("hinge", "strip")),
    ("hatch", ("lift off", "hinged"), ("hand_slots",)),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class BedPlatform(Described):
    """A deck `length` x `width` whose top is `deck` above the floor.

    `on` is what carries it, `overhang` short of both its ends. ``carcasses``: boxes along its sides, each
    `carcass_width` wide and open to the middle. ``wall rails``: strips along the walls with a `ledger` on which cross
    members rest; no post stands in the hold. Such a bed is placed by ``at:``, with the height of its rails' foot.
    ``legs``: such rails on legs, their strips `leg` wide. Uprights, legs and cross members stand at most `support`
    apart; cross members are strips of sheet on edge, `rail` high, or, on rails, of the workshop's `bar`, as are legs
    then.

    `top`: a ``solid`` deck in panels of at most `heaviest_panel` each, with holes for air where `vents` is yes; or
    ``slats``, of the bar `slat` or strips `slat_width` wide, at most `slat_gap` apart. `hatch`: deck panels are held
    down, ``lift off`` (with slots for hands, unless `hand_slots` is no), or are lids ``hinged`` to a fixed `strip`
    along the side `hinge`. `flare_rear` and `flare_front` is how much further the deck reaches on both sides over
    `flare_length` of that end.
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
    on: Literal["carcasses", "wall rails", "legs"] = "carcasses"
    top: Literal["solid", "slats"] = "solid"
    hatch: Hatch = "none"
    vents: Answer = "no"
    flare_rear: Gap = 0.0
    flare_front: Gap = 0.0
    flare_length: Size | None = None
    bar: Name | None = None
    ledger: Size | None = None
    leg: Size | None = None
    slat: Name | None = None
    slat_width: Size | None = None
    slat_gap: Gap | None = None
    hinge: Literal["left", "right"] | None = None
    strip: Size | None = None
    hand_slots: Answer | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the platform as its panels and battens, each a solid, at its own height.

        Raises
        ------
        ValueFaultError
            When the sizes leave no opening, a key says nothing of such a bed, or the workshop lacks a sheet or bar.
        """
        sheet = shop.sheet(group, self.sheet)
        self._refuse_idle(group)
        base, top = self._base(group, shop), self._top(group, shop, sheet)
        frame = self._frame(sheet, base, top)
        refuse_frame(frame, group, shop)
        refuse_base(frame, base, group, shop)
        refuse_top(frame, base, top, group, shop)
        below = base.parts(frame, shop)
        self._refuse_panels(frame, top, group)
        under = Under(
            frame=frame, seats=base.seats(frame, shop), carriers=base.thicknesses(frame), shop=shop, group=group
        )  # fmt: skip
        parts = top.over(frame, below, under)
        promise = _promise(frame, base, top)
        moving = Parts(motions=top.motions(frame, promise.outside, ("things", group, "hatch")))
        return (parts + moving).built(name, group, self.kind, promise)

    def _refuse_idle(self, group: str) -> None:
        """Refuse keys that say nothing of the bed as the other keys tell it."""
        for where, words, keys in _BELONG:
            for key in keys:
                said = getattr(self, key)
                here, there = getattr(self, where), " or ".join(words)
                text = f"says nothing of a bed with {where}: {here}; it belongs to {where}: {there}"
                need(not said or getattr(self, where) in words, group, key, text)
        slats = self.top == "slats"
        need(not slats or self.hatch == "none", group, "hatch", "slats are fixed; top: solid has panels that open")
        need(not slats or self.vents == "no", group, "vents", "slats have gaps; holes are for top: solid")
        need(not (self.leg and self.bar), group, "leg", f"the legs are of {self.bar}; leg: is the width of strips")
        need(not (self.slat and self.slat_width), group, "slat_width", f"the slats are of {self.slat}, as wide as that")
        need(not self.flare_length or self.flare_rear + self.flare_front > 0, group, "flare_length",
             "no end is wider; add flare_rear: or flare_front:")  # fmt: skip

    def _base(self, group: str, shop: Shop) -> Carcasses | Rails:
        if self.on == "carcasses":
            return Carcasses(depth=self.carcass_width)
        return Rails(
            ledger=self.ledger or shop.number("bed", "ledger"), leg=self.leg or shop.number("bed", "leg"),
            legs=self.on == "legs", bar=shop.bar(group, self.bar) if self.bar else None,
        )  # fmt: skip

    def _top(self, group: str, shop: Shop, sheet: Sheet) -> Deck | Slats:
        if self.top == "solid":
            return self._deck(shop)
        gap = shop.number("bed", "slat_gap") if self.slat_gap is None else self.slat_gap
        if self.slat:
            bar = shop.bar(group, self.slat)
            return Slats(width=max(bar.section), gap=gap, bar=bar)
        return Slats(width=self.slat_width or shop.number("bed", "slat"), gap=gap)

    def _deck(self, shop: Shop) -> Deck:
        number = shop.number
        return Deck(
            heaviest=self.heaviest_panel, longest=number("bed", "panel"), hold_downs=int(number("bed", "hold_downs")),
            hatch=self.hatch, hinge=self.hinge or "left", strip=self.strip or number("bed", "strip"),
            flare=(self.flare_rear, self.flare_front), flare_length=self.flare_length or number("bed", "flare_length"),
            vents=Vents.of(shop) if self.vents == "yes" else None,
            slots=HandSlots.of(shop) if self.hatch != "none" and self.hand_slots != "no" else None,
        )  # fmt: skip

    def _frame(self, sheet: Sheet, base: Carcasses | Rails, top: Deck | Slats) -> BedFrame:
        t = sheet.thickness
        bar = base.bar if isinstance(base, Rails) else None
        slat = top.bar if isinstance(top, Slats) else None
        return BedFrame(
            length=self.length, width=self.width, deck=self.deck, overhang=self.overhang, support=self.support,
            sheet=sheet, rail=max(bar.section) if bar else self.rail, member=min(bar.section) if bar else t,
            cover=min(slat.section) if slat else t,
            side=base.inset(t) + 2 * t if isinstance(base, Rails) else t,
            bearers=base.bearers if isinstance(base, Rails) else BEARERS,
        )  # fmt: skip

    def _refuse_panels(self, frame: BedFrame, top: Deck | Slats, group: str) -> None:
        """Refuse deck panels that are too heavy, or have no room for their holes."""
        if isinstance(top, Slats):
            return
        panels = top.panels(frame)
        heaviest = max(panel.mass_kg for panel in panels)
        need(heaviest <= self.heaviest_panel, group, "heaviest_panel",
             f"a deck panel between uprights has {heaviest:.1f} kg; bring support: down, or allow it")  # fmt: skip
        holes = [len(panel.holes) for panel in panels]
        need(not top.slots or min(holes) > 0, group, "hand_slots", "a panel has no room for one; write hand_slots: no")
        need(not top.vents or sum(holes) > 0, group, "vents", "the panels have no room for holes; bring support: up")


def _promise(frame: BedFrame, base: Carcasses | Rails, top: Deck | Slats) -> Promise:
    """Return what the fields say of the bed: its outside, what stays free under it, how many pieces there are."""
    half, foot = top.half(frame), 0.0
    bars = isinstance(base, Rails) and base.bar is not None
    closed: tuple[Face, ...] = top.closed()
    if isinstance(base, Carcasses) and closed and not frame.overhang:
        closed = (*closed, "left", "right")
    if isinstance(base, Rails) and not base.legs:
        foot = frame.top - frame.rail - base.ledger
    return Promise(
        outside=box("outside", (0.0, frame.length), (-half, half), (foot, frame.deck)), closed=closed,
        openings=base.openings(frame), roles=(*base.roles(frame), *top.roles(frame)),
        grains=() if bars else ((MEMBER, "along"),),
    )  # fmt: skip
