"""Every rule with a whole project file that it finds fault with, and one that it lets pass."""

from pathlib import Path

import pytest

from layout.checks.run import RULES
from layout.jobs.load import load

FILES = Path(__file__).parent / "rules"
RANK = {"fail": 0, "warn": 1, "note": 2}


def _worst(path: Path, rule: str) -> int:
    """Return the rank of the worst finding of the rule in a file, beyond all ranks if there is none."""
    return min((RANK[f.severity] for f in load(str(path)).findings if f.rule == rule), default=len(RANK))


@pytest.mark.parametrize("rule", RULES)
def test_the_bad_file_is_found(rule: str) -> None:
    """The first line of a bad file says how it is found, as in `# finds: fail`; it is found so, and no worse."""
    path = FILES / f"{rule}-bad.yaml"
    said = path.read_text(encoding="utf-8").splitlines()[0].removeprefix("# finds: ").strip()

    assert _worst(path, rule) == RANK[said]


@pytest.mark.parametrize("rule", RULES)
def test_the_good_file_passes(rule: str) -> None:
    """The good file has no finding of the rule as grave as that of the bad one, and no failure of any other rule."""
    path = FILES / f"{rule}-good.yaml"
    bad = FILES / f"{rule}-bad.yaml"

    assert _worst(path, rule) > _worst(bad, rule)
    assert not [f for f in load(str(path)).findings if f.severity == "fail"]


def test_no_file_without_a_rule() -> None:
    """Each file belongs to a rule that there is."""
    names = {path.stem.removesuffix("-good").removesuffix("-bad") for path in FILES.glob("*.yaml")}

    assert names == set(RULES)
