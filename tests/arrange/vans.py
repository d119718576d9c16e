"""Random vans with three to twelve things, and all that may be said of how far they are free."""

from __future__ import annotations

import random
from typing import Any

_WORKSHOP = {"sheets": {"ply15": {"length": 2500, "width": 1250, "thickness": 15, "density": 680}}}


def van(seed: int) -> dict[str, Any]:
    """Return a project by chance: a room, and parts each of which adds things with their freedom and their limits."""
    rng = random.Random(seed)
    said: dict[str, Any] = {
        "space": _room(rng), "workshop": _WORKSHOP, "people": {"Ada": {"stature": 1600}, "Ben": {"stature": 1680}},
        "things": {}, "arrangement": {}, "free": {}, "wishes": {"near": []},
    }  # fmt: skip
    parts = [_bed, _columns, _block, _carried, _moved, _fridge, _limited, _fixed, _equal]
    chosen = [parts[seed % len(parts)], *rng.sample(parts, rng.randint(2, 4))]
    for part in dict.fromkeys(chosen):
        part(rng, said)
    return said


def _room(rng: random.Random) -> dict[str, Any]:
    length, half, height = rng.randrange(2600, 3300, 50), rng.randrange(800, 900, 10), rng.randrange(1400, 1900, 50)
    return {
        "floor": {"length": length, "width": 2 * half},
        "walls": {"both": [{"x": 0, "profile": {0: half, 600: half + 15, 1000: half - 5, height: half - 120}}]},
        "roof": {0: height}, "build_up": {"floor": 20, "walls": rng.choice([0, 12]), "ceiling": 20},
        "wheel_wells": [{"x": [500, 1250], "inner": half - rng.randrange(140, 220, 10), "height": 250}],
        "rear_door": {"width": 2 * half - 150, "height": height - 100, "kind": "two leaves"},
        "side_doors": {"side door": {"side": "right", "start": length - 1350, "width": 1100, "height": height - 150,
                                     "kind": "sliding"}},
    }  # fmt: skip


def _box(rng: random.Random, **more: Any) -> dict[str, Any]:
    return {
        "kind": "box", "length": rng.randrange(300, 600, 10), "width": rng.randrange(250, 450, 10),
        "height": rng.randrange(200, 500, 10), "mass": rng.randint(3, 25), **more,
    }  # fmt: skip


def _bed(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a bed in free sizes, with a mattress that rides on it and is as wide."""
    said["things"] |= {
        "bed": {"kind": "bed platform", "length": 1850, "width": 1200, "deck": 500, "sheet": "ply15",
                "carcass_width": 70, "support": 470},
        "mattress": {"kind": "mattress", "length": 1850, "width": 1200, "thickness": 90, "mass": 12,
                     "sleeps": ["Ada", "Ben"]},
    }  # fmt: skip
    said["arrangement"]["mattress"] = {"on": "bed"}
    follow = {"mattress": {"width": rng.choice([0, -10])}}
    said["free"]["bed"] = {"sizes": {"width": [1170, 1200], "deck": rng.choice([[400], [460, 560]])}, "follow": follow}


def _columns(rng: random.Random, said: dict[str, Any]) -> None:
    """Add equal bins that stand on each other, or not."""
    said["things"]["totes"] = {
        "kind": "bin", "length": 400, "width": 300, "height": 280, "stack_step": rng.choice([280, 270]), "mass": 7,
        "count": rng.randint(2, 4), "reach": rng.choice(["weekly", "rarely"]),
    }  # fmt: skip
    said["free"]["totes"] = {"stack": rng.choice([1, 2, 2])}


def _block(rng: random.Random, said: dict[str, Any]) -> None:
    """Add bins that stand as one block, of which the search may choose the shape."""
    said["things"]["crates"] = {"kind": "bin", "length": 350, "width": 280, "height": 220, "count": 4, "mass": 6}
    said["free"]["crates"] = {"grid": rng.choice([[[2, 2, 1], [4, 1, 1]], [[2, 1, 2], [1, 2, 2]]]), "gap": 5}


def _carried(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a cupboard with a stove that stands on it or on the floor."""
    said["things"]["cupboard"] = _box(rng, length=700, width=450, height=450)
    said["things"]["stove"] = {"kind": "box", "length": 500, "width": 320, "height": 120, "mass": 6}
    said["free"]["stove"] = {"on": rng.choice([["cupboard"], ["cupboard", "floor"]])}


def _moved(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a chest that may stand elsewhere at night, or be outside."""
    said["things"]["chest"] = _box(rng, take_out="any")
    said["free"]["chest"] = {"moves": "yes"} | ({"outside": ["sleep"]} if rng.random() < 0.3 else {})


def _fridge(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a fridge that wants its air, near the side door."""
    said["things"]["fridge"] = _box(rng, length=500, width=400, height=600, clear={"left": 50, "right": 50, "top": 60})
    said["wishes"]["near"].append(["fridge", "side door"])


def _limited(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a tank that its owner wants on one side, and turned in one way."""
    said["things"]["tank"] = _box(rng)
    low = rng.randrange(200, 900, 50)
    said["free"]["tank"] = {
        "turn": [rng.choice([0, 90, 180, 270])], "x": [low, low + 1500], "y": rng.choice([[0, 900], [-900, 100]]),
    }  # fmt: skip


def _fixed(rng: random.Random, said: dict[str, Any]) -> None:
    """Add a cabinet that has its place."""
    said["things"]["cabinet"] = {"kind": "box", "length": 500, "width": 250, "height": 700, "mass": 20}
    said["arrangement"]["cabinet"] = {"at": [rng.randrange(1900, 2100, 50), rng.choice([640, -640]), 0]}


def _equal(rng: random.Random, said: dict[str, Any]) -> None:
    """Add equal things that are loose, and wanted daily."""
    said["things"]["cans"] = {"kind": "box", "length": 250, "width": 180, "height": 330, "count": 2, "mass": 12,
                              "take_out": "any", "reach": rng.choice(["daily", "weekly"])}  # fmt: skip
