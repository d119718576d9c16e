"""The ten bins as a project: what is sawn follows from the bin and the sheet as measured, and 5 mm of height cost a row.

Ply of 2440 × 1220 that measures 11.7; walls 405 high; the shop's kerf is 3.2. Three rows of sides take 3 × 405 + 2 × 3.2 =
1221.4, and the sheet has 1220; of 400 they take 1206.4.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from layout.building.rebuild import faults
from layout.cutting.advice import advise
from layout.cutting.effort import Effort
from layout.jobs.cut import solve
from layout.jobs.load import Plan, load
from layout.jobs.panels import job_of
from layout.model.cutting import CutJob, CutPlan, Part

FILE = Path(__file__).parent / "s6-bins.yaml"
QUICK = Effort(level="quick")
KERF, SHEET = 3.2, 1220.0


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the project as it is written."""
    return load(str(FILE))


def _changed(folder: Path, *swaps: tuple[str, str]) -> Plan:
    text = FILE.read_text(encoding="utf-8")
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    path = folder / "bins.yaml"
    path.write_text(text, encoding="utf-8")
    return load(str(path))


def _parts(job: CutJob, word: str = "") -> tuple[Part, ...]:
    return tuple(part for part in job.parts if word in part.name)


def _sides(job: CutJob, count: int) -> CutJob:
    """Return a job of so many sides only, all seen or none, on a saw with the shop's kerf and nothing trimmed."""
    [side] = [part for part in job.parts if part.name == "bins side"]
    return replace(job, parts=(replace(side, count=count),), kerf=KERF, trim=0.0, shop=None)


def _sheets(cuts: CutPlan) -> int:
    [material] = cuts.materials
    assert material.proven
    return len(material.sheets)


def test_parts_of_the_errand_follow_from_the_bins(plan: Plan) -> None:
    """Ends are 400 - 2 × 11.7 = 376.6 between the sides, bases 600 - 2 × 11.7 = 576.6 by as much; one side a bin is seen."""
    parts = {p.name: (p.count, p.length, p.width, p.grain) for p in job_of(plan).parts}

    assert parts == {
        "bins seen side": (10, 600.0, 405.0, "along"),
        "bins side": (10, 600.0, 405.0, "free"),
        "bins end": (20, 405.0, 376.6, "free"),
        "bins base": (10, 576.6, 376.6, "free"),
        "bins lid": (10, 600.0, 400.0, "free"),
        "bins cleat": (40, 350.0, 30.0, "free"),
    }
    assert all(faults(thing) == () for thing in plan.layout.things)


def test_no_finding_fails_one_high(plan: Plan) -> None:
    """Nine bins stand in the bay one high, the tenth in the cab: 405 + 11.7 of lid under 700."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert plan.layout.things[0].box.z1 == pytest.approx(416.7)
    assert plan.layout.outside["drive"] == ("bins 10",)


@pytest.mark.parametrize(("walls", "over"), [(405, 133.4), (335, 0.0), (338, 0.0), (339, 1.4)])
def test_two_high_is_caught_before_any_cut(tmp_path: Path, walls: int, over: float) -> None:
    """Two bins stand 2 × (walls + 11.7) high under 700: of 405 they are 133.4 too high, 338 is the most that fits."""
    assert max(2 * (walls + 11.7) - 700, 0) == pytest.approx(over)
    two_high = _changed(tmp_path, ("walls: 405", f"walls: {walls}"), ("grid: [3, 3, 1]", "grid: [3, 2, 2]"))
    short = [f.short_by for f in two_high.findings if f.rule == "inside" and f.severity == "fail"]

    # Nine bins, six below: three stand on others.
    assert short == pytest.approx([over] * 3 if over else [])


@pytest.mark.parametrize(("walls", "sheets"), [(405, 2), (404, 1), (400, 1)])
def test_a_side_of_405_costs_a_row(tmp_path: Path, walls: int, sheets: int) -> None:
    """Twelve sides are three rows of four on one sheet, if 3 × walls + 2 × 3.2 are no more than 1220."""
    job = _sides(job_of(_changed(tmp_path, ("walls: 405", f"walls: {walls}"))), 12)
    [side] = job.parts

    assert side.width == walls
    assert (3 * walls + 2 * KERF <= SHEET) == (sheets == 1)
    assert 4 * side.length + 3 * KERF <= 2440
    assert _sheets(solve(job, QUICK)) == sheets


def test_the_advice_names_the_millimetre(plan: Plan) -> None:
    """Of twelve sides it says that 1 mm less, 404, saves a sheet: 3 × 404 + 6.4 = 1218.4."""
    texts = [one.text for one in advise(solve(_sides(job_of(plan), 12), QUICK), effort=QUICK) if one.about == "size"]

    assert len(texts) == 1
    assert texts[0].startswith("1 mm less on the width of 'bins side' (405 mm to 404 mm): 1 sheet")
    assert "saves 1 sheet" in texts[0]


@pytest.mark.parametrize(("walls", "sheets"), [(405, 3), (400, 2)])
def test_twenty_sides_by_the_shop_cost_a_sheet_more(tmp_path: Path, walls: int, sheets: int) -> None:
    """The sides and cleats of all bins, as the shop, the car and the trims let them: 405 takes a sheet more than 400."""
    job = job_of(_changed(tmp_path, ("walls: 405", f"walls: {walls}")))
    some = replace(job, parts=(*_parts(job, "side"), *_parts(job, "cleat")))

    assert sum(part.count for part in some.parts) == 60
    assert _sheets(solve(some, QUICK)) == sheets


def test_all_parts_together_hide_the_lost_row(tmp_path: Path, plan: Plan) -> None:
    """Lids and ends fill the strip that 405 leaves: ten whole bins take 5 sheets either way, which their area alone asks.

    20 × 600 × 405 + 20 × 376.6 × 405 + 10 × 576.6 × 376.6 + 10 × 600 × 400 + 40 × 350 × 30 = 12.90 m², on sheets of 2.98.
    """
    area = 20 * 600 * 405 + 20 * 376.6 * 405 + 10 * 576.6 * 376.6 + 10 * 600 * 400 + 40 * 350 * 30
    low = _changed(tmp_path, ("walls: 405", "walls: 400"))
    whole = solve(job_of(plan), QUICK)

    assert sum(p.length * p.width * p.count for p in job_of(plan).parts) == pytest.approx(area)
    assert 4 < area / (2440 * 1220) < 5
    assert _sheets(whole) == _sheets(solve(job_of(low), QUICK)) == 5
