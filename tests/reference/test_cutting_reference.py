"""Cutting against numbers published elsewhere or worked out on paper."""

from __future__ import annotations

import pytest

from layout.cutting.engine import plan_cuts
from layout.cutting.referee import referee
from layout.errors import PartTooLargeError
from layout.model.cutting import CutJob, CutPlan, Grain, Part, Stock


def _parts(sizes: list[tuple[float, float]], grain: Grain) -> tuple[Part, ...]:
    return tuple(
        Part(name=f"item {i + 1}", material="m", length=length, width=width, grain=grain)
        for i, (length, width) in enumerate(sizes)
    )


def _plan(sizes: list[tuple[float, float]], sheet: Stock, kerf: float, grain: Grain = "along") -> CutPlan:
    return plan_cuts(CutJob(parts=_parts(sizes, grain), stocks=(sheet,), kerf=kerf, smallest_offcut=0.0))


@pytest.mark.parametrize(
    ("strip", "kerf", "most"),
    [
        (300, 3.0, 8),
        (302.375, 3.0, 8),
        (302.376, 3.0, 7),
        (305, 3.0, 7),
        (300, 3.175, 8),
        (304.8, 0.0, 8),
        (305, 0.0, 8),
    ],
)
def test_strips_from_a_sheet(strip: float, kerf: float, most: int) -> None:
    """Protects the kerf: n strips need n·w + (n − 1)·k ≤ W (own arithmetic; 2440 mm, 3 mm or 1/8 in = 3.175 mm)."""
    assert most * strip + (most - 1) * kerf <= 2440 < (most + 1) * strip + most * kerf
    sheet = Stock(name="s", material="m", length=2440, width=1220, count=1)
    plan = _plan([(strip, 1220)] * most, sheet, kerf)
    assert (referee(plan), len(plan.materials[0].sheets)) == ((), 1)
    assert len(_plan([(strip, 1220)] * (most + 1), sheet, kerf).unplaced) == 1


def test_a_bar_filled_exactly_with_its_cuts() -> None:
    """Protects exact fits: 4 + 4 + 9 + 19 and three cuts of 1 fill 39, and nothing a little shorter.

    Source: the worked example of the test ``knapsack_1rvr_cut_thickness`` in fontanf/packingsolver.
    """
    bar = Stock(name="bar", material="m", length=39, width=10, count=1)
    sizes = [(4.0, 10.0), (4.0, 10.0), (9.0, 10.0), (19.0, 10.0)]
    plan = _plan(sizes, bar, 1.0)
    assert (referee(plan), plan.materials[0].bound, plan.materials[0].proven) == ((), 1, True)
    assert _plan(sizes, Stock(name="bar", material="m", length=38.999, width=10, count=1), 1.0).unplaced


LAI_CHAN_1 = [
    (200, 100), (100, 50), (100, 50), (100, 100), (100, 120), (100, 60), (60, 60), (40, 100), (160, 40), (200, 40),
]  # fmt: skip


def test_a_full_sheet_that_no_edge_to_edge_cuts_free() -> None:
    """Protects against cheating: a sheet that can be filled, but not by edge-to-edge cuts, must not suffice.

    Source: Lai and Chan (1997), instance 1. Its items fill 400 × 200 fully; edge-to-edge cuts without turning
    yield at most 76000 of the 80000.
    """
    assert sum(length * width for length, width in LAI_CHAN_1) == 400 * 200
    assert _plan(LAI_CHAN_1, Stock(name="s", material="m", length=400, width=200, count=1), 0.0).unplaced
    plan = _plan(LAI_CHAN_1, Stock(name="s", material="m", length=400, width=200), 0.0)
    assert (len(plan.materials[0].sheets), plan.materials[0].bound, plan.materials[0].proven) == (2, 2, True)


C1_1 = [
    (2, 12), (7, 12), (8, 6), (3, 6), (3, 5), (5, 5), (3, 12), (3, 7), (5, 7), (2, 6), (3, 2), (4, 2), (3, 4), (4, 4),
    (9, 2), (11, 2),
]  # fmt: skip


@pytest.mark.parametrize("grain", ["along", "free"])
def test_a_sheet_without_any_waste(grain: Grain) -> None:
    """Protects the bound: Hopper and Turton (2001), C1_1, fills 20 × 20 fully, so the bound is one sheet."""
    assert sum(length * width for length, width in C1_1) == 400
    plan = _plan(C1_1, Stock(name="s", material="m", length=20, width=20), 0.0, grain)
    assert (referee(plan), plan.materials[0].bound) == ((), 1)
    assert 1 <= len(plan.materials[0].sheets) <= 2


def test_four_feet_are_not_1220_millimetres() -> None:
    """Protects mixed units: a part of 1220 mm does not fit on a sheet of 4 × 8 ft, which is 1219.2 mm wide.

    Source: NIST SP 811, 1 ft = 304.8 mm exactly; PS 1 prints 2440 × 1220 as the nominal metric size.
    """
    sheet = Stock(name="s", material="m", length=8 * 304.8, width=4 * 304.8)
    assert len(_plan([(600, 4 * 304.8)], sheet, 3.0).materials[0].sheets) == 1
    with pytest.raises(PartTooLargeError, match=r"1219\.2"):
        _plan([(600, 1220)], sheet, 3.0)
