"""A random space as a person measures it, and by plain arithmetic how far inside a point of the finished room is.

No polygons and none of the program's own geometry: only the tape's numbers, straight lines and one circle.
"""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

import numpy as np

from layout.space.space import Space
from tests.builders import project_text, read

LENGTH = 3000.0


class Tape:
    """Leaning walls measured at stations, a sloping roof, and sometimes wells, posts, ribs, a leaning front, a step."""

    def __init__(self, rng: random.Random) -> None:
        self.floor, self.lining = rng.choice([0.0, 24.0, 90.0]), rng.choice([0.0, 18.0])
        self.half = {side: (float(rng.randint(760, 900)), float(rng.randint(760, 900))) for side in ("left", "right")}
        self.stations = {side: self._stations(rng) for side in ("left", "right")}
        self.roof = [(x, float(rng.randint(1300, 1900))) for x in (0.0, float(rng.randint(900, 2100)), LENGTH)]
        self.front = [(0.0, LENGTH), (1000.0, 2950.0), (1850.0, 2750.0)] if rng.random() < 0.5 else []
        self.wells = [self._well(rng) for _ in range(rng.randint(0, 2))]
        self.posts = [self._post(rng) for _ in range(rng.randint(0, 2))]
        self.ribs = sorted(rng.sample(range(100, 2900, 150), rng.randint(1, 4))) if rng.random() < 0.5 else []
        self.rib_width, self.rib_depth = rng.uniform(40, 90), rng.uniform(30, 60)
        self.step = (rng.uniform(0, 2000), rng.uniform(-500, 0), rng.uniform(50, 300)) if rng.random() < 0.3 else None

    @staticmethod
    def _stations(rng: random.Random) -> list[tuple[float, list[tuple[float, float]]]]:
        xs = [0.0, *sorted(rng.sample(range(300, 2700), rng.randint(0, 2))), LENGTH]
        return [
            (float(x), [(float(z), float(rng.randint(650, 900))) for z in sorted(rng.sample(range(120, 1800), 3))])
            for x in xs
        ]

    @staticmethod
    def _well(rng: random.Random) -> dict[str, Any]:
        x0, height = rng.uniform(100, 1800), rng.uniform(150, 350)
        return {
            "x": (x0, x0 + rng.uniform(500, 1000)), "width": rng.uniform(80, 250), "height": height,
            "side": rng.choice(["left", "right"]), "radius": rng.choice([0.0, rng.uniform(20, min(height, 150.0))]),
        }  # fmt: skip

    @staticmethod
    def _post(rng: random.Random) -> dict[str, Any]:
        x, y, r = rng.uniform(200, 2600), rng.uniform(-700, 700), rng.uniform(40, 250)
        turns = sorted(rng.uniform(0, 2 * np.pi / n) + 2 * np.pi * i / n for n in [rng.randint(3, 6)] for i in range(n))
        z0 = rng.choice([0.0, rng.uniform(0, 1200)])
        corners = [(round(x + r * np.cos(a), 3), round(y + r * np.sin(a), 3)) for a in turns]
        return {"corners": corners, "z": (z0, z0 + rng.uniform(60, 900))}

    def said(self) -> dict[str, Any]:
        """Return the space as the project file says it."""
        walls = {
            side: [{"x": f"{x}", "profile": {f"{z}": f"{w}" for z, w in profile}} for x, profile in stations]
            for side, stations in self.stations.items()
        }
        (r0, r1), (l0, l1) = self.half["right"], self.half["left"]
        said: dict[str, Any] = {
            "floor": {"corners": [["0", f"{-r0}"], ["3000", f"{-r1}"], ["3000", f"{l1}"], ["0", f"{l0}"]]},
            "walls": walls, "roof": {f"{x}": f"{z}" for x, z in self.roof},
            "build_up": {"floor": f"{self.floor}", "walls": f"{self.lining}"},
            "wheel_wells": [
                {"x": [f"{w['x'][0]}", f"{w['x'][1]}"], "width": f"{w['width']}", "height": f"{w['height']}",
                 "side": w["side"], "top_radius": f"{w['radius']}"}
                for w in self.wells
            ],
        }  # fmt: skip
        said["obstacles"] = {
            f"post {i}": {"corners": [[f"{x}", f"{y}"] for x, y in p["corners"]], "z": [f"{z}" for z in p["z"]]}
            for i, p in enumerate(self.posts)
            if p["z"][1] > self.floor
        }
        if self.front:
            said["front"] = {f"{z}": f"{x}" for z, x in self.front}
        if self.ribs:
            said["ribs"] = {
                "at": [f"{x}" for x in self.ribs], "width": f"{self.rib_width}", "depth": f"{self.rib_depth}",
            }  # fmt: skip
        if self.step:
            x, y, depth = self.step
            said["holes"] = {"step": {"x": [f"{x}", f"{x + 500}"], "y": [f"{y}", f"{y + 400}"], "depth": f"{depth}"}}
        return said

    def space(self) -> Space:
        """Return the room that the program makes of what is said."""
        return read(project_text(space=self.said())).space

    def metal(self, x: Any, z: Any, side: str) -> Any:
        """Return the half-width on bare metal at places and heights above the bare floor, mm."""
        feet = self.half[side]
        levels = []
        for at, profile in self.stations[side]:
            foot = feet[0] + (feet[1] - feet[0]) * at / LENGTH
            levels.append(np.interp(z, [0.0, *(h for h, _ in profile)], [foot, *(w for _, w in profile)]))
        xs = [at for at, _ in self.stations[side]]
        found = levels[-1]
        for (x0, x1), low, high in reversed(list(zip(pairwise(xs), levels, levels[1:], strict=False))):
            found = np.where(x < x1, low + (high - low) * (np.maximum(x, x0) - x0) / (x1 - x0), found)
        return found

    def clearance(self, points: Any, below: float = 0.0) -> Any:
        """Return how far inside each of n points (x, y, z above the finished floor) is, mm, negative outside.

        Measured along an axis or square to a post's face; rough near corners. `below`: as if the floor lay so much
        lower, so that what stands on it is not always within a hair of touching.
        """
        x, y, z = points.T
        metal = z + self.floor
        half = np.where(y > 0, self.metal(x, metal, "left"), self.metal(x, metal, "right"))
        free = [half - self.lining - np.abs(y), x, LENGTH - x, np.interp(x, *zip(*self.roof, strict=True)) - metal]
        if self.front:
            free.append(np.interp(metal, *zip(*self.front, strict=True)) - x)
        for middle in self.ribs if self.rib_depth > self.lining else []:
            beside = np.abs(x - middle) - self.rib_width / 2
            free.append(np.maximum(beside, half - self.rib_depth - np.abs(y)))
        free += [-self._in_well(well, x, y, z) for well in self.wells]
        free += [-self._in_post(post, x, y, z) for post in self.posts if post["z"][1] > self.floor]
        floor = np.maximum(z + below, self._in_step(x, y, z))
        return np.where(z < 0, floor, np.min([*free, floor], axis=0))

    def bends(self) -> tuple[list[float], list[float]]:
        """Return the places along the room and the heights at which any measurement bends or something ends, mm."""
        profiles = [(x, profile) for side in ("left", "right") for x, profile in self.stations[side]]
        edges = [middle + sign * self.rib_width / 2 for middle in self.ribs for sign in (-1, 1)]
        xs = [*(x for x, _ in profiles), *edges, self.roof[1][0], *(x for well in self.wells for x in well["x"])]
        heights = [*(z for _, profile in profiles for z, _ in profile), *(z for z, _ in self.front)]
        heights += [z for post in self.posts for z in post["z"]] + [well["height"] for well in self.wells]
        return xs, [z - self.floor for z in heights]

    def solid_outlines(self, low: float, high: float) -> list[tuple[list[tuple[float, float]], float]]:
        """Return the largest outline, between two heights, of each well and post, and how far off its heights are, mm.

        The outline is that at the lowest height, since none grows upward; negative for heights that they share.
        """
        found = []
        for post in self.posts:
            z0, z1 = max(post["z"][0] - self.floor, 0.0), post["z"][1] - self.floor
            if z1 > z0:
                found.append((post["corners"], max(z0 - high, low - z1)))
        for well in self.wells:
            top = well["height"] - self.floor
            found.append((self._well_outline(well, min(max(low, 0.0), top)), max(-high, low - top)))
        return found

    def _well_outline(self, well: dict[str, Any], z: float) -> list[tuple[float, float]]:
        top, radius, sign = well["height"] - self.floor, well["radius"], 1 if well["side"] == "left" else -1
        rise = min(max(z - (top - radius), 0.0), radius)
        inset = radius - float(np.sqrt(radius**2 - rise**2))
        ends = well["x"][0] + inset, well["x"][1] - inset
        inner = [self._inner(well, x) for x in ends]
        corners = [
            (ends[0], sign * inner[0]),
            (ends[1], sign * inner[1]),
            (ends[1], sign * 2000),
            (ends[0], sign * 2000),
        ]
        return corners if sign > 0 else corners[::-1]

    def _inner(self, well: dict[str, Any], x: Any) -> Any:
        """Return how far from the centreline the inner face of a well is at x: its width off the foot of the wall."""
        x0, x1 = well["x"]
        feet = [self.metal(np.array(at), np.array(0.0), well["side"]) - well["width"] for at in (x0, x1)]
        return feet[0] + (feet[1] - feet[0]) * (x - x0) / (x1 - x0)

    def _in_step(self, x: Any, y: Any, z: Any) -> Any:
        if self.step is None:
            return np.full(x.shape, -np.inf)
        x0, y0, depth = self.step
        return np.min([x - x0, x0 + 500 - x, y - y0, y0 + 400 - y, z + depth + self.floor], axis=0)

    def _in_well(self, well: dict[str, Any], x: Any, y: Any, z: Any) -> Any:
        (x0, x1), sign = well["x"], 1 if well["side"] == "left" else -1
        top, radius = well["height"] - self.floor, well["radius"]
        rise = np.clip(z - (top - radius), 0, radius)
        inset = radius - np.sqrt(radius**2 - rise**2)
        return np.min([x - x0 - inset, x1 - inset - x, top - z, sign * y - self._inner(well, x)], axis=0)

    def _in_post(self, post: dict[str, Any], x: Any, y: Any, z: Any) -> Any:
        low, high = max(post["z"][0] - self.floor, 0.0), post["z"][1] - self.floor
        return np.min([depth_in(post["corners"], x, y), z - low, high - z], axis=0)


def depth_in(corners: Any, x: Any, y: Any) -> Any:
    """Return how far inside a convex outline (anticlockwise) points are, mm, negative outside."""
    return np.min(
        [
            ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / np.hypot(bx - ax, by - ay)
            for (ax, ay), (bx, by) in _sides(corners)
        ],
        axis=0,
    )


def apart(one: Any, other: Any) -> float:
    """Return how far two convex outlines (anticlockwise) are apart; negative: how far one must go to be out of the other.

    The sides of both are tried: where no side of either has all of the other beyond it, they overlap. Corner to
    corner the distance is a little more than this.
    """
    return max(-min(_deepest(side, b) for side in _sides(a)) for a, b in ((one, other), (other, one)))


def _sides(corners: Any) -> Any:
    return zip(corners, [*corners[1:], corners[0]], strict=True)


def _deepest(side: Any, points: Any) -> float:
    """Return how far inside the side's line the deepest of the points lies, mm."""
    (ax, ay), (bx, by) = side
    long = float(np.hypot(bx - ax, by - ay))
    return max(((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long for x, y in points)
