"""Whatever the sizes: what a kind makes goes together, is sawn as it should be, and can be built in some order."""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from layout.building.cut_sizes import cut_faults
from layout.building.order import build_order
from layout.building.order_check import order_faults
from layout.building.rebuild import faults
from layout.errors import LayoutError
from layout.files.project import Project, read_project
from layout.jobs.panels import parts_of
from tests.builders import EXAMPLES, ROOT

FILES = [*sorted((ROOT / "tests" / "things").glob("*.yaml")), *EXAMPLES]
_COUNTED = ("columns", "rows", "drawers", "shelves", "leaves")
_KEPT = ("count", "mass", *_COUNTED)
_TRIES, _ENOUGH = 40, 8


def _changed(path: Path, rng: random.Random) -> Project | None:
    """Return the project with half of its sizes and all its sheets otherwise; None if that cannot be made."""
    said: dict[str, Any] = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)
    for thing in said.get("things", {}).values():
        for key, value in thing.items():
            if isinstance(value, str) and re.fullmatch(r"[\d.]+", value) and rng.random() < 0.5:
                if key in _COUNTED:
                    thing[key] = str(rng.randint(0, 5))
                elif key not in _KEPT:
                    thing[key] = f"{float(value) * rng.uniform(0.6, 1.4):.2f}"
    thick: dict[str, str] = {}
    for name, sheet in said.get("workshop", {}).get("sheets", {}).items():
        sheet["thickness"] = thick.setdefault(sheet.get("material", name), f"{rng.uniform(6, 22):.1f} mm")
    for key in ("arrangement", "spots", "accept", "forms"):
        said.pop(key, None)
    try:
        return read_project(yaml.safe_dump(said, sort_keys=False).encode(), path.name, path.parent)
    except LayoutError:
        return None


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_random_sizes_are_refused_or_go_together(path: Path) -> None:
    """A unit of random sizes in random sheets is refused by its kind, or the referee, the saw and the steps agree on it."""
    rng, made = random.Random(path.stem), 0
    for _ in range(_TRIES):
        project = _changed(path, rng) if made < _ENOUGH else None
        if project is None:
            continue
        made += 1
        built = [thing for thing in project.things if thing.panels or thing.battens]
        assert {thing.name: faults(thing) for thing in built if faults(thing)} == {}
        assert cut_faults(project.things, parts_of(project.things)) == ()
        assert order_faults(build_order(project.things, project.rules), project.things, project.rules) == ()
    assert made
