"""Time the cutting against published instances and workshop jobs, side by side with rectpack.

Run it as ``python tests/bench/cutting.py FOLDER [--seconds 1] [--every 1] [--growth]``. FOLDER holds
``bin_packing_instances.json`` (Berkey and Wang 1987, classes 1 to 6; Martello and Vigo 1998, classes 7 to 10),
``cutting_instances.json`` (one sheet, filled with the greatest value; its papers are named in it) and
``workshop_jobs.json``. Prints figures, asserts nothing: times are a machine's, not the program's. rectpack runs after
our own times are taken, with no limit of time.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
from questions import one_sheet_pieces, packing_job, workshop_job
from rectpack_best import fewest_sheets, least_price

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.cutting.one_sheet.engine import best_sheet
from layout.model.cutting import CutJob, MaterialPlan

_GROWTH = (20, 50, 100, 200, 500, 1000, 2000)
_CENT = 1e-6
_COLUMNS = (
    ("fixed", "guillotine", False, False),
    ("turned", "guillotine_rot", True, False),
    ("fixed, any number of copies", "guillotine_unlimited", False, True),
    ("turned, any number of copies", "guillotine_rot_unlimited", True, True),
)


def _with_rectpack(run: Callable[..., Any], asked: Sequence[tuple[Any, ...]], processes: int) -> list[Any]:
    """Return what rectpack finds, question by question; nothing without processes."""
    if not processes:
        return []
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(run, *zip(*asked, strict=True), chunksize=4))


def _packing(instances: list[dict[str, Any]], turn: bool, seconds: float, processes: int) -> None:
    start = time.perf_counter()
    plans = [_planned(packing_job(instance, turn), seconds)[0] for instance in instances]
    taken = time.perf_counter() - start
    ours, proven = [len(plan.sheets) for plan in plans], sum(plan.proven for plan in plans)
    asked = [(i["parts"], i["sheet"], turn, plan.bound) for i, plan in zip(instances, plans, strict=True)]
    theirs = _with_rectpack(fewest_sheets, asked, processes)
    number = len(instances)
    click.echo(
        f"{'turned' if turn else 'fixed'}: {number} instances, {sum(ours)} sheets, proven {proven}"
        f" ({proven / number:.1%}), {taken:.0f} s"
    )
    if theirs:
        worse = [i["name"] for i, a, b in zip(instances, ours, theirs, strict=True) if a > b]
        fewer = sum(a < b for a, b in zip(ours, theirs, strict=True))
        click.echo(
            f"  rectpack {sum(theirs)} sheets, {time.perf_counter() - start - taken:.0f} s;"
            f" ours fewer on {fewer} of {number}, more on {len(worse)}{': ' * bool(worse)}{', '.join(worse)}"
        )


def _workshop(jobs: list[dict[str, Any]], seconds: float, processes: int) -> None:
    plans, taken = [], []
    for job in jobs:
        start = time.perf_counter()
        plans.append(_planned(workshop_job(job), seconds))
        taken.append(time.perf_counter() - start)
    ours = [sum(material.cost for material in plan) for plan in plans]
    proven = [all(material.proven for material in plan) for plan in plans]
    several = [any(len(m["sheets"]) > 1 for m in job["materials"]) for job in jobs]
    single = [i for i, many in enumerate(several) if not many]
    click.echo(
        f"workshop: {len(jobs)} jobs, {sum(ours):.2f}; one size {sum(proven[i] for i in single)} of {len(single)} proven,"
        f" mean {sum(taken[i] for i in single) / max(1, len(single)):.2f} s; several sizes"
        f" {sum(p for p, many in zip(proven, several, strict=True) if many)} of {sum(several)} proven"
    )
    asked = [
        (m, job["kerf"], job["trim"], p.least_cost)
        for job, plan in zip(jobs, plans, strict=True)
        for m, p in zip(job["materials"], plan, strict=True)
    ]
    start = time.perf_counter()
    found = iter(_with_rectpack(least_price, asked, processes))
    if processes:
        theirs = [sum(next(found) for _ in job["materials"]) for job in jobs]
        dearer = [j["name"] for j, a, b in zip(jobs, ours, theirs, strict=True) if a > b + _CENT]
        click.echo(
            f"  rectpack {sum(theirs):.2f}, {time.perf_counter() - start:.0f} s;"
            f" dearer than rectpack on {len(dearer)} of {len(jobs)} jobs{': ' * bool(dearer)}{', '.join(dearer)}"
        )


def _planned(job: CutJob, seconds: float) -> tuple[MaterialPlan, ...]:
    return plan_cuts(job, Effort(seconds=seconds, level="long")).materials


def _one_sheet(instances: dict[str, Any]) -> None:
    for said, key, turn, unlimited in _COLUMNS:
        known = [one for one in instances.values() if key in one]
        start = time.perf_counter()
        answers = [best_sheet(one_sheet_pieces(one, turn, unlimited), *one["sheet"]) for one in known]
        same = sum(a.value == one[key] and a.proven for a, one in zip(answers, known, strict=True))
        click.echo(f"one sheet, {said}: {same} of {len(known)} optima, {time.perf_counter() - start:.0f} s")


def _growth(seconds: float) -> None:
    click.echo("parts  sheets  bound  gap %  seconds  MB")
    for parts in _GROWTH:
        words = [sys.executable, str(Path(__file__).with_name("growth.py")), str(parts), "--seconds", str(seconds)]
        click.echo(subprocess.run(words, check=True, capture_output=True, text=True).stdout, nl=False)


@click.command()
@click.argument("folder", type=click.Path(exists=True, path_type=Path))
@click.option("--seconds", default=1.0, show_default=True)
@click.option("--every", default=1, show_default=True, help="Take every n-th packing instance only.")
@click.option("--processes", default=2, show_default=True, help="For rectpack, after our own times; 0 leaves it out.")
@click.option("--growth", is_flag=True, help="Only the curve from 20 to 2,000 parts; --seconds 20 fits it.")
def main(folder: Path, seconds: float, every: int, processes: int, growth: bool) -> None:
    """Print the figures, with the machine and the date."""
    click.echo(
        f"{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {os.cpu_count()} cores,"
        f" Python {platform.python_version()}, {seconds} s each"
    )
    instances = json.loads((folder / "bin_packing_instances.json").read_text())["instances"][::every]
    # What is compiled and loaded once is not timed.
    for instance in instances[:: max(1, len(instances) // 12)]:
        _planned(packing_job(instance, True), seconds)
    if growth:
        _growth(seconds)
        return
    jobs = json.loads((folder / "workshop_jobs.json").read_text())["jobs"]
    _workshop(jobs, seconds, processes)
    for turn in (False, True):
        _packing(instances, turn, seconds, processes)
    _one_sheet(json.loads((folder / "cutting_instances.json").read_text()))


if __name__ == "__main__":
    main()
