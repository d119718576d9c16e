"""The cutting of a project tells of its bars as well as of its sheets."""

from layout.cutting.effort import Effort
from layout.jobs.cut_result import Wish, of_project
from layout.jobs.load import load
from tests.builders import ROOT


def test_bars_of_a_project_are_cut_too() -> None:
    """Every batten of the boards over bins is on a bar, and their price is in what all costs."""
    plan = load(str(ROOT / "tests" / "things" / "bed-boards.yaml"))
    wanted = sorted(round(batten.length, 3) for thing in plan.layout.things for batten in thing.battens)
    result = of_project(plan, Wish(effort=Effort()))

    assert result.bars is not None
    sawn = sorted(round(piece.length, 3) for m in result.bars.materials for bar in m.bars for piece in bar.pieces)
    assert sawn == wanted
    assert result.as_json()["cost"] == result.plan.cost + result.bars.cost
    assert "bars" in result.shown
