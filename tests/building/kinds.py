"""Every kind of unit that the test projects and the examples make."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from layout.errors import InputError
from layout.files.project import read_project
from layout.model.thing import Thing
from tests.builders import EXAMPLES, ROOT


@cache
def units() -> dict[str, Thing]:
    """Return one unit of each group by its file's and its own name, made but not placed."""
    found: dict[str, Thing] = {}
    for path in (*sorted((ROOT / "tests" / "things").glob("*.yaml")), *EXAMPLES):
        for thing in _things(path):
            if thing.panels or thing.battens:
                found.setdefault(f"{path.stem}: {thing.group}", thing)
    return found


def _things(path: Path) -> tuple[Thing, ...]:
    try:
        return read_project(path.read_bytes(), path.name, path.parent).things
    except InputError:  # that a file of a kind can be read is told by the kind's own test
        return ()
