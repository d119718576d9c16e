"""Odd projects by chance: freedom and places that contradict each other, or that nobody would write."""

from __future__ import annotations

import random
from typing import Any

WORKSHOP = {"sheets": {"ply15": {"length": 2500, "width": 1250, "thickness": 15, "density": 680}}}
BED = {"kind": "bed platform", "length": 1850, "width": 1200, "deck": 500, "sheet": "ply15", "carcass_width": 70,
       "support": 470}  # fmt: skip
_THINGS: dict[str, dict[str, Any]] = {
    "bed": BED,
    "mattress": {"kind": "mattress", "length": 1850, "width": 1200, "thickness": 90, "mass": 12, "sleeps": ["Ada"]},
    "bins": {"kind": "bin", "length": 400, "width": 300, "height": 250, "count": 4},
    "box": {"kind": "box", "length": 400, "width": 300, "height": 250, "mass": 3},
    "lamp": {"kind": "box", "length": 100, "width": 100, "height": 250, "mass": 3},
    "cabinet": {"kind": "cabinet", "length": 600, "width": 400, "height": 600, "sheet": "ply15"},
    "cans": {"kind": "box", "length": 200, "width": 150, "height": 250, "mass": 3, "count": 2, "reach": "weekly"},
}


def odd(seed: int) -> dict[str, Any]:
    """Return a project with a few things, and places and freedom at random, each alone as the file's format wants it."""
    rng = random.Random(seed)
    names = rng.sample(sorted(_THINGS), rng.randint(1, 5))
    members = [
        *names,
        *(f"{n} {i}" for n in names for i in range(1, _THINGS[n].get("count", 1) + 1) if "count" in _THINGS[n]),
    ]
    wishes = {"near": [[rng.choice(members), rng.choice([*members, "rear door"])]]} if rng.random() < 0.3 else {}
    return {
        "workshop": WORKSHOP, "people": {"Ada": {"stature": 1600}},
        "things": {name: _THINGS[name] for name in names},
        "arrangement": {name: _position(rng, members) for name in members if rng.random() < 0.25},
        "free": {name: _freedom(rng, members) for name in members if rng.random() < 0.35},
        "wishes": wishes,
    }  # fmt: skip


def _position(rng: random.Random, names: list[str]) -> dict[str, Any]:
    one, other = rng.choice(names), rng.choice(names)
    said: list[dict[str, Any]] = [
        {"on": one}, {"on": one, "left": "wall"}, {"in_front_of": one, "left": "wall"}, {"beside": one, "side": "right"},
        {"behind": one, "beside": other, "side": "left"}, {"beside": one, "side": "right", "rear": 0},
        {"rear": 0, "left": "wall"}, {"at": [rng.randrange(0, 2500, 100), rng.randrange(-600, 700, 100), 0]},
        {"outside": ["sleep"]}, {"outside": ["drive", "camp", "sleep"]}, {"on": one, "outside": ["sleep"]},
        {"rear": 0, "centre": 0, "states": {"sleep": {"on": one}}}, {"grid": [2, 2, 1], "rear": 0, "left": "wall"},
        {"on": one, "states": {"sleep": {"front": 0, "right": "wall"}}},
        {"on": one, "states": {"sleep": {"on": other}}}, {"outside": ["drive", "camp"], "states": {"sleep": {"on": one}}},
    ]  # fmt: skip
    return rng.choice(said)


def _freedom(rng: random.Random, names: list[str]) -> dict[str, Any]:
    one = rng.choice(names)
    said: dict[str, list[Any]] = {
        "turn": [[0], [90], [45], [0, 180]], "x": [[0, 3000], [-100, 500], [500, 100]], "y": [[-900, 900], [0, 400]],
        "outside": [["sleep"], ["camp", "sleep"], ["drive", "camp", "sleep"]], "moves": ["yes", "no"],
        "stack": [1, 2, 3], "on": [["floor"], [one], [one, "floor"]], "gap": [0, 5],
        "grid": [[[2, 2, 1]], [[1, 1, 1]], [[2, 1, 2], [4, 1, 1]], [[1, 1, 4]]],
        "sizes": [{"width": [1150, 1200]}, {"deck": [300, 1300]}, {"foo": [5]}, {"width": [10]}, {"height": [200, 300]}],
        "follow": [{"mattress": {"width": 0}}, {"lamp": {"width": 5}}, {"mattress": {"deck": 0}}],
    }  # fmt: skip
    return {key: rng.choice(said[key]) for key in rng.sample(sorted(said), rng.randint(1, 2))}
