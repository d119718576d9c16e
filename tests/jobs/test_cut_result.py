"""One run of the verb: what it shows, writes and tells programs, also when not everything could be cut."""

from __future__ import annotations

from dataclasses import replace

from layout.cutting.advice import Advice
from layout.jobs.cut_result import Result
from layout.model.cutting import CutJob, CutPlan, MaterialPlan, Part, Stock
from layout.model.lengths import Bar, BarJob, BarMaterial, BarPlan, CutBar, CutPiece, Length

FULL = Stock(name="full", material="ply", length=2440, width=1220, price=68, count=1)
SIDE = Part(name="side", material="ply", length=600, width=400, count=2)
RAIL = Length(name="rail", material="batten", length=905, count=2)
BAR = Bar(name="bar", material="batten", length=2400, price=4.2, count=1)

NOTHING_FITS = MaterialPlan(
    material="ply", sheets=(), cost=0.0, bound=0, proven=False, unplaced=("side", "side"), ended="stopped", seconds=7.0
)


def _bars() -> BarPlan:
    cut = CutBar(number=1, stock=BAR, pieces=(CutPiece(part="rail", at=0, length=905),), leftover=1492)
    made = BarMaterial(
        material="batten", bars=(cut,), cost=4.2, least_cost=4.2, fewest_bars=1, proven=True, unplaced=("rail",)
    )
    return BarPlan(job=BarJob(parts=(RAIL,), bars=(BAR,)), materials=(made,))


def _result() -> Result:
    plan = CutPlan(job=CutJob(parts=(SIDE,), stocks=(FULL,)), materials=(NOTHING_FITS,))
    return Result(plan=plan, units="mm", title="Parts", bars=_bars())


def test_what_is_missing_is_told_of_sheets_and_bars() -> None:
    """Protects exit code 1: every part without room has its sentence, in the text file too."""
    result = _result()
    said = result.files("A4")["cutting.txt"].decode()

    assert [line.split(":")[0] for line in result.missing] == [
        "no room for 2 × 'side' (600 × 400)", "no room for 1 × 'rail'",
    ]  # fmt: skip
    assert all(line in said for line in result.missing)


def test_a_plan_without_a_sheet_still_has_its_lists() -> None:
    """Protects the case that nothing fits: lists are written, no diagram is, and nothing fails."""
    files = _result().files("A4")

    assert "cut-list.csv" in files
    assert not [name for name in files if name.endswith(".svg")]


def test_a_stop_by_hand_is_told_without_its_seconds_in_files() -> None:
    """Protects the person who pressed the keys: the plan is called the best so far."""
    result = _result()

    assert "stopped before its end: this is the best plan so far" in result.shown
    assert "stopped before its end" in result.files("A4")["cutting.txt"].decode()


def test_json_adds_up_sheets_and_bars() -> None:
    """Protects programs: cost and missing names are of both, bars stand under their own key, advice under its."""
    advice = (Advice(about="spare", material="ply", text="no"),)
    made = replace(_result(), advice=advice).as_json()

    assert (made["cost"], made["unplaced"]) == (4.2, ["side", "side", "rail"])
    assert made["lengths"]["materials"][0]["material"] == "batten"
    assert made["what_if"][0]["about"] == "spare"


def test_leftovers_of_bars_stand_with_those_of_sheets() -> None:
    """Protects one table of leftovers: a bar's has no width and is on hand."""
    text = _result().files("A4")["leftovers.csv"].decode()

    assert "left 1492 of batten,batten,1492,,0,1,,,,,,yes" in text
