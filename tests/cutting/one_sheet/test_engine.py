"""The one-sheet engine against every way to cut, and at the edges of its rules."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from itertools import combinations, product

import pytest

from layout.cutting.one_sheet import engine
from layout.cutting.one_sheet.engine import best_sheet
from layout.cutting.one_sheet.field import field_of
from layout.cutting.one_sheet.kinds import most_value, piece_kinds
from layout.cutting.one_sheet.values import ValuedPiece
from layout.cutting.values import Way
from tests.cutting.one_sheet.instances import BY_NAME

_Sides = tuple[int, int]


def _piece(name: str, length: int, width: int, count: int | None, value: int, *, turning: bool = False) -> ValuedPiece:
    ways = [Way(length=length, width=width, turned=False)]
    if turning:
        ways.append(Way(length=width, width=length, turned=True))
    return ValuedPiece(name=name, ways=tuple(ways), count=count, value=value)


@cache
def _can_be_cut(length: int, width: int, pieces: tuple[_Sides, ...]) -> bool:
    """Return whether some edge-to-edge cuts free all pieces, by trying every cut with every share-out of them."""
    if sum(a * b for a, b in pieces) > length * width:
        return False
    if len(pieces) <= 1:
        return all(a <= length and b <= width for a, b in pieces)
    return any(
        _can_be_cut(*first, low) and _can_be_cut(*second, high)
        for low, high in _shared(pieces)
        for first, second in _cut(length, width)
    )


def _cut(length: int, width: int) -> Iterator[tuple[_Sides, _Sides]]:
    yield from (((at, width), (length - at, width)) for at in range(1, length))
    yield from (((length, at), (length, width - at)) for at in range(1, width))


def _shared(pieces: tuple[_Sides, ...]) -> Iterator[tuple[tuple[_Sides, ...], tuple[_Sides, ...]]]:
    places = range(len(pieces))
    for size in range(1, len(pieces)):
        for chosen in combinations(places, size):
            yield tuple(pieces[i] for i in chosen), tuple(pieces[i] for i in places if i not in chosen)


def _best_by_trying(pieces: list[ValuedPiece], length: int, width: int) -> int:
    """Return the greatest value of all choices of copies and ways that can be cut."""
    copies = [piece for piece in pieces for _ in range(piece.count or 0)]
    best = 0
    for size in range(1, len(copies) + 1):
        for chosen in combinations(copies, size):
            value = sum(piece.value for piece in chosen)
            if value > best and _some_way(chosen, length, width):
                best = value
    return best


def _some_way(chosen: tuple[ValuedPiece, ...], length: int, width: int) -> bool:
    lies = product(*([(way.length, way.width) for way in piece.ways] for piece in chosen))
    return any(_can_be_cut(length, width, tuple(sorted(sides))) for sides in lies)


@pytest.mark.parametrize("seed", range(60))
def test_tiny_sheets_against_every_way_to_cut(seed: int) -> None:
    """Protects exactness: no choice of up to five copies, tried one by one with every cut, beats the answer."""
    dice = random.Random(seed)
    length, width = dice.randint(3, 8), dice.randint(3, 7)
    kinds = dice.randint(1, 3)
    pieces = [
        _piece(
            f"p{i}",
            dice.randint(1, 5),
            dice.randint(1, 4),
            dice.randint(1, 5 // kinds),
            dice.randint(1, 20),
            turning=dice.random() < 0.4,
        )
        for i in range(kinds)
    ]
    answer = best_sheet(pieces, length, width, fast=False)
    assert answer.proven
    assert answer.value == _best_by_trying(pieces, length, width)


@pytest.mark.parametrize("seed", range(30))
def test_units_instead_of_sums_change_no_answer(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects sheets with too many sums of sides: bounds in coarse units stay bounds, so the optimum is the same."""
    dice = random.Random(seed)
    pieces = [
        _piece(f"p{i}", dice.randint(18, 50), dice.randint(18, 50), dice.randint(1, 2), dice.randint(5, 40), turning=i % 2 == 0)
        for i in range(dice.randint(4, 6))
    ]  # fmt: skip
    by_sums = best_sheet(pieces, 101, 97, fast=True)
    monkeypatch.setattr(engine, "_PLACES", 12)
    by_units = best_sheet(pieces, 101, 97, fast=True)
    assert not field_of(piece_kinds(pieces, 101, 97), 101, 97, 12).exact
    assert (by_sums.proven, by_units.proven) == (True, True)
    assert by_units.value == by_sums.value


def test_pieces_smaller_than_a_unit_claim_no_false_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the word proven: where units say nothing of small pieces, only the area's bound counts."""
    instance = BY_NAME["cgcut1"]
    monkeypatch.setattr(engine, "_PLACES", 6)
    pieces = instance.pieces()
    assert not field_of(piece_kinds(pieces, *instance.sheet), *instance.sheet, 6).sound
    answer = best_sheet(pieces, *instance.sheet, fast=True)
    assert answer.bound == most_value(piece_kinds(pieces, *instance.sheet), *instance.sheet) == 264
    assert answer.value <= 244
    assert not answer.proven


def test_limited_and_unlimited_pieces_together() -> None:
    """Protects mixed questions: a limited dear piece is used up, and unlimited ones fill the rest."""
    answer = best_sheet([_piece("dear", 5, 5, 1, 100), _piece("cheap", 2, 5, None, 3)], 15, 5)
    assert (answer.value, answer.proven) == (100 + 5 * 3, True)


def test_pieces_alike_keep_their_names_and_their_own_way() -> None:
    """Protects labels: one piece given straight and one given turned to the same size are told apart."""
    turned = ValuedPiece(name="b", ways=(Way(length=4, width=3, turned=True),), count=1, value=5)
    answer = best_sheet([_piece("a", 4, 3, 1, 5), turned], 8, 3)
    assert {laid.name: laid.way.turned for laid in answer.laid} == {"a": False, "b": True}


@pytest.mark.parametrize(
    "pieces",
    [[], [_piece("large", 11, 5, 2, 9)], [_piece("worthless", 2, 2, 3, 0)], [_piece("none", 2, 2, 0, 7)]],
    ids=["nothing", "too large", "worthless", "no copies"],
)
def test_nothing_worth_cutting(pieces: list[ValuedPiece]) -> None:
    """Protects the empty answer: nothing laid, worth nothing, and proven."""
    answer = best_sheet(pieces, 10, 10)
    assert (answer.value, answer.laid, answer.bound, answer.proven) == (0, (), 0, True)


def test_a_limit_ends_the_search_with_an_honest_bound() -> None:
    """Protects the word proven: stopped early, the answer is a real one below the known optimum 385 of C1_2's range."""
    instance = BY_NAME["C1_2"]
    answer = best_sheet(instance.pieces(), *instance.sheet, most_nodes=300, fast=True)
    assert not answer.proven
    assert 0 < answer.value <= 389
    assert answer.bound >= 385


def test_no_time_at_all_still_answers() -> None:
    """Protects a deadline: even with none left there is a refereed answer, whose bound holds (HH, Hifi 1997)."""
    instance = BY_NAME["HH"]
    answer = best_sheet(instance.pieces(), *instance.sheet, seconds=0)
    assert 0 < answer.value <= 11586 <= answer.bound


def test_a_sheet_of_many_small_and_many_large_pieces_is_filled() -> None:
    """Protects real jobs: on a sheet of 2440 × 1220 with a 3 mm kerf, all of 40 parts that fit easily are cut."""
    dice = random.Random(3)
    pieces = [
        _piece(f"p{i}", dice.randint(150, 420) * 8000 + 24_000, dice.randint(80, 250) * 8000 + 24_000, 4, 1, turning=True)
        for i in range(10)
    ]  # fmt: skip
    answer = best_sheet(pieces, 2443 * 8000, 1223 * 8000)
    assert (answer.value, answer.proven) == (40, True)


def test_strips_in_long_rows_nest_deeper_than_calls_may() -> None:
    """Protects narrow strips: 1500 in a row are found and laid without running out of depth."""
    answer = best_sheet([_piece("strip", 2, 5, None, 1)], 3001, 9)
    assert (answer.value, len(answer.laid), answer.proven) == (1500, 1500, True)


def test_the_same_question_gets_the_same_answer() -> None:
    """Protects printed labels: asking again never moves a piece."""
    instance = BY_NAME["cgcut2"]
    assert best_sheet(instance.pieces(), *instance.sheet) == best_sheet(instance.pieces(), *instance.sheet)


@pytest.mark.parametrize(
    ("pieces", "sheet", "words"),
    [
        ([_piece("a", 2, 2, 1, 1), _piece("a", 3, 2, 1, 1)], (10, 10), "one name"),
        ([_piece("a", 2, 2, 1, 1)], (0, 10), "the sheet is 0"),
        ([_piece("a", 2, 2, None, 2**58)], (10, 10), "too large"),
    ],
)
def test_a_question_that_makes_no_sense(pieces: list[ValuedPiece], sheet: _Sides, words: str) -> None:
    """Protects the caller: a wrong question is refused in words."""
    with pytest.raises(ValueError, match=words):
        best_sheet(pieces, *sheet)


@pytest.mark.parametrize(("length", "count", "value"), [(0, 1, 1), (2, -1, 1), (2, 1, -1)])
def test_a_piece_that_makes_no_sense(length: int, count: int, value: int) -> None:
    """Protects the engine: a side of nothing and numbers below nothing are refused where they are made."""
    with pytest.raises(ValueError, match="'a'"):
        _piece("a", length, 2, count, value)
