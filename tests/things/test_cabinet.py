"""Cabinets: every panel by hand from the project's numbers, and whatever the sheet measures."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.thing import Thing
from layout.things.cabinet import Cabinet
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

SIZE = {"length": 400.0, "width": 600.0, "height": 800.0}


def _cabinet(t: float = 12.0, thin: float = 6.0, front: float = 15.0, **more: Any) -> Thing:
    said = {**SIZE, "sheet": "ply", "back_sheet": "thin", "door_sheet": "front", **more}
    made = Cabinet(kind="cabinet", **said)
    return made.make("c", "c", shop(ply=t, thin=thin, front=front))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the bookbinder's van."""
    return load(str(Path(__file__).parent / "cabinet.yaml"))


def _of(plan: Plan, name: str) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == name)


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """The cabinets stand, and their doors open, where the file puts them; the referee finds nothing."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert [faults(thing) for thing in plan.layout.things] == [(), ()]


def test_overlay_doors_and_a_toe_space_by_hand(plan: Plan) -> None:
    """Outside 420 × 900 × 850 in 11.8, doors of 11.8 on the front edges, a back of 5.9 in grooves 5 deep, toes 80 × 50.

    Carcass 420 - 11.8 = 408.2 deep. Inside 900 - 23.6 = 876.4 wide, 850 - 80 - 23.6 = 746.4 high, and
    408.2 - 10 - 5.9 = 392.3 deep before the back, which is 10 + 5.9 off the rear. Shelves reach 5 into both sides.
    Doors: (900 - 3 × 3) / 2 = 445.5 by 850 - 80 - 2 × 3 = 764.
    """
    papers = _of(plan, "papers")

    assert sizes(papers, "side") == [(850, 408.2)] * 2
    assert sizes(papers, "bottom") == sizes(papers, "top") == [(876.4, 408.2)]
    assert sizes(papers, "back") == [(886.4, 756.4)]
    assert sizes(papers, "kick") == [(876.4, 80)]
    assert sizes(papers, "shelf") == [(886.4, 392.3)] * 2
    assert sizes(papers, "door") == [(764, 445.5)] * 2
    # Three equal openings: (746.4 - 2 × 11.8) / 3.
    assert openings(papers) == [(392.3, 876.4, 240.933)] * 3
    assert outer(papers) == pytest.approx((0, -450, 0, 420, 450, 850))
    area = 2 * (850 * 408.2 - 80 * 50) + 2 * 876.4 * 408.2 + 876.4 * 80 + 2 * 886.4 * 392.3 + 2 * 764 * 445.5
    assert papers.mass_kg == pytest.approx((area * 11.8 + 886.4 * 756.4 * 5.9) * 690e-9)


def test_inset_doors_and_loose_shelves_by_hand(plan: Plan) -> None:
    """Outside 420 × 400 × 950 in 11.8, the door between the sides, 3 from each; a back of 11.8 in rebates 5 deep.

    Inside 400 - 23.6 = 376.4 wide and 950 - 23.6 = 926.4 high; 420 - 11.8 = 408.2 deep before the back, 396.4 behind the
    door. A shelf on pins is 1 narrower; the stop is 30 high. Openings: 320 - 11.8 - 11.8 up to the first shelf, whose top
    is at 320; 560 - 320 - 11.8 up to the second; and 950 - 11.8 - 30 - 560 over it, below the stop.
    """
    glue = _of(plan, "glue")

    assert sizes(glue, "door") == [(920.4, 370.4)]
    assert sizes(glue, "back") == [(936.4, 386.4)]
    assert sizes(glue, "shelf") == [(396.4, 375.4)] * 2
    assert sizes(glue, "stop") == [(376.4, 30)]
    assert openings(glue) == [(396.4, 376.4, 296.4), (396.4, 376.4, 228.2), (396.4, 376.4, 348.2)]
    assert [p.solid.z1 for p in glue.panels if p.name == "shelf"] == pytest.approx([320, 560])
    # 926.4 - 6 = 920.4 is higher than 900, so three hinges; four pins for each of two shelves.
    assert bought(glue) == {
        "hinge-butt-60": 3, "latch-push": 1, "shelf-pin": 8, "insert-m8-body": 4, "bolt-m8x40": 4,
    }  # fmt: skip


def test_each_door_turns_at_its_outer_end(plan: Plan) -> None:
    """Two leaves 445.5 wide sweep that far out of the face, each from its own side; one leaf where its hinge is."""
    left, right = _of(plan, "papers").motions

    assert (left.name, right.name, left.kind) == ("left door", "right door", "door")
    for motion, hinge in ((left, 447.0), (right, -447.0)):
        [swept] = motion.swept
        low, high = swept.bounds[1], swept.bounds[3]
        assert (high if hinge > 0 else low) == pytest.approx(hinge, abs=1.0)
        assert (swept.z0, swept.z1) == (83, 847)
        assert swept.bounds[2] == pytest.approx(420 + 445.5, rel=0.003)
    [single] = _of(plan, "glue").motions
    assert single.opening is not None
    assert single.opening.hinge == "right"


def _random(seed: int) -> tuple[dict[str, Any], tuple[float, float, float]]:
    dice = random.Random(seed)
    t = dice.choice([9.2, 11.6, 12.0, 14.9, 17.7, 18.0])
    thick = (t, dice.choice([4.0, 5.9, 9.2]), dice.choice([11.7, 14.9, 18.0]))
    said = {
        "length": dice.uniform(250, 700), "width": dice.uniform(250, 1200), "height": dice.uniform(500, 1800),
        "shelves": dice.randint(0, 3), "shelf": dice.choice(["housing", "butt", "loose"]), "leaves": dice.randint(0, 2),
        "fit": dice.choice(["overlay", "inset"]), "joint": dice.choice(["butt", "groove", "housing"]),
        "back": dice.choice(["groove", "rebate", "planted", "none"]), "band": dice.choice([0.0, 1.0]),
        "toe": dice.choice([None, (dice.uniform(40, 90), dice.uniform(30, 80))]), "gap": dice.choice([None, 2.0, 4.0]),
        "hinge": dice.choice(["left", "right"]), "groove": dice.choice([None, 3.0]),
    }  # fmt: skip
    return said, thick


def _cut_away(said: dict[str, Any], thick: tuple[float, float, float]) -> float:
    """Return the volume in which panels reach into each other, mm³, by the sizes that the file says."""
    t, back, door = thick
    deep = said["groove"] or min(5.0, 0.5 * t)
    foot = said["toe"][0] if said["toe"] else 0.0
    behind = {"groove": 10.0 + back, "rebate": back, "planted": back, "none": 0.0}[said["back"]]
    front = said["length"] - (door if said["leaves"] and said["fit"] == "overlay" else 0.0)
    wide, high = said["width"] - 2 * t, said["height"] - foot - 2 * t
    ends = 0.0 if said["joint"] == "butt" else 4 * deep * t * (front - (back if said["back"] == "planted" else 0.0))
    cut = 0.0
    if said["back"] in ("groove", "rebate"):
        # Along two sides over the whole back, and along bottom and top between them.
        cut = 2 * deep * back * (high + 2 * deep) + 2 * deep * back * wide
    inside = front - behind - (door if said["leaves"] and said["fit"] == "inset" else 0.0)
    shelves = 2 * deep * t * inside * said["shelves"] if said["shelf"] == "housing" else 0.0
    return ends + cut + shelves


@pytest.mark.parametrize("seed", range(40))
def test_any_size_goes_together(seed: int) -> None:
    """Outside as said, nothing in nothing but by its joints, mass as volume × density, whatever size and sheet."""
    said, thick = _random(seed)
    thing = _cabinet(*thick, **said)
    half = said["width"] / 2

    assert faults(thing) == ()
    assert misnamed(thing) == []
    assert outer(thing) == pytest.approx((0, -half, 0, said["length"], half, said["height"]))
    assert volume(thing) - _cut_away(said, thick) == pytest.approx(union(thing), rel=1e-9)
    assert thing.mass_kg == pytest.approx(volume(thing) * DENSITY * 1e-9)
    assert len(thing.motions) == said["leaves"]
    assert bought(thing).get("latch-push", 0) == said["leaves"]


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("seed", range(5))
def test_a_thinner_sheet_keeps_the_outside_and_widens_the_openings(nominal: float, real: float, seed: int) -> None:
    """Of 18 that is 17.7 the outside stays, and an opening is 2 × 0.3 wider."""
    said, (_, back, door) = _random(seed)
    said |= {"groove": 3.0}
    thick, thin = _cabinet(nominal, back, door, **said), _cabinet(real, back, door, **said)

    assert faults(thin) == ()
    assert outer(thin) == pytest.approx(outer(thick))
    for a, b in zip(openings(thick), openings(thin), strict=True):
        assert b[1] - a[1] == pytest.approx(2 * (nominal - real), abs=2e-3)


def test_edge_bands_are_taken_off_what_is_sawn() -> None:
    """With a band of 1 a door is sawn 2 less both ways and a side 1 less in depth; the metres are all these edges."""
    thing = _cabinet(band=1.0, leaves=1, shelves=0)
    [door] = [p for p in thing.panels if p.name == "door"]
    side = next(p for p in thing.panels if p.name == "side")

    assert (door.cut_length, door.cut_width) == (door.length - 2, door.width - 2)
    assert (side.cut_length, side.cut_width) == (800, 385 - 1)
    # Two sides of 800, bottom and top of 576, and round a door of 794 by 594: 5.5 m, so 6.
    assert bought(thing)["band-wood"] == 6


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("width", {"width": 70.0}, "at least 74 outside"), ("height", {"height": 60.0}, "at least 74 outside"),
        ("length", {"length": 60.0}, "leaves 29 inside"), ("groove", {"groove": 8.0}, "at most 6"),
        ("gap", {"gap": 12.0}, "as wide as the sheet is thick"), ("leaves", {"width": 105.0, "leaves": 2}, "leaves: 1"),
        ("shelves", {"shelves": 12, "height": 500.0}, "at least 50"),
        ("shelf_heights", {"shelf_heights": (500.0, 300.0)}, "opening 2 from below"),
        ("shelf_heights", {"shelf_heights": (790.0,)}, "opening 2 from below"),
        ("toe", {"toe": (80.0, 380.0)}, "less than"), ("angle", {"angle": 200.0}, "at most 180"),
        ("length", {"length": 90.0, "fit": "inset"}, "behind the door"),
        ("sheet", {"sheet": "oak"}, "no sheet 'oak'"), ("back_sheet", {"back_sheet": "oak"}, "no sheet 'oak'"),
        ("door_sheet", {"door_sheet": "oak"}, "no sheet 'oak'"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """Sizes that leave nothing are refused, naming the key and what is possible."""
    with pytest.raises(ValueFaultError) as caught:
        _cabinet(**more)

    assert caught.value.path == ("things", "c", key)
    assert words in caught.value.text
