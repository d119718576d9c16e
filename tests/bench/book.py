"""How long the book of a project takes, by its parts, and the most memory: ``python tests/bench/book.py [PROJECT]``.

``--large`` takes a project of about 200 panels and 60 things instead. Prints figures, asserts nothing: times are a
machine's, not the program's. Times are processor time, of this process and of those that it started.
"""

from __future__ import annotations

import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click
import yaml

from layout.export.write import write_files
from layout.jobs.book import bind
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.making import Making
from layout.jobs.sheets import SHEETS, make_files, make_sheets

ROOT = Path(__file__).resolve().parent.parent.parent
RACKS, BOXES = 22, 32
Made = TypeVar("Made")


def large_project() -> dict[str, Any]:
    """Return a project as plain values: racks along both walls of a long trailer, and boxes between them.

    A rack has nine panels: sides, and shelves in two columns and three rows; 22 racks are 198 panels. Six
    bins stand in the first; with 32 boxes on the floor there are 60 things. The racks differ in nothing but their names,
    as in the trailer of a hire firm.
    """
    crate = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "5"}
    rack = {"kind": "bin rack", "takes": "crate", "columns": "2", "rows": "3", "sheet": "ply15", "back": "none"}
    ply = {"length": "2440", "width": "1220", "thickness": "15", "density": "700", "price": "60"}
    racks = {
        f"rack {i + 1}": {"at": [str(100 + 700 * (i // 2)), "662" if i % 2 else "-662", "0"]} for i in range(RACKS)
    }
    boxes = {f"box {i + 1}": {"at": [str(100 + 410 * (i // 2)), "155" if i % 2 else "-155", "0"]} for i in range(BOXES)}
    return {
        "layout": "1",
        "title": "A long trailer full of racks",
        "units": "mm",
        "space": {
            "floor": {"length": "8000", "width": "2000"},
            "roof": {"0": "2200", "8000": "2200"},
            "rear_door": {"width": "1800", "height": "2000", "kind": "two leaves"},
        },
        "states": ["drive"],
        "things": {"crate": {**crate, "count": "6"}, **dict.fromkeys(racks, rack), **dict.fromkeys(boxes, crate)},
        "arrangement": {**racks, "crate": {"into": "rack 1"}, **boxes},
        "workshop": {"currency": "EUR", "sheets": {"ply15": ply}},
    }


def _seconds() -> float:
    own, started = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + started.ru_utime + started.ru_stime


class _Clock:
    """What was done and how long it took, in order."""

    def __init__(self) -> None:
        self.begun = time.monotonic()
        self.parts: list[tuple[str, float]] = [("start and imports", _seconds())]

    def run(self, name: str, does: Callable[[], Made]) -> Made:
        """Return what `does` makes, and note its time."""
        before = _seconds()
        made = does()
        self.parts.append((name, _seconds() - before))
        return made

    def told(self) -> str:
        """Return the times as lines, and the most memory."""
        lines = [f"{name:30} {seconds:7.2f} s" for name, seconds in self.parts]
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return "\n".join(
            [
                *lines,
                f"{'in all':30} {sum(seconds for _, seconds in self.parts):7.2f} s",
                f"{'on the clock':30} {time.monotonic() - self.begun:7.2f} s",
                f"{'most memory':30} {most:7.0f} MB",
            ]
        )


@click.command()
@click.argument("project", required=False, default=str(ROOT / "examples" / "market-van.yaml"))
@click.option("--large", is_flag=True, help="Take a project of about 200 panels and 60 things.")
@click.option("--paper", help="The paper.")
def main(project: str, large: bool, paper: str | None) -> None:
    """Print what the parts of the book of PROJECT take."""
    clock, on = _Clock(), Paper(name=paper)
    with tempfile.TemporaryDirectory() as folder:
        if large:
            project = f"{folder}/large.yaml"
            Path(project).write_text(yaml.safe_dump(large_project(), sort_keys=False), encoding="utf-8")
        plan = clock.run("load and check", lambda: load(project))
        making = Making(plan=plan, anyway=True)
        clock.run("cut", lambda: (making.cuts, making.advice))
        clock.run("build", lambda: making.building)
        made = []
        for sheet in SHEETS:
            made += clock.run(f"draw {sheet.name}", lambda sheet=sheet: make_sheets([sheet], making, on))  # type: ignore[misc]  # bound now
        others = clock.run("other files", lambda: make_files(making, on))
        book = clock.run("to bytes", lambda: bind(making, on, made, others))
        files = clock.run("index", book.whole)
        clock.run("write", lambda: write_files(Path(folder) / "out", files))
        panels = sum(len(thing.panels) for thing in plan.layout.things)
        sheets = sum(len(one.drawings) for one in book.made)
        click.echo(f"{len(plan.layout.things)} things, {panels} panels, {sheets} sheets, {len(files)} files, "
                   f"{sum(map(len, files.values())) / 1e6:.1f} MB, {len(plan.findings)} findings")  # fmt: skip
        click.echo(clock.told())


if __name__ == "__main__":
    main()
