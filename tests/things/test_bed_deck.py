"""What lies on top of a bed platform: wider ends, panels that lift off, lids, holes, slats."""

from itertools import pairwise

import pytest
import shapely

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.things.bed_platform import BedPlatform
from tests.things.beds import bought, shop, sizes


def _made(thickness: float = 15.0, **more: object) -> Thing:
    said = {"length": 2000.0, "width": 1300.0, "deck": 700.0, "support": 500.0, "heaviest_panel": 30.0, **more}
    bed = BedPlatform(kind="bed platform", sheet="ply", **said)  # type: ignore[arg-type]
    return bed.make("bed", "bed", shop(thickness))


def _deck(bed: Thing, name: str = "deck panel") -> list[Panel]:
    return [panel for panel in bed.panels if panel.name == name]


def _plan(bed: Thing, *names: str) -> shapely.Polygon:
    """Return what of the deck is filled, seen from above: panels put where they are, holes cut."""
    return shapely.union_all([
        shapely.Polygon(
            [_in_bed(panel, p) for p in panel.outline], [[_in_bed(panel, p) for p in hole] for hole in panel.holes]
        )
        for panel in bed.panels if panel.name in names
    ])  # fmt: skip


def _in_bed(panel: Panel, point: tuple[float, float]) -> tuple[float, float]:
    x, y, _ = panel.at
    u, v = point
    return (x + u, y + v) if panel.along == "x" else (x + v, y + u)


def test_flares_by_hand() -> None:
    """A deck 2000 x 1300 that is 60 wider on both sides over 400 at the rear and 40 over as much at the front."""
    bed = _made(flare_rear=60.0, flare_front=40.0, flare_length=400.0, support=1000.0)
    rear, front = _deck(bed)

    # (2000 - 15) / 1000 = 1.98: two fields, the joint in the middle at 1000. Each panel has eight corners.
    assert (len(rear.outline), len(front.outline)) == (8, 8)
    assert (rear.length, rear.width, front.length, front.width) == (1420, 1000, 1380, 1000)
    assert (rear.area, front.area) == (1300 * 1000 + 2 * 60 * 400, 1300 * 1000 + 2 * 40 * 400)
    wanted = shapely.union_all([
        shapely.box(0, -650, 2000, 650), shapely.box(0, -710, 400, 710), shapely.box(1600, -690, 2000, 690)
    ])  # fmt: skip
    assert _plan(bed, "deck panel").symmetric_difference(wanted).area == pytest.approx(0, abs=1e-6)
    assert bed.box.bounds == (0, -710, 2000, 710)
    assert faults(bed) == ()


def test_a_flare_as_long_as_its_panel_leaves_a_rectangle() -> None:
    """Where the wide part ends at a joint the panel is a plain rectangle; where it goes on, the next one has the corners."""
    bed = _made(flare_rear=60.0, flare_length=1100.0, support=1000.0)
    rear, front = _deck(bed)

    assert rear.is_rectangle
    assert (rear.length, len(front.outline)) == (1420, 8)


def test_the_mass_of_a_wide_end_counts() -> None:
    """Panels are divided by their mass with their flares: 1300 x 1000 x 15 x 700 is 13.65 kg, a flare of 150 adds 1.26."""
    said = {"support": 500.0, "heaviest_panel": 14.0, "carcass_width": 200.0}
    plain, wide = _made(**said), _made(**said, flare_rear=150.0)

    assert len(_deck(plain)) == 2
    assert len(_deck(wide)) == 3
    assert max(panel.mass_kg for panel in _deck(wide)) <= 14


def test_panels_that_lift_off() -> None:
    """Each panel has a slot 100 x 25 at both ends, over an open field, and goes straight up; two latches hold it."""
    bed = _made(hatch="lift off", support=400.0)
    deck = _deck(bed)
    under = shapely.union_all(
        [shapely.Polygon(s.outline) for s in bed.solids if s.name != "deck panel" and 680 < s.z1 <= 685]
    )

    for panel in deck:
        slots = [shapely.Polygon([_in_bed(panel, p) for p in hole]) for hole in panel.holes]
        assert [(slot.bounds[2] - slot.bounds[0], slot.bounds[3] - slot.bounds[1]) for slot in slots] == [(100, 25)] * 2
        # The carcass' back is 15 thick; the slot begins 50 further in: 650 - 15 - 50 = 585.
        assert sorted(max(abs(slot.bounds[1]), abs(slot.bounds[3])) for slot in slots) == pytest.approx([585, 585])
        assert not any(slot.intersects(under) for slot in slots)
    assert [m.kind for m in bed.motions] == ["lift off"] * len(deck)
    assert [m.swept[0].bounds for m in bed.motions] == [
        pytest.approx(panel.solid.bounds) for panel in deck
    ]  # fmt: skip
    assert bought(bed, "latch-push") == 2 * len(deck)
    assert faults(bed) == ()


def test_no_slots_where_they_are_not_wanted() -> None:
    """`hand_slots: no` leaves the panels whole, so that the top is closed."""
    bed = _made(hatch="lift off", hand_slots="no")

    assert all(panel.is_rectangle for panel in _deck(bed))
    assert bed.promise is not None
    assert "top" in bed.promise.closed


@pytest.mark.parametrize("hinge", ["left", "right"])
def test_lids_by_hand(hinge: str) -> None:
    """Lids 1150 wide hang on a strip of 150 along one side, and open over it; stays, latches and hinges are bought."""
    bed = _made(hatch="hinged", hinge=hinge, strip=150.0, support=1000.0)
    way = 1 if hinge == "left" else -1

    assert sizes(bed)["hinge strip", 2000, 150] == 1
    assert sizes(bed)["deck lid", 1150, 1000] == 2
    assert _plan(bed, "deck lid", "hinge strip").area == pytest.approx(2000 * 1300 - 2 * 100 * 25)
    [strip] = _deck(bed, "hinge strip")
    assert max(way * y for y in strip.solid.bounds[1::2]) == 650
    # A lid 1150 wide stands 1150 over the deck when it is upright, over its hinge at 500.
    swept = bed.motions[0].swept
    assert max(s.z1 for s in swept) == pytest.approx(700 + 1150)
    highest = max(swept, key=lambda s: s.z1)
    assert max(way * y for y in highest.bounds[1::2]) == pytest.approx(500)
    assert (bought(bed, "hinge-piano"), bought(bed, "stay-lid"), bought(bed, "latch-push")) == (2, 2, 2)
    # One slot, at the free end.
    assert [len(panel.holes) for panel in _deck(bed, "deck lid")] == [1, 1]
    assert faults(bed) == ()


def test_held_down_where_nothing_opens() -> None:
    """Without a hatch nothing moves, and each panel is bolted down at both ends."""
    bed = _made()

    assert bed.motions == ()
    count = len(_deck(bed))
    assert (bought(bed, "insert-m6"), bought(bed, "latch-push")) == (2 * count, 0)


@pytest.mark.parametrize("on", ["carcasses", "wall rails", "legs"])
@pytest.mark.parametrize("hatch", ["none", "lift off", "hinged"])
def test_holes_let_air_in_and_miss_the_wood(on: str, hatch: str) -> None:
    """Holes 30 wide: none over a cross member or what is at the sides, none nearer than 30 to another hole or an edge."""
    bed = _made(on=on, hatch=hatch, vents="yes", flare_rear=50.0)
    name = "deck lid" if hatch == "hinged" else "deck panel"
    under = shapely.union_all(
        [shapely.Polygon(s.outline) for s in bed.solids if s.name not in (name, "hinge strip") and 680 < s.z1 <= 685]
    )

    for panel in _deck(bed, name):
        holes = [shapely.Polygon([_in_bed(panel, p) for p in hole]) for hole in panel.holes]
        rounds = [hole for hole in holes if len(hole.exterior.coords) > 6]
        edge = shapely.Polygon([_in_bed(panel, p) for p in panel.outline]).exterior
        assert len(rounds) >= 4
        assert all(hole.distance(under) > 40 for hole in rounds)
        assert all(hole.distance(edge) > 40 for hole in rounds)
        assert all(a.distance(b) >= 14 for i, a in enumerate(holes) for b in holes[i + 1 :])
        assert all(hole.bounds[2] - hole.bounds[0] == pytest.approx(30) for hole in rounds)
    assert faults(bed) == ()


def test_slats_by_hand() -> None:
    """Slats 70 wide over 1300 with gaps of at most 40: (1300 + 40) / 110 = 12.2, so 13 with 12 gaps of 32.5."""
    bed = _made(top="slats")
    slats = sorted(s.bounds[1::2] for s in bed.solids if s.name == "slat")

    assert sizes(bed)["slat", 2000, 70] == 13
    assert [b[0] - a[1] for a, b in pairwise(slats)] == pytest.approx([32.5] * 12)
    assert (slats[0][0], slats[-1][1]) == (-650, 650)
    # 15 under the deck as a panel would be; uprights end there.
    assert {p.solid.z1 for p in bed.panels if p.name == "left upright"} == {685}
    assert faults(bed) == ()


def test_slats_of_laths_keep_the_height() -> None:
    """Laths 18 thick lie flat, so all that carries them ends at 700 - 18."""
    bed = _made(top="slats", slat="lath")

    assert {b.solid.z0 for b in bed.battens} == {682}
    assert bed.box.z1 == 700
    assert {p.solid.z1 for p in bed.panels if p.name == "left upright"} == {682}
    assert faults(bed) == ()


def test_slats_on_bars_are_screwed_to_each() -> None:
    """Where slats cross bars, which have no joints of their own, a screw is counted for each crossing."""
    bed = _made(top="slats", slat="lath", on="wall rails", bar="beam")
    slats, bars = (sum(b.name == name for b in bed.battens) for name in ("slat", "cross rail"))

    # 18 of lath and 20 of bite: screws of 40.
    assert (slats, bars) == (13, 3)
    assert bought(bed, "screw-4x40") == 13 * 3


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("flare_rear", {"flare_rear": 160.0}, "at most 150"), ("flare_front", {"flare_front": 160.0}, "at most 150"),
        ("flare_length", {"flare_rear": 50.0, "flare_front": 50.0, "flare_length": 1100.0}, "longer than the bed"),
        ("strip", {"hatch": "hinged", "strip": 20.0}, "between 30 and 650"), ("strip", {"hatch": "hinged", "strip": 700.0}, "650"),
        ("hand_slots", {"hatch": "lift off", "support": 110.0}, "write hand_slots: no"),
        ("vents", {"vents": "yes", "support": 100.0}, "no room for holes; bring support: up"),
        ("vents", {"vents": "yes", "top": "slats"}, "slats have gaps"), ("hatch", {"hatch": "hinged", "top": "slats"}, "slats are fixed"),
        ("flare_rear", {"flare_rear": 50.0, "top": "slats"}, "belongs to top: solid"), ("strip", {"strip": 90.0}, "hatch: hinged"),
        ("carcass_width", {"top": "slats", "carcass_width": 598.0, "slat_gap": 110.0}, "no slat lies on"),
    ],
)  # fmt: skip
def test_refuses_tops_that_do_not_lie_or_open(key: str, more: dict[str, object], words: str) -> None:
    """What would bend, would not lie on anything, or would do nothing, is refused with what to write."""
    with pytest.raises(ValueFaultError) as caught:
        _made(**more)

    assert caught.value.path == ("things", "bed", key)
    assert words in caught.value.text
