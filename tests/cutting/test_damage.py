"""Cutting around damage: no blank has any of it, and none that could be had is missed."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.cutting.damage import cleared, damages, inside, touch
from layout.cutting.values import Blank, Forced
from layout.model.cutting import Damage

SHEET = Blank(x=0, y=0, length=2440, width=1220)
KERF = 3

_rectangles = st.builds(
    lambda x, y, length, width: Blank(x=x, y=y, length=length, width=width),
    st.integers(0, 2300), st.integers(0, 1150), st.integers(1, 900), st.integers(1, 500),
)  # fmt: skip


def _useful(blank: Blank) -> bool:
    return min(blank.length, blank.width) >= 100


def _boxes(blanks: tuple[Blank, ...]) -> set[tuple[int, int, int, int]]:
    return {(blank.x, blank.y, blank.length, blank.width) for blank in blanks}


def _leaves(piece: Blank, forced: Forced | None) -> list[Blank]:
    """Return the pieces that forced cuts leave, reckoned apart from the code that made the cuts."""
    if forced is None:
        return [piece] if min(piece.length, piece.width) > 0 else []
    rest = (piece.width if forced.axis else piece.length) - forced.at - forced.kerf
    if forced.axis:
        low = Blank(x=piece.x, y=piece.y, length=piece.length, width=forced.at)
        high = Blank(x=piece.x, y=piece.y + forced.at + forced.kerf, length=piece.length, width=rest)
    else:
        low = Blank(x=piece.x, y=piece.y, length=forced.at, width=piece.width)
        high = Blank(x=piece.x + forced.at + forced.kerf, y=piece.y, length=rest, width=piece.width)
    return _leaves(low, forced.low) + _leaves(high, forced.high)


def test_a_sound_piece_is_one_blank() -> None:
    """Protects plain sheets, and those whose damage lies in the trim: nothing is cut around."""
    assert cleared(SHEET, (Blank(x=2440, y=0, length=10, width=10),), KERF, _useful, 9)[0].blanks == (SHEET,)
    assert len(cleared(SHEET, (), KERF, _useful, 9)) == 1


def test_a_damaged_corner() -> None:
    """Protects what is left beside a corner: the strip one way and the rest, or the strip the other way.

    By hand, a corner of 300 × 200 at the low end: above it 1220 - 200 = 1020, beside it 2440 - 300 = 2140. The
    blade goes within the damage, so the strip that ends at it ends at 300 - 3 or 200 - 3.
    """
    ways = cleared(SHEET, (Blank(x=0, y=0, length=300, width=200),), KERF, _useful, 9)
    assert [_boxes(way.blanks) for way in ways] == [
        {(300, 0, 2140, 1220), (0, 200, 297, 1020)},
        {(0, 200, 2440, 1020), (300, 0, 2140, 197)},
    ]


@pytest.mark.parametrize(("x", "y", "ways"), [(0, 0, 2), (1000, 0, 4), (0, 500, 4), (1000, 500, 14)])
def test_every_way_around_one_damage(x: int, y: int, ways: int) -> None:
    """Protects the choice: each corner goes with one of two sides, 2 ** corners ways.

    Four corners make 16; two of them run round the damage in a ring, which edge-to-edge cuts cannot do.
    """
    assert len(cleared(SHEET, (Blank(x=x, y=y, length=200, width=200),), KERF, _useful, 99)) == ways


def test_a_strip_of_no_use_is_not_freed() -> None:
    """Protects the sawyer: nothing is cut free that takes no part and is no offcut."""
    ways = cleared(SHEET, (Blank(x=0, y=50, length=2440, width=100),), KERF, _useful, 9)
    assert [_boxes(way.blanks) for way in ways] == [{(0, 150, 2440, 1070)}]


def test_a_sheet_that_is_all_damage() -> None:
    """Protects against a blank that is not there."""
    assert cleared(SHEET, (SHEET,), KERF, _useful, 9)[0].blanks == ()


@given(damage=st.lists(_rectangles, min_size=1, max_size=3).map(tuple), kerf=st.sampled_from([0, 1, 3]))
def test_no_blank_is_damaged(damage: tuple[Blank, ...], kerf: int) -> None:
    """Protects every part: blanks lie on the sheet, a kerf apart, free of damage, and the cuts leave just them."""
    for way in cleared(SHEET, damage, kerf, _useful, 24):
        assert all(inside(blank, SHEET) and not any(touch(blank, each) for each in damage) for blank in way.blanks)
        leaves = _leaves(SHEET, way.forced)
        assert way.forced is None or set(way.blanks) <= set(leaves)
        grown = [Blank(x=b.x, y=b.y, length=b.length + kerf, width=b.width + kerf) for b in leaves]
        assert not any(touch(one, other) for i, one in enumerate(grown) for other in grown[:i])


def _largest_free(damage: tuple[Blank, ...]) -> int:
    """Return the area of the largest rectangle free of damage, by trying all edges; only useful ones count."""
    xs = sorted({0, 2440, *(min(2440, x) for d in damage for x in (d.x, d.x + d.length))})
    ys = sorted({0, 1220, *(min(1220, y) for d in damage for y in (d.y, d.y + d.width))})
    free = [
        Blank(x=x, y=y, length=far - x, width=high - y)
        for x, far in product(xs, xs) if x < far
        for y, high in product(ys, ys) if y < high
    ]  # fmt: skip
    sound = (one for one in free if _useful(one) and not any(touch(one, each) for each in damage))
    return max((one.length * one.width for one in sound), default=0)


@given(damage=st.lists(_rectangles, min_size=1, max_size=2).map(tuple))
def test_the_largest_sound_rectangle_can_be_had(damage: tuple[Blank, ...]) -> None:
    """Protects a large part: the largest rectangle free of damage is a blank of one of the ways."""
    ways = cleared(SHEET, damage, 0, _useful, 24)
    largest = max((blank.length * blank.width for way in ways for blank in way.blanks), default=0)
    assert largest == _largest_free(damage)


@given(damage=st.lists(_rectangles, min_size=1, max_size=2).map(tuple))
def test_no_way_is_worse_than_another(damage: tuple[Blank, ...]) -> None:
    """Protects the search from openings that can never win: none has all its blanks within those of another."""
    ways = cleared(SHEET, damage, KERF, _useful, 24)
    for one, other in pairwise(ways):
        assert not all(any(inside(blank, large) for large in other.blanks) for blank in one.blanks) or one == other


def test_much_damage_is_taken_together() -> None:
    """Protects the time that a shabby sheet takes: near damages become one, outwards to the grid."""
    spots = [Damage(x=x, y=0, length=0.00001, width=10) for x in (0, 30, 1000, 2000)]
    assert _boxes(damages(spots)) == {(1000 * 8000, 0, 1, 80000), (2000 * 8000, 0, 1, 80000), (0, 0, 240001, 80000)}
