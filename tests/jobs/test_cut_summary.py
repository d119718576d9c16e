"""What is said of a plan: the bound in plain words, what stands open, what is missing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from layout.jobs.cut_summary import missing, summary
from layout.model.cutting import CutJob, CutPlan, CutSheet, MaterialPlan, Part, Region, Stock

FULL = Stock(name="full", material="ply", length=2440, width=1220, price=68)
HALF = replace(FULL, name="half", length=1220, price=40)


def _plan(*stocks: Stock, sheets: int = 3, **said: Any) -> CutPlan:
    job = CutJob(parts=(Part(name="side", material="ply", length=600, width=400, count=9),), stocks=stocks or (FULL,))
    root = Region(x=0, y=0, length=2440, width=1220, kind="offcut")
    used = tuple(CutSheet(number=i + 1, stock=job.stocks[0], root=root) for i in range(sheets))
    material = MaterialPlan(material="ply", sheets=used, cost=68.0 * sheets, **{"bound": 3, "proven": False, **said})
    return CutPlan(job=job, materials=(material,))


@pytest.mark.parametrize(
    ("stocks", "said", "words"),
    [
        ((), {"proven": True, "why": "the parts cover 2.4 sheets"},
         "3 sheets, 204.00 EUR; fewer than 3 is impossible because the parts cover 2.4 sheets"),
        ((), {"bound": 2, "ended": "budget", "seconds": 12.3},
         "2 is not ruled out, fewer than 2 is impossible; searched 12 seconds"),
        ((), {"bound": 1, "ended": "budget"}, "1 to 2 are not ruled out; searched less than a second"),
        ((), {"bound": 0, "ended": "budget"}, "1 to 2 are not ruled out"),
        ((), {"bound": 2, "ended": "stopped"}, "stopped before its end: this is the best plan so far"),
        ((), {"bound": 2, "ended": "time", "seconds": 5.0}, "the time given was used up after 5 seconds"),
        ((FULL, HALF), {"proven": True}, "204.00 EUR; nothing cheaper is possible"),
        ((FULL, HALF), {"least_cost": 148.0, "ended": "budget", "why": "of the area"},
         "cheaper is not ruled out, less than 148.00 EUR is impossible because of the area"),
        ((FULL, HALF), {"ended": "budget"}, "cheaper is not ruled out"),
        ((), {"unplaced": ("side", "side")}, "2 pieces have no room on the sheets on hand"),
        ((replace(FULL, offcut=True),), {"proven": True}, "3 sheets (3 of them your own offcuts)"),
    ],
)  # fmt: skip
def test_the_bound_in_plain_words(stocks: tuple[Stock, ...], said: dict[str, Any], words: str) -> None:
    """Protects the buyer: whether fewer sheets, or a cheaper choice, could do, and what was done to find out."""
    assert words in summary(_plan(*stocks, **said), "EUR")


def test_files_tell_no_seconds() -> None:
    """Protects comparing files: what is written is the same for the same job, however long it took."""
    slow, quick = (_plan(bound=2, ended="budget", seconds=seconds) for seconds in (90.0, 0.1))

    assert summary(slow, "EUR", timed=False) == summary(quick, "EUR", timed=False)
    assert summary(slow, "EUR") != summary(quick, "EUR")


def test_what_is_missing_is_told_part_by_part() -> None:
    """Protects the reader of exit code 1: each part without room, how often, and what to do."""
    assert missing(_plan(unplaced=("side", "side")), "mm") == (
        "no room for 2 × 'side' (600 × 400): the sheets of 'ply' on hand do not do; add a sheet, or a larger count",
    )
    assert missing(_plan(), "mm") == ()
