"""Screws, blocks, inserts, bolts, glue and edge band, counted by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.building.fixings import BOLTS, SCREWS, count_along, fixings, glue_g, joint_fixings
from layout.files.catalogue import Catalogue
from layout.files.rules import read_building
from layout.model.building import Batten, Hardware
from layout.model.panel import Panel, Sheet
from layout.model.solid import box
from layout.model.thing import Thing
from tests.building.kinds import units
from tests.building.made import CLEAT, PLY, flat, joint, rejointed, shelf_unit, spoilt, whole

RULES = read_building()


def _counts(*things: Thing) -> dict[str, int]:
    return {hardware.item: hardware.count for hardware in fixings(things, RULES)}


@pytest.mark.parametrize(
    ("length", "count"), [(30, 1), (79, 1), (80, 2), (230, 2), (231, 3), (380, 3), (400, 4), (2000, 14)]
)
def test_screws_along_a_joint(length: float, count: int) -> None:
    """40 from both ends and at most 150 apart: 150 between the outer two of 230, so 231 takes a third; 79 has one."""
    assert count_along(length, 150, 40) == count


@given(st.floats(1, 4000), st.floats(20, 400), st.floats(5, 80))
def test_no_two_screws_are_too_far_apart(length: float, spacing: float, end: float) -> None:
    """Whatever the numbers, the screws are as few as leave no gap wider than the spacing."""
    count = count_along(length, spacing, end)
    clear = length - 2 * end

    assert count == 1 if clear < 0 else clear / (count - 1) <= spacing * (1 + 1e-9)
    assert count <= 2 or clear / (count - 2) > spacing * (1 - 1e-6)


def test_all_fixings_of_a_unit_by_hand() -> None:
    """A unit 564 clear and 400 deep in 18: every screw and all glue, joint by joint.

    Top in two sides: 400 long, (400 - 80) / 150 = 2.1, so 4 each, through 18 and 20 deep: 40 long. Kick in two sides: 80
    long, 2 each; under the bottom 564 long, (564 - 80) / 150 = 3.2, so 5. Lipping on the shelf: 564, 5. In all 22 of 40.
    Shelf through the back of 6: 576 long, 5, and 6 + 20 = 26 asks for 30. Top on the cleat, face to face: 5, which go 18
    through the top and no more than 20 into the cleat: 35.
    Glue: top 2 x 400 x 18, bottom 2 x 400 x (18 + 12) and shelf 2 x 366 x (18 + 12) with the cheeks of their housings;
    back 2 x 696, 576 and 564 by (6 + 12); cleat, lipping, kick under bottom 3 x 564 x 18; kick 2 x 80 x 18; shelf on back
    576 x 18: 149,640 mm² at 180 g/m².
    """
    area = (2 * 400 * 18 + 2 * 400 * 30 + 2 * 366 * 30 + (2 * 696 + 576 + 564) * 18 + 3 * 564 * 18 + 2 * 80 * 18
            + 576 * 18)  # fmt: skip

    assert area == 149_640
    assert glue_g(shelf_unit(), RULES) == pytest.approx(area * 180e-6)
    assert _counts(shelf_unit()) == {
        "slides-pair": 2, "latch-push": 2, "screw-4x40": 22, "screw-4x35": 5, "screw-3.5x30": 5, "glue": 1, "band-wood": 1,
    }  # fmt: skip


def test_equal_units_share_a_bottle_of_glue() -> None:
    """Eight units take eight times the screws, but 8 x 26.9 g of glue are 215.5 g: three times 100 g, not eight."""
    assert _counts(*[shelf_unit()] * 8)["screw-4x40"] == 8 * 22
    assert _counts(*[shelf_unit()] * 8)["glue"] == 3


def test_where_the_screws_stand() -> None:
    """On a joint of 400 the first is 40 from the end and the next 106.7 on; on one of 80 both stand 20 from the ends."""
    held = {(f.contact.piece.name, f.contact.to.name): f for f in joint_fixings(shelf_unit(), RULES["screws"])}

    assert (held["top", "side"].end, held["top", "side"].apart) == (40, pytest.approx(320 / 3))
    assert (held["kick", "side"].end, held["kick", "side"].apart) == (20, pytest.approx(40))


def _lid(thin: float, thick: float) -> Thing:
    """Return a panel that lies with its face on another, 500 x 300."""
    one, other = (Sheet(material=f"ply{t}", thickness=t, density_kg_m3=700) for t in (thin, thick))
    panels: tuple[Panel, ...] = (
        flat("one", "xy", (0, 0, 0), (500, 300), joint("butt", "other"), sheet=one),
        flat("other", "xy", (0, 0, thin), (500, 300), sheet=other),
    )
    return whole(panels, (), None)


@pytest.mark.parametrize(
    ("thin", "thick", "screw"),
    [(12, 12, "screw-3x20"), (15, 15, "screw-3.5x25"), (18, 18, "screw-3.5x30"), (9, 18, "screw-3.5x25"), (18, 9, "screw-3.5x25"),
     (6.5, 12, "screw-3x16"), (18, 40, "screw-4x35")],
)  # fmt: skip
def test_a_screw_never_comes_out_of_a_face(thin: float, thick: float, screw: str) -> None:
    """Face to face the screw goes through the thinner and stops 2 short of the other side: 12 + 12 - 2 = 22 takes 20."""
    items = _counts(_lid(thin, thick))
    length = next(mm for mm, item in SCREWS if item == screw)

    assert screw in items
    assert length <= thin + thick - 2


def test_an_edge_too_thin_for_a_screw_has_corner_blocks() -> None:
    """A shelf of 11.2 between sides of 18 is held by blocks: 2 x 4 along 400, each with 4 screws no longer than 11.2 + 5 - 2."""
    thin = Sheet(material="ply12", thickness=11.2, density_kg_m3=700)
    panels = (
        flat("side", "zx", (0, -200, 0), (500, 400)),
        flat("side", "zx", (0, 182, 0), (500, 400)),
        flat("shelf", "xy", (0, -182, 300), (400, 364), joint("butt", "side", "bottom"), sheet=thin),
    )
    unit = whole(panels, (), None)
    found = _counts(unit)

    assert (found["corner-block"], found["screw-3x12"]) == (8, 8 * 4)
    assert not {item for item in found if item.startswith("screw-4")}
    # What a kind counts itself is not counted again, only what is missing.
    assert _counts(replace(unit, hardware=(Hardware(item="corner-block", count=6, why="own"),)))["corner-block"] == 8
    assert _counts(replace(unit, hardware=(Hardware(item="corner-block", count=9, why="own"),)))["corner-block"] == 9


@pytest.mark.parametrize(
    ("kind", "inside", "bolt"), [("insert", "insert-m6", "bolt-m6x30"), ("bolt", "tee-nut-m6", "bolt-m6x40")]
)
def test_what_comes_apart(kind: str, inside: str, bolt: str) -> None:
    """A rail of 18 on a post of 18, 500 long: (500 - 80) / 300 = 1.4, so 3; 18 + 12 in an insert, 18 + 18 through a tee nut."""
    rail = flat("rail", "xz", (0, 0, 0), (500, 100), joint(kind, "post"))
    post = flat("post", "xz", (0, 18, 0), (500, 100))
    found = _counts(whole((rail, post), (), None))

    assert found["slides-pair"] == 2
    assert {item: found[item] for item in (inside, bolt)} == {inside: 3, bolt: 3}
    assert "glue" not in found


def test_rails_end_to_end_are_held_by_what_their_kind_counts() -> None:
    """No bolt goes through two panels that meet edge to edge: their plates are the kind's; glued there, they take blocks."""
    one = flat("one", "xz", (0, 0, 0), (500, 100), joint("bolt", "two", "right"))
    two = flat("two", "xz", (500, 0, 0), (500, 100))
    bolted, glued = whole((one, two), (), None), whole((rejointed("bolt", kind="butt")(one), two), (), None)

    assert not {"bolt-m6x40", "tee-nut-m6"} & set(_counts(bolted))
    assert _counts(glued)["corner-block"] == 2


def test_a_joint_told_by_both_pieces_is_screwed_once() -> None:
    """Whether one piece or both name the joint, and whether the batten lies above or below, the screws are the same."""
    once = spoilt(shelf_unit(), "side", lambda p: p)
    both = spoilt(once, "side", lambda p: replace(p, joints=(joint("butt", "top"),)))

    assert _counts(both) == _counts(once)


def test_through_a_batten_into_an_edge() -> None:
    """A panel edge on a cleat 44 deep that way: 44 + 20 asks for 70; the cleat laid flat, 18 + 20, for 40."""
    for solid, screw in (
        (box("c", (0, 500), (-9, 9), (-44, 0)), "screw-5x70"),
        (box("c", (0, 500), (-22, 22), (-18, 0)), "screw-4x40"),
    ):
        panel = flat("fin", "xz", (0, -9, 0), (500, 200), joint("butt", "cleat", "bottom"))
        found = _counts(whole((panel,), (Batten(name="cleat", bar=CLEAT, length=500, solid=solid),), None))
        assert found[screw] == 4


def test_every_item_is_in_the_catalogue_with_its_size() -> None:
    """What is counted can be looked up: screws and bolts have the length that they are chosen by."""
    shelf = Catalogue(None)
    for length, item in SCREWS:
        entry = shelf.entry(f"hardware/{item}")
        assert entry is not None
        assert float(entry["length"]) == length
        assert item == f"screw-{float(entry['diameter']):g}x{length:g}"
    for length, item in BOLTS:
        assert item.endswith(f"x{length:g}")
        assert shelf.entry(f"hardware/{item}") is not None
    for unit in units().values():
        for hardware in fixings((unit,), RULES):
            assert shelf.entry(f"hardware/{hardware.item}") is not None, hardware.item


def test_screws_into_edges_are_not_too_thick() -> None:
    """In every unit of the projects a screw that goes into an edge is at most four tenths as thick as that edge."""
    seen = 0
    for unit in [shelf_unit(), *units().values()]:
        for fixing in joint_fixings(unit, RULES["screws"]):
            if fixing.item.startswith("screw") and fixing.contact.by_edge:
                seen += 1
                assert float(fixing.item.split("-")[1].split("x")[0]) <= 0.4 * fixing.contact.edge
    assert seen > 50


def test_bands_are_by_the_metre() -> None:
    """Both long edges and one end of a top 564 x 400: 2 x 564 + 400 = 1,528 mm, two metres; a kind's own count stands."""
    bands = (("top", 1.5), ("bottom", 1.5), ("left", 1.5))
    unit = spoilt(shelf_unit(), "top", lambda p: replace(p, bands=bands))
    known = replace(unit, hardware=(*unit.hardware, Hardware(item="band-wood", count=3, why="own")))

    assert (_counts(unit)["band-wood"], _counts(known)["band-wood"]) == (2, 3)


def test_no_screws_without_a_joint() -> None:
    """A panel that lies loose takes nothing."""
    assert _counts(whole((flat("a", "xy", (0, 0, 0), (500, 300)), flat("b", "xy", (0, 0, PLY.thickness), (500, 300))), (), None)) == {
        "slides-pair": 2, "latch-push": 2,
    }  # fmt: skip
