"""Surveys for the tests: floors of our own, measured by a tape that errs by chance."""

from __future__ import annotations

from math import dist

import numpy as np

from layout.model.survey import Axes, Between, Measure, Place, Reading, Survey

CORNERS = ("A", "B", "C", "D")
SIX = (("A", "B"), ("B", "C"), ("C", "D"), ("D", "A"), ("A", "C"), ("B", "D"))
#: The twelve readings of the blank sheet: four sides and two diagonals, each from both ends.
TWELVE = (*SIX, *((b, a) for a, b in SIX))


def distance(a: str, b: str, mm: float, text: str = "") -> Measure:
    """Return the distance between two points as read."""
    return Measure(name=f"{a}-{b}", what=Between(a=a, b=b), reading=Reading(mm=mm, text=text or f"{mm:g}"))


def floor(rng: np.random.Generator) -> dict[str, Place]:
    """Return the corners of a van's floor, nearly a rectangle: 2.5 to 4.2 m by 1.5 to 1.9 m, corners off by 8 mm."""
    length, half = rng.uniform(2500, 4200), rng.uniform(750, 950)
    square = {"A": (0.0, -half), "B": (length, -half), "C": (length, half), "D": (0.0, half)}
    return {name: (x + rng.normal(0, 8), y + rng.normal(0, 8)) for name, (x, y) in square.items()}


def taped(points: dict[str, Place], rng: np.random.Generator, sigma: float = 2.0) -> list[Measure]:
    """Return the twelve readings to a whole mm, each off by chance with the standard deviation `sigma` mm."""
    return [distance(a, b, float(round(dist(points[a], points[b]) + rng.normal(0, sigma)))) for a, b in TWELVE]


def survey(measures: list[Measure]) -> Survey:
    """Return a survey of a floor whose rear runs from D at the left to A at the right."""
    return Survey(measures=tuple(measures), axes=Axes(rear=("D", "A")), order=CORNERS)
