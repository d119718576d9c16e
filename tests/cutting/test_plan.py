"""Plans of cuts: right by the referee for any job, exact where the answer can be reasoned out."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.cutting.as_json import as_json
from layout.cutting.engine import plan_cuts
from layout.cutting.grid import ticks_down, ticks_up, to_mm
from layout.cutting.referee import referee
from layout.cutting.tree import cut_tree
from layout.cutting.values import Blank, Filled, Laid, Opening, Saw, Way
from layout.errors import NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.model.cutting import CutJob, CutPlan, Part, Region, Stock
from tests.cutting.every_cut import frees

FULL = Stock(name="full", material="18", length=2440, width=1220, price=68.0)
HALF = Stock(name="half", material="18", length=1220, width=1220, price=40.0)

_sides = st.one_of(
    st.integers(20, 1300).map(float),
    st.integers(50, 3000).map(lambda n: n * 0.396875),
    st.floats(20, 1300, allow_nan=False),
)
_grains = st.sampled_from(["along", "across", "free"])
_materials = st.sampled_from(["18", "12"])
_few_parts = st.lists(
    st.builds(
        lambda material, length, width, count, grain: Part(
            name="", material=material, length=length, width=width, count=count, grain=grain
        ),
        _materials, _sides, _sides, st.integers(1, 3), _grains,
    ),
    min_size=1,
    max_size=4,
).map(lambda parts: tuple(replace(part, name=f"p{i}") for i, part in enumerate(parts)))  # fmt: skip
_stocks = st.lists(
    st.builds(
        lambda material, length, width, price, count: Stock(
            name="", material=material, length=length, width=width, price=price, count=count
        ),
        _materials, st.sampled_from([2440.0, 2438.4, 1220.0]), st.sampled_from([1220.0, 1219.2, 610.0]),
        st.sampled_from([0.0, 40.0, 68.5]), st.sampled_from([None, None, 1, 2]),
    ),
    min_size=1,
    max_size=4,
).map(lambda stocks: tuple(replace(stock, name=f"s{i}") for i, stock in enumerate(stocks)))  # fmt: skip
_PLENTY = tuple(replace(FULL, name="plenty", material=material, width=1500) for material in ("18", "12"))
_jobs = st.builds(
    lambda parts, stocks, more, kerf, trim: CutJob(parts=parts, stocks=(*stocks, *more), kerf=kerf, trim=trim),
    _few_parts, _stocks, st.sampled_from([_PLENTY, _PLENTY, ()]), st.sampled_from([0.0, 2.2, 3.0, 3.175]), st.sampled_from([0.0, 1.0, 3.0, 12.7]),
)  # fmt: skip


def _leaves(plan: CutPlan) -> list[Region]:
    waiting = [sheet.root for material in plan.materials for sheet in material.sheets]
    found = []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found += [region] if region.kind else []
    return found


@settings(max_examples=60, deadline=None)
@given(job=_jobs)
def test_any_job_gets_a_right_plan_or_a_plain_error(job: CutJob) -> None:
    """Protects every user: whatever the job, its plan passes the referee or an error says why there is none."""
    try:
        plan = plan_cuts(job)
    except (PartTooLargeError, NotEnoughSheetsError):
        return
    assert referee(plan) == ()
    for material in plan.materials:
        assert 1 <= material.bound <= len(material.sheets)
    cut = Counter(leaf.part for leaf in _leaves(plan) if leaf.kind == "part")
    assert cut == {part.name: part.count for part in job.parts}


_tiny = st.lists(st.tuples(st.integers(1, 8), st.integers(1, 6)), min_size=2, max_size=4).map(tuple)


@settings(max_examples=100, deadline=None)
@given(pieces=_tiny, kerf=st.sampled_from([0, 1]))
def test_tiny_jobs_against_every_way_to_cut(pieces: tuple[tuple[int, int], ...], kerf: int) -> None:
    """Protects the bound: where one sheet does the bound is one, and where none does no plan uses one."""
    parts = tuple(
        Part(name=f"p{i}", material="18", length=length, width=width, grain="along")
        for i, (length, width) in enumerate(pieces)
    )
    sheet = replace(FULL, length=8, width=6)
    plan = plan_cuts(CutJob(parts=parts, stocks=(sheet,), kerf=kerf, smallest_offcut=1)).materials[0]
    if frees(8, 6, tuple((length, width, False) for length, width in pieces), kerf):
        assert plan.bound == 1
    else:
        assert len(plan.sheets) > 1


@settings(max_examples=40, deadline=None)
@given(count=st.integers(1, 30), width=st.integers(100, 1000), kerf=st.sampled_from([0.0, 3.0, 3.175]))
def test_strips_are_planned_exactly(count: int, width: int, kerf: float) -> None:
    """Protects the kerf's arithmetic: n strips take n widths and n - 1 kerfs, and the number of sheets is proven."""
    per_sheet = int((2440 + kerf) // (width + kerf))
    strips = Part(name="strip", material="18", length=1220, width=width, count=count, grain="across")
    plan = plan_cuts(CutJob(parts=(strips,), stocks=(FULL,), kerf=kerf)).materials[0]
    assert len(plan.sheets) == plan.bound == -(-count // per_sheet)
    assert plan.proven


@pytest.mark.parametrize(
    ("parts", "sheets"),
    [
        ([(1220, 610, 4)], 1),
        ([(1218.5, 608.5, 4)], 1),
        ([(1219, 608.5, 4)], 2),
        ([(1221, 608, 4)], 2),
        ([(1300, 700, 3)], 3),
        ([(1218.5, 1220, 2)], 1),
        ([(1218.6, 1220, 2)], 2),
        ([(2440, 1220, 3)], 3),
        ([(2440, 608.5, 2)], 1),
        ([(810, 400, 9)], 1),
    ],
)
def test_small_jobs_by_reasoning(parts: list[tuple[float, float, int]], sheets: int) -> None:
    """Protects the number of sheets of jobs that can be reasoned out by hand (kerf 3, 2440 × 1220)."""
    kerf = 0.0 if parts[0][0] == 1220 else 3.0
    made = tuple(
        Part(name=f"p{i}", material="18", length=length, width=width, count=count, grain="along")
        for i, (length, width, count) in enumerate(parts)
    )
    assert len(plan_cuts(CutJob(parts=made, stocks=(FULL,), kerf=kerf)).materials[0].sheets) == sheets


def test_a_free_part_is_turned_when_only_that_fits() -> None:
    """Protects free grain: a part longer than the sheet is wide is turned to lie across."""
    part = Part(name="p", material="18", length=600, width=2000)
    plan = plan_cuts(CutJob(parts=(part,), stocks=(FULL,)))
    assert [leaf.turned for leaf in _leaves(plan) if leaf.kind == "part"] == [True]


def test_the_cheaper_sheet_is_taken() -> None:
    """Protects the purse: what fits on a cheaper sheet is not cut from a dearer one."""
    part = Part(name="p", material="18", length=600, width=600, count=3)
    plan = plan_cuts(CutJob(parts=(part,), stocks=(FULL, HALF)))
    assert [sheet.stock.name for sheet in plan.materials[0].sheets] == ["half"]


def test_a_limited_sheet_is_not_exceeded() -> None:
    """Protects the sheets on hand: when the cheap ones run out the others are taken."""
    part = Part(name="p", material="18", length=1200, width=1200, count=5, grain="along")
    stocks = (FULL, replace(HALF, count=1))
    plan = plan_cuts(CutJob(parts=(part,), stocks=stocks))
    assert Counter(sheet.stock.name for sheet in plan.materials[0].sheets) == {"full": 2, "half": 1}


def test_materials_come_in_the_order_of_the_parts() -> None:
    """Protects the reader: materials are listed as the parts are."""
    parts = tuple(Part(name=m, material=m, length=100, width=100) for m in ("b", "a", "c"))
    stocks = tuple(replace(FULL, material=m) for m in "abc")
    plan = plan_cuts(CutJob(parts=parts, stocks=stocks))
    assert [material.material for material in plan.materials] == ["b", "a", "c"]
    assert plan.cost == 204.0


def test_the_same_job_gives_the_same_plan() -> None:
    """Protects printed labels: planning again never moves a part."""
    parts = tuple(Part(name=f"p{i}", material="18", length=200 + 37 * i, width=150 + 23 * i) for i in range(15))
    job = CutJob(parts=parts, stocks=(FULL, HALF), trim=10)
    assert json.dumps(as_json(plan_cuts(job))) == json.dumps(as_json(plan_cuts(job)))


def test_nothing_to_cut() -> None:
    """Protects an empty job: no parts, no sheets, no cost."""
    plan = plan_cuts(CutJob(parts=(), stocks=(FULL,)))
    assert (plan.materials, plan.cost) == ((), 0)


@pytest.mark.parametrize(
    ("part", "trim", "words"),
    [
        ({"length": 2500, "width": 600}, 0, ["'big'", "2500 × 600", "'18'", "2440 × 1220", "either"]),
        ({"length": 2440, "width": 600}, 10, ["2420 × 1200", "trim of 10"]),
        ({"length": 2000, "width": 600, "grain": "across"}, 0, ["would fit if it were turned", "grain across"]),
        ({"length": 600, "width": 1300, "grain": "along"}, 0, ["would fit if it were turned"]),
        ({"length": 2500, "width": 600, "grain": "along"}, 0, ["turning would not help"]),
        ({"length": 2440.0002, "width": 600}, 0, ["2440.0002"]),
    ],
)
def test_a_part_too_large(part: dict[str, float], trim: float, words: list[str]) -> None:
    """Protects the reader of the error: it names the part, its size, the sheet after trim, and what to do."""
    big = Part(name="big", material="18", **part)  # type: ignore[arg-type]
    with pytest.raises(PartTooLargeError) as error:
        plan_cuts(CutJob(parts=(big,), stocks=(FULL,), trim=trim))
    assert [word for word in words if word not in str(error.value)] == []


@pytest.mark.parametrize(
    ("stocks", "words"),
    [
        ((), ["5 pieces", "no sheet of it"]),
        ((replace(FULL, material="12"),), ["'18'", "no sheet of it"]),
        ((replace(FULL, count=0),), ["count 0"]),
    ],
)
def test_too_few_sheets(stocks: tuple[Stock, ...], words: list[str]) -> None:
    """Protects the buyer: the error says what is on hand and what would do."""
    part = Part(name="p", material="18", length=1200, width=1200, count=5)
    with pytest.raises(NotEnoughSheetsError) as error:
        plan_cuts(CutJob(parts=(part,), stocks=stocks))
    assert [word for word in words if word not in str(error.value)] == []


def test_parts_that_the_sheets_on_hand_do_not_yield_are_named() -> None:
    """Protects the buyer: two sheets take four of five squares, and the fifth is said to be missing."""
    part = Part(name="p", material="18", length=1200, width=1200, count=5)
    plan = plan_cuts(CutJob(parts=(part,), stocks=(replace(FULL, count=2),)))
    assert (referee(plan), plan.unplaced, len(plan.materials[0].sheets)) == ((), ("p",), 2)
    assert not plan.materials[0].proven


_P = Part(name="p", material="18", length=100, width=100)


@pytest.mark.parametrize(
    ("job", "path"),
    [
        (CutJob(parts=(replace(_P, length=0),), stocks=(FULL,)), "parts.p.length"),
        (CutJob(parts=(replace(_P, width=-1),), stocks=(FULL,)), "parts.p.width"),
        (CutJob(parts=(replace(_P, width=float("nan")),), stocks=(FULL,)), "parts.p.width"),
        (CutJob(parts=(replace(_P, length=float("inf")),), stocks=(FULL,)), "parts.p.length"),
        (CutJob(parts=(replace(_P, count=0),), stocks=(FULL,)), "parts.p.count"),
        (CutJob(parts=(replace(_P, count=10_001),), stocks=(FULL,)), "parts"),
        (CutJob(parts=(replace(_P, grain="up"),), stocks=(FULL,)), "parts.p.grain"),  # type: ignore[arg-type]
        (CutJob(parts=(_P, _P), stocks=(FULL,)), "parts.p"),
        (CutJob(parts=(_P,), stocks=(FULL, FULL)), "sheets.full"),
        (CutJob(parts=(_P,), stocks=(replace(FULL, price=-1),)), "sheets.full.price"),
        (CutJob(parts=(_P,), stocks=(replace(FULL, count=-1),)), "sheets.full.count"),
        (CutJob(parts=(_P,), stocks=(FULL,), kerf=-1), "kerf"),
        (CutJob(parts=(_P,), stocks=(FULL,), trim=float("nan")), "trim"),
    ],
)
def test_a_job_that_makes_no_sense(job: CutJob, path: str) -> None:
    """Protects the search: a wrong value is named and never searched with."""
    with pytest.raises(ValueFaultError) as error:
        plan_cuts(job)
    assert ".".join(error.value.path) == path


def test_the_grid() -> None:
    """Protects exactness: micrometres and 1/64 in are whole ticks, parts grow and sheets shrink onto the grid."""
    assert (ticks_up(0.001), ticks_up(25.4 / 64), ticks_down(25.4 / 64)) == (8, 3175, 3175)
    assert (ticks_up(1.00001), ticks_down(1.00001)) == (8001, 8000)
    assert [to_mm(ticks_up(mm)) for mm in (3.175, 609.6, 0.1 + 0.2)] == [3.175, 609.6, 0.3]


def test_a_pinwheel_has_no_cuts() -> None:
    """Protects the saw: four pieces round a fifth cannot be cut free edge to edge, so there is no tree."""
    places = [(0, 0, 2, 1), (2, 0, 1, 2), (1, 2, 2, 1), (0, 1, 1, 2), (1, 1, 1, 1)]
    laid = tuple(
        Laid(name=f"p{i}", x=x, y=y, way=Way(length=length, width=width, turned=False))
        for i, (x, y, length, width) in enumerate(places)
    )
    blank = Blank(x=0, y=0, length=3, width=3)
    opening = Opening(stock=FULL, length=3, width=3, blanks=(blank,))
    saw = Saw(kerf=0, trim=0, smallest_offcut=1)
    assert cut_tree(Filled(opening=opening, laid=laid), saw) is None
    assert cut_tree(Filled(opening=opening, laid=laid[:1]), saw) is not None


@pytest.mark.parametrize(
    ("trim", "first", "cuts"), [(0.0, (600.0, 2.0), 1), (2.0, (0.0, 2.0), 4), (5.0, (2.0, 3.0), 4)]
)
def test_the_blade_takes_no_more_than_is_there(trim: float, first: tuple[float, float], cuts: int) -> None:
    """Protects the convention: narrow rests and narrow trims become sawdust, wide trims fall off as strips."""
    stock = replace(FULL, length=600 + (2 * trim or 2), width=500 + 2 * trim)
    part = Part(name="p", material="18", length=600, width=500, grain="along")
    root = plan_cuts(CutJob(parts=(part,), stocks=(stock,), trim=trim)).materials[0].sheets[0].root
    assert root.cut is not None
    assert (root.cut.at, root.cut.kerf) == first
    numbers, waiting = [], [root]
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        numbers += [region.cut.number] if region.cut else []
    assert sorted(numbers) == list(range(1, cuts + 1))
