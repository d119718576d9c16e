"""What the report says of the room."""

from pathlib import Path

from layout.jobs.check import report
from tests.builders import BASE, plan_of


def test_a_rake_is_told_and_changes_no_height(tmp_path: Path) -> None:
    """2 degrees fall 35 mm in a metre (tan 2 = 0.0349); the room is as high as without it."""
    space = BASE["space"]
    level = report(plan_of(tmp_path, space=space))
    raked = report(plan_of(tmp_path, space={**space, "rake": "2"}))  # type: ignore[dict-item]

    assert "rake" not in level
    assert "falls 2° toward the front; a level reads 35 mm in a metre" in raked
    assert [line for line in raked.splitlines() if not line.startswith("rake")] == level.splitlines()
