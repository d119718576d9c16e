"""Tables of sheets: what is bought and what is on hand, read as meant, or every fault named with its line."""

from __future__ import annotations

import pytest

from layout.errors import InputError
from layout.files.sheets_table import COLUMNS, read_sheets_table
from layout.model.cutting import Damage, EdgeTrim, Stock
from layout.model.lengths import Bar

HEADER = ",".join(COLUMNS.all) + "\n"


def _row(**said: str) -> str:
    cells = {"name": "full", "material": "ply", "length": "2440", "width": "1220", **said}
    return ",".join(f'"{cells.get(name, "")}"' for name in COLUMNS.all) + "\n"


def _stock(**said: str) -> Stock:
    [stock] = read_sheets_table(HEADER + _row(**said), "sheets.csv", "mm", 8.0).stocks
    return stock


def test_sheets_are_read() -> None:
    """Protects the table of sheets: blank count is unlimited, blank price is 0, other columns may be missing."""
    text = "name,material,length,width,price,count\nfull,18,8 ft,4 ft,68.50,3\nrest,18,1220,800,,\n"
    assert read_sheets_table(text, "sheets.csv", "mm").stocks == (
        Stock(name="full", material="18", length=2438.4, width=1219.2, price=68.5, count=3),
        Stock(name="rest", material="18", length=1220, width=800),
    )


def test_an_edge_that_says_nothing_has_the_saws_trim() -> None:
    """Protects factory edges: a trim of 0 is kept, a blank one is the saw's, and no trim at all follows the saw."""
    assert _stock(trim_left="0", trim_top="1 cm").trim == EdgeTrim(left=0, right=8, bottom=8, top=10)
    assert _stock().trim is None


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("0 300 120 80", [(0, 300, 120, 80)]),
        ("0 300 120 80; 2000 0 100 100;", [(0, 300, 120, 80), (2000, 0, 100, 100)]),
        ("1 cm 30 cm 12 cm 8cm", [(10, 300, 120, 80)]),
        ("1/2 in 1 1/2 in 10 in 4 in", [(12.7, 38.1, 254, 101.6)]),
        ("0.5 .5 100 100", [(0.5, 0.5, 100, 100)]),
    ],
)
def test_damage_is_four_lengths(said: str, found: list[tuple[float, ...]]) -> None:
    """Protects the spoiled corner: x, y, length and width, each with its own unit or none, several with semicolons."""
    assert [(one.x, one.y, one.length, one.width) for one in _stock(damage=said).damage] == found
    assert all(isinstance(one, Damage) for one in _stock(damage=said).damage)


def test_an_offcut_is_on_hand_once_and_costs_nothing() -> None:
    """Protects what is left from before: one of it unless more are counted, at no price."""
    assert (_stock(offcut="yes").offcut, _stock(offcut="yes").count, _stock(offcut="yes").price) == (True, 1, 0)
    assert _stock(offcut="yes", count="3", price="0").count == 3
    assert (_stock().offcut, _stock().count) == (False, None)


def test_thickness_is_read() -> None:
    """Protects the caliper's word: thickness is a length, and may be unknown."""
    assert (_stock(thickness="17.6").thickness, _stock().thickness) == (17.6, None)


def test_a_row_without_a_width_is_a_bar() -> None:
    """Protects battens: a blank width is stock to be cut to length."""
    table = read_sheets_table(HEADER + _row(name="rail", width="", price="4.20"), "sheets.csv", "mm")
    assert table.bars == (Bar(name="rail", material="ply", length=2440, price=4.2),)
    assert table.stocks == ()


@pytest.mark.parametrize(
    ("said", "key", "words"),
    [
        ({"damage": "0 0 100"}, "damage", "x y length width"),
        ({"damage": "corner"}, "damage", "x y length width"),
        ({"damage": "0 0 100 0"}, "damage", "has no size"),
        ({"damage": "0 1200 100 50"}, "damage", "beyond the sheet"),
        ({"damage": "0 0 100 100 mm x"}, "damage", "x y length width"),
        ({"trim_left": "-1"}, "trim_left", "less than zero"),
        ({"trim_left": "300"}, "trim_left", "200 mm"),
        ({"thickness": "thick"}, "thickness", "cannot read"),
        ({"offcut": "true"}, "offcut", "write yes or no"),
        ({"offcut": "yes", "price": "5"}, "price", "costs nothing"),
        ({"count": "-1"}, "count", "not a count"),
        ({"count": "0"}, "count", "not a count"),
        ({"price": "68 €"}, "price", "not a price"),
        ({"price": "6,8"}, "price", "not a price"),
        ({"price": "-1"}, "price", "not a price"),
        ({"price": "1e5"}, "price", "not a price"),
        ({"price": "nan"}, "price", "not a price"),
        ({"price": "9999999999"}, "price", "not a price"),
        ({"width": "", "damage": "0 0 1 1"}, "damage", "a bar has no"),
        ({"width": "", "trim_left": "1"}, "trim_left", "a bar has no"),
        ({"name": "=SUM(A1)"}, "name", "like a formula"),
    ],
)
def test_a_fault_is_named(said: dict[str, str], key: str, words: str) -> None:
    """Protects the writer of the table: each fault is told once, with its row and column and what to write."""
    with pytest.raises(InputError) as error:
        read_sheets_table(HEADER + _row(**said), "sheets.csv", "mm")

    assert [(fault.line, fault.key) for fault in error.value.faults] == [(2, key)]
    assert words in error.value.faults[0].text
