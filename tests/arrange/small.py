"""Small random projects for the search: a leaning room, few things, and what is said of how far they are free."""

from __future__ import annotations

import random
from typing import Any

from layout.arrange.ask import Ask
from layout.jobs.ask import ask_of
from tests.builders import project_text, read

STATES = ("drive", "camp", "sleep")


def ask_from(**said: Any) -> Ask:
    """Return the question of a project with `said` laid over the plain room of the tests; numbers are mm."""
    return ask_of(read(project_text(**said)))


def small_space(rng: random.Random) -> dict[str, Any]:
    """Return a short room with leaning walls, and by chance a wheel well, a post, a notch, a leaning front, a door."""
    length, half = rng.randrange(900, 1500, 50), rng.randrange(450, 650, 10)
    height = rng.randrange(700, 1000, 50)
    lean = {z: half + rng.randint(-60, 30) for z in (250, 500, 1000)}
    said: dict[str, Any] = {
        "floor": {"length": length, "width": 2 * half},
        "walls": {"both": [{"x": 0, "profile": {0: half, **lean}}]},
        "roof": {0: height, length: height - rng.choice([0, 0, 60])},
    }
    if rng.random() < 0.5:
        side = rng.choice(["both", "left", "right"])
        said["wheel_wells"] = [{"x": [200, rng.randrange(350, 800, 10)], "width": rng.randrange(60, 200, 10),
                                "height": rng.randrange(100, 300, 10), "side": side}]  # fmt: skip
    if rng.random() < 0.4:
        x, y = rng.randrange(100, length - 200, 10), rng.randrange(-half, half - 100, 10)
        said["obstacles"] = {"post": {"x": [x, x + rng.randrange(30, 150, 10)], "y": [y, y + 90], "z": [0, 1000]}}
    if rng.random() < 0.3:
        deep = rng.randrange(40, 250, 10)
        said["floor"] = {"corners": [[0, -half], [length, -half], [length, half - deep], [length - deep, half - deep],
                                     [length - deep, half], [0, half]]}  # fmt: skip
    elif rng.random() < 0.3:
        said["front"] = {0: length, height: length - rng.randrange(20, 150, 10)}
    return said


def door(rng: random.Random, space: dict[str, Any]) -> dict[str, Any]:
    """Return a rear door for the space, which its owner may want kept clear."""
    half = space["walls"]["both"][0]["profile"][0]
    said: dict[str, Any] = {"width": 2 * half - 100, "height": 650, "kind": "two leaves"}
    return said | ({"keep_clear": rng.randrange(300, 600, 50)} if rng.random() < 0.5 else {})


def small_thing(rng: random.Random, most: float = 700.0) -> dict[str, Any]:
    """Return a box that stays, or one that comes out; some with room that must be free round them."""
    said: dict[str, Any] = {
        "kind": "box", "length": rng.randrange(250, int(most), 10), "width": rng.randrange(200, 500, 10),
        "height": rng.randrange(150, 600, 10), "mass": rng.randrange(2, 40),
    }  # fmt: skip
    if rng.random() < 0.3:
        said["take_out"] = "any"
    if rng.random() < 0.4:
        said["clear"] = {rng.choice(["left", "right", "front"]): rng.randrange(50, 250, 10), "top": 50}
    if rng.random() < 0.4:
        said["reach"] = rng.choice(["daily", "weekly", "rarely"])
    return said


def small_case(rng: random.Random) -> dict[str, Any]:
    """Return a project of one to four things, some fixed, stacked, carried, out at night or moved between states."""
    space = small_space(rng)
    if rng.random() < 0.5:
        space["rear_door"] = door(rng, space)
    things: dict[str, Any] = {}
    count = rng.randint(1, 4)
    if rng.random() < 0.35:
        things["bins"] = {"kind": "bin", "length": rng.randrange(250, 500, 10), "width": rng.randrange(200, 400, 10),
                          "height": rng.randrange(150, 350, 10), "count": 2, "mass": 8}  # fmt: skip
        count -= 2
    things |= {"abcd"[i]: small_thing(rng) for i in range(max(count, 0))}
    free = {name: said for name in things if name != "bins" and (said := _freedom(rng, alone=count <= 2))}
    if {"a", "b"} <= set(things) and rng.random() < 0.3:
        things["b"] |= {"length": 240, "width": 210, "clear": {}}
        free.setdefault("b", {})["on"] = rng.choice([["a"], ["a", "floor"]])
    arrangement = {}
    if rng.random() < 0.4 or not things:
        things["kist"] = {"kind": "box", "length": 300, "width": 250, "height": rng.choice([200, 400]), "mass": 15}
        arrangement["kist"] = {"at": [rng.randrange(0, 500, 10), rng.randrange(-300, 300, 10), 0]}
        things.setdefault("a", small_thing(rng))
    wishes: dict[str, Any] = {kind: rng.randint(0, 3) for kind in ("low", "balance", "reach", "stay")}
    if {"a", "b"} <= set(things) and rng.random() < 0.5:
        wishes[rng.choice(["near", "apart"])] = [["a", "b"]]
    return {"space": space, "things": things, "arrangement": arrangement, "free": free, "wishes": wishes}


def _freedom(rng: random.Random, *, alone: bool) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if rng.random() < 0.5:
        said["turn"] = rng.choice([[0], [90], [0, 90], [180], [0, 30]])
    if rng.random() < 0.15:
        said["outside"] = ["sleep"]
    if rng.random() < 0.12 and alone:
        said["moves"] = "yes"
    if rng.random() < 0.15:
        said["y"] = [-600, 100]
    return said
