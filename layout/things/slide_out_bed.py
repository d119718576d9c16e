"""Slide-out bed: a comb of slats that slides out from between the slats of a base, on legs that fold."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from layout.model.building import Bar, Promise
from layout.model.panel import Sheet
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.bed_pieces import Parts
from layout.things.bed_slide_frame import SlideFrame, Way
from layout.things.bed_slide_pieces import base, comb, hardware, openings, roles
from layout.things.motion import MotionSpec
from layout.units.fields import Gap, Name, Size


@dataclass(frozen=True, kw_only=True, slots=True)
class SlideOutBed(Described):
    """A bed `length` long that slides `out` to one side, `closed` wide shut and `opened` wide when out.

    The top of its slats is `deck` above the floor, whether of the bar `slat` or strips `slat_width` wide. The rails
    under them are `rail` high. What divides the base, and the legs, `leg` wide, stand at most `support` apart. Write
    ``open: yes`` in a form of it that is used where it is out. `slides_in` are the states in which it is pulled out
    (none: every state but ``drive``), by somebody who stands in `person` of room before it.
    """

    kind: Literal["slide-out bed"]
    length: Size
    closed: Size
    opened: Size
    deck: Size
    sheet: Name
    out: Way = "left"
    open: Literal["yes", "no"] = "no"
    rail: Size = 100.0
    support: Size = 950.0
    leg: Size | None = None
    slat: Name | None = None
    slat_width: Size | None = None
    slides_in: tuple[Name, ...] = ()
    person: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bed as its panels and battens, shut or out.

        Raises
        ------
        ValueFaultError
            When it cannot slide so far, its legs do not fold, or the workshop lacks a sheet or bar.
        """
        sheet = shop.sheet(group, self.sheet)
        need(not (self.slat and self.slat_width), group, "slat_width", f"the slats are of {self.slat}, as wide as that")
        bar = shop.bar(group, self.slat) if self.slat else None
        frame = self._frame(sheet, bar, shop)
        _refuse(frame, group, shop)
        _refuse_slats(frame, group, "slat" if bar else "slat_width", shop.number("bed", "comb_gap"))
        parts = base(frame, bar) + comb(frame, bar) + hardware(frame, shop)
        promise = _promise(frame)
        return (parts + self._motions(frame, promise, group)).built(name, group, self.kind, promise)

    def _frame(self, sheet: Sheet, bar: Bar | None, shop: Shop) -> SlideFrame:
        wide = self.slat_width or shop.number("bed", "comb_slat")
        return SlideFrame(
            length=self.length, closed=self.closed, opened=self.opened, deck=self.deck, out=self.out,
            is_open=self.open == "yes", sheet=sheet, cover=min(bar.section) if bar else sheet.thickness,
            slat=max(bar.section) if bar else wide, rail=self.rail, tail=shop.number("bed", "comb_tail"),
            leg=self.leg or shop.number("bed", "fold_leg"), play=shop.number("bed", "comb_play"), support=self.support,
        )  # fmt: skip

    def _motions(self, frame: SlideFrame, promise: Promise, group: str) -> Parts:
        """Return how it slides out, while it is shut."""
        if frame.is_open:
            return Parts()
        spec = MotionSpec(
            does="drawer", face=self.out, out=frame.travel, z=(frame.low, frame.deck), person=self.person,
            states=self.slides_in,
        )  # fmt: skip
        return Parts(motions=(spec.made("slide-out part", promise.outside, ("things", group, "opened")),))


def _promise(frame: SlideFrame) -> Promise:
    """Return what the fields say of the bed: its outside, the bays under it, how many pieces there are."""
    s = (0.0, frame.closed + frame.shift)
    outside = frame.solid("outside", s, (0.0, frame.length), (0.0, frame.deck))
    return Promise(outside=outside, openings=openings(frame), roles=roles(frame))


def _refuse(frame: SlideFrame, group: str, shop: Shop) -> None:
    t, lap = frame.t, shop.number("bed", "comb_lap")
    most = frame.closed + frame.base_rail[0] - max(lap, 2 * t)
    need(frame.opened > frame.closed, group, "opened", f"is no wider than it is shut, {frame.closed:g}")
    need(frame.opened <= most + 1e-6, group, "opened",
         f"at most {most:.1f}: {lap:g} of the slats stay behind the rail that they slide on")  # fmt: skip
    need(frame.rail > frame.tail + frame.play + t, group, "rail", f"more than {frame.tail + frame.play + t:g}")
    need(
        frame.low > 2 * t,
        group,
        "deck",
        f"too low for rails of {frame.rail:g}: more than {frame.deck - frame.low + 2 * t:g}",
    )
    _refuse_legs(frame, group)


def _refuse_slats(frame: SlideFrame, group: str, key: str, widest: float) -> None:
    need(frame.slat > frame.t, group, key, f"{frame.slat:g} is narrower than the sheet is thick")
    need(frame.sliding > 0, group, key, f"{frame.slat:g} leaves no place for a slat that slides between two")
    gap = frame.widest_gap
    need(
        gap <= widest,
        group,
        key,
        f"leaves gaps of {gap:.1f} in the base when it is out, at most {widest:g}; take narrower slats",
    )


def _refuse_legs(frame: SlideFrame, group: str) -> None:
    t, least = frame.t, frame.leg_length
    need(frame.walls[1][0] - frame.walls[0][1] > t, group, "support", "leaves no bay between the walls of the base")
    need(t < frame.leg <= frame.widest_leg, group, "leg",
         f"turns under the slats: more than {t:g}, at most {frame.widest_leg:.1f} (rail / √2)")  # fmt: skip
    lying = frame.folded()
    free = all(a[1] <= b[0] for a, b in pairwise(lying))
    need(
        free,
        group,
        "support",
        f"{len(lying)} legs {least:.0f} long do not fold beside each other; give more, or a lower deck",
    )
