"""A panel as a piece of wood: its grooves, its forms, and the largest clear rectangle."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
import shapely

from layout.building.clear import largest_rectangle
from layout.building.wood import Wood, woods
from layout.model.panel import Panel
from tests.building.made import flat, rectangle, shelf_unit


def _wood(panel: Panel, *grooves: tuple[tuple[float, float, float, float], str, float]) -> Wood:
    return Wood(unit="u", group="u", panel=panel, grooves=grooves)  # type: ignore[arg-type]  # faces by their words


def test_grooves_of_a_unit_by_hand() -> None:
    """A side has housings of bottom and shelf and the groove of the back, 6 deep in its inner face.

    The right side's inner face is its high one; along it lie the bottom at 80 to 98, the shelf at 440 to 458 from 16 to
    382, and the back at 92 to 788, 10 to 16 from the rear.
    """
    side = woods(shelf_unit())[0]

    assert side.grooves == (
        ((80, 0, 98, 400), "high", 6), ((92, 10, 788, 16), "high", 6), ((440, 16, 458, 382), "high", 6),
    )  # fmt: skip
    assert [wood.grooves for wood in woods(shelf_unit()) if wood.name == "kick"] == [()]


def test_the_clear_part_of_a_side_by_hand() -> None:
    """Between the shelf's housing at 458 and the top of 800 a side is clear, 16 from the rear on: 342 by 384."""
    assert woods(shelf_unit())[0].clear == (342, 384)


def test_bands_and_holes_are_taken_off() -> None:
    """A top 564 x 400 with a band of 1.5 in front yields 564 x 398.5; with a hole in its middle the larger part beside."""
    top = next(wood for wood in woods(shelf_unit()) if wood.name == "top")
    hole = ((200.0, 150.0), (300.0, 150.0), (300.0, 250.0), (200.0, 250.0))
    holed = _wood(replace(top.panel, holes=(hole,)))

    # Grooved by the back, 10 to 16 from its rear: 400 - 16 - 1.5 are clear.
    assert top.clear == (564, 382.5)
    assert _wood(top.panel).clear == (564, 398.5)
    # Beside the hole 264 x 398.5, in front of it 564 x 148.5, behind it 564 x 150.
    assert holed.clear == (264, 398.5)


@pytest.mark.parametrize("seed", range(60))
def test_the_largest_rectangle_of_random_holes(seed: int) -> None:
    """On a grid of 8 x 6 fields with fields cut out, no rectangle of fields that is free is larger than the one found."""
    rng = random.Random(seed)
    taken = {(rng.randrange(8), rng.randrange(6)) for _ in range(rng.randint(0, 12))}
    free = shapely.box(0, 0, 80, 60).difference(
        shapely.union_all([shapely.box(10 * x, 10 * y, 10 * x + 10, 10 * y + 10) for x, y in taken])
    )
    best = max(
        (
            (x1 - x0) * (y1 - y0) * 100
            for x0 in range(8) for x1 in range(x0 + 1, 9) for y0 in range(6) for y1 in range(y0 + 1, 7)
            if not any(x0 <= x < x1 and y0 <= y < y1 for x, y in taken)
        ),
        default=0,
    )  # fmt: skip
    u0, v0, u1, v1 = largest_rectangle(free)

    assert (u1 - u0) * (v1 - v0) == pytest.approx(best)
    assert free.buffer(1e-3).covers(shapely.box(u0, v0, u1, v1))


def test_a_slanting_edge_leaves_a_rectangle_inside() -> None:
    """In a triangle 800 x 400 the largest rectangle has half of each side; what is found lies inside and is as large."""
    triangle = shapely.Polygon([(0, 0), (800, 0), (0, 400)])
    u0, v0, u1, v1 = largest_rectangle(triangle)

    assert triangle.buffer(1e-3).covers(shapely.box(u0, v0, u1, v1))
    assert (u1 - u0) * (v1 - v0) == pytest.approx(400 * 200)


def _notched(*corners: tuple[float, float]) -> Panel:
    return flat("p", "xy", (0, 0, 0), (1, 1), outline=corners)


def test_a_panel_turned_or_turned_over_is_the_same() -> None:
    """A panel with a notch and a groove is known again in all eight ways, and a groove in its other face is another panel."""
    one = _wood(_notched((0, 0), (300, 0), (300, 100), (50, 100), (50, 60), (0, 60)), ((10, 0, 20, 60), "low", 5))
    half_turn = _wood(
        _notched((0, 0), (250, 0), (250, 40), (300, 40), (300, 100), (0, 100)), ((280, 40, 290, 100), "low", 5)
    )
    over = _wood(_notched((0, 0), (300, 0), (300, 60), (250, 60), (250, 100), (0, 100)), ((280, 0, 290, 60), "high", 5))
    lengthwise = _wood(
        _notched((0, 0), (60, 0), (60, 50), (100, 50), (100, 300), (0, 300)), ((0, 10, 60, 20), "high", 5)
    )
    wrong = replace(over, grooves=((over.grooves[0][0], "low", 5),))

    shapes = {form[0] for form in one.forms}
    assert len(shapes) == 8
    assert all(other.forms[0][0] in shapes for other in (half_turn, over, lengthwise))
    assert wrong.forms[0][0] not in shapes


def test_grain_and_good_face_turn_along() -> None:
    """Turned by a quarter the grain runs across; turned over the good face is the other one; bands keep their edge."""
    panel = flat("p", "xy", (0, 0, 0), (300, 100), good="low", bands=(("left", 1.0),))
    forms = {(shape[0], bands, grain, good) for (shape, bands, grain, good) in (
        ((f[0][0],), f[0][2], f[1], f[2]) for f in _wood(panel).forms)}  # fmt: skip
    lying, standing = (tuple(sorted(rectangle(*size))) for size in ((300.0, 100.0), (100.0, 300.0)))
    told = {(tuple(sorted(ring)), bands, grain, good) for ring, bands, grain, good in forms}

    assert (lying, (("left", 1.0),), "along", "low") in told
    assert (lying, (("right", 1.0),), "along", "low") in told
    assert (lying, (("left", 1.0),), "along", "high") in told
    assert (standing, (("bottom", 1.0),), "across", "high") in told
    assert (standing, (("left", 1.0),), "across", "low") not in told
