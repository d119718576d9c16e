"""Rows have their gaps: by hand arithmetic, and on random rows against plain sums."""

import random
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import Polygon

from layout.checks import rows
from layout.checks.context import Context
from layout.checks.rows import Row, rows_of
from layout.files.rules import read_rules
from layout.model.finding import Finding
from layout.model.solid import Solid, box
from layout.space.slide import clear_span, clear_spans
from tests.bench.fit import room, spread
from tests.builders import BASE
from tests.checks.chance import context_of as chance_context
from tests.checks.chance import layout_of, some_things
from tests.checks.one_rule import found
from tests.checks.tape import Tape

SPACE: Any = BASE["space"]
WELLS = {**SPACE, "wheel_wells": [{"x": ["600", "1600"], "width": "272.5", "height": "250"}]}
EXACT = {"row-gap": {"between": "5", "wall": "10", "tolerance": "3"}}


def _bin(width: float, length: float = 600, height: float = 200, **more: object) -> dict[str, object]:
    return {"kind": "bin", "length": str(length), "width": str(width), "height": str(height), **more}


def _box(length: float, width: float, height: float) -> dict[str, object]:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height)}


def _row(count: int, gap: float = 0, layers: int = 1, **more: object) -> dict[str, object]:
    return {"rear": "700", "centre": "0", "grid": ["1", str(count), str(layers)], "gap": str(gap), **more}


def _found(width: float, count: int = 3, gap: float = 0, **more: object) -> list[Finding]:
    said: dict[str, Any] = {
        "space": WELLS,
        "things": {"c": _bin(width, count=str(count))},
        "arrangement": {"c": _row(count, gap)},
    }
    return found("row-gap", **{**said, **more})


def test_three_of_385_in_1155_will_not_go_in() -> None:
    """Between wells 1155 apart three bins of 385 leave nothing: refused; (1155 - 2 x 5 - 2 x 10) / 3 - 3 = 372 fit."""
    [finding] = _found(385, rules=EXACT)

    assert (finding.severity, finding.measured, finding.wanted, finding.short_by) == ("fail", 0, 39, 39)
    assert finding.things == ("c 1", "c 2", "c 3")
    assert finding.states == ("drive", "camp", "sleep")
    assert "1155 mm in 1155 mm between wheel well right and wheel well left: nothing is left" in finding.text
    assert finding.cure.startswith("make each at most 372 mm wide")
    assert not _found(372, gap=5, rules=EXACT)


def test_the_shipped_numbers() -> None:
    """3 between, 8 at the wells, 2 for each: 3 x 2 + 2 x 3 + 2 x 8 = 28, so that 375.6 each are the most."""
    assert "make each at most 375.6 mm wide" in _found(380)[0].cure
    assert not _found(375.6, gap=3)
    assert _found(375.7, gap=3)


@pytest.mark.parametrize(
    ("width", "severity"), [(383.1, "fail"), (383, "fail"), (382.9, "warn"), (375.7, "warn"), (375, None)]
)
def test_what_cannot_go_in_fails_and_what_has_too_small_gaps_is_warned_of(width: float, severity: str | None) -> None:
    """Each comes out 2 larger: 3 x 383 + 6 = 1155 do not go in; below that the gaps are wanting up to 375.6."""
    assert [f.severity for f in _found(width)] == ([severity] if severity else [])


def test_a_row_too_wide_says_by_how_much() -> None:
    """Three of 390 are 15 more than the opening."""
    [finding] = _found(390)

    assert "15 mm too much" in finding.text
    assert finding.short_by == 43


def test_unequal_things_are_told_what_comes_off_each() -> None:
    """385 + 385 + 370 leave 15 of 1155, 13 short of 28: 4.4 off each of three, rounded up."""
    things = {"a": _bin(385), "b": _bin(385), "c": _bin(370)}
    stood = {name: {"at": ["700", str(y), "0"]} for name, y in (("a", -380), ("b", 10), ("c", 390))}
    [finding] = found("row-gap", space=WELLS, things=things, arrangement=stood)

    assert finding.cure == "make each 4.4 mm narrower, or leave one out"


def test_layers_of_a_stack_are_told_once_where_they_are_alike() -> None:
    """Two layers of three below the wells' top are two such rows in one finding of six things."""
    [finding] = found(
        "row-gap", space=WELLS, things={"c": _bin(384, height=120, count="6")}, arrangement={"c": _row(3, layers=2)}
    )

    assert finding.text.endswith("(2 such rows)")
    assert len(finding.things) == 6


def test_above_the_wells_there_is_room() -> None:
    """The same three on a deck at 250 have 1700 from wall to wall."""
    things = {"c": _bin(385, count="3"), "deck": _box(1000, 1155, 250)}
    stood = {"deck": {"at": ["650", "0", "0"]}, "c": {**_row(3), "on": "deck"}}

    assert not found("row-gap", space=WELLS, things=things, arrangement=stood)


def test_each_end_is_as_it_is_over_the_thing_there() -> None:
    """A post 40 thick at the last 50 of the length of the left bin narrows the opening to 1115: three of 370 are 1110."""
    space = {**WELLS, "obstacles": {"post": {"x": ["1250", "1300"], "y": ["537.5", "577.5"], "z": ["0", "400"]}}}
    stood = {"c": {"at": ["700", "-20", "0"], "grid": ["1", "3", "1"]}}
    [finding] = found("row-gap", space=space, things={"c": _bin(370, count="3")}, arrangement=stood)

    assert "in 1115 mm between wheel well right and post: 5 mm is left" in finding.text
    assert finding.severity == "fail"


def test_the_gap_to_furniture_is_that_to_a_neighbour() -> None:
    """Two of 300 between panels 610 apart have 10 left: 3 x 3 + 2 x 2 = 13 are wanted; walls would want 23."""
    things = {"c": _bin(300, count="2"), "side": {**_box(800, 18, 600), "count": "2"}}
    stood = {"c": _row(2), "side 1": {"at": ["600", "314", "0"]}, "side 2": {"at": ["600", "-314", "0"]}}
    [finding] = found("row-gap", things=things, arrangement=stood)

    assert (finding.severity, finding.measured, finding.wanted) == ("warn", 10, 13)
    assert "between side 2 and side 1" in finding.text


def test_a_divider_parts_a_row() -> None:
    """Between panels 612 apart two of 300 would be short; a fixed board of 12 between them makes no row of either."""
    things = {"c": _bin(300, count="2"), "side": {**_box(800, 18, 600), "count": "2"}, "board": _box(600, 12, 300)}
    stood = {
        "c": _row(2, gap=12), "side 1": {"at": ["600", "315", "0"]}, "side 2": {"at": ["600", "-315", "0"]},
        "board": {"at": ["700", "0", "0"]},
    }  # fmt: skip
    without = {name: at for name, at in stood.items() if name != "board"}

    assert not found("row-gap", things=things, arrangement=stood)
    assert found("row-gap", things={k: v for k, v in things.items() if k != "board"}, arrangement=without)


def test_a_row_along_ends_at_the_shut_door() -> None:
    """Two of 600 behind a panel at 1245, before a rear door that reaches 40 in, have 5 left of 1205: 18 are wanted."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "reach_in": {"depth": "40", "z": ["0", "1000"]}}
    things = {"c": _bin(400, count="2"), "panel": _box(18, 1000, 600)}
    stood = {"c": {"at": ["42", "0", "0"], "grid": ["2", "1", "1"], "gap": "1"}, "panel": {"at": ["1245", "0", "0"]}}
    [finding] = found("row-gap", space={**SPACE, "rear_door": door}, things=things, arrangement=stood)

    assert "one behind the other are 1200 mm in 1205 mm between closed rear door and panel" in finding.text
    assert (finding.severity, finding.measured, finding.wanted) == ("warn", 5, 3 + 3 + 8 + 4)
    assert finding.cure.startswith("make each at most 593.5 mm long")


def test_no_row_of_what_stays_of_mattresses_or_of_one() -> None:
    """Fixed boxes, mattresses, and a single bin that fills its place are no business of this rule."""
    mattress = {"kind": "mattress", "length": "600", "width": "385", "thickness": "200", "count": "3"}

    assert not _found(385, things={"c": {**_box(600, 385, 200), "count": "3"}})
    assert not _found(385, things={"c": mattress})
    assert not _found(1155, count=1)


def test_nested_bins_are_no_row() -> None:
    """Bins that stand in each other's rims share heights at the rim, and stand one on the other all the same."""
    stacked = _bin(385, height=120, stack_step="100", count="2")

    assert not found("row-gap", space=WELLS, things={"c": stacked}, arrangement={"c": _row(1, layers=2)})


def test_layers_that_nest_are_rows_of_their_own() -> None:
    """Two nested layers of three: where their rims overlap nothing of one layer stands in a row with the other."""
    nested = _bin(384, height=120, stack_step="100", count="6")
    [finding] = found("row-gap", space=WELLS, things={"c": nested}, arrangement={"c": _row(3, layers=2)})

    assert finding.text.startswith("c 1, c 2 and c 3 side by side")
    assert finding.text.endswith("(2 such rows)")


def test_things_in_each_other_are_no_row() -> None:
    """Two bins that are drawn in each other by 300 of 400 are told by the rule for that, not as a row too wide."""
    things = {"a": _bin(400), "b": _bin(400), "side": {**_box(800, 18, 600), "count": "2"}}
    stood = {
        "a": {"at": ["700", "-50", "0"]}, "b": {"at": ["700", "50", "0"]},
        "side 1": {"at": ["600", "269", "0"]}, "side 2": {"at": ["600", "-269", "0"]},
    }  # fmt: skip

    assert not found("row-gap", things=things, arrangement=stood)


def test_a_row_within_a_longer_one_is_not_told_apart() -> None:
    """580 and 570 alone leave 5 of 1155; with a short one of 60 between them it is one row of three, told once."""
    things = {"a": _bin(580), "b": _bin(570), "short": _bin(60, length=200)}
    stood = {
        "a": {"at": ["700", "-287.5", "0"]},
        "b": {"at": ["700", "292.5", "0"]},
        "short": {"at": ["900", "5", "0"]},
    }
    findings = found("row-gap", space=WELLS, things=things, arrangement=stood)

    assert [f.things for f in findings] == [("a", "short", "b")]


def test_rows_turn_with_their_things() -> None:
    """Bins 385 long, turned a quarter, stand across by their length."""
    turned = _bin(500, length=385, count="3")
    [finding] = found("row-gap", space=WELLS, things={"c": turned}, arrangement={"c": _row(3, turn="90")})

    assert finding.measured == 0


@pytest.mark.parametrize("seed", range(40))
def test_random_rows_against_plain_sums(seed: int) -> None:
    """Two to five bins between two panels: failing, warned of or passed just as their sum and the numbers say."""
    rng = random.Random(seed)
    n = rng.randint(2, 5)
    widths = [rng.randint(120, 250) for _ in range(n)]
    spare = rng.choice([rng.uniform(-5, 40), 2.0 * n, 3.0 * (n + 1) + 2.0 * n])
    opening = sum(widths) + spare
    things: dict[str, Any] = {"side": {**_box(800, 18, 600), "count": "2"}}
    stood: dict[str, Any] = {
        "side 1": {"at": ["600", str(opening / 2 + 9), "0"]},
        "side 2": {"at": ["600", str(-opening / 2 - 9), "0"]},
    }
    edge = -opening / 2
    for i, width in enumerate(widths):
        things[f"b{i}"] = _bin(width, length=rng.randint(300, 500))
        edge += max(spare, 0) / (n + 1)
        stood[f"b{i}"] = {"at": [str(700 + rng.randint(0, 100)), str(edge + width / 2), "0"]}
        edge += width
    findings = found("row-gap", things=things, arrangement=stood)
    expected = "fail" if spare <= 2.0 * n + 1e-6 else "warn" if spare < 3.0 * (n + 1) + 2.0 * n - 0.02 else None

    assert [f.severity for f in findings] == ([expected] if expected else [])
    assert all(f.measured == pytest.approx(spare, abs=0.02) for f in findings)


@pytest.mark.parametrize("number", ["between", "wall", "tolerance"])
def test_a_larger_number_never_mends_a_row(number: str) -> None:
    """Raising a gap or the tolerance keeps every finding, and never makes it milder."""
    rank = {"fail": 0, "warn": 1}
    for width in (370, 374, 376, 380, 382, 384):
        small, large = (_found(width, rules={"row-gap": {number: str(value)}}) for value in (2, 9))
        assert len(large) >= len(small)
        assert all(rank[b.severity] <= rank[a.severity] for a, b in zip(small, large, strict=False))


@pytest.mark.parametrize("seed", range(8))
def test_rows_that_are_chosen_are_those_of_all_rows(seed: int) -> None:
    """Choosing rows before the room's faces are named gives the same rows as choosing among all of them, named."""
    rng = random.Random(seed)
    space = Tape(rng).space()
    things = [
        replace(p, thing=replace(p.thing, take_out=rng.choice(["any", "any", None])))
        for p in some_things(rng, 14, space)
    ]
    context = chance_context(space, layout_of(things))

    def is_tight(row: Row) -> bool:
        return row.left_over < 700

    rows = list(rows_of(context, "drive"))
    assert list(rows_of(context, "drive", is_tight)) == [row for row in rows if is_tight(row)]


def test_clear_spans_of_many_are_free_and_as_wide_as_can_be() -> None:
    """A body as long as its clear span is inside the room; 0.1 mm longer at either end it is not, not even by a hair.

    Asked one by one and of all at once they are the same.
    """
    asked = told = 0
    for seed in range(6):
        rng = random.Random(seed)
        space = Tape(rng).space()
        solids = [p.box for p in some_things(rng, 20, space) if p.box.z0 >= 0]
        for axis in ("x", "y"):
            for body, span in zip(solids, clear_spans(space, solids, axis), strict=True):
                asked += 1
                assert span == clear_span(space, body, axis)
                if span is not None:
                    told += 1
                    assert space.holds(_as_long(body, axis, span))
                    room = space.common_room(body.z0, body.z1)
                    for low, high in ((span[0] - 0.1, span[0]), (span[1], span[1] + 0.1)):
                        assert not room.covers(Polygon(_as_long(body, axis, (low, high)).outline))
    assert 40 < told < asked


def _as_long(body: Solid, axis: str, span: tuple[float, float]) -> Solid:
    x0, y0, x1, y1 = body.bounds
    return box("", span if axis == "x" else (x0, x1), span if axis == "y" else (y0, y1), (body.z0, body.z1))


def test_only_the_nearest_of_what_is_fixed_need_be_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows among beds and racks end at the same faces when all that is fixed on their line is looked at."""
    left_out = 0
    known = rows._Faces._counts

    def counted(faces: rows._Faces, meet: NDArray[np.bool_], middles: NDArray[np.float64]) -> NDArray[np.bool_]:
        nonlocal left_out
        found = known(faces, meet, middles)
        left_out += int((meet & ~found).sum())
        return found

    contexts = [Context(space=room(60), layout=spread(60, seed), rules=read_rules()) for seed in (3, 9, 12)]
    monkeypatch.setattr(rows._Faces, "_counts", counted)
    quick = [list(rows.rows_of(context, "camp")) for context in contexts]
    monkeypatch.setattr(rows._Faces, "_counts", lambda _, meet, __: meet)
    assert quick == [list(rows.rows_of(context, "camp")) for context in contexts]
    assert left_out > 100
    assert any(not face.of_room for found in quick for row in found for face in (row.low, row.high))
