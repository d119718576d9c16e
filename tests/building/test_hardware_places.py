"""Where hardware sits: every place on its piece, clear of edges and of other holes, whatever the sizes."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from layout.building.hardware_check import place_faults
from layout.errors import ValueFaultError
from layout.jobs.hardware import drills
from layout.model.building import BODY, Hardware, Place
from layout.model.thing import Thing
from layout.things.bed_platform import BedPlatform
from layout.things.bin import Bin
from layout.things.bin_rack import BinRack
from tests.building.kinds import units
from tests.things.beds import BUILDING, shop

CRATE = Bin(kind="bin", length=600.0, width=400.0, height=300.0)
_TRIES, _ENOUGH = 400, 120


def _bed(**more: Any) -> Thing:
    said = {"length": 1900.0, "width": 1300.0, "deck": 700.0, "carcass_width": 300.0, "support": 500.0, **more}
    return BedPlatform(kind="bed platform", sheet="ply", **said).make("bed", "bed", shop(15.0))


def _faults(thing: Thing) -> tuple[str, ...]:
    return place_faults(thing, BUILDING, drills())


def _random_bed(rng: random.Random) -> Thing | None:
    on = rng.choice(["carcasses", "carcasses", "wall rails", "legs"])
    said: dict[str, Any] = {"on": on, "overhang": rng.uniform(0, 250), "heaviest_panel": 60.0}
    if on != "carcasses":
        said |= {"bar": rng.choice([None, "beam"]), "ledger": rng.uniform(20, 80)}
    if rng.random() < 0.25:
        slats: list[dict[str, Any]] = [{"slat": "lath"}, {"slat_width": 65.0}]
        said |= {"top": "slats", **rng.choice(slats)}
    else:
        said |= {"hatch": rng.choice(["none", "lift off", "hinged"]), "vents": rng.choice(["yes", "no"])}
        said |= {"flare_rear": rng.choice([0.0, 70.0])}
    spans = {"length": (1200, 2200), "width": (700, 1700), "deck": (380, 950), "carcass_width": (70, 340),
             "support": (300, 800), "rail": (30, 120)}  # fmt: skip
    said |= {key: rng.uniform(*span) for key, span in spans.items()}
    try:
        return BedPlatform(kind="bed platform", sheet="ply", **said).make("bed", "bed", shop(rng.uniform(9, 19)))
    except ValueFaultError:
        return None


def _random_rack(rng: random.Random) -> Thing | None:
    crate = replace(CRATE, length=rng.uniform(250, 700), width=rng.uniform(180, 500), height=rng.uniform(120, 400))
    said: dict[str, Any] = {
        "columns": rng.randint(1, 5), "rows": rng.randint(1, 5), "joint": rng.choice(["butt", "housing"]),
        "back": rng.choice(["planted", "rebate", "groove", "none"]), "keeps": rng.choice(["strap", "lip", "nothing"]),
        "top_gap": rng.uniform(25, 60), "side_gap": rng.uniform(3, 10), "depth_gap": rng.uniform(5, 30),
    }  # fmt: skip
    made = replace(shop(rng.uniform(9, 19)), specs={"crate": crate})
    try:
        return BinRack(kind="bin rack", takes="crate", sheet="ply", **said).make("rack", "rack", made)
    except ValueFaultError:
        return None


@pytest.mark.parametrize("make", [_random_bed, _random_rack], ids=["bed", "rack"])
def test_whatever_the_sizes_every_place_is_sound(make: Any) -> None:
    """Of random beds and racks that are not refused, no hole is near an edge or another, and every count is kept."""
    rng, made = random.Random(make.__name__), 0
    for _ in range(_TRIES):
        thing = make(rng) if made < _ENOUGH else None
        if thing is not None:
            made += 1
            assert _faults(thing) == ()
            assert all(len(h.places) == h.count for h in thing.hardware if h.item.startswith(("bolt", "tee", "insert")))
    assert made >= _ENOUGH / 2


@pytest.mark.parametrize("name", sorted(units()))
def test_every_kind_that_tells_places_tells_sound_ones(name: str) -> None:
    """The units of all test projects and examples."""
    assert _faults(units()[name]) == ()


def test_places_of_a_bed_by_hand() -> None:
    """1900 x 1300 x 700 in 15, carcasses 300: plates on the joints at y = 350, their holes 15 and 40 on both sides.

    Rails end at 685, so plates sit at 685 - 80 / 2 = 645. The bottoms are held at y = 650 - (300 + 15) / 2 = 492.5; five
    points from 40 to 1860, the first and the last moved to no nearer than 25 to the uprights at 0 to 15: they stay.
    """
    bed = _bed()
    by_why = {(h.item, h.why): h for h in bed.hardware}
    heads = by_why["bolt-m6x30", "holds a plate to cross rail and upright"].places

    assert {round(abs(p.at[1]), 6) for p in heads} == {310.0, 335.0, 365.0, 390.0}
    assert {round(p.at[2], 6) for p in heads} == {645.0}
    assert Counter(p.on for p in heads) == {"cross rail": 20, "left upright": 10, "right upright": 10}
    body = by_why["insert-m8-body", "holds a carcass down through its bottom"].places
    assert {p.on for p in body} == {BODY}
    assert {round(p.at[1], 6) for p in body} == {492.5, -492.5}
    assert {p.at[2] for p in body} == {0.0}
    # Points at 40, 495, 950, 1405, 1860; uprights' middles at 7.5, 478.75, 950, 1421.25, 1892.5, each 7.5 to both sides:
    # 950 is behind one and moves to 942.5 - 25; 495 is within 25 of 486.25 and moves to 511.25, 1405 to 1388.75.
    assert sorted({round(p.at[0], 6) for p in body}) == [40.0, 511.25, 917.5, 1388.75, 1860.0]
    panels = by_why["insert-m6", "holds a deck panel down on the road; undone with a key"].places
    # Deck panels 0 to 950 and 950 to 1900: held 25 from a member, on the left at the rear, on the right at the front.
    assert [(round(p.at[0], 6), p.at[1] > 0) for p in panels] == [
        (40.0, True), (917.5, False), (982.5, True), (1860.0, False)
    ]  # fmt: skip


def _spoilt(thing: Thing, item: str, change: Any) -> Thing:
    """Return the thing with the places of the first hardware of an item changed."""
    done, hardware = False, list[Hardware]()
    for one in thing.hardware:
        if one.item == item and one.places and not done:
            one, done = replace(one, places=change(one.places)), True  # noqa: PLW2901 (the changed one)
        hardware.append(one)
    assert done
    return replace(thing, hardware=tuple(hardware))


def _moved(places: tuple[Place, ...], dx: float, dy: float, dz: float) -> tuple[Place, ...]:
    x, y, z = places[0].at
    return (replace(places[0], at=(x + dx, y + dy, z + dz)), *places[1:])


@pytest.mark.parametrize(
    ("item", "change", "words"),
    [
        ("plate-flat", lambda places: places[1:], "10 plate-flat (joins a cross rail's end to the upright), but 9 places"),
        ("insert-m6", lambda places: _moved(places, 0, 0, 3), "is not on the bottom of any deck panel"),
        ("bolt-m6x30", lambda places: _moved(places, 0, 0, 36), "is 4.0 from an edge of cross rail, at least 10"),
        ("bolt-m6x30", lambda places: _moved(places, 0, -20, 0), "between them"),
        ("tee-nut-m6", lambda places: _moved(places, 0, 0, 5), "0 on the line of a bolt"),
        ("bolt-m8x40", lambda places: (replace(places[0], on="left wing"), *places[1:]), "left wing, which is not there"),
    ],
)  # fmt: skip
def test_a_place_that_is_wrong_is_found_out(item: str, change: Any, words: str) -> None:
    """A place too few, off its piece, too near an edge or another hole, without its nut or its piece, is told."""
    assert any(words in fault for fault in _faults(_spoilt(_bed(), item, change)))
