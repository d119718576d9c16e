"""The referee of furniture: a unit made by hand is accepted, and every way to spoil it is told in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.model.building import Promise
from layout.model.panel import Panel
from layout.model.solid import box
from layout.model.thing import Thing
from tests.building.made import (
    PLY,
    flat,
    gone,
    joint,
    longer,
    mirrored,
    promise,
    rejointed,
    shelf_unit,
    shifted,
    spoilt,
    whole,
    wider,
)

CASES: dict[str, tuple[Callable[[Thing], Thing], str]] = {
    "thickness not taken off": (lambda t: spoilt(t, "top", _between_outsides), "in each other"),
    "thickness taken off twice": (lambda t: spoilt(t, "top", longer(-18)), "top: butt to side, but 18.00 apart"),
    "too long by a thickness": (lambda t: spoilt(t, "kick", longer(18)), "side and kick are 18.00 in each other"),
    "groove depth forgotten": (lambda t: spoilt(t, "shelf", _housing_forgotten), "0.00 in each other, 6 by their joint"),
    "groove deeper than the other": (
        lambda t: spoilt(t, "back", rejointed("groove", depth=18.0)), "a groove 18 deep goes through side",
    ),
    "groove without a depth": (lambda t: spoilt(t, "back", rejointed("groove", depth=0.0)), "without a depth"),
    "groove a little too deep": (lambda t: spoilt(t, "shelf", longer(1)), "7.00 in each other, 6 by their joint"),
    "back missing": (lambda t: spoilt(t, "back", gone), "0 of 1 pieces called back"),
    "bottom missing": (lambda t: spoilt(t, "bottom", gone), "0 of 1 pieces called bottom"),
    "cleat missing": (lambda t: spoilt(t, "cleat", gone), "0 of 1 pieces called cleat"),
    "lipping missing": (lambda t: spoilt(t, "lipping", gone), "0 of 1 pieces called lipping"),
    "one side of two missing": (lambda t: spoilt(t, "side", gone, 1), "1 of 2 pieces called side"),
    "a piece too many": (lambda t: _with(t, flat("rib", "yz", (200.0, -282.0, 700.0), (564.0, 82.0))), "called rib"),
    "grain swapped": (lambda t: spoilt(t, "kick", lambda p: replace(p, grain="across")), "its grain is across"),
    "a gap at one end of a joint": (lambda t: spoilt(t, "top", longer(-1)), "top: butt to side, but 1.00 apart"),
    "a gap at a joint": (lambda t: spoilt(t, "lipping", shifted("x", 1)), "1.00 apart"),
    "notch on the wrong side": (lambda t: spoilt(t, "side", mirrored), "side stands in the opening toes"),
    "panel shifted along": (lambda t: spoilt(t, "shelf", shifted("y", 1)), "7.00 in each other, 6 by their joint"),
    "panel shifted up": (lambda t: spoilt(t, "shelf", shifted("z", 1)), "shelf stands in the opening upper"),
    "panel shifted forward": (lambda t: spoilt(t, "shelf", shifted("x", 1)), "in each other"),
    "joint to what is not there": (lambda t: spoilt(t, "kick", rejointed("butt", to="plinth")), "to plinth, which is not"),
    "joint at another edge": (
        lambda t: spoilt(t, "kick", rejointed("butt", to="side", side="top")), "not at its top edge",
    ),
    "piece joined to nothing": (lambda t: spoilt(t, "kick", lambda p: replace(p, joints=())), "kick is joined to nothing"),
    "outside wrong": (
        lambda t: _promising(t, outside=box("o", (0, 400), (-300, 300), (0, 801))), "its top is at 800.00, promised 801.00",
    ),
    "two panels swapped": (lambda t: _swapped(t, "shelf", "bottom"), "in each other"),
    "two faces swapped": (lambda t: _swapped(t, "kick", "top"), "its top is at"),
    "a shelf in the opening": (lambda t: spoilt(t, "shelf", shifted("z", -100)), "shelf stands in the opening lower"),
    "one slide of two missing": (lambda t: _bought(t, "slides-pair", 1), "1 of 2 slides-pair"),
    "a latch missing": (lambda t: _bought(t, "latch-push", 1), "1 of 2 latch-push"),
    "band not taken off": (lambda t: spoilt(t, "top", _band_forgotten), "top would be 401.50 wide with its edge bands"),
    "two bands on an edge": (
        lambda t: spoilt(t, "top", lambda p: replace(p, bands=(("top", 1.5), ("top", 1.5)))), "an edge has two bands",
    ),
    "panel of another thickness": (
        lambda t: spoilt(t, "kick", lambda p: replace(p, sheet=replace(PLY, thickness=17.7))), "kick is 17.7 thick",
    ),
    "batten turned on edge": (
        lambda t: spoilt(t, "cleat", lambda b: replace(b, solid=box("c", (16, 60), (-282, 282), (764, 782)))), "",
    ),
    "batten sawn too long": (lambda t: spoilt(t, "cleat", lambda b: replace(b, length=582.0)), "its bar sawn to length"),
    "batten elsewhere": (lambda t: spoilt(t, "lipping", shifted("z", 3)), "no lipping stands at x 382.00 to 400.00"),
    "edge that hangs over": (lambda t: spoilt(t, "kick", shifted("x", 68)), "its front is at"),
    "face left open": (lambda t: spoilt(t, "top", _with_gap), "its top is open over"),
    "hole beyond the edge": (
        lambda t: spoilt(t, "top", lambda p: replace(p, holes=(((500.0, 10.0), (600.0, 10.0), (600.0, 60.0)),))),
        "a hole reaches beyond",
    ),
    "outline that crosses itself": (
        lambda t: spoilt(t, "kick", lambda p: replace(p, outline=(p.outline[0], p.outline[2], p.outline[1], p.outline[3]))),
        "its outline crosses itself",
    ),
    "piece that takes no room": (lambda t: replace(t, solids=t.solids[:-1]), "cleat is not among what the unit fills"),
    "piece that weighs nothing": (lambda t: replace(t, mass_kg=t.mass_kg - 1), "its pieces"),
    "no promise": (lambda t: replace(t, promise=None), "promises nothing"),
}  # fmt: skip


def _between_outsides(top: Panel) -> Panel:
    return replace(longer(36)(top), at=(0.0, -300.0, 782.0))


def _housing_forgotten(shelf: Panel) -> Panel:
    return replace(longer(-12)(shelf), at=(16.0, -282.0, 440.0))


def _with_gap(top: Panel) -> Panel:
    return replace(wider(-1)(top), at=(1.0, -282.0, 782.0))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Forgetful(Panel):
    """A panel whose maker does not take the edge band off."""

    @property
    def cut_width(self) -> float:
        """Return the finished width."""
        return self.width


def _band_forgotten(top: Panel) -> Panel:
    return _Forgetful(**{key: getattr(top, key) for key in Panel.__dataclass_fields__})


def _with(thing: Thing, *panels: Panel) -> Thing:
    return replace(whole((*thing.panels, *panels), thing.battens, thing.promise), hardware=thing.hardware)


def _promising(thing: Thing, **more: Any) -> Thing:
    return replace(thing, promise=replace(promise(), **more))


def _swapped(thing: Thing, one: str, other: str) -> Thing:
    places = {panel.name: panel.at for panel in thing.panels}
    made = spoilt(thing, one, lambda p: replace(p, at=places[other]))
    return spoilt(made, other, lambda p: replace(p, at=places[one]))


def _bought(thing: Thing, item: str, count: int) -> Thing:
    hardware = tuple(replace(h, count=count) if h.item == item else h for h in thing.hardware)
    return replace(thing, hardware=hardware)


def test_a_unit_made_by_hand_is_accepted() -> None:
    """A unit with a butt joint, housings, grooves, a cleat, a lipping, a notch and a band goes together as promised."""
    assert faults(shelf_unit()) == ()


@pytest.mark.parametrize("name", CASES)
def test_every_fault_is_caught(name: str) -> None:
    """A unit spoilt in one way only is refused, in words that name what is wrong."""
    spoil, says = CASES[name]
    found = faults(spoil(shelf_unit()))

    assert found
    assert any(says in fault for fault in found), found


def test_what_does_not_move_pieces_is_no_fault() -> None:
    """The order of pieces, the good face, and where an outline is begun do not matter."""
    unit = shelf_unit()
    turned = [replace(panel, outline=panel.outline[2:] + panel.outline[:2], good=None) for panel in unit.panels]

    assert faults(whole(tuple(reversed(turned)), unit.battens[::-1], unit.promise)) == ()


def _gable(slope: float, reach: float = 0.0) -> Thing:
    """Return two upright panels 12 thick in one plane that meet along a slanting line, and two on edge that carry them.

    The line leans by `slope` mm a mm of height; the left panel reaches over it by `reach`.
    """
    sheet = replace(PLY, material="ply12", thickness=12.0)
    lean = 400.0 * slope
    left = ((0.0, 0.0), (300.0 + reach, 0.0), (300.0 + reach + lean, 400.0), (0.0, 400.0))
    right = ((300.0, 0.0), (600.0, 0.0), (600.0, 400.0), (300.0 + lean, 400.0))
    panels = (
        flat("left", "xz", (0.0, 0.0, 18.0), (1.0, 1.0), joint("butt", "right", "right"), outline=left, sheet=sheet),
        flat("right", "xz", (0.0, 0.0, 18.0), (1.0, 1.0), joint("butt", "base", "bottom"), outline=right, sheet=sheet),
        flat("base", "xy", (0.0, 0.0, 0.0), (600.0, 12.0)),
    )
    told = Promise(outside=box("o", (0, 600), (0, 12), (0, 418)), closed=("front", "rear", "bottom"))
    return whole(panels, (), told)


@pytest.mark.parametrize("slope", [0.0, 0.05, 0.2, -0.3])
def test_slanting_edges_meet_exactly(slope: float) -> None:
    """Two panels that meet along a slanting line close; a gap or an overlap of a fifth of a millimetre is told."""
    assert faults(_gable(slope)) == ()
    assert any("apart" in fault or "not at its" in fault for fault in faults(_gable(slope, -0.2)))
    assert any("in each other" in fault for fault in faults(_gable(slope, 0.2)))


def test_a_panel_may_pass_through_a_hole_of_another() -> None:
    """A post goes through a hole that was sawn for it, and not through the shelf beside it."""
    hole = ((100.0, 100.0), (144.0, 100.0), (144.0, 118.0), (100.0, 118.0))
    shelf = flat("shelf", "xy", (0.0, 0.0, 300.0), (600.0, 400.0), holes=(hole,))
    post = flat("post", "zx", (100.0, 100.0, 0.0), (800.0, 44.0), joint("butt", "shelf", None))
    told = Promise(outside=box("o", (0, 600), (0, 400), (0, 800)))
    found = faults(whole((shelf, post), (), told))
    beside = faults(whole((shelf, replace(post, at=(160.0, 100.0, 0.0))), (), told))

    assert not any("in each other" in fault for fault in found)
    assert any("shelf and post are 18.00 in each other" in fault for fault in beside)


def test_one_joint_stands_for_all_pieces_of_a_name() -> None:
    """Five uprights of one name on one bottom: one of them a millimetre short of the deck is told, and by how much."""
    bottom = flat("bottom", "xy", (0.0, 0.0, 0.0), (1618.0, 300.0))
    uprights = [
        flat("upright", "zy", (400.0 * i, 0.0, 18.0), (500.0, 300.0), joint("butt", "bottom", "left")) for i in range(5)
    ]
    deck = flat("deck", "xy", (0.0, 0.0, 518.0), (1618.0, 300.0), joint("loose", "upright"))
    told = Promise(outside=box("o", (0, 1618), (0, 300), (0, 536)), closed=("top", "bottom"), roles=(
        ("bottom", 1), ("upright", 5), ("deck", 1)))  # fmt: skip
    unit = whole((bottom, *uprights, deck), (), told)

    assert faults(unit) == ()
    assert faults(spoilt(unit, "upright", longer(-1), 2)) == ("deck: loose to upright, but 1.00 apart",)
    assert faults(spoilt(unit, "upright", longer(-18), 2)) == ("deck: loose to upright, but 18.00 apart",)
