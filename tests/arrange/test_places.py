"""Where a form may stand: against single places tried one by one, and the convex pieces against what they stand for."""

from __future__ import annotations

import random
from functools import cache

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.arrange.places import pieces, reference_places
from layout.arrange.problem import Piece
from layout.model.solid import Solid, box
from layout.space.space import Space
from tests.builders import plain_space
from tests.checks.tape import Tape

SPACES, EACH, POINTS = 20, 5, 60
#: Within so much of the edge of the places, mm, either answer is right.
_HAIR = 0.05
_EVERYWHERE = shapely.box(-9e4, -9e4, 9e4, 9e4)


@cache
def _space(seed: int) -> Space:
    return Tape(random.Random(seed)).space()


def _solids(rng: random.Random) -> list[Solid]:
    """Return a box, a table of a top and two legs, or a box turned by any angle, on the floor or above it."""
    length, width, height = rng.uniform(100, 1900), rng.uniform(100, 1400), rng.uniform(60, 900)
    foot = rng.choice([0.0, 0.0, rng.uniform(0, 500)])
    whole = box("box", (0.0, length), (-width / 2, width / 2), (foot, foot + height))
    if rng.random() < 0.4:
        leg = (0.0, length / 8)
        return [
            box("top", (0.0, length), (-width / 2, width / 2), (foot + height * 0.9, foot + height)),
            box("leg", leg, (-width / 2, width / 2), (foot, foot + height * 0.9)),
            box("leg", (length - leg[1], length), (-width / 3, width / 3), (foot, foot + height * 0.9)),
        ]
    return [whole.turned(rng.choice([0.0, 90.0, rng.uniform(0, 360)]))]


def _case(seed: int, k: int) -> tuple[Space, list[Solid]]:
    rng = random.Random(1000 * seed + k)
    return _space(seed), _solids(rng)


def _points(places: BaseGeometry, space: Space, chance: np.random.Generator) -> list[tuple[float, float]]:
    """Return places to try: anywhere in the room, and near the edge of what is said to be allowed."""
    x0, y0, x1, y1 = space.bounds
    anywhere = np.column_stack([chance.uniform(x0 - 300, x1, POINTS), chance.uniform(y0, y1, POINTS)])
    if places.is_empty:
        return [(float(x), float(y)) for x, y in anywhere]
    rings = shapely.union_all(shapely.get_rings(shapely.get_parts(places)))
    along = shapely.get_coordinates(rings.interpolate(chance.uniform(0, 1, POINTS), normalized=True))
    inner = np.array([p.representative_point().coords[0] for p in shapely.get_parts(places)])
    found = np.concatenate([anywhere, along + chance.normal(0, 3, along.shape), inner])
    return [(float(x), float(y)) for x, y in found]


@pytest.mark.parametrize("seed", range(SPACES))
def test_a_place_is_allowed_where_the_room_holds_all_solids(seed: int) -> None:
    """Protects both sides: nothing outside is allowed, and no place where all solids are inside is left out.

    Random rooms with leaning walls, wells, posts, ribs, a leaning front; boxes, tables, boxes at an angle; half of all
    places tried are within a few mm of the edge of what is allowed.
    """
    chance, tried = np.random.default_rng(seed), 0
    for k in range(EACH):
        space, solids = _case(seed, k)
        places = reference_places(space, solids)
        for x, y in _points(places, space, chance):
            at = shapely.Point(x, y)
            if places.is_empty or places.boundary.distance(at) > _HAIR:
                held = all(space.holds_all([s.moved(x, y, 0.0) for s in solids]))
                assert bool(places.covers(at)) == held, (x, y, solids)
                tried += 1

    assert tried > EACH * POINTS


def test_places_are_found_in_most_rooms() -> None:
    """Protects the sampling: more than half of the cases have places, and not all."""
    empty = [reference_places(*_case(seed, k)).is_empty for seed in range(SPACES) for k in range(EACH)]

    assert 0 < sum(empty) < len(empty) / 2


@pytest.mark.parametrize("seed", range(6))
def test_grown_is_as_if_the_solids_were_larger(seed: int) -> None:
    """Protects the gap to walls: grown by 8 is where the same boxes 16 longer and wider are inside."""
    rng = random.Random(seed)
    length, width, by = rng.uniform(200, 900), rng.uniform(200, 600), 8.0
    thin = box("box", (0.0, length), (-width / 2, width / 2), (0.0, 400.0))
    thick = box("box", (-by, length + by), (-width / 2 - by, width / 2 + by), (0.0, 400.0))

    grown, larger = reference_places(_space(seed), [thin], by), reference_places(_space(seed), [thick])
    assert grown.symmetric_difference(larger).area < 1e-3


def test_the_places_in_a_plain_room() -> None:
    """Protects the sums: 500 x 400 in 3000 x 1700 stands from 0 to 2500 along and 650 to either side of the middle."""
    places = reference_places(plain_space(), [box("box", (0.0, 500.0), (-200.0, 200.0), (0.0, 300.0))])

    assert places.bounds == pytest.approx((0, -650, 2500, 650), abs=0.02)
    assert places.area == pytest.approx(2500 * 1300, rel=1e-4)


def test_what_is_as_wide_as_the_room_stands_in_one_line() -> None:
    """Protects an exact fit: 1700 in 1700 has places along the room and hardly any across, and 1700.1 has none."""
    tight = reference_places(plain_space(), [box("box", (0.0, 500.0), (-850.0, 850.0), (0.0, 300.0))])
    over = reference_places(plain_space(), [box("box", (0.0, 500.0), (-850.05, 850.05), (0.0, 300.0))])

    assert (tight.bounds[2] - tight.bounds[0]) == pytest.approx(2500, abs=0.1)
    assert over.is_empty
    assert pieces(tight, 0.1)


# --- pieces ------------------------------------------------------------------------------------------------------------


def _area(piece: Piece) -> BaseGeometry:
    """Return the half-planes' common part, mm, by cutting a large square."""
    found: BaseGeometry = _EVERYWHERE
    for a, b, c in piece:
        normal = np.array([a, b]) / np.hypot(a, b)
        edge, along = normal * (c / 10 / np.hypot(a, b)), np.array([-normal[1], normal[0]]) * 3e5
        found = found.intersection(
            Polygon([edge - along, edge + along, edge + along - normal * 6e5, edge - along - normal * 6e5])
        )
    return found


def _joined(parts: tuple[Piece, ...]) -> BaseGeometry:
    return shapely.union_all([_area(piece) for piece in parts])


def _all_places() -> list[BaseGeometry]:
    return [
        places
        for seed in range(SPACES)
        for k in range(EACH)
        if not (places := reference_places(*_case(seed, k))).is_empty
    ]


@pytest.mark.parametrize("tolerance", [0.5, 0.1])
def test_inward_pieces_lie_within_the_places(tolerance: float) -> None:
    """Protects what is found: every point of every piece is a place, to within a tenth of a millimetre."""
    for places in _all_places():
        assert places.buffer(0.1).covers(_joined(pieces(places, tolerance)))


@pytest.mark.parametrize("tolerance", [0.5, 0.1])
def test_inward_pieces_leave_out_little_more_than_the_tolerance(tolerance: float) -> None:
    """Protects what could be found: all places more than four tolerances from the edge are in some piece."""
    for places in _all_places():
        left_out = places.buffer(-4 * tolerance).difference(_joined(pieces(places, tolerance)).buffer(0.1))
        assert left_out.area < 1e-3, places.wkt


def test_outward_pieces_cover_the_places() -> None:
    """Protects every 'impossible': no place is outside of all pieces when they are rounded outward."""
    for places in _all_places():
        assert places.difference(_joined(pieces(places, 0.5, outward=True))).area < 1e-6, places.wkt


@pytest.mark.parametrize("outward", [True, False])
@pytest.mark.parametrize("slope", [0.1156, 0.26, 0.3])
def test_a_cut_just_beside_a_bend_loses_nothing(slope: float, outward: bool) -> None:
    """Protects from a millimetre of wall whose direction is rounded: over the room that would take off a wedge.

    The wall bends at 1000 by one in a hundred; a notch begins within 10 of there, and the room is cut in two at it.
    """
    for corner in np.arange(990.0, 1010.0, 0.61):
        bend = 300 + slope * 1000
        end = bend + (slope - 0.01) * 2000
        room = Polygon([(0, 300), (0, 0), (corner, 0), (corner, -200), (3000, -200), (3000, end), (1000, bend)])
        found = _joined(pieces(room, 0.5, outward=outward))
        wanted = room if outward else room.buffer(-2)
        assert wanted.difference(found.buffer(0.1)).area < 1e-3, corner


def test_slivers_are_no_places() -> None:
    """Protects from an end in the middle of a search: areas that rounding leaves are cut, and told, like any other."""
    sliver = Polygon([(2592.928, -697.8713), (2592.936, -697.8712), (2592.936, -697.87119)])
    room = shapely.MultiPolygon([shapely.box(0, 0, 1000, 500), sliver])

    assert _joined(pieces(room)).area == pytest.approx(999 * 499, rel=1e-3)
    assert _joined(pieces(room, outward=True)).area == pytest.approx(1002 * 502, rel=1e-2)
