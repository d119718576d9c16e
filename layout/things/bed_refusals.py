"""Sizes of a bed platform that cannot be built, refused in words."""

from __future__ import annotations

from layout.things.base import Shop, need
from layout.things.bed_carcass import Carcasses
from layout.things.bed_deck import Deck
from layout.things.bed_frame import BedFrame
from layout.things.bed_places import below_screws
from layout.things.bed_rails import Rails
from layout.things.bed_slats import Slats


def refuse_frame(frame: BedFrame, group: str, shop: Shop) -> None:
    """Refuse overhangs that bend, and cross members that leave nothing between them.

    Raises
    ------
    ValueFaultError
        Naming the key.
    """
    t, most = frame.t, shop.number("bed", "overhang")
    need(frame.overhang <= most, group, "overhang", f"the deck's ends would bend: at most {most:g} mm")
    need(frame.length - 2 * frame.overhang > 4 * t, group, "length", "leaves no carcass between the overhangs")
    need(frame.rail > t, group, "rail", f"is no rail in sheet {t:g} thick; give more than {t:g}")
    pitch, thick = frame.stations[1] - frame.stations[0], (t + frame.member) / 2
    need(
        pitch > 2 * thick, group, "support", f"leaves no room between cross members {thick:g} thick, {pitch:.0f} apart"
    )


def refuse_base(frame: BedFrame, base: Carcasses | Rails, group: str, shop: Shop) -> None:
    """Refuse sizes that leave no opening under the bed.

    Raises
    ------
    ValueFaultError
        Naming the key.
    """
    if isinstance(base, Carcasses):
        _refuse_carcasses(frame, base, group, shop)
    else:
        _refuse_rails(frame, base, group)


def _refuse_carcasses(frame: BedFrame, base: Carcasses, group: str, shop: Shop) -> None:
    t, least = frame.t, frame.rail + frame.cover + 2 * frame.t
    need(base.depth > 3 * t, group, "carcass_width", f"leaves no opening in sheet {t:g} mm thick")
    need(frame.width - 2 * base.depth > 2 * t, group, "carcass_width",
         f"two carcasses leave no bay in a width of {frame.width:g}")  # fmt: skip
    need(frame.deck > least, group, "deck", f"too low for rails of {frame.rail:g}: at least {least:.0f}")
    far, edge = shop.number("places", "plate_far"), shop.number("places", "edge")
    plate, wide = far + edge, frame.width - 2 * (far + edge)
    narrow = plate + t
    need(base.depth >= narrow, group, "carcass_width", f"leaves no room for the plates: at least {narrow:.4g}")
    need(2 * base.depth <= wide, group, "carcass_width", f"leaves no room for the plates: at most {wide / 2:.4g}")
    need(frame.rail >= 2 * edge, group, "rail", f"leaves no wood round its bolts: at least {2 * edge:g}")


def _refuse_rails(frame: BedFrame, base: Rails, group: str) -> None:
    t, least = frame.t, frame.rail + base.ledger + frame.cover + (2 * frame.t if base.legs else 0.0)
    need(frame.width - 2 * base.reach(t) > 2 * t, group, "width", "leaves no hold between what is along its sides")
    need(frame.deck > least, group, "deck",
         f"too low for members of {frame.rail:g} on ledgers of {base.ledger:g}: more than {least:.0f}")  # fmt: skip
    if base.legs and base.bar is None:
        need(base.leg > 2 * t, group, "leg", f"is too narrow to carry rail and ledger: more than {2 * t:g}")
    if base.legs:
        (low, high), (after, _) = base.leg_spans(frame)[:2]
        need(after > high, group, "support", f"leaves no room between legs {high - low:g} wide")


def refuse_top(frame: BedFrame, base: Carcasses | Rails, top: Deck | Slats, group: str, shop: Shop) -> None:
    """Refuse decks and slats that do not lie on what is below.

    Raises
    ------
    ValueFaultError
        Naming the key.
    """
    if isinstance(top, Deck):
        _refuse_deck(frame, top, group, shop.number("bed", "flare"))
    else:
        _refuse_slats(frame, base, top, group)
    if isinstance(base, Carcasses) and (isinstance(top, Slats) or top.hatch == "hinged"):
        low = below_screws(shop) + shop.number("places", "edge")
        need(frame.rail >= low, group, "rail", f"leaves no wood for bolts under the deck's screws: at least {low:g}")


def _refuse_deck(frame: BedFrame, deck: Deck, group: str, most: float) -> None:
    for key, out in zip(("flare_rear", "flare_front"), deck.flare, strict=True):
        need(out <= most, group, key, f"nothing carries the deck there: at most {most:g}")
    flares = sum(out > 0 for out in deck.flare)
    need(flares * deck.flare_length <= frame.length, group, "flare_length", "is longer than the bed has room for")
    if deck.hatch == "hinged":
        need(frame.side + frame.t < deck.strip < frame.half, group, "strip",
             f"rests on what is along the side: between {frame.side + frame.t:.0f} and {frame.half:.0f}")  # fmt: skip


def _refuse_slats(frame: BedFrame, base: Carcasses | Rails, slats: Slats, group: str) -> None:
    rest = frame.t + (base.inset(frame.t) if isinstance(base, Rails) else 0.0)
    key = "slat" if slats.bar else "slat_width"
    need(slats.width > rest, group, key, f"the outer slats must be wider than {rest:g}, to lie on what carries them")
    count = slats.count(frame)
    gap = (frame.width - count * slats.width) / (count - 1)
    wider = (frame.width - (count - 1) * slats.width) / max(count - 2, 1)
    need(gap > 0, group, "slat_gap",
         f"{count} slats {slats.width:g} wide do not go into {frame.width:g}; allow gaps of {wider:.1f}")  # fmt: skip
    middle = frame.width - 2 * base.depth if isinstance(base, Carcasses) else frame.width
    need(middle > slats.gap, group, "carcass_width", "leaves cross rails that no slat lies on")
