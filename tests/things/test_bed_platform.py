"""The bed platform's panels, by hand arithmetic."""

import pytest

from layout.errors import ValueFaultError
from layout.model.panel import Sheet
from layout.things.base import Shop
from layout.things.bed_platform import BedPlatform


def _bed(thickness: float = 15.0, **more: object) -> BedPlatform:
    sizes = {"length": 1900.0, "width": 1300.0, "deck": 700.0, "carcass_width": 300.0, "support": 500.0, **more}
    return BedPlatform(kind="bed platform", sheet="ply", **sizes)  # type: ignore[arg-type]


def _shop(thickness: float = 15.0) -> Shop:
    return Shop(sheets={"ply": Sheet(material="ply", thickness=thickness, density_kg_m3=700)}, specs={})


def test_panels_by_hand() -> None:
    """A bed 1900 x 1300 x 700 in 15 mm: 4 fields of support need 5 uprights and rails, sized by what stands between them."""
    thing = _bed().make("bed", "bed", _shop())
    by_name: dict[str, list[tuple[float, float]]] = {}
    for panel in thing.panels:
        by_name.setdefault(panel.name, []).append((round(panel.length, 3), round(panel.width, 3)))

    # (1900 - 15) / 500 = 3.77, so 4 fields and 5 stations; upright: 700 - 2 x 15 high, 300 - 15 wide.
    assert by_name["left upright"] == [(670, 285)] * 5
    assert by_name["left bottom"] == [(1900, 300)]
    assert by_name["left back"] == [(1900, 670)]
    # Rails reach from carcass to carcass: 1300 - 2 x 300.
    assert by_name["cross rail"] == [(700, 80)] * 5
    assert sum(min(size) for size in by_name["deck panel"]) == pytest.approx(1900)
    assert all(max(size) == 1300 for size in by_name["deck panel"])


@pytest.mark.parametrize("thickness", [9.2, 11.8, 14.9, 17.7])
def test_outside_stays_and_insides_follow_the_sheet(thickness: float) -> None:
    """Whatever the sheet measures, deck height and outside stay; uprights give the thickness away."""
    thing = _bed().make("bed", "bed", _shop(thickness))

    assert thing.box.bounds == pytest.approx((0, -650, 1900, 650))
    assert thing.box.z1 == pytest.approx(700)
    upright = next(p for p in thing.panels if p.name == "left upright")
    assert (upright.length, upright.width) == pytest.approx((700 - 2 * thickness, 300 - thickness))


def test_panels_do_not_overlap() -> None:
    """No two panels of the platform take the same room."""
    from layout.checks.context import shared_box

    panels = _bed(overhang=120.0).make("bed", "bed", _shop()).panels

    assert [
        (a.name, b.name) for i, a in enumerate(panels) for b in panels[i + 1 :] if shared_box(a.solid, b.solid)
    ] == []


def test_deck_panels_are_light_and_meet_on_uprights() -> None:
    """No deck panel is heavier than said, and each joint lies on the middle of an upright."""
    thing = _bed(heaviest_panel=8.0).make("bed", "bed", _shop())
    deck = [p for p in thing.panels if p.name == "deck panel"]
    middles = {round(sum(p.solid.bounds[::2]) / 2, 3) for p in thing.panels if p.name == "left upright"}

    assert len(deck) > 1
    assert all(panel.mass_kg <= 8.0 for panel in deck)
    assert {round(p.solid.bounds[0], 3) for p in deck[1:]} <= middles


@pytest.mark.parametrize(
    ("key", "more"),
    [
        ("carcass_width", {"carcass_width": 650.0}), ("carcass_width", {"carcass_width": 40.0}),
        ("deck", {"deck": 100.0}), ("overhang", {"overhang": 400.0}), ("sheet", {"sheet": "oak"}),
    ],
)  # fmt: skip
def test_refuses_sizes_that_leave_no_opening(key: str, more: dict[str, object]) -> None:
    """Sizes that cannot be built are refused, naming the key."""
    bed = BedPlatform(kind="bed platform", **{"length": 1900.0, "width": 1300.0, "deck": 700.0, "sheet": "ply", **more})  # type: ignore[arg-type]

    with pytest.raises(ValueFaultError) as caught:
        bed.make("bed", "bed", _shop())

    assert caught.value.path == ("things", "bed", key)
