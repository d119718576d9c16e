"""Chests: fronts, boxes and slides by hand, and whatever the sheet measures."""

from __future__ import annotations

import random
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.thing import Thing
from layout.things.drawers import Chest
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

SIZE = {"length": 450.0, "width": 600.0, "height": 700.0}


def _chest(t: float = 12.0, thin: float = 6.0, front: float = 15.0, **more: Any) -> Thing:
    said = {**SIZE, "sheet": "ply", "back_sheet": "thin", "bottom_sheet": "thin", "front_sheet": "front", **more}
    return Chest(kind="chest", **said).make("c", "c", shop(ply=t, thin=thin, front=front))


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the button maker's van."""
    return load(str(Path(__file__).parent / "chest.yaml"))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Whoever opens a drawer 400 out has 450 to stand before it, beside the table."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert faults(plan.layout.things[0]) == ()


def test_every_panel_by_hand(plan: Plan) -> None:
    """Outside 460 × 700 × 800 in 11.8, a back of 5.9 planted on, fronts of 130, 130, 130 and what is left, 3 apart.

    Carcass 460 - 11.8 = 448.2 deep, its sides 448.2 - 5.9 = 442.3; so slides are 400. Inside 700 - 23.6 = 676.4.
    The last front is 800 - 5 × 3 - 390 = 395. Drawers are 676.4 - 2 × 12.9 = 650.6 wide, their ends 650.6 - 23.6 = 627.
    Behind the top front: from 1.5 below it to the top's underside at 788.2, of which 10 + 5 stay free:
    788.2 - (797 - 130 - 1.5) - 15 = 107.7, and so for its two like. Behind the last: 399.5 - 11.8 - 15 = 372.7.
    """
    chest = plan.layout.things[0]

    assert sizes(chest, "side") == [(800, 442.3)] * 2
    assert sizes(chest, "bottom") == sizes(chest, "top") == [(676.4, 442.3)]
    assert sizes(chest, "back") == [(800, 700)]
    assert sizes(chest, "false front") == [(694, 130)] * 3 + [(694, 395)]
    assert sizes(chest, "drawer side") == [(400, 107.7)] * 6 + [(400, 372.7)] * 2
    assert sizes(chest, "drawer front") == sizes(chest, "drawer back") == [(627, 107.7)] * 3 + [(627, 372.7)]
    # In grooves 5 deep: 627 + 10 by 400 - 23.6 + 10.
    assert sizes(chest, "drawer bottom") == [(637, 386.4)] * 4
    # In a drawer: down to the bottom, which lies 10 + 5.9 above its lower edge; and 12.9 beside it for each slide.
    assert openings(chest)[:3] == [(376.4, 627, 91.8), (400, 12.9, 107.7), (400, 12.9, 107.7)]
    assert openings(chest)[9] == (376.4, 627, 356.8)


def test_slides_come_in_pairs_and_every_drawer_has_a_latch(plan: Plan) -> None:
    """Four drawers: four pairs of slides 400 long and four latches; the band is counted by the metre."""
    chest = plan.layout.things[0]

    # Bands: round three fronts of 694 × 130 and one of 694 × 395, two sides of 800, bottom and top of 676.4: 10.07 m.
    assert bought(chest) == {
        "slides-pair": 4, "latch-push": 4, "band-wood": 11, "insert-m8-body": 4, "bolt-m8x40": 4,
    }  # fmt: skip
    assert next(h.why for h in chest.hardware if h.item == "slides-pair") == "400 long, one pair a drawer"


def test_drawers_come_out_as_far_as_their_slides(plan: Plan) -> None:
    """Each sweeps its own front, 400 out of the face."""
    motions = plan.layout.things[0].motions

    assert [m.name for m in motions] == ["drawer 1", "drawer 2", "drawer 3", "drawer 4"]
    boxes = [m.swept[0] for m in motions]
    assert [b.bounds for b in boxes] == [pytest.approx((460, -347, 860, 347))] * 4
    assert [(b.z0, b.z1) for b in boxes] == [pytest.approx(z) for z in ((667, 797), (534, 664), (401, 531), (3, 398))]


def test_one_drawer_and_slides_as_told() -> None:
    """A chest of one drawer calls it so; slides as told move it no further."""
    thing = _chest(drawers=1, height=150.0, slide=300.0, slide_room=13.0)

    [motion] = thing.motions
    assert (motion.name, motion.swept[0].bounds[2] - 450) == ("drawer", 300)
    # 600 - 24 - 26 = 550 wide, less its two sides; 150 - 24 high inside, of which 10 and 5 stay free.
    assert sizes(thing, "drawer front") == [(526, 111)]
    assert faults(thing) == ()


def _random(seed: int) -> tuple[dict[str, Any], tuple[float, float, float]]:
    dice = random.Random(seed)
    thick = (dice.choice([9.2, 11.6, 12.0, 17.7, 18.0]), dice.choice([4.0, 5.9]), dice.choice([11.7, 14.9, 18.0]))
    count = dice.randint(1, 4)
    said = {
        "length": dice.uniform(250, 700), "width": dice.uniform(250, 1000), "height": dice.uniform(600, 1100),
        "drawers": count, "fronts": tuple(dice.uniform(110, 140) for _ in range(dice.randint(0, count - 1))),
        "bottom": dice.choice(["groove", "planted", "inset"]), "corner": dice.choice(["butt", "rebate"]),
        "bottom_groove": 4.0, "back": dice.choice(["planted", "none"]), "band": dice.choice([0.0, 0.6]),
        "toe": dice.choice([None, (dice.uniform(40, 80), dice.uniform(30, 60))]), "gap": dice.choice([None, 2.0]),
    }  # fmt: skip
    return said, thick


def _cut_away(said: dict[str, Any], t: float, thin: float, heights: list[float], slide: float) -> float:
    """Return the volume in which the panels of drawers reach into each other, mm³."""
    wide = said["width"] - 2 * t - 2 * 12.9 - 2 * t
    total = 0.0
    for high in heights:
        walls = high - (thin if said["bottom"] == "planted" else 0.0)
        total += 4 * 4.0 * t * walls if said["corner"] == "rebate" else 0.0
        if said["bottom"] == "groove":
            # In both sides over all its length, and in both ends between the sides.
            total += 2 * 4.0 * thin * (slide - 2 * t + 8.0) + 2 * 4.0 * thin * wide
    return total


@pytest.mark.parametrize("seed", range(40))
def test_any_size_goes_together(seed: int) -> None:
    """Outside as said, drawers clear of each other, mass as volume × density, whatever size and sheet."""
    said, (t, thin, front) = _random(seed)
    thing = _chest(t, thin, front, **said)
    sides = [p.span for p in thing.panels if p.name == "drawer side"][::2]
    slide = sides[0][0]
    heights = [high + (thin if said["bottom"] == "planted" else 0.0) for _, _, high in sides]
    inside = said["length"] - front - (thin if said["back"] == "planted" else 0.0)

    assert faults(thing) == ()
    assert misnamed(thing) == []
    assert outer(thing) == pytest.approx((0, -said["width"] / 2, 0, said["length"], said["width"] / 2, said["height"]))
    assert slide / 50 == pytest.approx(inside // 50)
    assert volume(thing) - _cut_away(said, t, thin, heights, slide) == pytest.approx(union(thing), rel=1e-9)
    assert thing.mass_kg == pytest.approx(volume(thing) * DENSITY * 1e-9)
    foot, gap = (said["toe"] or (0.0,))[0], said["gap"] or 3.0
    fronts = [(p.solid.z0, p.solid.z1) for p in thing.panels if p.name == "false front"]
    assert [a[0] - b[1] for a, b in pairwise(fronts)] == pytest.approx([gap] * (said["drawers"] - 1))
    assert (fronts[0][1], fronts[-1][0]) == pytest.approx((said["height"] - gap, foot + gap))


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("seed", range(5))
def test_a_thinner_sheet_keeps_outside_fronts_and_slides(nominal: float, real: float, seed: int) -> None:
    """Outside and fronts stay, the room for each slide is still 12.9, and a drawer is 4 × the difference wider inside."""
    said, (_, thin, front) = _random(seed)
    thick, less = _chest(nominal, thin, front, **said), _chest(real, thin, front, **said)

    assert faults(less) == ()
    assert outer(less) == pytest.approx(outer(thick))
    assert sizes(less, "false front") == sizes(thick, "false front")
    for a, b in zip(openings(thick), openings(less), strict=True):
        assert b[1] - a[1] == pytest.approx(0.0 if a[1] == 12.9 else 4 * (nominal - real), abs=2e-3)


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("slide", {"slide": 450.0}, "slides 450 long do not go into the 419 before the back; at most 400"),
        ("length", {"length": 80.0}, "leaves 49 inside"), ("length", {"length": 90.0}, "50"),
        ("width", {"width": 120.0}, "inside; at least 50"), ("drawers", {"drawers": 12}, "at least 50"),
        ("fronts", {"fronts": (60.0,)}, "drawer 1 would be"), ("fronts", {"fronts": (400.0, 400.0)}, "leaves nothing"),
        ("fronts", {"fronts": (100.0, 200.0, 200.0)}, "leave the last one out"),
        ("fronts", {"fronts": (100.0,) * 4}, "4 heights for 3 drawers"), ("gap", {"gap": 12.0}, "less than 12"),
        ("bottom_groove", {"bottom_groove": 7.0}, "at most 6"), ("drawer_sheet", {"drawer_sheet": "oak"}, "no sheet"),
        ("front_sheet", {"front_sheet": "oak"}, "no sheet"), ("bottom_sheet", {"bottom_sheet": "oak"}, "no sheet"),
        ("height", {"height": 40.0}, "leaves 16 inside"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """A drawer deeper than the piece, slides too long, an opening too low: refused, naming the key and what goes."""
    with pytest.raises(ValueFaultError) as caught:
        _chest(**more)

    assert caught.value.path == ("things", "c", key)
    assert words in caught.value.text
