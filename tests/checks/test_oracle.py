"""The rule inside against plain arithmetic: no polygons, only the tape's numbers and straight lines."""

import random
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from layout.checks.context import Context
from layout.checks.run import run_checks
from layout.files.rules import read_rules
from layout.model.layout import Layout
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.placing.stand import placed
from tests.builders import plan_of, project_text, read


def _line(pairs: list[tuple[float, float]], at: float) -> float:
    """Return the value at `at` on the broken line through `pairs`, level beyond its ends."""
    if at <= pairs[0][0]:
        return pairs[0][1]
    for (k0, v0), (k1, v1) in zip(pairs, pairs[1:], strict=False):  # noqa: RUF007 (an oracle of the plainest kind)
        if at <= k1:
            return v0 + (v1 - v0) * (at - k0) / (k1 - k0)
    return pairs[-1][1]


class Tape:
    """A random space as a person measures it, and whether a point of the finished room is free."""

    def __init__(self, rng: random.Random) -> None:
        self.floor, self.lining = rng.choice([0.0, 24.0, 90.0]), rng.choice([0.0, 18.0])
        self.half = {side: rng.randint(750, 900) for side in ("left", "right")}
        self.stations = {side: self._stations(rng) for side in ("left", "right")}
        self.roof = [(0.0, float(rng.randint(1300, 1900))), (3000.0, float(rng.randint(1300, 1900)))]
        self.well = (600.0, 1400.0, 200.0, 250.0)

    @staticmethod
    def _stations(rng: random.Random) -> list[tuple[float, list[tuple[float, float]]]]:
        xs = [0.0, *sorted(rng.sample(range(300, 2700), rng.randint(0, 2))), 3000.0]
        return [
            (float(x), [(float(z), float(rng.randint(650, 900))) for z in sorted(rng.sample(range(120, 1800), 3))])
            for x in xs
        ]

    def said(self) -> dict[str, Any]:
        """Return the space as the project file says it."""
        walls = {
            side: [{"x": str(x), "profile": {str(z): str(w) for z, w in profile}} for x, profile in stations]
            for side, stations in self.stations.items()
        }
        right, left = self.half["right"], self.half["left"]
        corners = [["0", str(-right)], ["3000", str(-right)], ["3000", str(left)], ["0", str(left)]]
        x0, x1, width, height = self.well
        return {
            "floor": {"corners": corners}, "walls": walls, "roof": {str(x): str(z) for x, z in self.roof},
            "build_up": {"floor": str(self.floor), "walls": str(self.lining)},
            "wheel_wells": [{"x": [str(x0), str(x1)], "width": str(width), "height": str(height)}],
        }  # fmt: skip

    def clearance(self, x: float, y: float, z: float) -> float:
        """Return how far inside the point is, mm, negative outside; rough near corners, exact near one face."""
        metal = z + self.floor
        side = "left" if y > 0 else "right"
        half = (
            _line([(sx, _line([(0.0, self.half[side]), *p], metal)) for sx, p in self.stations[side]], x) - self.lining
        )
        x0, x1, width, height = self.well
        into_well = min(x - x0, x1 - x, height - metal, abs(y) - (self.half[side] - width))
        return min(half - abs(y), x, 3000 - x, z, _line(self.roof, x) - self.floor - z, -into_well)


def _points(box: tuple[float, ...]) -> list[tuple[float, float, float]]:
    spans = [
        [a + (b - a) * i / 12 for i in range(13)] for a, b in ((box[0], box[3]), (box[1], box[4]), (box[2], box[5]))
    ]
    return list(product(*spans))


@pytest.mark.parametrize("seed", range(40))
def test_inside_agrees_with_plain_arithmetic(seed: int) -> None:
    """Over random spaces and boxes, no box with a point more than 1 mm outside passes, and none 60 mm inside fails."""
    rng = random.Random(seed)
    tape = Tape(rng)
    space = read(project_text(space=tape.said())).space
    for _ in range(40):
        x, y, z = rng.uniform(-50, 2600), rng.uniform(-850, 600), rng.uniform(0, 1500)
        sizes = rng.uniform(20, 500), rng.uniform(20, 400), rng.uniform(20, 500)
        box = (x, y, z, x + sizes[0], y + sizes[1], z + sizes[2])
        least = min(tape.clearance(*point) for point in _points(box))
        solid = Solid(name="b", outline=((x, y), (box[3], y), (box[3], box[4]), (x, box[4])), z0=z, z1=box[5])
        if least < -1:
            assert not space.holds(solid), (tape.said(), box, least)
        if least > 60:
            assert space.holds(solid), (tape.said(), box, least)


@pytest.mark.parametrize("seed", range(30))
def test_the_move_that_a_cure_names_cures(seed: int) -> None:
    """For a random box that is outside, doing just what the cure says, to the printed tenth, leaves nothing to find."""
    rng = random.Random(seed)
    space = read(project_text(space=Tape(rng).said())).space
    thing = Thing(
        name="a",
        group="a",
        kind="box",
        solids=(Solid(name="a", outline=((0, 0), (300, 0), (300, 200), (0, 200)), z0=0, z1=250),),
    )

    def findings(x: float, y: float, z: float) -> list[Any]:
        stood = placed(thing, tuple(s.moved(x, y, z) for s in thing.solids), 0.0)
        layout = Layout(things=(thing,), people=(), placed={"drive": (stood,)}, outside={"drive": ()})
        found = run_checks(Context(space=space, layout=layout, rules=read_rules()))
        return [f for f in found if f.severity == "fail"]

    x, y, z = rng.uniform(0, 2700), rng.choice([rng.uniform(600, 900), rng.uniform(-1100, -800)]), rng.uniform(0, 900)
    failing = findings(x, y, z)
    if failing and failing[0].cure.startswith("move it"):
        _, _, size, _, word = failing[0].cure.split()
        dx, dy = {"left": (0, 1), "right": (0, -1), "forward": (1, 0), "back": (-1, 0)}[word]
        assert not findings(x + dx * float(size), y + dy * float(size), z)
    else:
        assert not failing or "no free move" in failing[0].cure or "lower" in failing[0].cure


def test_a_hair_outside_is_never_told_as_nought(tmp_path: Path) -> None:
    """A box 0.045 outside is told as 0.1, the least that is said, and the cure is enough."""
    made = {"kind": "box", "length": "300", "width": "100.09", "height": "100"}
    [finding] = [
        f
        for f in plan_of(tmp_path, things={"a": made}, arrangement={"a": {"at": ["0", "800", "0"]}}).findings
        if f.rule == "inside"
    ]

    assert "0.1 mm into the left wall" in finding.text
    assert finding.cure == "move it 0.1 mm right"


def test_inches_are_rounded_so_that_the_cure_is_enough(tmp_path: Path) -> None:
    """0.08 in outside is cured by 1/8 in, not by 1/16."""
    room = {
        "floor": {"length": "120", "width": "70"},
        "roof": {"0": "70"},
        "rear_door": {"width": "60", "height": "60", "kind": "two leaves"},
    }
    made = {"kind": "box", "length": "12", "width": "10", "height": "10"}
    plan = plan_of(tmp_path, units="in", space=room, things={"a": made}, arrangement={"a": {"at": ["5", "30.08", "0"]}})

    assert [f.cure for f in plan.findings if f.rule == "inside"] == ['move it 1/8" right']
