"""From a cut job to the cuts of one sheet: kerf, trim, stock, values, and what cannot be used."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from layout.cutting.one_sheet import plan as planning
from layout.cutting.one_sheet.plan import OneSheetPlan, plan_one_sheet
from layout.cutting.values import Blank, Forced, Opening
from layout.errors import NotEnoughSheetsError, ValueFaultError
from layout.model.cutting import CutJob, Part, Region, Stock
from tests.cutting.one_sheet.instances import BY_NAME, Instance

FULL = Stock(name="full", material="18", length=2440, width=1220, price=68.0)


def _leaves(plan: OneSheetPlan) -> list[Region]:
    waiting, found = [plan.sheet.root], []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found += [region] if region.kind == "part" else []
    return found


def _with_kerf(instance: Instance, kerf: int, *, turning: bool, unlimited: bool) -> OneSheetPlan:
    """Plan an instance with its sides times 10 less the kerf: n pieces and n - 1 kerfs fit as n sides did."""
    pieces = instance.pieces(unlimited=unlimited)
    parts = tuple(
        Part(
            name=piece.name,
            material="m",
            length=piece.ways[0].length * 10 - kerf,
            width=piece.ways[0].width * 10 - kerf,
            count=200 if piece.count is None else piece.count,
            grain="free" if turning else "along",
        )
        for piece in pieces
    )
    sheet = Stock(name="s", material="m", length=instance.sheet[0] * 10 - kerf, width=instance.sheet[1] * 10 - kerf)
    job = CutJob(parts=parts, stocks=(sheet,), kerf=kerf, smallest_offcut=1)
    return plan_one_sheet(job, "m", values={piece.name: piece.value for piece in pieces})


@pytest.mark.parametrize(
    ("name", "right", "ignored", "at_the_edge"),
    [("cgcut1", 249, 2184, 226), ("ngcut1", 243, 363, 172), ("ngcut2", 280, 2632, 210), ("ngcut4", 318, 1274, 258), ("ngcut5", 396, 1473, 307)],
)  # fmt: skip
def test_the_kerf_counts_between_pieces_and_nowhere_else(name: str, right: int, ignored: int, at_the_edge: int) -> None:
    """Protects the kerf: instances of Christofides & Whitlock 1977 and Beasley 1985, unlimited, times 10 less 9.

    The wrong values are those of a program that ignores the kerf, or takes one off at the sheet's edge too.
    """
    plan = _with_kerf(BY_NAME[name], 9, turning=False, unlimited=True)
    assert (plan.value, plan.proven) == (right, True)
    assert plan.value not in {ignored, at_the_edge}


@pytest.mark.parametrize("kerf", range(1, 10))
@pytest.mark.parametrize("turning", [False, True])
def test_no_kerf_changes_the_optimum(kerf: int, *, turning: bool) -> None:
    """Protects the kerf's arithmetic: cgcut1 (Christofides & Whitlock 1977) times 10 less k, with kerf k."""
    plan = _with_kerf(BY_NAME["cgcut1"], kerf, turning=turning, unlimited=False)
    assert (plan.value, plan.proven) == (260 if turning else 244, True)


@pytest.mark.parametrize("name", ["ngcut3", "ngcut6", "ngcut8", "ngcut11", "HADCHR3", "HADCHR11", "OF2", "CHL5", "HH"])
@pytest.mark.parametrize("turning", [False, True])
def test_every_optimum_has_a_tree_of_cuts(name: str, *, turning: bool) -> None:
    """Protects the saw: the answers to published instances (sources with them) are cut with a kerf of 3, refereed."""
    instance = BY_NAME[name]
    plan = _with_kerf(instance, 3, turning=turning, unlimited=False)
    assert plan.value == (instance.turned if turning else instance.fixed)
    assert len(_leaves(plan)) == sum(count for _, count in plan.parts)


def test_the_area_is_the_value_unless_values_are_given() -> None:
    """Protects the default: four quarters, less half a kerf each, fill the sheet; dear small parts win when told so."""
    quarter = Part(name="quarter", material="18", length=1218.5, width=608.5, count=9, grain="along")
    small = Part(name="small", material="18", length=100, width=100, count=2)
    job = CutJob(parts=(quarter, small), stocks=(FULL,), kerf=3)
    plan = plan_one_sheet(job, "18")
    assert (plan.parts, plan.value, plan.proven) == ((("quarter", 4),), 4 * 1218.5 * 608.5, True)
    dear = plan_one_sheet(job, "18", values={"quarter": 1.25, "small": 2.5})
    assert (dear.parts, dear.value, dear.proven) == ((("quarter", 3), ("small", 2)), 8.75, True)


def test_trim_and_grain_are_kept() -> None:
    """Protects the edges and the grain: within the trim nothing lies, and grain across lies turned."""
    across = Part(name="a", material="18", length=1200, width=800, count=5, grain="across")
    plan = plan_one_sheet(CutJob(parts=(across,), stocks=(FULL,), kerf=3, trim=10), "18")
    assert plan.parts == (("a", 3),)
    leaves = _leaves(plan)
    assert all(leaf.turned and min(leaf.x, leaf.y) >= 10 for leaf in leaves)
    assert all(leaf.x + leaf.length <= 2430 and leaf.y + leaf.width <= 1210 for leaf in leaves)


def test_the_stock_is_chosen_by_name_or_is_the_first_to_be_had() -> None:
    """Protects the person with several sheets: the one named is cut, or the first that is there."""
    none, half = replace(FULL, name="none", count=0), replace(FULL, name="half", length=1220)
    part = Part(name="p", material="18", length=600, width=600, count=20)
    job = CutJob(parts=(part,), stocks=(none, FULL, half), kerf=3)
    assert plan_one_sheet(job, "18").sheet.stock == FULL
    assert plan_one_sheet(job, "18", "half").sheet.stock == half
    with pytest.raises(ValueFaultError, match="no sheet 'quarter' of '18'; there are: 'none', 'full', 'half'"):
        plan_one_sheet(job, "18", "quarter")
    with pytest.raises(NotEnoughSheetsError):
        plan_one_sheet(job, "18", "none")
    with pytest.raises(NotEnoughSheetsError, match="no sheet of '12'"):
        plan_one_sheet(job, "12")


def test_parts_that_fit_nowhere_are_left_out() -> None:
    """Protects the question: a part too large for the sheet is no error here, there are others to cut."""
    parts = (
        Part(name="large", material="18", length=3000, width=600),
        Part(name="p", material="18", length=600, width=600),
    )
    assert plan_one_sheet(CutJob(parts=parts, stocks=(FULL,)), "18").parts == (("p", 1),)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"a": 1.0}, "part 'b' has none"),
        ({"a": 1.0, "b": 2.0, "c": 3.0}, "there is no part 'c'"),
        ({"a": -1.0, "b": 2.0}, "-1.0 of part 'a' is not between 0 and"),
        ({"a": float("nan"), "b": 2.0}, "nan of part 'a'"),
        ({"a": 1e15, "b": 2.0}, "1000000000000000.0 of part 'a'"),
    ],
)
def test_values_that_cannot_be_used(values: dict[str, float], words: str) -> None:
    """Protects the person who writes values: what is wrong is named."""
    parts = tuple(Part(name=name, material="18", length=300, width=200) for name in "ab")
    with pytest.raises(ValueFaultError, match=words):
        plan_one_sheet(CutJob(parts=parts, stocks=(FULL,)), "18", values=values)


def test_two_blanks_are_filled_in_turn_and_called_unproven(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects sheets opened in two: copies are shared between the blanks, and no proof is claimed without one."""
    ticks = 8000
    opening = Opening(
        stock=FULL,
        length=2440 * ticks,
        width=1220 * ticks,
        blanks=(
            Blank(x=0, y=0, length=1200 * ticks, width=1220 * ticks),
            Blank(x=1203 * ticks, y=0, length=1237 * ticks, width=1220 * ticks),
        ),
        forced=Forced(axis=0, at=1200 * ticks, kerf=3 * ticks),
    )
    monkeypatch.setattr(planning, "openings", lambda _job, _material: (opening,))
    large = Part(name="large", material="18", length=1200, width=1200)
    small = Part(name="small", material="18", length=700, width=700, count=9)
    plan = plan_one_sheet(CutJob(parts=(large, small), stocks=(FULL,), kerf=3), "18")
    assert plan.parts == (("large", 1), ("small", 1))
    assert plan.value == 1200**2 + 700**2 < plan.bound
    assert not plan.proven


@pytest.mark.parametrize("seed", [230, *range(1, 25)])
def test_any_job_gets_a_tree_of_cuts(seed: int) -> None:
    """Protects the saw: whatever the sizes, kerf and trim, the parts chosen can be freed (230 once could not)."""
    dice = random.Random(seed)
    parts = tuple(
        Part(
            name=f"p{i}",
            material="m",
            length=dice.choice([dice.randint(100, 700), round(dice.uniform(100, 700), 1), 300 + dice.randint(0, 5)]),
            width=dice.choice([dice.randint(60, 500), 200 + dice.randint(0, 5)]),
            count=dice.randint(1, 4),
            grain=dice.choice(["free", "along", "across"]),
        )
        for i in range(dice.randint(2, 7))
    )
    kerf, trim = dice.choice([0, 2.2, 3, 3.175, 6]), dice.choice([0, 0, 1, 3, 5, 12.7])
    sheet = Stock(name="s", material="m", length=dice.choice([1220, 1525, 2440]), width=dice.choice([610, 1220]))
    job = CutJob(parts=parts, stocks=(sheet,), kerf=kerf, trim=trim)
    plan = plan_one_sheet(job, "m", most_nodes=5_000)
    area = sum(leaf.length * leaf.width for leaf in _leaves(plan))
    assert plan.value == pytest.approx(area, abs=0.5)
    assert plan.value <= plan.bound


def test_ragged_rows_are_closed_up_for_the_saw() -> None:
    """Protects narrow gaps: pieces a little shorter than their neighbours leave gaps that the blade cannot cut off."""
    parts = tuple(
        Part(name=f"p{i}", material="18", length=300 + i, width=200 + i % 3, count=4, grain="along") for i in range(8)
    )
    plan = plan_one_sheet(CutJob(parts=parts, stocks=(FULL,), kerf=3), "18", most_nodes=2_000)
    assert sum(count for _, count in plan.parts) == 32
